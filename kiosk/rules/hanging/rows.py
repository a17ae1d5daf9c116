"""Rows of cleats up a wall, and room to lift units on."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import Final

from kiosk.rules.lengths import Length, from_mm

LIFT: Final = from_mm(5)  # free above the hook's depth to lift a unit on (common practice)


def cleat_rows(top: Length, bottom: Length, *, pitch: Length) -> tuple[Length, ...]:
    """Return the heights of the cleats' lower edges from top down to bottom, a pitch apart.

    The uppermost is the datum. A pitch of 200 to 400 mm is common practice, no source.

    Raises:
        ValueError: the pitch is not above 0.
    """
    if pitch <= 0:
        raise ValueError("rows lie some pitch apart")
    return tuple(Length(at) for at in range(top, bottom - 1, -pitch))


def lift(thickness: Length) -> Length:
    """Return how far a unit must be lifted to hook on: a 45° bevel is as deep as it is thick."""
    return Length(thickness + LIFT)


def room(thickness: Length) -> Length:
    """Return what stays free above a cleat: its own thickness and the lift of a unit."""
    return Length(thickness + lift(thickness))


def clear_above(rows: Sequence[Length], *, height: Length, thickness: Length) -> bool:
    """Say whether each cleat but the highest has `room` above it.

    rows are the heights of lower edges, height that of each cleat.
    """
    ordered = sorted(rows)
    return all(b - (a + height) >= room(thickness) for a, b in pairwise(ordered))
