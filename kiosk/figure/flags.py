"""Find places for words so that none lies on another or is struck through by a line."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations, product
from math import inf
from typing import Final

from kiosk.figure.shapes import Edges, overlap
from labels.artwork.letters import width_of

LANES: Final = 3  # of words above a panel; there are never more flags than that
_BESIDE: Final = 5.0  # between a line and the words beside it
_APART: Final = 8.0  # between words in one lane
_SHIFTS: Final = (0.0, 0.25, -0.25, 0.5, -0.5, 0.75, -0.75, 1.0, -1.0)


@dataclass(frozen=True, slots=True)
class Flag:
    """Words that belong to a moment: a line stands at x, the words beside it or over it."""

    x: float
    text: str
    size: int
    colour: str


@dataclass(frozen=True, slots=True)
class Place:
    """Where a flag's words go: from left to right in a lane, 0 next to the panel.

    over is True where they stand over the line instead of beside it.
    """

    flag: Flag
    lane: int
    left: float
    right: float
    over: bool


def place_flags(flags: Sequence[Flag], low: float, high: float) -> tuple[Place, ...]:
    """Return a place for each flag between two edges, in as few lanes as will do."""
    choices = [list(_options(flag, low, high)) for flag in flags]
    return min(product(*choices), key=_cost)


def _options(flag: Flag, low: float, high: float) -> Iterator[Place]:
    wide = width_of(flag.text, flag.size)
    over = max(low, min(flag.x - wide / 2, high - wide))
    for lane in range(LANES):
        if flag.x + _BESIDE + wide <= high:
            yield Place(flag, lane, flag.x + _BESIDE, flag.x + _BESIDE + wide, over=False)
        if flag.x - _BESIDE - wide >= low:
            yield Place(flag, lane, flag.x - _BESIDE - wide, flag.x - _BESIDE, over=False)
        yield Place(flag, lane, over, over + wide, over=True)


def _cost(places: Sequence[Place]) -> float:
    clashes = sum(_clash(a, b) or _clash(b, a) for a, b in combinations(places, 2))
    lanes = sum(place.lane for place in places) + 3 * max(
        (place.lane for place in places), default=0
    )
    return clashes * 1000 + lanes * 10 + sum(place.over for place in places)


def _clash(one: Place, other: Place) -> bool:
    """Tell whether the words or the line of one place touch the words of another."""
    apart = one.left - _APART >= other.right or other.left - _APART >= one.right
    same = one.lane == other.lane
    line_in = other.left - 2 < one.flag.x < other.right + 2
    # a line runs from its own words down through every lane below them
    passes = other.lane < one.lane or (same and not one.over)
    return (same and not apart) or (passes and line_in)


@dataclass(frozen=True, slots=True)
class Free:
    """The room words may take: inside edges, off what is taken and off upright lines."""

    inside: Edges
    taken: Sequence[Edges]
    lines: Sequence[float]
    curve: Sequence[tuple[float, float]]

    def find(self, width: float, height: float, *, begins: float, ends: float) -> Edges | None:
        """Return a box that belongs to a stretch, off everything if possible, or None.

        It touches the stretch and shares nothing with what is taken; one that hides a line is
        taken only where there is no other.
        """
        left, top, right, bottom = self.inside
        rows = int((bottom - top) / height)
        best, least = None, inf
        for row, shift in product(range(rows), _SHIFTS):
            middle = (begins + ends) / 2 + shift * (ends - begins + width) / 2
            x = max(left, min(middle - width / 2, right - width))
            box = (x, bottom - (row + 1) * height, x + width, bottom - row * height)
            if any(overlap(box, other) for other in self.taken):
                continue
            struck = self._struck(box)
            if struck < least:
                best, least = box, struck
            if not struck:
                break
        return best

    def _struck(self, box: Edges) -> int:
        """Return how much is lost if words stand in a box: an upright line less than the curve."""
        left, top, right, bottom = box
        lines = sum(left - 2 < line < right + 2 for line in self.lines)
        curve = any(left - 3 < x < right + 3 and top - 3 < y < bottom + 3 for x, y in self.curve)
        return lines + 10 * curve
