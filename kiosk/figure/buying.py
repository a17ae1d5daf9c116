"""Lay out what to buy on paper: a line for each thing with a box to tick, notes below."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime

from kiosk.figure.paper import SIZES, cell
from kiosk.figure.shapes import GREY, INK, RULE, Box, Figure, Line, Shape, Words
from kiosk.language import shown
from kiosk.rules.buying.basis import say_amount
from kiosk.rules.buying.model import BuyingList, BuyLine
from kiosk.rules.words import _, join, say
from labels.artwork.letters import plain, wrap

# Units are 1/100 inch. Letters: things and amounts are read at arm's length, the rest from near
# (choices).
_EDGE, _FOOT = 55, 40
_TITLE, _PLAIN, _SMALL, _LEAST = 26, 15, 13, 9
_BOX, _PAD, _LINE = 30.0, 8.0, 17.0
_FIRST, _LATER, _HEADING = 84.0, 34.0, 26.0
_WHAT, _AMOUNT, _GAP = 0.44, 0.12, 12.0  # shares of the page's width


@dataclass(frozen=True, slots=True)
class _Row:
    """Lines of a thing's name and of how it was reckoned, with the amount between them."""

    what: tuple[str, ...]
    amount: str
    basis: tuple[str, ...]

    @property
    def height(self) -> float:
        return 2 * _PAD + max(len(self.what), len(self.basis)) * _LINE


@dataclass(frozen=True, slots=True)
class _Note:
    """One line below the table; a heading is larger."""

    text: str
    is_heading: bool = False

    @property
    def height(self) -> float:
        return _LINE * 1.8 if self.is_heading else _LINE


@dataclass(frozen=True, slots=True)
class Head:
    """What stands at the top: the shop, and when the list was made, in the shop's zone."""

    shop: str
    at: datetime


def draw_buying(buying: BuyingList, head: Head, *, paper: str) -> list[Figure]:
    """Return the pages of a list of what to buy; every line of it stands on one of them.

    paper is a4 or letter.
    """
    width, height = SIZES[paper]
    items: list[_Row | _Note] = [*_rows(buying.lines, width), *_notes(buying, width)]
    pages = _paginate(items, height)
    return [
        Figure(width, height, tuple(_page(buying, head, page, (number, len(pages)), paper=paper)))
        for number, page in enumerate(pages, start=1)
    ]


def _rows(lines: Sequence[BuyLine], width: int) -> Iterator[_Row]:
    room = width - 2 * _EDGE
    for line in lines:
        yield _Row(
            tuple(_broken(line.what, room * _WHAT - _BOX - _GAP, _PLAIN)),
            say_amount(line),
            tuple(_broken(line.basis, room * (1 - _WHAT - _AMOUNT), _SMALL)),
        )


def _notes(buying: BuyingList, width: int) -> Iterator[_Note]:
    groups: tuple[tuple[str, Iterable[str]], ...] = (
        (_("Not reckoned"), [join((one.message, one.remedy)) for one in buying.problems]),
        (_("Take care"), buying.cautions),
        (_("How it was reckoned"), buying.assumptions),
    )
    for heading, sentences in groups:
        texts = list(sentences)
        if texts:
            yield _Note(heading, is_heading=True)
        for text in texts:
            for line in _broken(text, width - 2 * _EDGE, _SMALL):
                yield _Note(line)


def _broken(text: str, room: float, size: int) -> list[str]:
    return list(wrap(plain(shown(text)), int(room), size)) or [""]


def _paginate(items: Sequence[_Row | _Note], height: int) -> list[list[_Row | _Note]]:
    """Return items page by page; a heading is not left alone at a page's foot."""
    room = height - 2 * _EDGE - _FOOT - _HEADING
    pages: list[list[_Row | _Note]] = [[]]
    left = room - _FIRST
    for item in items:
        below = _LINE if isinstance(item, _Note) and item.is_heading else 0
        if item.height + below > left and pages[-1]:
            pages.append([])
            left = room - _LATER
        pages[-1].append(item)
        left -= item.height
    return pages


