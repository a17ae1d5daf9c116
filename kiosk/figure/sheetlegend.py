"""Draw what stands beside and below a sheet: the letters' meaning, the grain, and the signs."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from kiosk.figure.shapes import BAND, GREY, HATCH, INK, PAPER, Box, Line, Shape, Words, hatch
from kiosk.figure.sheetcuts import ring
from kiosk.figure.sheetnames import WIDER, wide_of
from kiosk.figure.signs import BETWEEN, PITCH
from kiosk.language import shown
from kiosk.rules.words import say
from labels.artwork.letters import ABOVE, wrap

# -- the letters ---------------------------------------------------------------------------------


def legend(
    entries: Sequence[tuple[str, str]], box: Box, *, most: int, least: int
) -> tuple[tuple[Words, ...], int]:
    """Return the legend set in a box, and how many of its lines found no room there.

    Args:
        entries: each letter and what it means, in the language in use.
        box: the room.
        most: largest size of its letters.
        least: smallest size.
    """
    if not entries:
        return (), 0
    for size in range(most, least - 1, -1):
        found = _columns(entries, box, size)
        if found:
            return found, 0
    return _wrapped(entries, box, least)


def _columns(entries: Sequence[tuple[str, str]], box: Box, size: int) -> tuple[Words, ...]:
    """Return the entries in as many columns as they need, nothing where they do not fit."""
    rows = int((box.bottom - box.top) / (size * PITCH))
    indent = max(wide_of(key, size) for key, _text in entries) + size * 0.6
    wide = indent + max(wide_of(text, size) for _key, text in entries) + BETWEEN
    if rows < 1 or -(-len(entries) // rows) * wide - BETWEEN > box.right - box.left:
        return ()
    columns = max(1, int((box.right - box.left + BETWEEN) / wide))
    rows = -(-len(entries) // columns)
    found = []
    for number, (key, text) in enumerate(entries):
        x = box.left + number // rows * wide
        y = box.top + number % rows * size * PITCH + ABOVE * size
        found += [Words(x, y, key, size), Words(x + indent, y, text, size)]
    return tuple(found)


def _wrapped(
    entries: Sequence[tuple[str, str]], box: Box, size: int
) -> tuple[tuple[Words, ...], int]:
    """Return the entries below one another in lines that are broken, and how many are left."""
    indent = max(wide_of(key, size) for key, _text in entries) + size * 0.6
    room = int((box.right - box.left - indent) / WIDER)
    found: list[Words] = []
    y = box.top
    for number, (key, text) in enumerate(entries):
        lines = wrap(text, room, size)
        # a line is kept free to say how many are missing, as long as any may be
        behind = size * PITCH if number < len(entries) - 1 else 0
        tall = y + len(lines) * size * PITCH + behind > box.bottom
        if tall or any(wide_of(line, size) > room * WIDER for line in lines):
            left = len(entries) - number
            words = shown(say("and {n} more: see the list", n=left))
            if y + size * PITCH <= box.bottom and wide_of(words, size) <= room:
                found.append(Words(box.left, y + ABOVE * size, words, size, colour=GREY))
            return tuple(found), left
        found.append(Words(box.left, y + ABOVE * size, key, size))
        for line in lines:
            found.append(Words(box.left + indent, y + ABOVE * size, line, size))
            y += size * PITCH
    return tuple(found), 0


# -- the signs -----------------------------------------------------------------------------------


def sheet_sign(sign: str, box: Box, *, is_turned: bool) -> Iterator[Shape]:
    """Yield a sign of a sheet's picture within a box; is_turned draws the grain upright."""
    if sign == "grain":
        yield from grain_arrow(box, is_turned=is_turned)
        return
    if sign == "next":
        middle = (box.top + box.bottom) / 2
        yield Line(((box.left, middle), (box.right, middle)), 5.0, INK)
        yield ring((box.left + box.right) / 2, middle, (box.bottom - box.top) / 2)
        return
    if sign == "bevel":
        middle = (box.top + box.bottom) / 2
        yield Line(((box.left, middle - 2), (box.right, middle - 2)), 1.4, INK)
        yield Line(((box.left, middle + 3), (box.right, middle + 3)), 1.0, GREY, (5.0, 4.0))
        return
    fill = BAND if sign == "cut" else PAPER
    edge = Box(box.left, box.top, box.right, box.bottom, fill, INK if sign == "cut" else HATCH)
    yield edge
    if sign == "cut":
        yield tick(box)
    else:
        yield from hatch(edge, lean=1, gap=5 if sign == "offcut" else 9)


def tick(box: Box) -> Line:
    """Return a tick in the middle of a box, as tall as it allows."""
    side = min(box.right - box.left, box.bottom - box.top) * 0.8
    left = (box.left + box.right - side) / 2
    top = (box.top + box.bottom - side) / 2
    dots = ((0.1, 0.52), (0.38, 0.82), (0.9, 0.18))
    return Line(tuple((left + x * side, top + y * side) for x, y in dots), 2.4, INK)


def grain_arrow(box: Box, *, is_turned: bool) -> Iterator[Shape]:
    """Yield an arrow with a head at both ends, the way the grain runs, within a box."""
    x, y = (box.left + box.right) / 2, (box.top + box.bottom) / 2
    head = 4.0
    if is_turned:
        yield Line(((x, box.top), (x, box.bottom)), 1.2, INK)
        for end, way in ((box.top, 1), (box.bottom, -1)):
            dots = (
                (x - head * 0.7, end + way * head),
                (x, end),
                (x + head * 0.7, end + way * head),
            )
            yield Line(dots, 1.2, INK)
        return
    yield Line(((box.left, y), (box.right, y)), 1.2, INK)
    for end, way in ((box.left, 1), (box.right, -1)):
        dots = ((end + way * head, y - head * 0.7), (end, y), (end + way * head, y + head * 0.7))
        yield Line(dots, 1.2, INK)
