"""Draw load cards: what a unit may carry in large figures, one a page or four to a page.

Units are 1/100 inch.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from kiosk.figure.loadfacts import LoadCard, Setting, card_items, foot_words, say_load
from kiosk.figure.paper import SIZES, write_pages
from kiosk.figure.paperflow import Item, flow, height_of, lines_of, one_line, shapes_of
from kiosk.figure.shapes import GREY, INK, PAPER, RULE, Area, Box, Figure, Line, Shape, Words
from kiosk.figure.sheetnames import WIDER, wide_of
from kiosk.language import shown
from kiosk.rules.words import _, join, say
from labels.artwork.letters import ABOVE, LINE, plain
from labels.codes import shown as grouped
from labels.symbols import QR_QUIET, qr_matrix

_EDGE, _FOOT = 50.0, 22.0
_LARGE: Final = 1.16  # of the large letters' size: so much room they have, tails too
_INSET: Final = 22.0  # about each of four cards, off the line where they are cut apart


@dataclass(frozen=True, slots=True)
class Format:
    """Sizes of a card's letters; module is one of the QR code's, whole dots.

    settings are those of what stands below the large figure, the best first.
    """

    name: int
    line: int
    load: int
    words: int
    settings: tuple[Setting, ...]
    module: float


WHOLE: Final = Format(34, 16, 104, 17, tuple(map(Setting, (15, 14, 13, 12, 11, 10))), 4.0)
QUARTER: Final = Format(
    20, 10, 46, 11,
    (
        *(Setting(size, is_short=True) for size in (11, 10, 9)),
        *(Setting(size, is_short=True, is_dense=True) for size in (11, 10, 9)),
        Setting(9, is_short=True, is_dense=True, is_densest=True),
    ),
    2.5,
)  # fmt: skip


def draw_load_cards(
    cards: Sequence[LoadCard], path: Path, *, paper: str, four: bool
) -> tuple[Path, ...]:
    """Write load cards to a PDF, or to PNG pictures, one a page; return the files.

    Args:
        cards: at least one.
        path: the file, `.pdf` or `.png`; its folder must exist.
        paper: a4 or letter.
        four: four to a page; a card that needs more room has a page of its own behind them.

    Raises:
        OSError: the disk refused.
        KeyError: paper is neither a4 nor letter.
    """
    figures = lay_out_cards(cards, size=SIZES[paper], four=four)
    return write_pages(figures, path, title="Load cards", made=cards[0].at)


def lay_out_cards(cards: Sequence[LoadCard], *, size: tuple[int, int], four: bool) -> list[Figure]:
    """Return the pages; no card loses a word, one that is too long for a quarter gets a page."""
    pages: list[Figure] = []
    whole = list(cards)
    if four:
        small = [(card, _small(card, size)) for card in cards]
        whole = [card for card, how in small if how is None]
        kept = [(card, how) for card, how in small if how is not None]
        for at in range(0, len(kept), 4):
            pages.append(_four(kept[at : at + 4], size))
    for card in whole:
        pages += _whole(card, size)
    return pages


# -- four to a page ------------------------------------------------------------------------------


def _quarter(number: int, size: tuple[int, int]) -> Box:
    """Return the room of one of four cards, off the edge of the paper and the cut."""
    wide, tall = size[0] / 2, size[1] / 2
    left, top = number % 2 * wide, number // 2 * tall
    outer = 34.0  # what printers leave white at the paper's edge
    lefts = outer if number % 2 == 0 else _INSET
    tops = outer if number < 2 else _INSET
    rights = _INSET if number % 2 == 0 else outer
    bottoms = _INSET if number < 2 else outer
    return Box(left + lefts, top + tops, left + wide - rights, top + tall - bottoms)


def _small(card: LoadCard, size: tuple[int, int]) -> Setting | None:
    """Return the best setting in which a card fits a quarter of the page, None for none."""
    return _fitting(card, _quarter(0, size), QUARTER)


def _fitting(card: LoadCard, room: Box, form: Format) -> Setting | None:
    width = room.right - room.left
    free = room.bottom - room.top - _head_height(card, form, width) - 1.6 * form.line
    for how in form.settings:
        if sum(height_of(one, width) for one in card_items(card, how)) <= free:
            return how
    return None


def _four(cards: Sequence[tuple[LoadCard, Setting]], size: tuple[int, int]) -> Figure:
    shapes: list[Shape] = [
        Line(((size[0] / 2, 0), (size[0] / 2, size[1])), 1.0, RULE, (8.0, 8.0)),
        Line(((0, size[1] / 2), (size[0], size[1] / 2)), 1.0, RULE, (8.0, 8.0)),
    ]
    for number, (card, how) in enumerate(cards):
        room = _quarter(number, size)
        shapes += _head(card, QUARTER, room)
        y = room.top + _head_height(card, QUARTER, room.right - room.left)
        for item in card_items(card, how):
            shapes += shapes_of(item, room.left, y, room.right - room.left)
            y += height_of(item, room.right - room.left)
        shapes += one_line(foot_words(card), room.right, room.bottom - 2, anchor="end",
                           room=room.right - room.left, size=9, least=7,
                           colour=GREY)  # fmt: skip
    return Figure(*size, tuple(shapes))


# -- one a page ----------------------------------------------------------------------------------


def _whole(card: LoadCard, size: tuple[int, int]) -> Iterator[Figure]:
    """Yield the page of a card; what does not fit at the least size goes on overleaf."""
    room = Box(_EDGE, _EDGE, size[0] - _EDGE, size[1] - _EDGE - _FOOT)
    width = room.right - room.left
    how = _fitting(card, room, WHOLE) or WHOLE.settings[-1]
    items: list[Item] = card_items(card, how)
    first = Box(room.left, room.top + _head_height(card, WHOLE, width), room.right, room.bottom)
    later = Box(room.left, room.top + 34, room.right, room.bottom)
    bodies = flow(items, first, later)
    for number, body in enumerate(bodies, 1):
        head = _head(card, WHOLE, room) if number == 1 else _later(card, room)
        page = say("page {number} of {all}", number=number, all=len(bodies))
        words = join((foot_words(card), page if len(bodies) > 1 else ""), ", ")
        foot = one_line(words, size[0] / 2, size[1] - _EDGE + 8, room=width, size=12, least=9,
                        anchor="middle", colour=GREY)  # fmt: skip
        yield Figure(*size, (*head, *body, *foot))


def _later(card: LoadCard, room: Box) -> Iterator[Shape]:
    words = join((join((card.unit, card.name), " "), _("(continued)")))
    yield from one_line(words, room.left, room.top + 20, room=room.right - room.left, size=18,
                        least=9)  # fmt: skip


# -- the head ------------------------------------------------------------------------------------


def _qr_side(card: LoadCard, form: Format) -> float:
    return (21 + 2 * QR_QUIET) * form.module if card.code else 0.0


def _name_lines(card: LoadCard, form: Format, width: float) -> tuple[list[str], int]:
    """Return the unit's name in three lines at most, smaller where it must be."""
    room = width - _qr_side(card, form) - 8
    for size in range(form.name, form.line, -1):
        lines = lines_of(card.name or card.unit, room, size)
        if len(lines) <= 3:
            return lines, size
    return lines_of(card.name or card.unit, room, form.line), form.line


