"""Reckon the bevel that parts a strip into two cleats: widths, fence setting, slot, blade reach.

A cleat is a trapezoid: its long face is wider than its short one by thickness x tan(tilt). Where
two lie side by side in one strip, one bevel cut serves both. Lengths are whole units of 1/1600 mm,
tilts degrees from square, more than 0 and up to `MOST_TILT`. All is rounded so that neither cleat
comes out narrower than wanted, and neither is a whole unit wider. Source: plane geometry.
"""

from __future__ import annotations

from math import ceil, cos, floor, radians, tan
from typing import Final

from kiosk.rules.lengths import Length

MOST_TILT: Final = 60.0  # choice: saws tilt to 45 or a little more; beyond, it is a slip
_NOISE: Final = 1e-6  # of a unit: what the last places of tan and cos may be wrong by, and far less


def rise(thickness: Length, tilt: float) -> Length:
    """Return by how much the long face is wider than the short one, rounded down."""
    return Length(_down(thickness * tan(radians(tilt))))


def short_face(long_face: Length, *, thickness: Length, tilt: float) -> Length:
    """Return the narrow face of a cleat, rounded up; nothing or less where there is none.

    It is the fence's setting for the bevel cut where the blade leans away from the fence: at the
    height of the table the blade then stands at the short face.
    """
    return Length(long_face - rise(thickness, tilt))


def slot(kerf: Length, tilt: float) -> Length:
    """Return how wide the slot of a tilted blade is on a face of the sheet, rounded up."""
    return Length(_up(kerf / cos(radians(tilt))))


def reach(thickness: Length, tilt: float) -> Length:
    """Return how far a tilted blade must reach to go through a sheet, rounded up."""
    return Length(_up(thickness / cos(radians(tilt))))


def strip_width(
    first: Length, second: Length, *, thickness: Length, tilt: float, kerf: Length
) -> Length:
    """Return how wide a strip is that one bevel cut parts into cleats of these long faces."""
    return Length(first + second - rise(thickness, tilt) + slot(kerf, tilt))


def long_face(width: Length, *, thickness: Length, tilt: float, kerf: Length) -> Length:
    """Return the long face of the two equal cleats a strip of so much gives, rounded down."""
    return Length((width + rise(thickness, tilt) - slot(kerf, tilt)) // 2)


def saving(*, thickness: Length, tilt: float, kerf: Length) -> Length:
    """Return by how much a strip is narrower than two square ones with a cut between them.

    Less than nothing where the sheet is so thin that the tilted blade takes more than is shared.
    """
    return Length(rise(thickness, tilt) + kerf - slot(kerf, tilt))


def _up(value: float) -> int:
    return ceil(value - _NOISE)


def _down(value: float) -> int:
    return floor(value + _NOISE)
