"""Set the words of a part's label, most needed first, and the grain arrow."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Final

from PIL import Image, ImageDraw

from labels.artwork.letters import ABOVE, BLACK, LINE, blank, fit, plain, width_of, write
from labels.artwork.plan import LEAST_MM, Plan
from labels.artwork.texts import LabelText

# Size of letters in millimetres: what looks right, and what reads well at arm's length. Choices.
LARGEST_MM: Final = 4.0
EASY_MM: Final = 2.2
_SLACK: Final = 0.1  # of a line: a hair below easy is easy too
_ARROW: Final = 1.2  # length of the grain arrow in parts of the letters' size
_ARROW_GAP: Final = 0.4
_TIMES: Final = " × "


@dataclass(frozen=True, slots=True)
class Row:
    """One line of words; grain is the arrow behind its text."""

    text: str
    grain: str | None = None


def set_words(label: LabelText, plan: Plan) -> Image.Image:
    """Return the words as a picture the size of their box: nothing can stand outside it."""
    box = plan.words
    least, largest = plan.dots(LEAST_MM), plan.dots(LARGEST_MM)
    easy = int(box.height / (plan.dots(EASY_MM) * LINE) + _SLACK)
    most = int(box.height / (plan.dots(LEAST_MM) * LINE))
    rows = _rows(label, easy, most, lambda row: needs(row, least) <= box.width)
    picture = blank(box.width, box.height)
    if rows:
        height = min(box.height / len(rows), largest * LINE)
        size = max(least, int(height / LINE))
        for at, row in enumerate(rows):
            set_row(picture, row, at * height, largest=size, least=least)
    return picture


def _rows(label: LabelText, easy: int, most: int, fits: Callable[[Row], bool]) -> list[Row]:
    """Return the lines of a label.

    Args:
        label: what it says.
        easy: lines that fit in letters which read easily; job and material give way to that.
        most: lines that fit at all.
        fits: whether a line is not too wide in the smallest letters.
    """
    title, unit, job = plain(label.title), plain(label.unit), plain(label.job)
    where = plain(label.next_station)
    onward = f"→ {where}" if where else ""
    sizes = _size_rows(plain(label.size), label.grain, fits)
    of_job = joined(unit, f"· {job}" if job else "", fits)
    both = joined(unit, onward, fits)
    full = present(Row(title), Row(of_job), *sizes, Row(onward))
    short = present(Row(title), Row(both), *sizes)
    bare = present(Row(title), Row(both))
    bodies = [full, short] if both.endswith(onward) else [full]  # of short, only the job is lost
    tries = [*_with_more(label, bodies, easy, most, fits), *((body, easy) for body in bodies)]
    tries += [(full, most), (short, most), (bare, most)]
    return next((rows for rows, room in tries if len(rows) <= room), bare[:most])


def _with_more(
    label: LabelText, bodies: list[list[Row]], easy: int, most: int, fits: Callable[[Row], bool]
) -> list[tuple[list[Row], int]]:
    """Return lines with material and note, and the room they may take.

    A note somebody wrote is worth the smallest letters, a material is not.
    """
    note, material = plain(label.note), plain(label.material)
    both = joined(note, f"· {material}" if note and material else material, fits)
    extras = [present(Row(note), Row(material)), present(Row(both)), present(Row(note))]
    found = [([*body, *extra], easy) for body in bodies for extra in extras if extra]
    return found + [([*body, Row(note)], most) for body in reversed(bodies) if note]


def present(*rows: Row) -> list[Row]:
    """Return the lines that say something."""
    return [row for row in rows if row.text]


def joined(text: str, more: str, fits: Callable[[Row], bool]) -> str:
    """Return a text with more behind it, where both go on one line, else the text alone."""
    both = f"{text} {more}".strip()
    return both if fits(Row(both)) else text


def _size_rows(size: str, grain: str | None, fits: Callable[[Row], bool]) -> list[Row]:
    """Return a size on one line or two; none where it would be cut: half a size misleads."""
    if not size:
        return []
    first, times, second = size.partition(_TIMES)
    tries = [[Row(size, grain)], [Row(size.replace(_TIMES, "×"), grain)]]
    if times:
        tries.append([Row(f"{first} ×", grain), Row(second)])
        tries.append([Row(first, grain), Row(f"× {second}")])
    tries += [[replace(row, grain=None) for row in rows] for rows in tries]
    return next((rows for rows in tries if all(fits(row) for row in rows)), [])


def needs(row: Row, size: int) -> int:
    """Return the dots a line takes at a size of letters."""
    return width_of(row.text, size) + (_arrow_room(size) if row.grain else 0)


def _arrow_room(size: int) -> int:
    return int((_ARROW + _ARROW_GAP) * size) + 1


def set_row(picture: Image.Image, row: Row, top: float, *, largest: int, least: int) -> None:
    """Write one line with its arrow, its letters' room beginning at top, no wider than picture."""
    size = next(
        (one for one in range(largest, least, -1) if needs(row, one) <= picture.width), least
    )
    room = picture.width - (_arrow_room(size) if row.grain else 0)
    text, size = fit(row.text, room, largest=size, least=least)
    write(picture, (0, top + ABOVE * largest), text, size=size)
    if row.grain:
        left = width_of(text, size) + int(_ARROW_GAP * size)
        _arrow(picture, (left, int(top + ABOVE * largest)), size, row.grain)


def _arrow(picture: Image.Image, at: tuple[int, int], size: int, grain: str) -> None:
    """Draw a double arrow standing on a line: lying for grain along the length, else upright."""
    length, half = int(_ARROW * size), max(2, size // 6)
    middle = int(0.36 * size)  # half the height of capitals
    pen = ImageDraw.Draw(picture)
    along = grain == "length"

    def point(forth: int, aside: int) -> tuple[int, int]:
        if along:
            return at[0] + forth, at[1] - middle + aside
        return at[0] + length // 2 + aside, at[1] - middle - reach // 2 + forth

    reach = length if along else size
    head = min(half * 3 // 2, reach // 2)
    pen.line([point(0, 0), point(reach, 0)], fill=BLACK, width=max(2, size // 9))
    for tip, base in ((0, head), (reach, reach - head)):
        pen.polygon([point(tip, 0), point(base, -half), point(base, half)], fill=BLACK)
