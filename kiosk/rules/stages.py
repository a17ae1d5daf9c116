"""Name the stages of glue, filler and coat, and how the clock of each runs."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from kiosk.rules.words import _


@dataclass(frozen=True, slots=True)
class Stage:
    """How the clock of one stage runs.

    words say what is reached. pace is which of a product's laws counts: early, late or close.
    closes is True where the stage is an end that must not be missed, so that it is never put off;
    else it is one that nobody may hurry. power is the exponent of the film's thickness. builds is
    True where a third coat and later ones take longer.
    """

    words: str
    pace: str
    closes: bool = False
    power: float = 0.0
    builds: bool = False


# Paces, exponents and what builds up are choices: docs/drying.md, "Thickness and coat number".
STAGES: Final[Mapping[str, Stage]] = {
    "open": Stage(_("glue may still be closed"), "early", closes=True),
    "clamp": Stage(_("out of clamps, unstressed"), "late"),
    "handling": Stage(_("may be moved"), "late"),
    "full": Stage(_("full strength"), "late"),
    "touch": Stage(_("dry to touch"), "early", power=1.0),
    "recoat": Stage(_("may be coated again"), "early", power=1.0),
    "sand": Stage(_("may be sanded"), "early", power=1.5),
    "window": Stage(_("too late to coat without scuffing"), "close", closes=True),
    "tape": Stage(_("may be taped over"), "late", power=2.0, builds=True),
    "score": Stage(_("tape edge must be scored first"), "late", closes=True),
    "hang": Stage(_("may hang in light service"), "late", power=2.0, builds=True),
    "stack": Stage(_("may stack face to face"), "late", power=2.0, builds=True),
    "load": Stage(_("may carry goods"), "late", power=2.0, builds=True),
    "wipe": Stage(_("may be wiped with a damp cloth"), "late", power=2.0, builds=True),
}
FILLER_POWER: Final = 2.0  # a filler dries through its depth
LATE_COAT, LATE_FACTOR = 3, 1.25  # from the third coat on, solvents leave slower (choice)
THINNEST: Final = 0.7  # a thinner film than this is not counted as drying faster (choice)
MAX_MINUTES: Final = 60 * 24 * 90  # three months; longer is a slip of the pen (choice)
