"""Work out what a unit does to its cleat and screws, and what each check lets it weigh."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise
from typing import Final

from kiosk.rules.hanging.bevel import most as most_on_bevel
from kiosk.rules.hanging.bevel import most_between
from kiosk.rules.hanging.eurocode import Opinion, opinion
from kiosk.rules.hanging.fasteners import Capacity, capacity
from kiosk.rules.hanging.hooking import Hook, hook
from kiosk.rules.hanging.model import Hanging
from kiosk.rules.hanging.prying import moment, row_pulls
from kiosk.rules.hanging.refusingstop import reach
from kiosk.rules.hanging.screws import SIZES
from kiosk.rules.hanging.sharing import bearing, worst_share
from kiosk.rules.hanging.shelves import CAP_KG, ShelfLoad
from kiosk.rules.lengths import mm
from kiosk.rules.words import Phrase, _


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
    share = worst_share(studs(hanging), mm(unit.middle), touching=mm(unit.strip))
    return Statics(
        hook=hooked,
        moment=turning,
        share=share,
        screw_pull=share * max(row_pulls(turning, rows)),
        screw_shear=share / len(rows),
    )


def gross_limits(
    hanging: Hanging, statics: Statics, *, held: Capacity, duration: float
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
        lock = capacity(unit.lock.screw, cleat, wall=wall, factor=duration)
        # off the middle the nearest of its screws takes more, as the nearest stud does
        bearers = bearing(studs(hanging), mm(unit.middle), touching=mm(unit.strip))
        uneven = statics.share * len(bearers)
        found[Check.LOCK] = unit.lock.count * lock.pull / (statics.hook.lock * uneven)
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


def _free(hanging: Hanging) -> float:
    """Return the longest stretch of cleat without a screw where the strip lies, mm.

    What the strip reaches past a stud counts twice, as it bends the cleat like a bracket there; no
    more than to the next stud.
    """
    places, middle = studs(hanging), mm(hanging.unit.middle)
    left, right = middle - mm(hanging.unit.strip) / 2, middle + mm(hanging.unit.strip) / 2
    found = [2 * (places[0] - left), 2 * (right - places[-1])]
    for a, b in pairwise(places):
        if a < right and b > left:
            past_a = 2 * (right - a) if left <= a else b - a
            past_b = 2 * (b - left) if b <= right else b - a
            found.append(min(b - a, past_a, past_b))
    return max(found)
