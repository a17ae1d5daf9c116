"""Wood screws by number: diameters, strength of the steel, thread and holes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from kiosk.rules.hanging.inches import INCH, inches, psi

PENETRATION: Final = 6.0  # diameters a screw must reach into a stud, tip included: NDS 12.1.5


@dataclass(frozen=True, slots=True)
class Size:
    """Diameters of one number in mm: over the shank, at the thread's root, of the head."""

    shank: float
    root: float
    head: float


# NDS 2018, table L3 (cut thread or rolled thread wood screws), as transcribed by others; inches
_TABLE: Final = {
    6: (0.138, 0.113, 0.262),
    7: (0.151, 0.122, 0.287),
    8: (0.164, 0.131, 0.312),
    9: (0.177, 0.142, 0.337),
    10: (0.190, 0.152, 0.363),
    12: (0.216, 0.171, 0.414),
    14: (0.242, 0.196, 0.480),
}
SIZES: Final = {
    gauge: Size(inches(shank), inches(root), inches(head))
    for gauge, (shank, root, head) in _TABLE.items()
}
# holes through cleat and panel that let the screw draw the cleat tight (common practice, no source)
_CLEARANCE: Final = {6: 3.5, 7: 4.0, 8: 4.5, 9: 5.0, 10: 5.0, 12: 6.0, 14: 6.5}


def bending_yield(shank: float) -> float:
    """Return the bending yield strength in MPa of a screw by its shank in mm.

    NDS 2018, table 12L and its notes, as transcribed by others: 90,000 psi from 0.142 in, 80,000
    from 0.177 in, 70,000 from 0.236 in; a shank up to 0.142 in 100,000 (from memory).

    Raises:
        ValueError: the shank is thicker than 0.273 in; no value is known.
    """
    thick = shank / INCH
    for most, strength in ((0.142, 100e3), (0.177, 90e3), (0.236, 80e3), (0.273, 70e3)):
        if thick <= most + 1e-9:
            return psi(strength)
    raise ValueError(f"no bending yield strength is known for a shank of {shank} mm")


def reduction(root: float) -> float:
    """Return what yield loads are divided by (Rd, K_D), by the diameter at the root in mm.

    NDS 2018, table 12.3.1B, as transcribed by others: 2.2 up to 0.17 in, above it 10 D + 0.5, for
    all modes. The diameter is the root's, as everywhere in the yield formulas; a nominal diameter
    would read 8 % low for No. 10. A reading of a later erratum as 10 D - 0.5 is rejected: it would
    jump at 0.17 in and give 202 lb where the table of the same book says 120.

    Raises:
        ValueError: the root is 0.25 in or thicker; those follow other reductions.
    """
    thick = root / INCH
    if thick >= 0.25:
        raise ValueError(f"a root of {root} mm is too thick for a wood screw")
    return 2.2 if thick <= 0.17 else 10 * thick + 0.5


def thread_in(penetration: float, length: float, *, shank: float) -> float:
    """Return how much thread holds in the stud, mm: two thirds of the screw or four diameters.

    NDS 2018, appendix L, as transcribed by others: the thread is 2/3 of the length and at least 4
    diameters; it never counts for more than reaches into the stud.
    """
    return min(penetration, max(4 * shank, 2 * length / 3))


@dataclass(frozen=True, slots=True, kw_only=True)
class Holes:
    """Drills in mm for one number: in the stud, and through cleat and panel."""

    stud: float
    clearance: float


def holes(gauge: int, gravity: float) -> Holes:
    """Return the drills for a screw that is both pulled and sheared in a stud of this gravity.

    70 % of the root in softwood, 90 % from a gravity of 0.6 (NDS 2018, 12.1.5, after a handbook of
    building construction). Softer than 0.5 needs none for pull alone, but these screws also shear.
    Clearance holes are common practice, no source: the rule for shear alone would be 7/8 of the
    shank.

    Raises:
        KeyError: the number is not in the size table.
    """
    share = 0.9 if gravity >= 0.6 else 0.7
    return Holes(stud=share * SIZES[gauge].root, clearance=_CLEARANCE[gauge])