def _top_height(card: LoadCard, form: Format, width: float) -> float:
    lines, size = _name_lines(card, form, width)
    below = [line for text in _below(card) for line in _below_lines(text, card, form, width)]
    tall = len(lines) * size * LINE + len(below) * form.line * LINE + 4
    code = _qr_side(card, form) + (form.line * LINE if card.code else 0)
    return max(tall, code) + 4


def _below(card: LoadCard) -> tuple[str, ...]:
    wall = card.hanging.wall if card.hanging else ""
    name = card.unit if card.name and card.name != card.unit else ""
    where = say("wall {wall}", wall=wall) if wall else ""
    job = join((card.job, card.job_name), " ")
    return tuple(one for one in (join((name, where), ", "), job) if one)


def _below_lines(text: str, card: LoadCard, form: Format, width: float) -> list[str]:
    return lines_of(text, width - _qr_side(card, form) - 8, form.line)


def _band_height(card: LoadCard, form: Format, width: float) -> float:
    return form.load * _LARGE + len(_band_lines(card, form, width)) * form.words * LINE + 10


def _band_lines(card: LoadCard, form: Format, width: float) -> list[str]:
    return lines_of(say_load(card)[1], width - 16, form.words)


def _head_height(card: LoadCard, form: Format, width: float) -> float:
    return _top_height(card, form, width) + _band_height(card, form, width) + 8


