"""Rate one unit on one cleat: what it may carry, what decides that, or why there is no number."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import floor
from typing import Final

from kiosk.rules.hanging.assumed import Assumption, assumptions
from kiosk.rules.hanging.cautions import cautions
from kiosk.rules.hanging.checks import Check, Statics, gross_limits, shelf_limits, unit_statics
from kiosk.rules.hanging.fasteners import Capacity, capacity
from kiosk.rules.hanging.inches import GRAVITY
from kiosk.rules.hanging.kinds import Board
from kiosk.rules.hanging.model import Hanging
from kiosk.rules.hanging.refusals import Refusal, Why
from kiosk.rules.hanging.refusing import refuse
from kiosk.rules.hanging.service import Duration, factor
from kiosk.rules.hanging.shelves import ShelfLoad, shelf_load
from kiosk.rules.lengths import System
from kiosk.rules.words import Phrase, _

SHOP_FACTOR: Final = 0.8  # common practice, no source: what a shop holds back of each check
LEAST_KG: Final = 1  # a unit that carries less than this besides itself gets no number (choice)


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
    held = capacity(hanging.screw, hanging.cleat, wall=hanging.wall, factor=duration)
    rated = _rated(hanging, held, duration=duration, shop=shop)
    if rated.refusals:
        return rated
    return replace(
        rated,
        cautions=cautions(hanging, penetration=held.penetration, hooks=rated.hooks, system=system),
        assumptions=assumptions(hanging, held, duration=duration, shop=shop, system=system),
    )


def _rated(hanging: Hanging, held: Capacity, *, duration: float, shop: float) -> Rating:
    statics = unit_statics(hanging)
    shelves = tuple(shelf_load(shelf, factor=shop) for shelf in hanging.unit.shelves)
    own = hanging.unit.self_mass_kg
    limits = {
        check: load * shop / GRAVITY - own
        for check, load in gross_limits(hanging, statics, held=held, duration=duration).items()
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
