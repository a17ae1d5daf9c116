"""Set headings, paragraphs, tables and pictures one below the other on pages; nothing is cut off.

Units are 1/100 inch.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from kiosk.figure.paper import cell
from kiosk.figure.shapes import GREY, INK, PAPER, RULE, Box, Line, Shape, Words
from kiosk.figure.sheetmap import moved
from kiosk.figure.sheetnames import WIDER, wide_of
from kiosk.language import shown
from labels.artwork.letters import ABOVE, LINE, plain, wrap

_PITCH: Final = LINE + 0.06
_GAP, _CELL = 8.0, 2.5
_LOUD: Final = 6.0  # of black about a loud paragraph
_ABOVE: Final = 2.0  # a paragraph, and a little more below it


@dataclass(frozen=True, slots=True)
class Heading:
    """A heading with a rule below it; it never stands alone at the foot of a page."""

    text: str
    size: int = 19


@dataclass(frozen=True, slots=True)
class Para:
    """A paragraph; mark stands before its first line. is_loud sets it white on black."""

    text: str
    size: int = 14
    mark: str = ""
    is_loud: bool = False
    colour: str = INK


@dataclass(frozen=True, slots=True)
class Titles:
    """The heads of a table's columns, and how much of the width each takes."""

    names: tuple[str, ...]
    shares: tuple[float, ...]
    size: int = 12


@dataclass(frozen=True, slots=True)
class Row:
    """A line of a table; its texts are broken where they are too long."""

    titles: Titles
    cells: tuple[str, ...]
    size: int = 13


@dataclass(frozen=True, slots=True)
class Picture:
    """Shapes of a picture whose corner is at 0, 0."""

    shapes: tuple[Shape, ...]
    height: float


Item = Heading | Para | Titles | Row | Picture


def table(titles: Titles, rows: Sequence[Sequence[str]], *, size: int = 13) -> list[Item]:
    """Return a table as items; without rows there is none."""
    return [titles, *(Row(titles, tuple(row), size) for row in rows)] if rows else []


def lines_of(text: str, room: float, size: int) -> list[str]:
    """Return a text in the language in use, in lines that fit also when drawn larger.

    A word wider than the room is broken between letters.
    """
    found: list[str] = []
    for line in wrap(plain(shown(text)), int(room / WIDER), size):
        rest = line
        while rest and wide_of(rest, size) > room:
            count = len(rest)
            while count > 1 and wide_of(rest[:count], size) > room:
                count -= 1
            found.append(rest[:count].strip())
            rest = rest[count:]
        if rest.strip():
            found.append(rest.strip())
    return found


def height_of(item: Item, width: float) -> float:
    """Return how tall an item is in a column of that width."""
    match item:
        case Heading():
            return len(lines_of(item.text, width, item.size)) * item.size * _PITCH + 16
        case Para():
            count = len(lines_of(item.text, _para_room(item, width), item.size))
            return count * item.size * _PITCH + _ABOVE + (2 * _LOUD + 3 if item.is_loud else 3)
        case Titles():
            return _table_height(item, item.names, item.size, width)
        case Row():
            return _table_height(item.titles, item.cells, item.size, width)
        case Picture():
            return item.height + 6


def shapes_of(item: Item, left: float, y: float, width: float) -> Iterator[Shape]:
    """Yield the shapes of an item whose upper left corner is given."""
    match item:
        case Heading():
            yield from _set(lines_of(item.text, width, item.size), left, y + 6, item.size, INK)
            foot = y + height_of(item, width) - 5
            yield Line(((left, foot), (left + width, foot)), 1.6, INK)
        case Para():
            yield from _para(item, left, y, width)
        case Titles():
            yield from _cells(item, item.names, left, y, width, size=item.size, colour=GREY)
            foot = y + height_of(item, width) - 1
            yield Line(((left, foot), (left + width, foot)), 1.4, INK)
        case Row():
            yield from _cells(item.titles, item.cells, left, y, width, size=item.size, colour=INK)
            foot = y + height_of(item, width) - 1
            yield Line(((left, foot), (left + width, foot)), 0.8, RULE)
        case Picture():
            yield from moved(item.shapes, left, y)


