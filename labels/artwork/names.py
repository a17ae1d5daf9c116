"""Set the name of a unit or a place as large as it fits, with smaller lines below it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Final

from PIL import Image

from labels.artwork.letters import LINE, blank, fit, font, plain, width_of, wrap, write
from labels.artwork.plan import LEAST_MM, Box, Plan
from labels.artwork.texts import PlaceText, UnitText
from labels.artwork.words import EASY_MM, LARGEST_MM, Row, joined, present, set_row

_BELOW_NAME: Final = 0.45  # of the height, at most, for what stands below a unit's name: choice
_WORTH_A_BREAK: Final = 0.75  # letters this much smaller are worth a break behind a hyphen: choice
_GAP_MM: Final = 0.5
_CODE_MM: Final = 2.7  # height of the code's line beside a name: capitals stay above 2 mm


@dataclass(frozen=True, slots=True)
class _Name:
    """A name broken into lines: size of its letters, and rise of the first line, all in dots."""

    lines: tuple[str, ...]
    size: int
    rise: int
    height: int


@lru_cache(maxsize=64)
def roomy(plan: Plan) -> Plan:
    """Return a plan with more room for a name: the code in letters once, and smaller beside it."""
    if plan.tall_code:
        return plan
    code, *others = plan.codes
    if others:
        below = code.y
    else:
        code = replace(code, height=min(code.height, plan.dots(_CODE_MM)))
        below = code.bottom + plan.dots(_GAP_MM)
        others = [code]
    words = Box(plan.words.x, below, plan.words.width, plan.words.bottom - below)
    return replace(plan, codes=tuple(others), words=words)


def set_place(label: PlaceText, plan: Plan) -> Image.Image:
    """Return the words of a place as a picture the size of their box."""
    picture = blank(plan.words.width, plan.words.height)
    name, slot = plain(label.title), plain(label.slot)
    text = f"{name} · {slot}" if name and slot else name or slot
    _set_name(picture, text, picture.height, least=plan.dots(LEAST_MM))
    return picture


def set_unit(label: UnitText, plan: Plan) -> Image.Image:
    """Return the words of a unit as a picture the size of their box."""
    picture = blank(plan.words.width, plan.words.height)
    least, gap = plan.dots(LEAST_MM), plan.dots(EASY_MM / 4)
    most = max(0, int((picture.height * _BELOW_NAME - gap) / (least * LINE)))
    rows = _rows(label, most, lambda row: width_of(row.text, least) <= picture.width)
    below = int(len(rows) * least * LINE) + gap if rows else 0
    name = _set_name(picture, plain(label.unit), picture.height - below, least=least)
    top = name.height + gap
    room = int((picture.height - top) / (LINE * max(1, len(rows))))
    size = max(least, min(room, plan.dots(LARGEST_MM), name.size * 2 // 3))
    for at, row in enumerate(rows):
        set_row(picture, row, top + at * size * LINE, largest=size, least=least)
    return picture


def _rows(label: UnitText, most: int, fits: Callable[[Row], bool]) -> list[Row]:
    """Return the lines below a unit's name: as much as goes on that many, title and job first."""
    title, job, note = plain(label.title), plain(label.job), plain(label.note)
    where = plain(label.next_station)
    onward = f"→ {where}" if where else ""
    of_job = joined(title, f"· {job}" if title and job else job, fits)
    more = joined(onward, f"· {note}" if onward and note else note, fits)
    both = [of_job] if of_job.endswith(job) else [title, job]
    tries = (
        [title, job, onward, note],
        [*both, onward, note],
        [*both, more if more.endswith(note) else onward],
        both,
    )
    rows = [present(*(Row(text) for text in texts)) for texts in tries]
    return next((row for row in rows if len(row) <= most), rows[-1][:most])


def _set_name(picture: Image.Image, text: str, height: int, *, least: int) -> _Name:
    """Write a name in the upper part of a picture; return it as it was set."""
    if not text:
        return _Name((), 0, 0, 0)
    name = _largest(text, picture.width, height)
    broken = _largest(text, picture.width, height, at_hyphens=True)
    if broken and (name is None or name.size < _WORTH_A_BREAK * broken.size):
        name = broken
    if name is None or name.size < least:
        name = _cut(text, picture.width, height, least)
    for at, line in enumerate(name.lines):
        write(picture, (0, name.rise + at * name.size), line, size=name.size)
    return name


@lru_cache(maxsize=256)
def _largest(text: str, width: int, height: int, *, at_hyphens: bool = False) -> _Name | None:
    """Return a name in the largest letters that fit, in one line or several."""
    best: _Name | None = None
    low, high = 0, 2 * height
    while high - low > 1:
        middle = (low + high) // 2
        name = _measured(_lines(text, width, middle, at_hyphens=at_hyphens), middle)
        if name.height <= height and all(width_of(line, middle) <= width for line in name.lines):
            best, low = name, middle
        else:
            high = middle
    return best


def _lines(text: str, width: int, size: int, *, at_hyphens: bool) -> list[str]:
    """Return a name broken into lines; none begins or ends with a dot."""
    lines = (line.strip("· ") for line in wrap(text, width, size, at_hyphens=at_hyphens))
    return [line for line in lines if line] or [text]


def _cut(text: str, width: int, height: int, size: int) -> _Name:
    """Return a name too long for its room in the smallest letters, cut by an ellipsis."""
    lines = _lines(text, width, size, at_hyphens=True)
    while len(lines) > 1 and _measured(lines, size).height > height:
        lines[-2:] = [f"{lines[-2]} {lines[-1]}"]
    return _measured([fit(line, width, largest=size, least=size)[0] for line in lines], size)


def _measured(lines: Sequence[str], size: int) -> _Name:
    """Return a name with the room its ink takes: no more air above it than its letters need."""
    rise = max(1, -int(font(size).getbbox(lines[0], anchor="ls")[1]))
    fall = max(0, int(font(size).getbbox(lines[-1], anchor="ls")[3]))
    return _Name(tuple(lines), size, rise, rise + (len(lines) - 1) * size + fall)
