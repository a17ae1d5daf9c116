"""Rate units that share one cleat: what they bring together must not be too much for a screw."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from math import floor
from typing import Final

from kiosk.rules.hanging.checks import Check, second_opinion, studs
from kiosk.rules.hanging.inches import GRAVITY
from kiosk.rules.hanging.model import Hanging
from kiosk.rules.hanging.prying import row_pulls
from kiosk.rules.hanging.rating import LEAST_KG, SHOP_FACTOR, Rating, rate
from kiosk.rules.hanging.refusals import Refusal, Why
from kiosk.rules.hanging.sharing import Load, Sum, at_studs
from kiosk.rules.lengths import System, mm
from kiosk.rules.words import _

HALVINGS: Final = 60  # of the share of the loads: far below a gram


@dataclass(frozen=True, slots=True)
class _Together:
    """The units of one cleat, each with its own rating, and the shop's factor."""

    hangings: Mapping[str, Hanging]
    ratings: Mapping[str, Rating]
    shop: float


def rate_together(
    hangings: Mapping[str, Hanging], *, shop: float = SHOP_FACTOR, system: System = System.MM
) -> dict[str, Rating]:
    """Return the rating of each unit on one cleat, by its name.

    No unit is rated above its own check. Where all of them loaded are too much for the screws of a
    stud, what each may carry is lowered by one share. One unit without a number leaves them all
    without, as what it brings is not known.

    Raises:
        ValueError: the units do not share cleat, wall and screws, or the factor is out of range.
    """
    firsts = [(one.cleat, one.wall, one.screw) for one in hangings.values()]
    if any(one != firsts[0] for one in firsts):
        raise ValueError("units on one cleat share its wall and its screws")
    ratings = {name: rate(one, shop=shop, system=system) for name, one in hangings.items()}
    if not all(one.is_rated for one in ratings.values()):
        message = _("Another unit on this cleat has no number.")
        return _without(ratings, message)
    together = _Together(hangings, ratings, shop)
    if _used(together, 0.0) > 1:
        return _without(ratings, _("The units on this cleat are too heavy for it by themselves."))
    share = _largest_share(together)
    lowered = {name: _lowered(one, share) for name, one in ratings.items()}
    if any(one.net_kg is None for one in lowered.values()):
        return _without(ratings, _("All units on this cleat together leave too little for one."))
    return lowered


def stud_use(hanging: Hanging, rating: Rating, *, brought: Sum, shop: float = SHOP_FACTOR) -> float:
    """Return how much of what one stud's screws may hold is used by what is brought there.

    hanging and rating are of any rated unit on the cleat. 1 is all of it; more is too much.
    """
    if rating.held is None or not brought.load:
        return 0.0
    rows = [mm(row) for row in hanging.cleat.rows]
    shares = {
        "pull_share": max(row_pulls(brought.moment, rows)),
        "shear_share": brought.load / len(rows),
    }
    most = rating.held.most(**shares)
    second = second_opinion(hanging, rating.held)
    return 1 / (shop * min(most, second.most(**shares) if second else most))


def unit_load(name: str, hanging: Hanging, *, rating: Rating, share: float = 1.0) -> Load:
    """Return what a rated unit brings to its cleat with this share of what it may carry, N."""
    own = hanging.unit.self_mass_kg
    load = (own + share * ((rating.gross_kg or own) - own)) * GRAVITY
    statics = rating.statics
    return Load(
        unit=name,
        cleat="",
        middle=mm(hanging.unit.middle),
        touching=mm(hanging.unit.strip),
        load=load,
        pull=load * statics.hook.pull if statics else 0.0,
        moment=load * statics.moment if statics else 0.0,
    )


def _used(together: _Together, share: float) -> float:
    loads = [
        unit_load(name, together.hangings[name], rating=rating, share=share)
        for name, rating in together.ratings.items()
    ]
    places = studs(next(iter(together.hangings.values()))) if loads else []
    return max(
        (
            stud_use(together.hangings[name], rating, brought=brought, shop=together.shop)
            for brought in (at_studs(loads, places) if loads else ())
            for name, rating in together.ratings.items()
        ),
        default=0.0,
    )


def _largest_share(together: _Together) -> float:
    if _used(together, 1.0) <= 1 + 1e-9:
        return 1.0
    low, high = 0.0, 1.0
    for _turn in range(HALVINGS):
        middle = (low + high) / 2
        low, high = (middle, high) if _used(together, middle) <= 1 else (low, middle)
    return low


def _lowered(rating: Rating, share: float) -> Rating:
    """Return a rating with a share of its load; the screws decide where that is less than all."""
    if share == 1:
        return rating
    limit = min(rating.limits.values())
    gross = rating.gross_kg or 0.0
    net, ratio = limit * share, (gross - limit + limit * share) / gross
    return replace(
        rating,
        net_kg=floor(net) if net >= LEAST_KG else None,
        gross_kg=gross * ratio,
        governing=Check.SCREWS,
        limits=rating.limits | {Check.SCREWS: net},
        pull_n=rating.pull_n * ratio,
        lock_n=rating.lock_n * ratio,
    )


def _without(ratings: Mapping[str, Rating], message: str) -> dict[str, Rating]:
    remedy = _("Give one of the units a cleat of its own.")
    more = Refusal(Why.TOGETHER, message, remedy)
    return {
        name: one if one.refusals else Rating(limits={}, refusals=(more,))
        for name, one in ratings.items()
    }
