"""Lay the printed board out on pages: counts, next hands, then place by place."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Final

from kiosk.boardsheet.marks import mark
from kiosk.boardsheet.rows import FREE, Row, Section
from kiosk.figure.shapes import GREY, INK, PAPER, RULE, Box, Figure, Line, Shape, Words
from kiosk.language import shown
from kiosk.rules.floor import Floor
from kiosk.rules.words import _, join, say
from labels.artwork.letters import fit, plain, width_of

# Units are 1/100 inch. Letters: a unit's name is read from an arm's length and more, the rest from
# near (choices).
_EDGE, _FOOT = 55, 40
_UNIT, _PLAIN, _LEAST = 19, 14, 10
_ROW, _HEADING, _TITLES = 29.0, 40.0, 24.0
_FIRST, _LATER = 186.0, 34.0  # what the head takes of the first page and of later ones
# Widths of slot, mark, unit, standing, step and time; the name has what is left.
_WIDTHS: Final = (30, 30, 104, 124, 168, 100)
_NAMES: Final = (_("slot"), "", _("unit"), _("name"), _("stands"), _("next step"), _("when"))


@dataclass(frozen=True, slots=True)
class Head:
    """What stands at the top: the shop, when it was printed (in its zone), and the board."""

    shop: str
    at: datetime
    floor: Floor


@dataclass(frozen=True, slots=True)
class _Title:
    section: Section
    again: bool = False


Item = _Title | Row


def lay_out_pages(
    head: Head, sections: Sequence[Section], *, size: tuple[int, int]
) -> list[Figure]:
    """Return the pages; every slot and unit stands on one of them."""
    pages = _paginate(sections, size[1])
    return [
        Figure(*size, tuple(_page(head, items, size, (number, len(pages)))))
        for number, items in enumerate(pages, start=1)
    ]


def _paginate(sections: Sequence[Section], height: int) -> list[list[Item]]:
    """Return items page by page; a place's name is not left alone, and is said again overleaf."""
    room = height - 2 * _EDGE - _FOOT - _TITLES
    pages: list[list[Item]] = [[]]
    left = room - _FIRST
    for section in sections:
        if left < _HEADING + min(2, len(section.rows)) * _ROW:
            pages.append([])
            left = room - _LATER
        pages[-1].append(_Title(section))
        left -= _HEADING
        for row in section.rows:
            if left < _ROW:
                pages.append([_Title(section, again=True)])
                left = room - _LATER - _HEADING
            pages[-1].append(row)
            left -= _ROW
    return pages


def _page(
    head: Head, items: Sequence[Item], size: tuple[int, int], number: tuple[int, int]
) -> Iterator[Shape]:
    width, height = size
    first = number[0] == 1
    yield from _head(head, width) if first else _later_head(head, width)
    y = _EDGE + (_FIRST if first else _LATER)
    columns = _columns(width)
    for (x, room), title in zip(columns, _NAMES, strict=True):
        yield from _cell(title, x, y + _TITLES - 7, room, _PLAIN - 2, GREY)
    y += _TITLES
    if not items:
        yield from _cell(_("No open units."), _EDGE, y + _ROW, width - 2 * _EDGE, _PLAIN)
    for item in items:
        if isinstance(item, _Title):
            yield from _heading(item, y, width)
            y += _HEADING
        else:
            yield from _row(item, y, columns)
            yield Line(((_EDGE, y + _ROW), (width - _EDGE, y + _ROW)), 0.8, RULE)
            y += _ROW
    words = say("page {number} of {all}", number=number[0], all=number[1])
    yield Words(width / 2, height - _EDGE + 10, shown(words), _PLAIN - 2, "middle", GREY)


def _head(head: Head, width: int) -> Iterator[Shape]:
    """Yield title, moment, counts, next hands, and from when on the sheet knows nothing."""
    room, floor = width - 2 * _EDGE, head.floor
    said = fit(plain(shown(_printed(head))), 250, largest=_PLAIN + 2, least=_LEAST)
    yield Words(width - _EDGE, _EDGE + 26, said[0], said[1], "end")
    title = join((head.shop, _("board")), ": ") if head.shop else _("Board")
    yield from _cell(title, _EDGE, _EDGE + 28, room - 270, 30)
    x, y, side = float(_EDGE), _EDGE + 48, 30
    for band in floor.bands:
        yield from mark(band.state, 0.35, (x, y), side)
        words = shown(say("{count} {what}", count=band.count, what=band.title))
        yield from _cell(words, x + side + 10, y + 25, room / 3 - side - 20, 25)
        x += room / 3
    yield Box(_EDGE, y + 44, width - _EDGE, y + 82, INK)
    forms = [plain(shown(form)) for form in floor.hands or (floor.next_hands,)]
    fitting = [form for form in forms if width_of(form, _PLAIN) <= room - 20]
    yield from _cell(fitting[0] if fitting else forms[-1], _EDGE + 10, y + 69, room - 20, 20, PAPER)
    words = say("No news since {time}: what was scanned later is not here.", time=floor.clock)
    yield from _cell(words, _EDGE, y + 106, room, _PLAIN)


def _later_head(head: Head, width: int) -> Iterator[Shape]:
    words = join((join((head.shop, _("board")), ": "), _printed(head)), ", ")
    yield from _cell(words, _EDGE, _EDGE + 16, width - 2 * _EDGE, _PLAIN, GREY)


def _printed(head: Head) -> str:
    return say("printed {day} {time}", day=f"{head.at:%Y-%m-%d}", time=f"{head.at:%H:%M}")


def _heading(title: _Title, y: float, width: int) -> Iterator[Shape]:
    section, room = title.section, width - 2 * _EDGE
    name = join((section.title, _("(continued)") if title.again else ""))
    yield from _cell(name, _EDGE, y + _HEADING - 11, room * 0.55, 20)
    if section.more:
        text, size = fit(plain(shown(section.more)), int(room * 0.4), largest=16, least=_LEAST)
        yield Words(width - _EDGE, y + _HEADING - 11, text, size, "end")
    yield Line(((_EDGE, y + _HEADING), (width - _EDGE, y + _HEADING)), 2.0, INK)


def _row(row: Row, y: float, columns: Sequence[tuple[float, float]]) -> Iterator[Shape]:
    base = y + _ROW - 9
    if row.state:
        yield from mark(row.state, row.share, (columns[1][0] + 2, y + 4), 21)
    words = (row.slot, "", row.unit, row.name, row.standing, row.step, row.when)
    if not row.unit:
        words = (row.slot, "", FREE, "", "", "", "")
    for at, ((x, room), text) in enumerate(zip(columns, words, strict=True)):
        size = _UNIT if at == 2 and row.unit else _PLAIN
        yield from _cell(text, x, base, room, size, INK if row.unit or at == 0 else GREY)


def _columns(width: int) -> tuple[tuple[float, float], ...]:
    """Return left edge and room of each column."""
    slot, sign, unit, standing, step, when = _WIDTHS
    name = width - 2 * _EDGE - sum(_WIDTHS)
    found, x = [], float(_EDGE)
    for wide in (slot, sign, unit, name, standing, step, when):
        found.append((x, wide - 8))
        x += wide
    return tuple(found)


def _cell(
    text: str, x: float, y: float, room: float, size: int, colour: str = INK
) -> Iterator[Words]:
    """Yield a text from x on, smaller where it must be, with an end where it is still too long."""
    if text:
        said, fitting = fit(plain(shown(text)), int(room), largest=size, least=_LEAST)
        yield Words(x, y, said, fitting, colour=colour)
