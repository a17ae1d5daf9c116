"""Turn the inch and pound figures of published formulas into newtons, millimetres, megapascals."""

from __future__ import annotations

from typing import Final

INCH: Final = 25.4  # mm, exactly: international yard and pound agreement of 1959
POUND_FORCE: Final = 4.4482216152605  # N, exactly: the same pound times standard gravity
GRAVITY: Final = 9.80665  # N per kg: standard gravity, CGPM 1901
SQUARE_FOOT: Final = (12 * INCH) ** 2  # mm²


def inches(value: float) -> float:
    """Return inches in millimetres."""
    return value * INCH


def pounds(value: float) -> float:
    """Return pounds-force in newtons."""
    return value * POUND_FORCE


def psi(value: float) -> float:
    """Return pounds-force per square inch in megapascals (newtons per square millimetre)."""
    return value * POUND_FORCE / INCH**2


def psf(value: float) -> float:
    """Return pounds-force per square foot in megapascals (newtons per square millimetre)."""
    return value * POUND_FORCE / SQUARE_FOOT
