"""Say walls, fittings and ratings in words to be read at a wall."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import tzinfo
from enum import StrEnum
from math import ceil
from typing import Final

from kiosk.rules.hangday import say_day
from kiosk.rules.hanging.checks import CHECKS
from kiosk.rules.hanging.fitting import How
from kiosk.rules.hanging.hangviews import Checked, UnitHanging
from kiosk.rules.hanging.kinds import (
    Backing,
    Board,
    Goods,
    Grain,
    Premises,
    Soundness,
    Spot,
    StopOn,
    StripFixing,
)
from kiosk.rules.hanging.model import Screw
from kiosk.rules.hanging.rating import Rating
from kiosk.rules.lengths import Length, System
from kiosk.rules.reasons import say_reason
from kiosk.rules.tape import on_tape
from kiosk.rules.weights import say_most
from kiosk.rules.words import Phrase, _, capital, join, number, say

NOT_SAID = _("nobody said")
_HOW: Final[Mapping[str, Phrase]] = {
    How.CLEAT: _("hooks on a cleat"),
    How.SCREWED: _("on screws of its own"),
    How.CARRIED: _("another unit carries it"),
}
_BACKING: Final[Mapping[str, Phrase]] = {
    Backing.STUD: _("wood studs"),
    Backing.PANEL: _("the panel only"),
    Backing.GYPSUM: _("gypsum only"),
    Backing.ANCHOR: _("hollow-wall anchors"),
    Backing.METAL: _("metal studs"),
    Backing.MASONRY: _("masonry"),
    Backing.END_GRAIN: _("end grain"),
    Backing.PANEL_EDGE: _("a panel's edge"),
    Backing.UNKNOWN: NOT_SAID,
}
_SOUNDNESS: Final[Mapping[str, Phrase]] = {
    Soundness.SOUND: _("sound"),
    Soundness.DAMAGED: _("damaged"),
    Soundness.UNKNOWN: NOT_SAID,
}
_BOARD: Final[Mapping[str, Phrase]] = {
    Board.PLYWOOD: _("plywood"),
    Board.LUMBER: _("lumber"),
    Board.MDF: _("MDF"),
    Board.PARTICLEBOARD: _("particleboard"),
    Board.UNKNOWN: NOT_SAID,
}
_STOP_ON: Final[Mapping[str, Phrase]] = {
    StopOn.FACE: _("the face of panel or wall"),
    StopOn.BEVEL: _("a cleat's bevel"),
    StopOn.VOID: _("a hollow"),
    StopOn.NONE: _("there is no stop"),
    StopOn.UNKNOWN: NOT_SAID,
}
_STRIP: Final[Mapping[str, Phrase]] = {
    StripFixing.GLUED_AND_SCREWED: _("glued and screwed"),
    StripFixing.GLUED: _("glued only"),
    StripFixing.SCREWED: _("screwed only"),
    StripFixing.UNKNOWN: NOT_SAID,
}
_GRAIN: Final[Mapping[str, Phrase]] = {
    Grain.ALONG: _("along the span"),
    Grain.ACROSS: _("across the span"),
    Grain.UNKNOWN: NOT_SAID,
}
_GOODS: Final[Mapping[str, Phrase]] = {
    Goods.STORED: _("things that lie still"),
    Goods.PEOPLE: _("people on it"),
    Goods.ANIMALS: _("animals"),
    Goods.DRAWERS_STEPPED_ON: _("drawers as steps"),
    Goods.SCREEN_ON_ARM: _("a screen on an arm"),
    Goods.SWING: _("a swing"),
    Goods.LIFTING_GEAR: _("lifting gear"),
    Goods.IMPACT: _("what drops or knocks"),
    Goods.MOVING: _("what moves"),
    Goods.TALL_GLASS: _("tall glass"),
    Goods.AQUARIUM: _("an aquarium"),
}
_SPOT: Final[Mapping[str, Phrase]] = {
    Spot.DRY_INDOORS: _("dry, indoors"),
    Spot.WET_ROOM: _("a wet room"),
    Spot.OUTDOORS: _("outdoors"),
    Spot.VEHICLE: _("a vehicle"),
    Spot.BOAT: _("a boat"),
    Spot.CEILING: _("a ceiling"),
}
_PREMISES: Final[Mapping[str, Phrase]] = {
    Premises.PRIVATE: _("private"),
    Premises.PUBLIC: _("public, school, care, rented"),
    Premises.SAFETY_CRITICAL: _("lives depend on it"),
    Premises.OVER_BED: _("somebody sleeps or sits below"),
    Premises.EXIT_ROUTE: _("over a way out"),
    Premises.SEISMIC: _("where the earth quakes"),
}
LAYER_WORDS: Final[Mapping[str, Phrase]] = {
    "gypsum": _("gypsum"),
    "plaster": _("plaster"),
    "insulation": _("insulation"),
    "batten": _("batten"),
    "void": _("hollow"),
    "other": _("other"),
}
SERVICE_WORDS: Final[Mapping[str, Phrase]] = {
    "cable": _("cable"),
    "outlet": _("outlet"),
    "switch": _("switch"),
    "pipe": _("pipe"),
    "stack": _("stack"),
    "duct": _("duct"),
    "other": _("other"),
}
WORDS: Final[Mapping[type[StrEnum], Mapping[str, Phrase]]] = {
    How: _HOW,
    Backing: _BACKING,
    Soundness: _SOUNDNESS,
    Board: _BOARD,
    StopOn: _STOP_ON,
    StripFixing: _STRIP,
    Grain: _GRAIN,
    Goods: _GOODS,
    Spot: _SPOT,
    Premises: _PREMISES,
}
"""What each word of an enumeration is called, in the order they are offered."""


def say_one(value: StrEnum) -> Phrase:
    """Return what one of a few is called."""
    return WORDS[type(value)][value]


def say_length(length: Length | None, system: System) -> str:
    """Return a length in the shop's way, with a minus where it lies below; None: nobody said."""
    if length is None:
        return NOT_SAID
    if not length:
        return "0"
    shown = on_tape(Length(abs(length)), system)
    return say("\u2212{length}", length=shown) if length < 0 else shown


