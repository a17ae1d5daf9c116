"""How far a board sags under an even load, what bends it, and how long it may be.

Beam formulas from any table of structural mechanics (from memory; checked against finite elements
in the tests). Shear is left out: under 1 % for boards of 18 mm (derived). w is load in N per mm of
length, ei stiffness in N mm².
"""

from __future__ import annotations

from dataclasses import dataclass
from math import cbrt


def stiffness(elasticity: float, *, depth: float, thickness: float) -> float:
    """Return a board's stiffness, N mm², from its elasticity in MPa and its section in mm."""
    return elasticity * depth * thickness**3 / 12


def section(*, depth: float, thickness: float) -> float:
    """Return a board's section modulus, mm³."""
    return depth * thickness**2 / 6


def lipped(*, depth: float, thickness: float, lip_width: float, lip_height: float) -> float:
    """Return the second moment of a board with a lip glued beneath its front edge, mm⁴.

    For a perfect glue joint, which no rating relies on.
    """
    board, lip = depth * thickness, lip_width * lip_height
    centre = (board * thickness / 2 - lip * lip_height / 2) / (board + lip)
    return (
        depth * thickness**3 / 12
        + board * (thickness / 2 - centre) ** 2
        + lip_width * lip_height**3 / 12
        + lip * (lip_height / 2 + centre) ** 2
    )


def simple(w: float, *, span: float, ei: float) -> float:
    """Return the sag at the middle of one span, mm."""
    return 5 * w * span**4 / (384 * ei)


def under_point(load: float, *, span: float, ei: float) -> float:
    """Return the sag under a load at the middle, mm: 1.6 times that of the same load spread."""
    return load * span**3 / (48 * ei)


def cantilever(w: float, *, length: float, ei: float) -> float:
    """Return the sag at the free end, mm."""
    return w * length**4 / (8 * ei)


@dataclass(frozen=True, slots=True, kw_only=True)
class Continuous:
    """Two equal spans under one load: largest sag, mm, reactions, N, largest moment, N mm."""

    sag: float
    end: float
    middle: float
    moment: float


def two_spans(w: float, *, span: float, ei: float) -> Continuous:
    """Return sag and reactions of two equal spans; the sag is 0.4215 of the span from the end."""
    return Continuous(
        sag=w * span**4 / (184.6 * ei),
        end=0.375 * w * span,
        middle=1.25 * w * span,
        moment=w * span**2 / 8,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Overhung:
    """One span with the same overhang at both ends: sag at the middle and the tips, mm, down."""

    middle: float
    tip: float


def overhung(w: float, *, span: float, overhang: float, ei: float) -> Overhung:
    """Return the sag of a board that stands out at both ends, loaded all over; up is negative."""
    a, length = overhang, span
    return Overhung(
        middle=w * length**4 / (384 * ei) * (5 - 24 * (a / length) ** 2),
        tip=w * a / (24 * ei) * (3 * a**3 + 6 * a**2 * length - length**3),
    )


def tip_alone(w: float, *, span: float, overhang: float, ei: float) -> float:
    """Return the sag of the tips where only the overhangs are loaded, mm."""
    a = overhang
    return w * a**3 / (24 * ei) * (3 * a + 6 * span)


def longest(pressure: float, *, elasticity: float, thickness: float, part: float) -> float:
    """Return the longest span, mm, that sags no more than span / part under a pressure in MPa."""
    return cbrt(384 * elasticity * thickness**3 / 12 / (5 * pressure * part))
