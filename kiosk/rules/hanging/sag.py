"""How far a board sags under an even load, and what bends it.

Beam formulas from any table of structural mechanics (from memory; checked against finite elements
in the tests). Shear is left out: under 1 % for boards of 18 mm (derived). w is load in N per mm of
length, ei stiffness in N mm².
"""

from __future__ import annotations


def stiffness(elasticity: float, *, depth: float, thickness: float) -> float:
    """Return a board's stiffness, N mm², from its elasticity in MPa and its section in mm."""
    return elasticity * depth * thickness**3 / 12


def section(*, depth: float, thickness: float) -> float:
    """Return a board's section modulus, mm³."""
    return depth * thickness**2 / 6


def simple(w: float, *, span: float, ei: float) -> float:
    """Return the sag at the middle of one span, mm."""
    return 5 * w * span**4 / (384 * ei)


def tip_alone(w: float, *, span: float, overhang: float, ei: float) -> float:
    """Return the sag of the tips where only the overhangs are loaded, mm."""
    a = overhang
    return w * a**3 / (24 * ei) * (3 * a + 6 * span)
