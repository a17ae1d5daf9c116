"""Set signs with what they mean below a drawing, as many on a line as fit; none is broken."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import Final

from kiosk.figure.shapes import Box, Shape, Words
from kiosk.figure.sheetnames import wide_of
from labels.artwork.letters import ABOVE, LINE, plain

PITCH: Final = LINE + 0.12  # from line to line, in sizes of its letters
BETWEEN: Final = 16.0  # what two entries are apart
_SIGN, _ROOM = 24.0, 30.0  # how wide a sign is, and where its words begin

Signs = Sequence[tuple[str, str]]
"""The name of each sign, empty for words alone, and what it means in the language in use."""


def sign_lines(signs: Signs, width: float, size: int) -> list[list[int]]:
    """Return which signs stand on which line below a drawing."""
    lines: list[list[int]] = []
    x = width + 1
    for number, (sign, words) in enumerate(signs):
        wide = _wide(sign, words, size)
        if x + wide > width:
            lines.append([])
            x = 0.0
        lines[-1].append(number)
        x += wide + BETWEEN
    return lines


def signs_height(signs: Signs, width: float, size: int) -> float:
    """Return how tall the lines of signs are."""
    return len(sign_lines(signs, width, size)) * size * PITCH


def sign_shapes(
    signs: Signs, box: Box, size: int, *, draw: Callable[[str, Box], Iterator[Shape]]
) -> Iterator[Shape]:
    """Yield the signs with their words, line by line from a box's top; draw yields one sign."""
    y = box.top
    for line in sign_lines(signs, box.right - box.left, size):
        x = box.left
        for number in line:
            sign, words = signs[number]
            if sign:
                yield from draw(sign, Box(x, y + 2, x + _SIGN, y + size * LINE - 1))
            start = x + (_ROOM if sign else 0)
            yield Words(start, y + ABOVE * size, plain(words), size)
            x += _wide(sign, words, size) + BETWEEN
        y += size * PITCH


def _wide(sign: str, words: str, size: int) -> float:
    return (_ROOM if sign else 0) + wide_of(plain(words), size)