def say_size(length: Length, width: Length, system: System) -> Phrase:
    """Return length × width, in inches on a tape."""
    marked = system is System.INCH
    first, then = (on_tape(side, system, unit_mark=marked) for side in (length, width))
    if marked:
        return say("{length} × {width}", length=first, width=then)
    return say("{length} × {width} mm", length=first, width=then)


def say_lengths(lengths: tuple[Length, ...], system: System) -> str:
    """Return several lengths, or that nobody said any."""
    return join((say_length(one, system) for one in lengths), ", ") if lengths else NOT_SAID


def say_screw(screw: Screw, system: System) -> Phrase:
    """Return a screw by its number and length."""
    return say("No. {gauge} × {length}", gauge=screw.gauge, length=on_tape(screw.length, system))


def say_kg(kg: float) -> Phrase:
    """Return a weight."""
    return say("{kg} kg", kg=number(f"{kg:.1f}".removesuffix(".0")))


@dataclass(frozen=True, slots=True)
class Verdict:
    """What a check came to, to be read from two metres: a mark, a word, and one line below."""

    shape: str
    words: Phrase
    below: str


def say_verdict(one: UnitHanging, zone: tzinfo, *, system: System = System.MM) -> Verdict:
    """Return what the check of a unit came to; times in the zone, pounds too in an inch job."""
    match one.checked:
        case Checked.RATED if one.rating is not None and one.net_kg is not None:
            words = say("{load}, evenly spread", load=say_most(one.net_kg, system))
            shape = "late" if one.fits is False else "tick"
            return Verdict(
                shape, words, join((_say_limit(one.rating), say_hooks(one.rating)), ". ")
            )
        case Checked.ALLOWED if one.allowed is not None:
            kept = one.allowed
            when = say_day(kept.at.astimezone(zone).date())
            by = say("allowed by {name}", name=kept.allowed_by) if kept.allowed_by else ""
            reason = capital(say_reason(kept.reason))
            below = join((reason, kept.person, when, by), ", ")
            return Verdict("late", _("Not rated, goes up all the same"), below)
        case Checked.CARRIED | Checked.SCREWED | Checked.RATED:
            carried = say("Carried by {unit}", unit=one.carried_by)
            own = _("On screws of its own")
            return Verdict("dot", carried if one.carried_by else own, capital(one.words))
    return Verdict("cross", _("Not rated"), _("Load nothing on it."))


def say_short(one: UnitHanging, system: System = System.MM) -> str:
    """Return the same in one word or two, for a row."""
    if one.checked is Checked.RATED and one.net_kg is not None:
        return say_most(one.net_kg, system)
    if one.checked in (Checked.REFUSED, Checked.ALLOWED):
        return _("not rated")
    return ""


def _say_limit(rating: Rating) -> str:
    if rating.governing is None:
        return ""
    return say("What decides: {check}", check=CHECKS[rating.governing])


def say_hooks(rating: Rating) -> str:
    """Return whether a unit stays on its cleat by itself, or what its lock holds."""
    if rating.hooks:
        return _("It hooks by itself")
    return say("Its pull-lock holds {n} N", n=ceil(rating.lock_n))
