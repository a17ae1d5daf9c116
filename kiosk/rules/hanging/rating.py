"""Rate one unit on one cleat: what it may carry, what decides that, or why there is no number."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum
from itertools import pairwise
from math import floor
from typing import Final

from kiosk.rules.hanging.assumed import Assumption, assumptions
from kiosk.rules.hanging.bevel import most as most_on_bevel
from kiosk.rules.hanging.bevel import most_between
from kiosk.rules.hanging.cautions import cautions
from kiosk.rules.hanging.eurocode import Opinion, opinion
from kiosk.rules.hanging.fasteners import Capacity, capacity
from kiosk.rules.hanging.hooking import Hook, hook
from kiosk.rules.hanging.inches import GRAVITY
from kiosk.rules.hanging.model import Board, Hanging
from kiosk.rules.hanging.prying import moment, row_pulls
from kiosk.rules.hanging.refusals import Refusal, Why
from kiosk.rules.hanging.refusing import refuse
from kiosk.rules.hanging.refusingstop import reach
from kiosk.rules.hanging.screws import SIZES
from kiosk.rules.hanging.service import Duration, factor
from kiosk.rules.hanging.sharing import worst_share
from kiosk.rules.hanging.shelves import CAP_KG, ShelfLoad, shelf_load
from kiosk.rules.lengths import System, mm
from kiosk.rules.words import Phrase, _

SHOP_FACTOR: Final = 0.8  # common practice, no source: what a shop holds back of each check
LEAST_KG: Final = 1  # a unit that carries less than this besides itself gets no number (choice)


class Check(StrEnum):
    """What a load is measured against."""

    SCREWS = "screws"
    SECOND_OPINION = "second_opinion"
    BEVEL = "bevel"
    CLEAT = "cleat"
    LOCK = "lock"
    SAG = "sag"
    STRENGTH = "strength"
    CAP = "cap"


CHECKS: Final[dict[Check, Phrase]] = {
    Check.SCREWS: _("the screws"),
    Check.SECOND_OPINION: _("the screws, by Eurocode 5"),
    Check.BEVEL: _("the bevel"),
    Check.CLEAT: _("the cleat between studs"),
    Check.LOCK: _("the pull-lock"),
    Check.SAG: _("the sag of a shelf"),
    Check.STRENGTH: _("the strength of a shelf"),
    Check.CAP: _("the cap for one shelf"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Statics:
    """What a load of 1 N does: at the hook, on the cleat, to the worst screw."""

    hook: Hook
    moment: float
    share: float
    screw_pull: float
    screw_shear: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Rating:
    """What a unit may carry, or why nobody can say.

    net_kg is what may be put on it, evenly spread, whole kg rounded down; gross_kg that with its
    own weight, not rounded; both None where it is not rated. limits holds of each check the net
    load it allows, kg; shelves of each shelf its own. pull_n is the pull at the cleat when it is
    loaded so, lock_n what its lock then holds, hooks whether it stays on its cleat without a lock.
    """

    net_kg: int | None = None
    gross_kg: float | None = None
    governing: Check | None = None
    limits: dict[Check, float]
    shelves: tuple[ShelfLoad, ...] = ()
    hooks: bool = False
    pull_n: float = 0.0
    lock_n: float = 0.0
    held: Capacity | None = None
    statics: Statics | None = None
    refusals: tuple[Refusal, ...] = ()
    cautions: tuple[Phrase, ...] = ()
    assumptions: tuple[Assumption, ...] = ()

    @property
    def is_rated(self) -> bool:
        """Say whether there is a number."""
        return self.net_kg is not None


def rate(hanging: Hanging, *, shop: float = SHOP_FACTOR, system: System = System.MM) -> Rating:
    """Return what a unit may carry by its weakest check, or all reasons for no number.

    shop is the shop's own factor, above 0 and at most 1, on every check but the cap of a shelf.
    All else the cleat carries must be summed with it: `sharedcleat`.

    Raises:
        ValueError: the shop's factor is not above 0 and at most 1.
    """
    if not 0 < shop <= 1:
        raise ValueError("a shop's factor lies above 0 and at most at 1")
    refusals = refuse(hanging, system=system)
    if refusals:
        return Rating(limits={}, refusals=refusals)
    use = hanging.use
    duration = factor(Duration.PERMANENT, celsius=use.celsius, is_damp=use.is_damp)
    held = capacity(hanging.screw, hanging.cleat, hanging.wall, factor=duration)
    rated = _rated(hanging, held, duration=duration, shop=shop)
    if rated.refusals:
        return rated
    return replace(
        rated,
        cautions=cautions(hanging, penetration=held.penetration, system=system),
        assumptions=assumptions(hanging, held, duration=duration, shop=shop, system=system),
    )


def _rated(hanging: Hanging, held: Capacity, *, duration: float, shop: float) -> Rating:
    statics = unit_statics(hanging)
    shelves = tuple(shelf_load(shelf, factor=shop) for shelf in hanging.unit.shelves)
    own = hanging.unit.self_mass_kg
    limits = {
        check: load * shop / GRAVITY - own
        for check, load in gross_limits(hanging, statics, held, duration=duration).items()
    } | shelf_limits(shelves, own=own)
    governing = min(limits, key=lambda check: limits[check])
    net = limits[governing]
    late = _refuse_late(hanging, net, governing, shelves)
    if late:
        return Rating(limits={}, refusals=(late,))
    load = (net + own) * GRAVITY
    return Rating(
        net_kg=floor(net),
        gross_kg=net + own,
        governing=governing,
        limits=limits,
        shelves=shelves,
        hooks=statics.hook.hooks,
        pull_n=load * statics.hook.pull,
        lock_n=load * statics.hook.lock,
        held=held,
        statics=statics,
    )


def unit_statics(hanging: Hanging) -> Statics:
    """Return what a load of 1 N on the unit does; it must have been let through by `refuse`.

    The load and the unit's own weight are taken at the further of their two distances (safe).
    """
    unit, cleat = hanging.unit, hanging.cleat
    contact, drop, out = mm(cleat.thickness) / 2, _drop(hanging), reach(hanging)
    hooked = hook(1.0, out=out, contact=contact, drop=drop)
    bevel_at = mm(cleat.height) - contact
    turning = moment(hooked, 1.0, out=out, contact=contact, bevel_at=bevel_at, drop=drop)
    rows = [mm(row) for row in cleat.rows]
    share = worst_share(studs(hanging), mm(unit.middle))
    return Statics(
        hook=hooked,
        moment=turning,
        share=share,
        screw_pull=share * max(row_pulls(turning, rows)),
        screw_shear=share / len(rows),
    )


def gross_limits(
    hanging: Hanging, statics: Statics, held: Capacity, *, duration: float
) -> dict[Check, float]:
    """Return the most load, own weight included, by each check of screws, cleat and lock, N."""
    unit, cleat, wall = hanging.unit, hanging.cleat, hanging.wall
    shares = {"pull_share": statics.screw_pull, "shear_share": statics.screw_shear}
    pull, board = statics.hook.pull, {"thickness": mm(cleat.thickness), "length": mm(unit.strip)}
    found = {
        Check.SCREWS: held.most(**shares),
        Check.BEVEL: most_on_bevel(cleat.board, pull_share=pull, **board),
        Check.CLEAT: most_between(pull, height=mm(cleat.height), free=_free(hanging), **board),
    }
    second = second_opinion(hanging, held)
    if second:
        found[Check.SECOND_OPINION] = second.most(**shares)
    if unit.lock and statics.hook.lock:
        lock = capacity(unit.lock.screw, cleat, wall, factor=duration)
        found[Check.LOCK] = unit.lock.count * lock.pull / statics.hook.lock
    return found


def second_opinion(hanging: Hanging, held: Capacity) -> Opinion | None:
    """Return what one of the cleat's screws holds by Eurocode 5, None where nothing is declared."""
    declared = hanging.screw.declared
    if declared is None:
        return None
    side, gap = held.layers.side, held.layers.gap
    main = held.penetration - SIZES[hanging.screw.gauge].shank
    screws = len(studs(hanging)) * len(hanging.cleat.rows)
    return opinion(declared, threaded=held.thread, side=side, main=main, gap=gap, screws=screws)


