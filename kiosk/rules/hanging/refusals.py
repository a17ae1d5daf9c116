"""Why there is no number for a unit, in words, with the way out."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from math import ceil, floor
from typing import Final

from kiosk.rules.hanging.kinds import Backing, Board, Goods, Premises, Spot, Steel, StopOn
from kiosk.rules.lengths import System, from_mm
from kiosk.rules.tape import Toward, on_tape
from kiosk.rules.words import Phrase, _


class Why(StrEnum):
    """What a unit is refused for; no number is given then."""

    FIGURES = "figures"
    UNSAID = "unsaid"
    SERVICE = "service"
    CLEATS = "cleats"
    CARRIER = "carrier"
    NO_STUD = "no_stud"
    ONE_STUD = "one_stud"
    STUDS_NEAR = "studs_near"
    UNSOUND = "unsound"
    BESIDE = "beside"
    SHORT_SCREW = "short_screw"
    UNKNOWN_SCREW = "unknown_screw"
    HARD_SCREW = "hard_screw"
    GRAVITY = "gravity"
    GAP = "gap"
    UNHOOKS = "unhooks"
    NO_STOP = "no_stop"
    STOP_UNMEASURED = "stop_unmeasured"
    STOP_LANDS = "stop_lands"
    LOAD_INSIDE = "load_inside"
    LOCK = "lock"
    ROWS = "rows"
    ROWS_NEAR = "rows_near"
    SPLITS = "splits"
    STRIP = "strip"
    BOARD = "board"
    THIN = "thin"
    PLIES = "plies"
    BEVEL = "bevel"
    GOODS = "goods"
    SPOT = "spot"
    HEAT = "heat"
    PREMISES = "premises"
    SHELF = "shelf"
    DECLARED = "declared"
    TOO_WEAK = "too_weak"
    TOGETHER = "together"


# what is only found where units are looked at on the wall they hang on, by `jobcheck`
OF_JOBS: Final = frozenset({Why.UNSAID, Why.SERVICE, Why.CLEATS, Why.CARRIER})


@dataclass(frozen=True, slots=True)
class Refusal:
    """One reason for no number, and what would have to change."""

    why: Why
    message: str
    remedy: str


_FIND: Final = _("Find the studs and screw the cleat to two of them or more.")
_ASK: Final = _("Ask a licensed professional.")

BACKINGS: Final[dict[Backing, Phrase]] = {
    Backing.PANEL: _(
        "Not rated: no fastener reaches a stud. Screws that end in the panel count zero."
    ),
    Backing.GYPSUM: _("Not rated: no fastener reaches a stud. Gypsum holds nothing."),
    Backing.ANCHOR: _(
        "Not rated: no fastener reaches a stud. Hollow-wall anchors have no published equation."
    ),
    Backing.METAL: _("Not rated: the screws end in metal studs, which need a design of their own."),
    Backing.MASONRY: _("Not rated: the screws end in masonry, which needs a design of its own."),
    Backing.END_GRAIN: _("Not rated: the screws end in end grain, which has no withdrawal value."),
    Backing.PANEL_EDGE: _(
        "Not rated: the screws go into a panel's edge, which holds nothing for long."
    ),
    Backing.UNKNOWN: _("Not rated: nobody knows what the screws end in."),
}
STEELS: Final[dict[Steel, Phrase]] = {
    Steel.DRYWALL: _("Drywall screws are brittle and have no design values."),
    Steel.HARDENED: _("Hardened screws without design values cannot be rated."),
}
BOARDS: Final[dict[Board, Phrase]] = {
    Board.MDF: _("Cleats of MDF split at the bevel and at the screws."),
    Board.PARTICLEBOARD: _("Cleats of particleboard crumble at the bevel and at the screws."),
    Board.UNKNOWN: _("Nobody knows what the cleat is made of."),
}
LANDINGS: Final[dict[StopOn, Phrase]] = {
    StopOn.BEVEL: _("The stop lands on a cleat's bevel and would slide up it."),
    StopOn.VOID: _("The stop lands on nothing: there is a hollow behind it."),
    StopOn.UNKNOWN: _("Nobody knows what the stop bears on."),
}
GOODS: Final[dict[Goods, Phrase]] = {
    Goods.PEOPLE: _("People sit, stand, climb or hang on it: that is no even, static load."),
    Goods.ANIMALS: _("Animals move on it: that is no even, static load."),
    Goods.DRAWERS_STEPPED_ON: _("Drawers used as steps are no even, static load."),
    Goods.SCREEN_ON_ARM: _("A television or screen on an arm pulls far out and moves."),
    Goods.SWING: _("Swings and hammocks pull with many times the weight."),
    Goods.LIFTING_GEAR: _("Lifting gear is governed by rules of its own."),
    Goods.IMPACT: _("Loads that drop or knock count many times over."),
    Goods.MOVING: _("Moving loads count many times over."),
    Goods.TALL_GLASS: _("Tall glass that falls cuts."),
    Goods.AQUARIUM: _("Aquaria are heavier than any shelf here and move when they are filled."),
}
SPOTS: Final[dict[Spot, Phrase]] = {
    Spot.WET_ROOM: _("In wet rooms wood and glue soften and steel rusts."),
    Spot.OUTDOORS: _("Outdoors wood and glue soften and steel rusts."),
    Spot.VEHICLE: _("Vehicles shake a unit off its cleat."),
    Spot.BOAT: _("Boats shake a unit off its cleat."),
    Spot.CEILING: _("From a ceiling nothing hooks."),
}
PREMISES: Final[dict[Premises, Phrase]] = {
    Premises.PUBLIC: _("Premises open to the public need a licensed professional's approval."),
    Premises.SAFETY_CRITICAL: _("Lives depend on it staying up."),
    Premises.OVER_BED: _("Somebody sleeps or sits below."),
    Premises.EXIT_ROUTE: _("It hangs over a way out."),
    Premises.SEISMIC: _("It needs a design for earthquakes."),
}


def at_least(value: float, system: System) -> str:
    """Write a length in mm that is the least to have, rounded up to 0.1 mm or 1/16 inch."""
    return on_tape(from_mm(ceil(round(value * 10, 6)) / 10), system, toward=Toward.MORE)


def at_most(value: float, system: System) -> str:
    """Write a length in mm that is the most to have, rounded down to 0.1 mm or 1/16 inch."""
    return on_tape(from_mm(floor(round(value * 10, 6)) / 10), system, toward=Toward.LESS)


def no_stud(backing: Backing) -> Refusal:
    """Return the refusal for screws that end in no wood stud."""
    return Refusal(Why.NO_STUD, BACKINGS[backing], _FIND)


def one_stud() -> Refusal:
    """Return the refusal for a cleat on one stud or none."""
    message = _("The cleat reaches fewer than two studs: it can turn about one.")
    return Refusal(Why.ONE_STUD, message, _("Measure the studs, and use a longer cleat."))


def to_a_professional(why: Why, message: str) -> Refusal:
    """Return a refusal that nothing a shop does can mend."""
    return Refusal(why, message, _ASK)
