"""What a shelf itself may carry: by sag in years, by strength, and by a cap."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from kiosk.rules.hanging.inches import GRAVITY
from kiosk.rules.hanging.kinds import Grain
from kiosk.rules.hanging.model import Shelf
from kiosk.rules.hanging.sag import section, simple, stiffness, tip_alone
from kiosk.rules.lengths import mm

ELASTICITY: Final = 6500.0  # MPa, plywood along the face grain: the lowest of published figures
RUPTURE: Final = 34.0  # MPa, plywood: Wood Handbook, table 12-1, the lower end (from memory)
SAFETY: Final = 4.0  # of rupture strength (common practice, no source: 3.5 to 4)
ACROSS: Final = 3.0  # stiffness and strength across the face grain, one part in 3 (from memory)
CREEP: Final = 2.0  # sag in years over that of the first day: NDS 3.5.2; can reach 3 (AWC)
LIMIT: Final = 240.0  # a span sags by no more than this part of it (common practice, no source)
CAP_KG: Final = 90.0  # a shelf, its own weight included: Architectural Woodwork Standards 2009


class ShelfCheck(StrEnum):
    """What a shelf's load is measured against."""

    SAG = "sag"
    STRENGTH = "strength"
    CAP = "cap"


@dataclass(frozen=True, slots=True, kw_only=True)
class ShelfLoad:
    """What one shelf may carry besides itself, kg, by each check."""

    limits: dict[ShelfCheck, float]

    @property
    def net_kg(self) -> float:
        """Return the least of the three; below nothing where it does not carry itself."""
        return min(self.limits.values())

    @property
    def by(self) -> ShelfCheck:
        """Return what decides it."""
        return min(self.limits, key=lambda one: self.limits[one])


def shelf_load(shelf: Shelf, *, factor: float = 1.0) -> ShelfLoad:
    """Return what a shelf may carry, evenly spread; factor is the shop's own, 1 or less.

    Each span is taken alone, as half a shelf is often empty: a board over two spans sags more then
    than loaded all over. The overhangs are taken loaded alone, and may sag by twice their length
    over the limit (choice). The factor goes on sag and strength, not on the cap.

    Raises:
        ValueError: the grain is not known, or there are not one or two spans.
    """
    if shelf.grain is Grain.UNKNOWN or shelf.spans not in (1, 2):
        raise ValueError("a shelf's grain and spans must be known")
    weaker = ACROSS if shelf.grain is Grain.ACROSS else 1.0
    size = {"depth": mm(shelf.depth), "thickness": mm(shelf.thickness)}
    span, out = mm(shelf.span), mm(shelf.overhang)
    ei = stiffness(ELASTICITY / weaker, **size)
    bent = RUPTURE / SAFETY / weaker * section(**size)
    allowed = 1 / (LIMIT * CREEP)  # of a span, on the first day
    sagging = span * allowed / simple(1.0, span=span, ei=ei)
    breaking = 8 * bent / span**2
    if out:
        tip = tip_alone(1.0, span=span, overhang=out, ei=ei)
        sagging = min(sagging, 2 * out * allowed / tip)
        breaking = min(breaking, 2 * bent / out**2)
    whole = (shelf.spans * span + 2 * out) / GRAVITY
    return ShelfLoad(
        limits={
            ShelfCheck.SAG: sagging * whole * factor - shelf.mass_kg,
            ShelfCheck.STRENGTH: breaking * whole * factor - shelf.mass_kg,
            ShelfCheck.CAP: CAP_KG - shelf.mass_kg,
        }
    )