def shelf_limits(shelves: tuple[ShelfLoad, ...], *, own: float) -> dict[Check, float]:
    """Return the net load of all shelves together, kg, by what decides the weakest of them.

    Each counts by its own weakest check. A unit without entered shelves counts as one for the cap,
    its own weight included.
    """
    if not shelves:
        return {Check.CAP: CAP_KG - own}
    weakest = min(shelves, key=lambda one: one.net_kg)
    return {Check(weakest.by): sum(one.net_kg for one in shelves)}


def studs(hanging: Hanging) -> list[float]:
    """Return the positions of the studs the cleat is screwed to, mm, in order, each once."""
    return sorted({mm(one) for one in hanging.wall.studs})


def _drop(hanging: Hanging) -> float:
    return mm(hanging.unit.drop) if hanging.unit.drop is not None else 0.0


def _refuse_late(
    hanging: Hanging, net: float, governing: Check, shelves: tuple[ShelfLoad, ...]
) -> Refusal | None:
    """Return what only shows when all is reckoned: too weak, or a tip that would split first."""
    if governing is Check.BEVEL and hanging.cleat.board is Board.LUMBER:
        message = _("The lumber cleat would split along its bevel before anything else gives.")
        return Refusal(Why.SPLITS, message, _("Use plywood, or a longer hung strip."))
    if any(one.net_kg < LEAST_KG for one in shelves):
        message = _("A shelf would carry less than a kilogram besides itself.")
        return Refusal(Why.SHELF, message, _("Use a thicker board or a shorter span."))
    if net < LEAST_KG:
        message = _("It would carry less than a kilogram besides itself.")
        return Refusal(Why.TOO_WEAK, message, _("See what would help."))
    return None


def _free(hanging: Hanging) -> float:
    """Return the longest stretch of cleat without a screw, mm, past the last stud counted twice."""
    places, middle = studs(hanging), mm(hanging.unit.middle)
    half = mm(hanging.unit.strip) / 2
    between = max(b - a for a, b in pairwise(places))
    past = max(places[0] - (middle - half), middle + half - places[-1])
    return max(between, 2 * past)