def _head(card: LoadCard, form: Format, room: Box) -> Iterator[Shape]:
    """Yield the name, the QR code, and the load in large figures in a frame."""
    width = room.right - room.left
    yield from _names(card, form, room)
    if card.code:
        yield from _qr(card.code, room.right - _qr_side(card, form), room.top, form)
    top = room.top + _top_height(card, form, width)
    bottom = top + _band_height(card, form, width)
    is_rated = card.is_rated
    yield Box(room.left, top, room.right, bottom, PAPER if is_rated else INK, INK)
    if is_rated:
        inner = Box(room.left + 3, top + 3, room.right - 3, bottom - 3, edge=INK)
        yield inner
    colour = INK if is_rated else PAPER
    large, _words = say_load(card)
    text, size = plain(shown(large)), form.load
    while size > form.words and wide_of(text, size) > width - 20:
        size -= 1
    middle, y = (room.left + room.right) / 2, top + 4 + form.load * 0.5 + size * 0.34
    yield Words(middle, y, text, size, "middle", colour)
    y = top + form.load * _LARGE
    for line in _band_lines(card, form, width):
        yield Words(middle, y + ABOVE * form.words, line, form.words, "middle", colour)
        y += form.words * LINE


def _names(card: LoadCard, form: Format, room: Box) -> Iterator[Shape]:
    width = room.right - room.left
    lines, size = _name_lines(card, form, width)
    y = room.top
    for line in lines:
        yield Words(room.left, y + ABOVE * size, line, size)
        y += size * LINE
    y += 4
    for text in _below(card):
        for line in _below_lines(text, card, form, width):
            yield Words(room.left, y + ABOVE * form.line, line, form.line, colour=GREY)
            y += form.line * LINE


def _qr(code: str, left: float, top: float, form: Format) -> Iterator[Shape]:
    """Yield the unit's QR code with its quiet zone, and the code in letters below it."""
    side = form.module
    off = QR_QUIET * side
    for row, modules in enumerate(qr_matrix(code)):
        start: int | None = None
        for column, dark in enumerate((*modules, False)):
            if dark and start is None:
                start = column
            elif not dark and start is not None:
                x, y = left + off + start * side, top + off + row * side
                yield _block(x, y, (column - start) * side, side)
                start = None
    middle = left + (21 + 2 * QR_QUIET) * side / 2
    y = top + (21 + 2 * QR_QUIET) * side + ABOVE * form.line - 0.5 * off
    text, size = grouped(code), form.line
    while size > 7 and wide_of(text, size) > (21 + 2 * QR_QUIET) * side * WIDER:
        size -= 1
    yield Words(middle, y, text, size, "middle")


def _block(x: float, y: float, wide: float, tall: float) -> Area:
    """Return a dark block of whole dots: a filled shape takes in its last row and column."""
    less = 0.25  # a dot of the picture before it is shrunk
    right, bottom = x + wide - less, y + tall - less
    return Area(((x, y), (right, y), (right, bottom), (x, bottom)), INK)
