"""A second opinion after Eurocode 5 (EN 1995-1-1), where a screw's declared values were entered.

It is a cross-check: nothing is filled in for a value that is missing.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot, inf
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
        used = hypot(pull_share / self.axial, shear_share / self.shear)
        return 1 / (LOAD_FACTOR * used)


def missing(declared: Declared) -> tuple[str, ...]:
    """Name the declared values that an opinion needs and nobody entered, or nobody can mean."""
    values = (
        (declared.fax_mpa, _("withdrawal strength")),
        (declared.fhead_mpa, _("head pull-through strength")),
        (declared.tension_n, _("tensile capacity")),
        (declared.yield_nmm, _("yield moment")),
        (declared.rho_fax, _("density of the withdrawal strength")),
        (declared.rho_fhead, _("density of the head pull-through strength")),
        (declared.outer_mm, _("outer diameter")),
        (declared.inner_mm, _("inner diameter")),
        (declared.head_mm, _("head diameter")),
    )
    return tuple(name for value, name in values if value is None or not 0 < value < inf)


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
    power 0.9, as they act together (from memory); shear by the yield formulas.
    """
    fax, fhead, tension = declared.fax_mpa, declared.fhead_mpa, declared.tension_n
    if missing(declared) or fax is None or fhead is None or tension is None:
        return None
    in_stud = fax * declared.outer_mm * threaded * _lighter(RHO_STUD, declared.rho_fax)
    at_head = fhead * declared.head_mm**2 * _lighter(RHO_PLYWOOD, declared.rho_fhead)
    axial = min(in_stud, at_head, tension) * screws**0.9 / screws
    shear = weakest(gap_loads(_joint(declared, side=side, main=main, gap=gap)))[1]
    share = K_MOD[duration] / GAMMA_CONNECTION
    return Opinion(axial_k=axial, shear_k=shear, axial=axial * share, shear=shear * share)


def _joint(declared: Declared, *, side: float, main: float, gap: float) -> Joint:
    """Return the joint as a dowel of 1.1 times the inner diameter.

    Bearing is 0.082 rho d^-0.3 in the stud, 0.11 rho d^-0.3 in plywood (from memory: EN 1995-1-1,
    8.16 and 8.20). No help of the pull to the shear is counted (safe).
    """
    d = 1.1 * declared.inner_mm
    thinner: float = d**-0.3
    return Joint(
        diameter=d,
        side=side,
        main=main,
        side_bearing=0.11 * RHO_PLYWOOD * thinner,
        main_bearing=0.082 * RHO_STUD * thinner,
        yielding=6 * (declared.yield_nmm or 0.0) / d**3,
        gap=gap,
    )


def _lighter(density: float, declared: float) -> float:
    """Return what is left of a declared strength in lighter wood; denser wood adds nothing."""
    share: float = (density / declared) ** 0.8
    return min(1.0, share)
