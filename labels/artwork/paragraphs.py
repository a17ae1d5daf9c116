"""Flow paragraphs into boxes, one after another, in letters of one size."""

from __future__ import annotations

from collections.abc import Sequence

from PIL import Image

from labels.artwork.letters import ABOVE, LINE, fit, width_of, wrap, write
from labels.artwork.plan import Box


def flow(texts: Sequence[str], rooms: Sequence[Box], size: int) -> list[list[str]] | None:
    """Return the lines that go in each room; None if a word is too wide or a line too many.

    A paragraph stays together: it goes on to the next room where it does not fit whole.
    """
    filled: list[list[str]] = [[]]
    for text in texts:
        while True:
            if len(filled) > len(rooms):
                return None
            room = rooms[len(filled) - 1]
            lines = wrap(text, room.width, size)
            if any(width_of(line, size) > room.width for line in lines):
                return None
            if (len(filled[-1]) + len(lines)) * LINE * size <= room.height:
                break
            filled.append([])
        filled[-1] += lines
    return filled


def write_flowed(
    page: Image.Image, filled: Sequence[Sequence[str]], rooms: Sequence[Box], size: int
) -> None:
    """Write lines into their rooms; one too wide ends in an ellipsis, one too many is left off."""
    for room, lines in zip(rooms, filled, strict=False):
        for at, line in enumerate(lines[: int(room.height / (LINE * size))]):
            words = fit(line, room.width, largest=size, least=size)[0]
            write(page, (room.x, room.y + (at * LINE + ABOVE) * size), words, size=size)
