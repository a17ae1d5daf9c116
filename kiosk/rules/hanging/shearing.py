"""What a screw holds across the grain: six ways a joint of two woods can yield, also over a gap.

The formulas hold for any units that go together; here N, mm and MPa. Loads are yield loads; divide
by `screws.reduction` for an allowable one.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from math import sqrt

from kiosk.rules.hanging.inches import psi


class Mode(StrEnum):
    """How a joint yields: wood crushed in one or both, the screw bent once or twice."""

    MAIN = "Im"
    SIDE = "Is"
    TILT = "II"
    BENT_IN_MAIN = "IIIm"
    BENT_IN_SIDE = "IIIs"
    BENT_TWICE = "IV"


@dataclass(frozen=True, slots=True, kw_only=True)
class Joint:
    """A dowel in two woods: its diameter, how far it bears in each, how hard they are, the gap.

    diameter is that at the root, yielding its bending yield strength; a gap bears nothing.
    """

    diameter: float
    side: float
    main: float
    side_bearing: float
    main_bearing: float
    yielding: float
    gap: float = 0.0


def bearing(gravity: float, *, rounded: bool = True) -> float:
    """Return the dowel bearing strength of wood or plywood in MPa for screws under 1/4 in.

    16,600 G^1.84 psi, rounded to 50 psi: NDS 2018, tables 12.3.3 and 12.3.3B, as transcribed by
    others.
    """
    strength = 16600 * gravity**1.84
    return psi(round(strength / 50) * 50 if rounded else strength)


def contact_loads(joint: Joint) -> dict[Mode, float]:
    """Return the yield load of each mode for faces in contact; the joint's gap is left out.

    NDS 2018, table 12.3.1A, as transcribed by others.
    """
    d, ls, lm = joint.diameter, joint.side, joint.main
    fs, fm, fy = joint.side_bearing, joint.main_bearing, joint.yielding
    re, rt = fm / fs, lm / ls
    root = sqrt(re + 2 * re**2 * (1 + rt + rt**2) + rt**2 * re**3)
    k1 = (root - re * (1 + rt)) / (1 + re)
    k2 = -1 + sqrt(2 * (1 + re) + 2 * fy * (1 + 2 * re) * d**2 / (3 * fm * lm**2))
    k3 = -1 + sqrt(2 * (1 + re) / re + 2 * fy * (2 + re) * d**2 / (3 * fm * ls**2))
    return {
        Mode.MAIN: d * lm * fm,
        Mode.SIDE: d * ls * fs,
        Mode.TILT: k1 * d * ls * fs,
        Mode.BENT_IN_MAIN: k2 * d * lm * fm / (1 + 2 * re),
        Mode.BENT_IN_SIDE: k3 * d * ls * fm / (2 + re),
        Mode.BENT_TWICE: d**2 * sqrt(2 * fm * fy / (3 * (1 + re))),
    }


def gap_loads(joint: Joint) -> dict[Mode, float]:
    """Return the yield load of each mode for faces a gap apart.

    AWC Technical Report 12 (2015), general dowel equations (from memory), proved by limit analysis
    of the dowel in the tests. That gypsum bears nothing is a choice, to the safe side.
    """
    d, ls, lm, g = joint.diameter, joint.side, joint.main, joint.gap
    qs, qm = joint.side_bearing * d, joint.main_bearing * d
    bent = joint.yielding * d**3 / 6
    crush_s, crush_m = qs * ls**2 / 4, qm * lm**2 / 4
    return {
        Mode.MAIN: qm * lm,
        Mode.SIDE: qs * ls,
        Mode.TILT: _root(1 / (4 * qs) + 1 / (4 * qm), ls / 2 + g + lm / 2, crush_s + crush_m),
        Mode.BENT_IN_MAIN: _root(1 / (2 * qs) + 1 / (4 * qm), g + lm / 2, bent + crush_m),
        Mode.BENT_IN_SIDE: _root(1 / (4 * qs) + 1 / (2 * qm), ls / 2 + g, crush_s + bent),
        Mode.BENT_TWICE: _root(1 / (2 * qs) + 1 / (2 * qm), g, 2 * bent),
    }


def weakest(loads: dict[Mode, float]) -> tuple[Mode, float]:
    """Return the mode that yields first, and its load."""
    return min(loads.items(), key=lambda one: one[1])


def _root(a: float, b: float, c: float) -> float:
    """Return the positive root of a P² + b P - c = 0."""
    return (-b + sqrt(b**2 + 4 * a * c)) / (2 * a)
