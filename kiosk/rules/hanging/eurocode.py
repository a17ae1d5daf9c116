"""A second opinion after Eurocode 5 (EN 1995-1-1), where a screw's declared values were entered.

It is a cross-check: nothing is filled in for a value that is missing.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt
from typing import Final

from kiosk.rules.hanging.model import Declared
from kiosk.rules.hanging.shearing import Joint, gap_loads, weakest
from kiosk.rules.words import _

# k_mod of solid timber and plywood, service classes 1 and 2: Manual of Structural Design, table
# 19.9, after EN 1995-1-1. Stored goods are long-term.
K_MOD: Final = {"permanent": 0.60, "long": 0.70, "medium": 0.80, "short": 0.90}
GAMMA_CONNECTION: Final = 1.3  # a handbook of laminated veneer lumber, 2025, after EN 1995-1-1
LOAD_FACTOR: Final = 1.5  # EN 1990, variable loads (from memory); here on self weight too
RHO_STUD: Final = 350.0  # kg/m³: softwood of class C24 (from memory)
RHO_PLYWOOD: Final = 450.0  # kg/m³ (from memory)


@dataclass(frozen=True, slots=True, kw_only=True)
class Opinion:
    """What one screw holds by Eurocode 5: characteristic and design values in N."""

    axial_k: float
    shear_k: float
    axial: float
    shear: float

    def most(self, *, pull_share: float, shear_share: float) -> float:
        """Return the most load, N, of which one screw takes these shares; the load factor is off.

        The squares of both uses together stay within 1 (from memory: EN 1995-1-1, 8.28).
        """
        used = sqrt((pull_share / self.axial) ** 2 + (shear_share / self.shear) ** 2)
        return 1 / (LOAD_FACTOR * used)


def missing(declared: Declared) -> tuple[str, ...]:
    """Name the declared values that an opinion needs and nobody entered."""
    values = (
        (declared.fax_mpa, _("withdrawal strength")),
        (declared.fhead_mpa, _("head pull-through strength")),
        (declared.tension_n, _("tensile capacity")),
        (declared.yield_nmm, _("yield moment")),
    )
    return tuple(name for value, name in values if value is None or not value > 0)


def opinion(
    declared: Declared,
    *,
    threaded: float,
    side: float,
    main: float,
    gap: float,
    screws: int = 1,
    duration: str = "long",
) -> Opinion | None:
    """Return what one of several screws holds, or None where a declared value is missing.

    threaded is the thread in the stud, side and main how far it bears on either side of the gap,
    mm; duration one of K_MOD. Withdrawal and head by declared strengths, screws in number to the
    power 0.9; shear by the yield formulas with 1.1 times the inner diameter and bearing 0.082 rho
    d^-0.3 in the stud, 0.11 rho d^-0.3 in plywood (from memory). No help of the pull to the shear
    is counted (safe).
    """
    fax, fhead, tension, moment = (
        declared.fax_mpa,
        declared.fhead_mpa,
        declared.tension_n,
        declared.yield_nmm,
    )
    if missing(declared) or fax is None or fhead is None or tension is None or moment is None:
        return None
    in_stud = fax * declared.outer_mm * threaded * _lighter(RHO_STUD, declared.rho_fax)
    at_head = fhead * declared.head_mm**2 * _lighter(RHO_PLYWOOD, declared.rho_fhead)
    axial = min(in_stud, at_head, tension) * screws**0.9 / screws
    d = 1.1 * declared.inner_mm
    joint = Joint(
        diameter=d,
        side=side,
        main=main,
        side_bearing=0.11 * RHO_PLYWOOD * d**-0.3,
        main_bearing=0.082 * RHO_STUD * d**-0.3,
        yielding=6 * moment / d**3,
        gap=gap,
    )
    shear = weakest(gap_loads(joint))[1]
    share = K_MOD[duration] / GAMMA_CONNECTION
    return Opinion(axial_k=axial, shear_k=shear, axial=axial * share, shear=shear * share)


def _lighter(density: float, declared: float) -> float:
    """Return what is left of a declared strength in lighter wood; denser wood adds nothing."""
    share: float = (density / declared) ** 0.8
    return min(1.0, share)
