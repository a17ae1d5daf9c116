"""Set the words of a label, most needed first, and the grain arrow."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Final, Literal

from PIL import Image, ImageDraw

from labels.artwork.letters import ABOVE, BLACK, LINE, blank, fit, plain, width_of, write
from labels.artwork.plan import Plan

# Size of letters in millimetres: what looks right, what reads well at arm's length, and what a
# 203 dpi printer can still form (14 dots). Choices.
LARGEST_MM: Final = 4.0
EASY_MM: Final = 2.2
LEAST_MM: Final = 1.75
_ARROW: Final = 1.2  # length of the grain arrow in parts of the letters' size
_ARROW_GAP: Final = 0.4
_TIMES: Final = " × "


@dataclass(frozen=True, slots=True)
class LabelText:
    """What one label says.

    title names the part; unit, size, next_station and job may be empty. grain is the side that runs
    with the grain. What does not fit is left off: the job first, then next station, size, unit. The
    code is always there, and a size is whole or not there.
    """

    code: str
    title: str = ""
    unit: str = ""
    size: str = ""
    next_station: str = ""
    grain: Literal["length", "width"] | str | None = None
    job: str = ""


@dataclass(frozen=True, slots=True)
class _Row:
    """One line; grain is the arrow behind its text."""

    text: str
    grain: str | None = None


def set_words(label: LabelText, plan: Plan) -> Image.Image:
    """Return the words as a picture the size of their box: nothing can stand outside it."""
    box = plan.words
    least, largest = plan.dots(LEAST_MM), plan.dots(LARGEST_MM)
    easy, most = (int(box.height / (plan.dots(mm) * LINE)) for mm in (EASY_MM, LEAST_MM))
    rows = _rows(label, easy, most, lambda row: _needs(row, least) <= box.width)
    picture = blank(box.width, box.height)
    if rows:
        height = min(box.height / len(rows), largest * LINE)
        size = max(least, int(height / LINE))
        for at, row in enumerate(rows):
            _set(picture, row, at * height, largest=size, least=least)
    return picture


def _rows(label: LabelText, easy: int, most: int, fits: Callable[[_Row], bool]) -> list[_Row]:
    """Return the lines of a label.

    Args:
        label: what it says.
        easy: lines that fit in letters which read easily; the job gives way to that.
        most: lines that fit at all.
        fits: whether a line is not too wide in the smallest letters.
    """
    title, unit, job = plain(label.title), plain(label.unit), plain(label.job)
    where = plain(label.next_station)
    onward = f"→ {where}" if where else ""
    sizes = _size_rows(plain(label.size), label.grain, fits)
    of_job = _joined(unit, f"· {job}" if job else "", fits)
    both = _joined(unit, onward, fits)
    full = _present(_Row(title), _Row(of_job), *sizes, _Row(onward))
    joined = _present(_Row(title), _Row(both), *sizes)
    bare = _present(_Row(title), _Row(both))
    tries = [(full, easy), (full, most), (joined, most), (bare, most)]
    if both.endswith(onward):  # nothing but the job is lost
        tries.insert(1, (joined, easy))
    return next((rows for rows, room in tries if len(rows) <= room), bare[:most])


def _present(*rows: _Row) -> list[_Row]:
    return [row for row in rows if row.text]


def _joined(unit: str, more: str, fits: Callable[[_Row], bool]) -> str:
    """Return the unit with more behind it, where both go on one line."""
    both = f"{unit} {more}".strip()
    return both if fits(_Row(both)) else unit


def _size_rows(size: str, grain: str | None, fits: Callable[[_Row], bool]) -> list[_Row]:
    """Return a size on one line or two; none where it would be cut: half a size misleads."""
    if not size:
        return []
    first, times, second = size.partition(_TIMES)
    tries = [[_Row(size, grain)], [_Row(size.replace(_TIMES, "×"), grain)]]
    if times:
        tries.append([_Row(f"{first} ×", grain), _Row(second)])
        tries.append([_Row(first, grain), _Row(f"× {second}")])
    tries += [[replace(row, grain=None) for row in rows] for rows in tries]
    return next((rows for rows in tries if all(fits(row) for row in rows)), [])


def _needs(row: _Row, size: int) -> int:
    """Return the dots a line takes at a size of letters."""
    return width_of(row.text, size) + (_arrow_room(size) if row.grain else 0)


def _arrow_room(size: int) -> int:
    return int((_ARROW + _ARROW_GAP) * size) + 1


def _set(picture: Image.Image, row: _Row, top: float, *, largest: int, least: int) -> None:
    """Write one line with its arrow."""
    size = next(
        (one for one in range(largest, least, -1) if _needs(row, one) <= picture.width), least
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