def flow(items: Sequence[Item], first: Box, later: Box) -> list[list[Shape]]:
    """Return the shapes of each page; heads of tables come again overleaf.

    Args:
        items: what to set.
        first: the room on the first page.
        later: the room on all others; as wide as the first.
    """
    pages: list[list[Shape]] = [[]]
    room, width = first, first.right - first.left
    y = room.top
    for at, item in enumerate(items):
        kept = height_of(item, width) + _following(items[at + 1 : at + 3], item, width)
        if y + kept > room.bottom and y > room.top:
            pages.append([])
            room, y = later, later.top
            if isinstance(item, Row):
                pages[-1] += shapes_of(item.titles, room.left, y, width)
                y += height_of(item.titles, width)
        pages[-1] += shapes_of(item, room.left, y, width)
        y += height_of(item, width)
    return pages


def _following(after: Sequence[Item], item: Item, width: float) -> float:
    """Return how tall what must stand on the same page as an item is."""
    if not after or not isinstance(item, Heading | Titles):
        return 0.0
    more = _following(after[1:], after[0], width)
    return height_of(after[0], width) + more


def _set(lines: Sequence[str], left: float, y: float, size: int, colour: str) -> Iterator[Words]:
    for number, line in enumerate(lines):
        base = y + ABOVE * size + number * size * _PITCH
        yield Words(left, base, line, size, colour=colour)


def _indent(item: Para) -> float:
    return wide_of(item.mark, item.size) + 6 if item.mark else 0.0


def _para_room(item: Para, width: float) -> float:
    return width - _indent(item) - (2 * _LOUD if item.is_loud else 0)


def _para(item: Para, left: float, y: float, width: float) -> Iterator[Shape]:
    lines = lines_of(item.text, _para_room(item, width), item.size)
    inset, y = _LOUD if item.is_loud else 0.0, y + _ABOVE
    colour = PAPER if item.is_loud else item.colour
    if item.is_loud:
        foot = y + height_of(item, width) - 3 - _ABOVE
        yield Box(left, y, left + width, foot, INK, INK)
    if item.mark:
        yield from _set([item.mark], left + inset, y + inset, item.size, colour)
    yield from _set(lines, left + inset + _indent(item), y + inset, item.size, colour)


def _columns(titles: Titles, width: float) -> list[tuple[float, float]]:
    whole, x = sum(titles.shares), 0.0
    found = []
    for share in titles.shares:
        wide = width * share / whole
        found.append((x, wide - _GAP))
        x += wide
    return found


def _table_height(titles: Titles, texts: Sequence[str], size: int, width: float) -> float:
    pairs = zip(texts, _columns(titles, width), strict=True)
    count = max(len(lines_of(text, room, size)) for text, (_x, room) in pairs)
    return max(1, count) * size * _PITCH + 2 * _CELL


def _cells(
    titles: Titles,
    texts: Sequence[str],
    left: float,
    y: float,
    width: float,
    *,
    size: int,
    colour: str,
) -> Iterator[Shape]:
    for text, (x, room) in zip(texts, _columns(titles, width), strict=True):
        yield from _set(lines_of(text, room, size), left + x, y + _CELL, size, colour)


def one_line(  # noqa: PLR0913 - a line has so many parts
    text: str,
    x: float,
    y: float,
    *,
    room: float,
    size: int,
    least: int,
    anchor: str = "start",
    colour: str = INK,
) -> Iterator[Words]:
    """Yield a text on one line, smaller where it must be; for names, which may be cut at last."""
    yield from cell(
        text, x, y, room=room / WIDER, size=size, least=least, anchor=anchor, colour=colour
    )
