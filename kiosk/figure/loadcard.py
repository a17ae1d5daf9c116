"""Draw load cards: what a unit may carry in large figures, one a page or four to a page.

Units are 1/100 inch.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Final

from kiosk.figure.cardhead import QUARTER, WHOLE, Format, head_height, head_shapes
from kiosk.figure.carditems import Setting, card_items
from kiosk.figure.loadfacts import LoadCard, foot_words
from kiosk.figure.paper import SIZES, write_pages
from kiosk.figure.paperflow import Item, flow, height_of, one_line, shapes_of
from kiosk.figure.shapes import GREY, RULE, Box, Figure, Line, Shape
from kiosk.rules.words import _, join, say

_EDGE, _FOOT = 50.0, 22.0
_INSET: Final = 22.0  # about each of four cards, off the line where they are cut apart


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
    free = room.bottom - room.top - head_height(card, form, width) - 1.6 * form.line
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
        shapes += head_shapes(card, QUARTER, room)
        y = room.top + head_height(card, QUARTER, room.right - room.left)
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
    first = Box(room.left, room.top + head_height(card, WHOLE, width), room.right, room.bottom)
    later = Box(room.left, room.top + 34, room.right, room.bottom)
    bodies = flow(items, first, later)
    for number, body in enumerate(bodies, 1):
        head = head_shapes(card, WHOLE, room) if number == 1 else _later(card, room)
        page = say("page {number} of {all}", number=number, all=len(bodies))
        words = join((foot_words(card), page if len(bodies) > 1 else ""), ", ")
        foot = one_line(words, size[0] / 2, size[1] - _EDGE + 8, room=width, size=12, least=9,
                        anchor="middle", colour=GREY)  # fmt: skip
        yield Figure(*size, (*head, *body, *foot))


def _later(card: LoadCard, room: Box) -> Iterator[Shape]:
    words = join((join((card.unit, card.name), " "), _("(continued)")))
    yield from one_line(words, room.left, room.top + 20, room=room.right - room.left, size=18,
                        least=9)  # fmt: skip
