"""Find places for words on a wall: never on one another, and what finds none goes to the legend."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Final

from kiosk.figure.shapes import Box, Dot, Edges, Words, overlap
from kiosk.figure.sheetnames import key_of, wide_of
from kiosk.language import shown
from labels.artwork.letters import ABOVE, BELOW, LINE, plain, wrap

PAD: Final = 3.0
_STEPS: Final = 9  # places tried across and down a box (choice)
_APART: Final = 6.0  # between words in one lane


@dataclass(slots=True)
class Ground:
    """What is taken in a picture, and the legend's lines so far."""

    inside: Edges
    taken: list[Edges] = field(default_factory=list)
    entries: list[tuple[str, str]] = field(default_factory=list)
    keys: int = 0

    def key(self) -> str:
        """Return the next letter of the legend."""
        self.keys += 1
        return key_of(self.keys - 1)

    def is_free(self, edges: Edges) -> bool:
        """Tell whether words there touch nothing and stay in the picture."""
        left, top, right, bottom = self.inside
        if edges[0] < left or edges[1] < top or edges[2] > right or edges[3] > bottom:
            return False
        return not any(overlap(edges, other) for other in self.taken)

    def near(self, text: str, dots: Sequence[tuple[Dot, str]], size: int) -> Words | None:
        """Return words at the first of some dots with their anchors that is free, and take it."""
        for (x, y), anchor in dots:
            edges = ink_edges(x, y, wide_of(text, size), size, anchor)
            if self.is_free(edges):
                self.taken.append(edges)
                return Words(x, y, text, size, anchor)
        return None


def ink_edges(x: float, y: float, wide: float, size: int, anchor: str) -> Edges:
    """Return what letters and digits cover, their accents and tails too."""
    left = x - wide * {"start": 0.0, "middle": 0.5, "end": 1.0}[anchor]
    return left, y - ABOVE * size, left + wide, y + BELOW * size


def around(x: float, y: float, size: int, off: float) -> list[tuple[Dot, str]]:
    """Return places for a short text about a mark: beside it, then above and below."""
    middle, high, low = y + 0.33 * size, y - off, y + off + 0.8 * size
    return [
        ((x + off, middle), "start"), ((x - off, middle), "end"),
        ((x + off, high), "start"), ((x + off, low), "start"),
        ((x - off, high), "end"), ((x - off, low), "end"),
        ((x, high - 2), "middle"), ((x, low + 2), "middle"),
    ]  # fmt: skip


def block(
    ground: Ground, lines: Sequence[str], box: Box, size: int, but: Sequence[Edges]
) -> tuple[tuple[Words, ...], Edges] | None:
    """Return lines set one below the other in a box where nothing is, nearest to its middle.

    but are further edges that are not to be touched. None where there is no such place.
    """
    wide = max(wide_of(line, size) for line in lines) + 2 * PAD
    tall = len(lines) * size * LINE
    right, bottom = box.right - box.left - wide, box.bottom - box.top - tall
    if right < 0 or bottom < 0:
        return None
    near = [one for one in (*ground.taken, *but) if overlap(one, _edges(box))]
    for x, y in _offsets(right, bottom):
        edges = (box.left + x, box.top + y, box.left + x + wide, box.top + y + tall)
        if not any(overlap(edges, other) for other in near):
            middle = (edges[0] + edges[2]) / 2
            base = edges[1] + ABOVE * size
            words = tuple(
                Words(middle, base + number * size * LINE, line, size, "middle")
                for number, line in enumerate(lines)
            )
            return words, edges
    return None


def _edges(box: Box) -> Edges:
    return box.left, box.top, box.right, box.bottom


def _offsets(right: float, bottom: float) -> list[Dot]:
    """Return where in what is left of a box a block may begin, nearest to the middle first."""
    steps = [number / (_STEPS - 1) for number in range(_STEPS)]
    found = [(right * x, bottom * y) for x in steps for y in steps]
    return sorted(
        dict.fromkeys(found), key=lambda at: abs(at[0] - right / 2) + abs(at[1] - bottom / 2)
    )


# -- words along an edge -------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Along:
    """A text that belongs to a place along the wall, and what the legend says of it otherwise."""

    x: float
    text: str
    meaning: str


def lanes(
    ground: Ground,
    items: Sequence[Along],
    edges: tuple[float, float, float],
    *,
    most: int,
    least: int,
    rows: int,
    upward: bool,
) -> tuple[list[Words], float]:
    """Return words along an edge in as few lanes as take them all, and how tall these are.

    What does not fit in so many rows at the least size becomes letters with lines in the legend.

    Args:
        ground: gets the legend's lines.
        items: what to write.
        edges: left and right end of the lanes, and where the first begins.
        most: the largest size.
        least: the smallest.
        rows: how many lanes there may be.
        upward: whether lanes go up from the edge.
    """
    for size in range(most, least - 1, -1):
        found = _in_lanes(items, edges, size, rows, upward=upward)
        if found:
            return found
    keyed = [Along(one.x, ground.key(), one.meaning) for one in items]
    ground.entries += [(one.text, one.meaning) for one in keyed]
    found = _in_lanes(keyed, edges, least, rows, upward=upward)
    return found or ([], 0.0)


def _in_lanes(
    items: Sequence[Along],
    edges: tuple[float, float, float],
    size: int,
    rows: int,
    *,
    upward: bool,
) -> tuple[list[Words], float] | None:
    left, right, start = edges
    reached = [left] * rows
    found: list[Words] = []
    used = 0
    for one in sorted(items, key=lambda item: item.x):
        text = plain(shown(one.text))
        half = wide_of(text, size) / 2
        middle = min(max(one.x, left + half), right - half)
        free = [row for row in range(rows) if middle - half >= reached[row]]
        if not free or half * 2 > right - left:
            return None
        row = free[0]
        reached[row] = middle + half + _APART
        used = max(used, row + 1)
        down = (row + 1) * size * LINE
        y = start - down + ABOVE * size if upward else start + down - BELOW * size
        found.append(Words(middle, y, text, size, "middle"))
    return found, used * size * LINE


def forms(
    unit: str, name: str, state: str, *, wide: float, size: int
) -> Iterator[tuple[tuple[str, ...], bool]]:
    """Yield ways to write a unit's words, each with whether all of it is said."""
    unit, name, state = plain(unit), plain(shown(name)), plain(shown(state))
    name = "" if name == unit else name
    both = f"{unit} {name}".strip()

    def lines(*texts: str) -> tuple[str, ...]:
        return tuple(text for text in texts if text)

    yield lines(unit, name, state), True
    yield lines(both, state), True
    broken = [wrap(text, int(wide / 1.05), size) for text in (both, state) if text]
    yield tuple(line for text in broken for line in text), True
    yield lines(f"{both}, {state}" if state else both), True
    yield lines(unit, state), not name
    yield (unit, *wrap(state, int(wide / 1.05), size)), not name
    yield lines(f"{unit} {state}"), not name
    yield lines(unit), not name and not state
