"""Which studs a cleat reaches, how exactly a screw must meet one, and where its screws go."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from kiosk.rules.hanging.panels import STUD_EDGE
from kiosk.rules.lengths import Length

FINDER: Final = 3.0  # mm, a stud finder's error (common practice, no source)


def window(stud_width: float, *, shank: float, error: float = FINDER) -> float:
    """Return how far a screw may be from a stud's middle either way, mm; 0 where it is too thick.

    2.5 diameters to the stud's edge (NDS commentary, from memory), less the stud finder's error.
    Drill a test hole.
    """
    return max(stud_width / 2 - STUD_EDGE * shank - error, 0.0)


def reached(
    left: Length, length: Length, *, studs: Sequence[Length], end: Length
) -> tuple[Length, ...]:
    """Return the studs a cleat can be screwed to, by their middles, from left to right.

    left is where the cleat begins, on the same tape as the studs; end is how far its screws stay
    from its ends.
    """
    return tuple(stud for stud in sorted(set(studs)) if left + end <= stud <= left + length - end)


@dataclass(frozen=True, slots=True, kw_only=True)
class Point:
    """Where a screw goes: along the wall, and above the datum line; which stud it meets."""

    x: Length
    y: Length
    stud: Length


def screw_points(
    lower_edge: Length, rows: Sequence[Length], *, studs: Sequence[Length]
) -> tuple[Point, ...]:
    """Return where a cleat's screws go, row by row from below, from left to right.

    lower_edge is the cleat's above the datum line, rows are above its lower edge, studs those it
    reaches.
    """
    return tuple(
        Point(x=stud, y=Length(lower_edge + row), stud=stud)
        for row in sorted(rows)
        for stud in sorted(studs)
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Zone:
    """Where no screw goes: cables, pipes, outlets, stacks; on the same tape and datum line."""

    name: str
    left: Length
    right: Length
    low: Length
    high: Length


def clashes(
    points: Sequence[Point], zones: Sequence[Zone], *, margin: Length
) -> tuple[tuple[Point, Zone], ...]:
    """Return each screw that comes nearer than margin to a zone, with that zone.

    On the line is a clash. A zone entered the wrong way round is taken the right way round.
    """
    return tuple(
        (point, zone)
        for point in points
        for zone in zones
        if min(zone.left, zone.right) - margin <= point.x <= max(zone.left, zone.right) + margin
        and min(zone.low, zone.high) - margin <= point.y <= max(zone.low, zone.high) + margin
    )
