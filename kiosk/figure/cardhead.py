"""Draw the head of a load card: the unit's name, its QR code, and the load in large figures.

Units are 1/100 inch.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from kiosk.figure.carditems import Setting
from kiosk.figure.loadfacts import LoadCard, say_load
from kiosk.figure.paperflow import lines_of
from kiosk.figure.shapes import GREY, INK, PAPER, Area, Box, Shape, Words
from kiosk.figure.sheetnames import WIDER, wide_of
from kiosk.language import shown
from kiosk.rules.words import join, say
from labels.artwork.letters import ABOVE, LINE, plain
from labels.codes import shown as grouped
from labels.symbols import QR_QUIET, qr_matrix

_LARGE: Final = 1.16  # of the large letters' size: so much room they have, tails too
_SIDE: Final = 21 + 2 * QR_QUIET  # modules of a QR code of version 1 with its quiet zone


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


WHOLE: Final = Format(34, 16, 104, 17, tuple(map(Setting, (15, 14, 13, 12, 11, 10, 9))), 4.0)
QUARTER: Final = Format(
    20, 10, 46, 11,
    (
        *(Setting(size, is_short=True) for size in (11, 10, 9)),
        *(Setting(size, is_short=True, is_dense=True) for size in (11, 10, 9)),
        *(Setting(size, is_short=True, is_dense=True, is_brief=True) for size in (11, 10, 9)),
        Setting(9, is_short=True, is_dense=True, is_densest=True, is_brief=True),
    ),
    2.5,
)  # fmt: skip


def _qr_side(card: LoadCard, form: Format) -> float:
    return _SIDE * form.module if card.code else 0.0


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


def head_height(card: LoadCard, form: Format, width: float) -> float:
    """Return how tall the head of a card is in a room of that width."""
    return _top_height(card, form, width) + _band_height(card, form, width) + 8


def head_shapes(card: LoadCard, form: Format, room: Box) -> Iterator[Shape]:
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
    middle = left + _SIDE * side / 2
    y = top + _SIDE * side + ABOVE * form.line - 0.5 * off
    text, size = grouped(code), form.line
    while size > 7 and wide_of(text, size) > _SIDE * side * WIDER:
        size -= 1
    yield Words(middle, y, text, size, "middle")


def _block(x: float, y: float, wide: float, tall: float) -> Area:
    """Return a dark block of whole dots: a filled shape takes in its last row and column."""
    less = 0.25  # a dot of the picture before it is shrunk
    right, bottom = x + wide - less, y + tall - less
    return Area(((x, y), (right, y), (right, bottom), (x, bottom)), INK)