def _page(
    buying: BuyingList,
    head: Head,
    items: Sequence[_Row | _Note],
    number: tuple[int, int],
    *,
    paper: str,
) -> Iterator[Shape]:
    width, height = SIZES[paper]
    first = number[0] == 1
    yield from _head(buying, head, width, first=first)
    y = _EDGE + (_FIRST if first else _LATER)
    if items and isinstance(items[0], _Row):
        yield from _headings(y, width)
    elif first and not buying.lines:
        yield Words(_EDGE, y + 18, shown(_("Nothing is to be bought.")), _PLAIN)
    y += _HEADING
    for item in items:
        yield from _row(item, y, width) if isinstance(item, _Row) else _note(item, y)
        y += item.height
    words = say("page {number} of {all}", number=number[0], all=number[1])
    yield Words(width / 2, height - _EDGE + 10, shown(words), _SMALL, "middle", GREY)


def _head(buying: BuyingList, head: Head, width: int, *, first: bool) -> Iterator[Shape]:
    room = width - 2 * _EDGE
    title = say("What to buy for {jobs}", jobs=join(buying.jobs, ", "))
    made = say("made {day} {time}", day=f"{head.at:%Y-%m-%d}", time=f"{head.at:%H:%M}")
    if not first:
        words = join((title, made), ", ")
        yield from cell(words, _EDGE, _EDGE + 16, room=room, size=_SMALL, least=_LEAST, colour=GREY)
        return
    yield from cell(title, _EDGE, _EDGE + 26, room=room, size=_TITLE, least=_SMALL)
    what = _("for the whole jobs") if buying.whole else _("for what is left to do")
    allowance = say("{percent} % allowance", percent=buying.allowance)
    words = join((head.shop, what, allowance, made), ", ")
    yield from cell(words, _EDGE, _EDGE + 54, room=room, size=_PLAIN, least=_LEAST)


def _columns(width: int) -> tuple[float, float, float]:
    """Return where the name begins, where the amount ends, and where its ground begins."""
    room = width - 2 * _EDGE
    return _EDGE + _BOX, _EDGE + (_WHAT + _AMOUNT) * room - _GAP, _EDGE + (_WHAT + _AMOUNT) * room


def _headings(y: float, width: int) -> Iterator[Shape]:
    what, amount, basis = _columns(width)
    base = y + _HEADING - 9
    yield Words(what, base, shown(_("what")), _SMALL, colour=GREY)
    yield Words(amount, base, shown(_("to buy")), _SMALL, "end", GREY)
    yield Words(basis, base, shown(_("reckoned from")), _SMALL, colour=GREY)
    yield Line(((_EDGE, y + _HEADING), (width - _EDGE, y + _HEADING)), 1.6, INK)


def _row(row: _Row, y: float, width: int) -> Iterator[Shape]:
    what, amount, basis = _columns(width)
    base = y + _PAD + _PLAIN * 0.85
    yield Box(_EDGE, y + _PAD - 1, _EDGE + 17, y + _PAD + 16, edge=INK)
    for at, text in enumerate(row.what):
        yield Words(what, base + at * _LINE, text, _PLAIN)
    room = int((width - 2 * _EDGE) * _AMOUNT - _GAP)
    yield from cell(row.amount, amount, base, room=room, size=_PLAIN, least=_LEAST, anchor="end")
    for at, text in enumerate(row.basis):
        yield Words(basis, base + at * _LINE, text, _SMALL, colour=GREY)
    bottom = y + row.height
    yield Line(((_EDGE, bottom), (width - _EDGE, bottom)), 0.8, RULE)


def _note(note: _Note, y: float) -> Iterator[Shape]:
    size = _PLAIN if note.is_heading else _SMALL
    yield Words(_EDGE, y + note.height - 4, shown(note.text), size)
