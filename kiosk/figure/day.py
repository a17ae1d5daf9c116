"""Draw the day for paper: the rule of everybody, a sheet for each person, and what to watch."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, tzinfo
from pathlib import Path

from kiosk.figure.dayrail import columns_of, rail_shapes
from kiosk.figure.daysheet import (
    NO_STEPS,
    Entry,
    closing_entries,
    entry_shapes,
    height_of,
    late_entries,
    note_entries,
    person_entries,
)
from kiosk.figure.paper import SIZES, cell, write_pages
from kiosk.figure.shapes import GREY, INK, Figure, Line, Shape, Words
from kiosk.language import shown
from kiosk.rules.dayplan.day import DayPlan
from kiosk.rules.hangday import say_day
from kiosk.rules.words import _, join, say

_EDGE, _HEAD, _FOOT, _HEADING = 50.0, 62.0, 30.0, 44.0
_TITLE, _PLAIN, _LEAST = 26, 14, 10


@dataclass(frozen=True, slots=True)
class _Heading:
    """What stands above the entries of a list; line is said once below it."""

    title: str
    line: str = ""


_Item = _Heading | Entry


def draw_day(
    day: DayPlan,
    path: Path,
    *,
    paper: str,
    zone: tzinfo,
    person: str | None = None,
    shop: str = "",
) -> tuple[Path, ...]:
    """Write the day to a PDF, or to PNG pictures, one a page; return the files.

    Args:
        day: as it is planned and said.
        path: the file, `.pdf` or `.png`; its folder must exist.
        paper: a4 or letter.
        zone: of the shop, for the times that are printed.
        person: only this one's sheet; None: the rule of all, everybody's sheet, and the lists.
        shop: its name, for the title.

    Raises:
        OSError: the disk refused.
        KeyError: paper is neither a4 nor letter.
    """
    figures = lay_out_day(day, size=SIZES[paper], zone=zone, person=person, shop=shop)
    return write_pages(figures, path, title="Day", made=day.at)


def lay_out_day(
    day: DayPlan, *, size: tuple[int, int], zone: tzinfo, person: str | None = None, shop: str = ""
) -> list[Figure]:
    """Return the pages; every step stands on the sheet of each who does it."""
    at = day.at.astimezone(zone)
    bodies: list[tuple[str, list[Shape]]] = []
    is_closed = bool(day.closed) and not day.steps
    if is_closed:
        nobody: list[_Item] = [_Heading(day.closed), *_lists(day, zone)]
        bodies = [(_("the day"), page) for page in _pages(nobody, size)]
    elif person is None:
        for rows in columns_of(day):
            edges = (_EDGE, _EDGE + _HEAD, size[0] - _EDGE, size[1] - _EDGE - _FOOT)
            bodies.append((_("the day"), list(rail_shapes(day, rows, zone, edges=edges))))
        lists = _lists(day, zone)
        if lists:
            bodies += [(_("what to watch"), page) for page in _pages(lists, size)]
    names = day.people if person is None else (person,)
    for name in () if is_closed else names:
        items: list[_Item] = [*person_entries(day, name, zone)]
        closing = closing_entries(day, zone, name) if person is not None else []
        if closing:
            items += [_Heading(_("Before closing")), *closing]
        bodies += [(name, page) for page in _pages(items or [_Heading(NO_STEPS)], size)]
    return [
        Figure(*size, (*_frame(title, at, shop, size, (number, len(bodies))), *body))
        for number, (title, body) in enumerate(bodies, start=1)
    ]


def _lists(day: DayPlan, zone: tzinfo) -> list[_Item]:
    """Return what must be begun before closing and what is late, and what is to know."""
    found: list[_Item] = []
    closing = closing_entries(day, zone)
    if closing:
        line = _("Begun today, it rests while nobody is there.")
        found += [_Heading(_("Before closing"), line), *closing]
    if day.late_jobs:
        helps = say("What would help most: {change}", change=day.change) if day.change else ""
        found += [_Heading(_("Late jobs"), helps), *late_entries(day.late_jobs)]
    if day.at_risk:
        line = _("Planned in time, but few trial runs hold it.")
        found += [_Heading(_("At risk"), line), *late_entries(day.at_risk)]
    if day.notes:
        found += [_Heading(_("To know")), *note_entries(day.notes)]
    return found


def _pages(items: Sequence[_Item], size: tuple[int, int]) -> Iterator[list[Shape]]:
    """Yield the shapes of each page; an entry is never broken, a heading never stands alone."""
    width, height = size[0] - 2 * _EDGE, size[1] - _EDGE - _FOOT
    shapes: list[Shape] = []
    y = top = _EDGE + _HEAD
    for at, item in enumerate(items):
        tall = _tall(item, width)
        following = items[at + 1] if at + 1 < len(items) else None
        kept = tall
        if isinstance(item, _Heading) and isinstance(following, Entry):
            kept += _tall(following, width)
        if y + kept > height and y > top:
            yield shapes
            shapes, y = [], top
        if isinstance(item, Entry):
            shapes += entry_shapes(item, _EDGE, y, width)
        else:
            shapes += _heading(item, y, width)
        y += tall
    yield shapes


def _tall(item: _Item, width: float) -> float:
    if isinstance(item, Entry):
        return height_of(item, width)
    return _HEADING + (_PLAIN + 8 if item.line else 0)


def _heading(item: _Heading, y: float, width: float) -> Iterator[Shape]:
    base = y + _HEADING - 10
    yield from cell(item.title, _EDGE, base, room=width, size=20, least=_LEAST)
    if item.line:
        base += _PLAIN + 8
        yield from cell(item.line, _EDGE, base, room=width, size=_PLAIN, least=_LEAST)
    yield Line(((_EDGE, base + 7), (_EDGE + width, base + 7)), 2.0, INK)


def _frame(
    title: str, at: datetime, shop: str, size: tuple[int, int], number: tuple[int, int]
) -> Iterator[Shape]:
    """Yield what stands at the head and at the foot of a page."""
    width, height = size
    room = width - 2 * _EDGE
    words = join((shop, title), ": ") if shop else title
    yield from cell(words, _EDGE, _EDGE + 24, room=room * 0.52, size=_TITLE, least=_LEAST)
    day = say("{day}, as of {time}", day=say_day(at.date()), time=f"{at:%H:%M}")
    yield from cell(
        day,
        width - _EDGE,
        _EDGE + 24,
        room=room * 0.46,
        size=_PLAIN + 2,
        least=_LEAST,
        anchor="end",
    )
    yield Line(((_EDGE, _EDGE + 38), (width - _EDGE, _EDGE + 38)), 2.0, INK)
    page = say("page {number} of {all}", number=number[0], all=number[1])
    yield Words(width / 2, height - _EDGE + 14, shown(page), 12, "middle", GREY)
