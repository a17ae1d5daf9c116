"""Draw what stands beside and below a sheet: the letters' meaning, the grain, and the signs."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from kiosk.figure.shapes import BAND, GREY, HATCH, INK, PAPER, Box, Line, Shape, Words, hatch
from kiosk.figure.sheetcuts import ring
from kiosk.figure.sheetnames import WIDER, wide_of
from kiosk.language import shown
from kiosk.rules.words import say
from labels.artwork.letters import ABOVE, LINE, plain, wrap

_PITCH: Final = LINE + 0.12
_BETWEEN: Final = 16.0
_SIGN: Final = 30.0


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
    rows = int((box.bottom - box.top) / (size * _PITCH))
    indent = max(wide_of(key, size) for key, _text in entries) + size * 0.6
    wide = indent + max(wide_of(text, size) for _key, text in entries) + _BETWEEN
    if rows < 1 or -(-len(entries) // rows) * wide - _BETWEEN > box.right - box.left:
        return ()
    columns = max(1, int((box.right - box.left + _BETWEEN) / wide))
    rows = -(-len(entries) // columns)
    found = []
    for number, (key, text) in enumerate(entries):
        x = box.left + number // rows * wide
        y = box.top + number % rows * size * _PITCH + ABOVE * size
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
        behind = size * _PITCH if number < len(entries) - 1 else 0
        tall = y + len(lines) * size * _PITCH + behind > box.bottom
        if tall or any(wide_of(line, size) > room * WIDER for line in lines):
            left = len(entries) - number
            words = shown(say("and {n} more: see the list", n=left))
            if y + size * _PITCH <= box.bottom and wide_of(words, size) <= room:
                found.append(Words(box.left, y + ABOVE * size, words, size, colour=GREY))
            return tuple(found), left
        found.append(Words(box.left, y + ABOVE * size, key, size))
        for line in lines:
            found.append(Words(box.left + indent, y + ABOVE * size, line, size))
            y += size * _PITCH
    return tuple(found), 0


# -- the signs -----------------------------------------------------------------------------------


def foot_lines(signs: Sequence[tuple[str, str]], width: float, size: int) -> list[list[int]]:
    """Return which signs stand on which line below a sheet."""
    lines: list[list[int]] = []
    x = width + 1
    for number, (sign, words) in enumerate(signs):
        wide = _wide(sign, words, size)
        if x + wide > width:
            lines.append([])
            x = 0.0
        lines[-1].append(number)
        x += wide + _BETWEEN
    return lines


def foot(
    signs: Sequence[tuple[str, str]], box: Box, size: int, *, is_turned: bool
) -> Iterator[Shape]:
    """Yield the signs and their words; each stands on one line, none is broken."""
    y = box.top
    for line in foot_lines(signs, box.right - box.left, size):
        x = box.left
        for number in line:
            sign, words = signs[number]
            if sign:
                at = Box(x, y + 2, x + _SIGN - 6, y + size * LINE - 1)
                yield from _sign(sign, at, is_turned=is_turned)
            start = x + (_SIGN if sign else 0)
            yield Words(start, y + ABOVE * size, plain(words), size)
            x += _wide(sign, words, size) + _BETWEEN
        y += size * _PITCH


def foot_height(signs: Sequence[tuple[str, str]], width: float, size: int) -> float:
    """Return how tall the lines below a sheet are."""
    return len(foot_lines(signs, width, size)) * size * _PITCH


def _wide(sign: str, words: str, size: int) -> float:
    return (_SIGN if sign else 0) + wide_of(plain(words), size)


def _sign(sign: str, box: Box, *, is_turned: bool) -> Iterator[Shape]:
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
