"""Rate the units of one cleat together, with the screws it has or the best of those in stock."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import combinations
from typing import Final

from kiosk.rules.hanging.hangviews import ScrewAt
from kiosk.rules.hanging.model import NOTHING, Screw
from kiosk.rules.hanging.onwall import Built, OnWall, build
from kiosk.rules.hanging.rating import Rating
from kiosk.rules.hanging.reaching import screws_of
from kiosk.rules.hanging.refusals import Refusal, Why
from kiosk.rules.hanging.sharedcleat import rate_together
from kiosk.rules.hanging.sharing import worst_share
from kiosk.rules.hanging.species import stud_gravity
from kiosk.rules.lengths import System, mm
from kiosk.rules.words import _

MOST_STUDS: Final = 8  # of a cleat of which some are tried without: a longer one is not (choice)


@dataclass(frozen=True, slots=True, kw_only=True)
class Rated:
    """A unit with its rating: what was rated, all refusals, and where the cleat's screws go.

    is_chosen says that its screws were chosen from the stock.
    """

    built: Built
    rating: Rating
    screw: Screw | None
    is_chosen: bool
    screws: tuple[ScrewAt, ...] = ()


def rate_cleat(
    units: Mapping[str, OnWall],
    *,
    stock: Sequence[Screw],
    shop: float,
    system: System = System.MM,
) -> dict[str, Rated]:
    """Return the rating of each unit on one cleat, by its name; units is not empty.

    Where nobody said which screws it has, each of the stock is tried: the one with which the units
    carry most is taken, the thinner and shorter of equals. A stud that a unit hanging off the
    middle carries more without gets no screws.
    """
    said = {one.fitting.screw for one in units.values() if one.fitting.screw is not None}
    if len(said) > 1:
        return _refused(units, _two_ways())
    tried = [*said] or sorted(stock, key=_size)
    if not tried:
        message = _("Nobody said which screws it has, and the shop's list of screws is empty.")
        refusal = Refusal(Why.UNSAID, message, _("Say which, or fill in the list."))
        return _refused(units, refusal)
    found = [
        _rated(each, screw, is_chosen=not said, shop=shop, system=system)
        for screw in tried
        for each in (units, *_on_fewer_studs(units, screw))
    ]
    return max(found, key=_worth)  # the first of equals


def _on_fewer_studs(units: Mapping[str, OnWall], screw: Screw) -> Iterator[dict[str, OnWall]]:
    """Yield the one unit of a cleat with studs left out, where that takes load off the worst one.

    A stiff unit turns about all screws: one far to a side may bring more to the nearest, and one
    right behind a narrow unit takes all of it. Without it the number is that of a cleat on the
    other studs, bent between them, which is then what is screwed.
    """
    if len(units) > 1:
        return
    ((name, one),) = units.items()
    studs = [stud.x for stud in build(one, screw).reached.studs]
    at = one.load_at(studs)
    if at is None or not 2 < len(studs) <= MOST_STUDS:
        return
    middle = mm(at)
    strip = mm(one.touching or NOTHING)
    worst = worst_share(list(map(mm, studs)), middle, touching=strip)
    for count in range(len(studs) - 1, 1, -1):
        for kept in combinations(studs, count):
            places = list(map(mm, kept))
            if not kept[0] <= at <= kept[-1]:
                continue
            if worst_share(places, middle, touching=strip) < worst:
                yield {name: replace(one, spared=frozenset(studs) - frozenset(kept))}


def _size(screw: Screw) -> tuple[int, int]:
    return screw.gauge, screw.length


def _worth(found: Mapping[str, Rated]) -> tuple[int, int]:
    """Return how many units have a number, and the least of them; fewer refusals are better.

    Screws that are only too weak are better than those that do not reach: more may help them.
    """
    nets = [one.rating.net_kg for one in found.values() if one.rating.net_kg is not None]
    if len(nets) == len(found):
        return len(nets), min(nets)
    whys = [each.why for one in found.values() for each in one.rating.refusals]
    return len(nets), -2 * len(whys) + whys.count(Why.TOO_WEAK)


def _rated(
    units: Mapping[str, OnWall], screw: Screw, *, is_chosen: bool, shop: float, system: System
) -> dict[str, Rated]:
    built = {name: build(one, screw, system=system) for name, one in units.items()}
    hangings = {name: one.hanging for name, one in built.items() if one.hanging is not None}
    parts = {(one.cleat, one.wall) for one in hangings.values()}
    if len(parts) > 1:
        return _refused(units, _two_ways(), screw)
    if len(hangings) < len(units) or any(one.refusals for one in built.values()):
        # what one of them brings is not known: none has a number
        ratings = {
            name: Rating(limits={}, refusals=one.refusals or (_another(),))
            for name, one in built.items()
        }
    else:
        ratings = rate_together(hangings, shop=shop, system=system)
    return {
        name: Rated(
            built=built[name],
            rating=ratings[name],
            screw=screw,
            is_chosen=is_chosen,
            screws=_screws(one, screw, built[name], ratings[name]),
        )
        for name, one in units.items()
    }


def _screws(one: OnWall, screw: Screw, built: Built, rating: Rating) -> tuple[ScrewAt, ...]:
    """Return where a rated cleat's screws go; a refused one's are not to be driven."""
    if rating.held is None or built.hanging is None:
        return ()
    return screws_of(
        one.fitting,
        one.wall,
        screw=screw,
        studs=built.reached.studs,
        penetration=rating.held.penetration,
        gravity=stud_gravity(built.hanging.wall.species),
    )


def _refused(
    units: Mapping[str, OnWall], refusal: Refusal, screw: Screw | None = None
) -> dict[str, Rated]:
    """Return all units without a number, each for this and for what else stands against it."""
    from_none = Screw(gauge=0, length=NOTHING)
    found = {}
    for name, one in units.items():
        built = build(one, screw or from_none)
        own = [each for each in built.refusals if each.why in (Why.UNSAID, Why.STOP_UNMEASURED)]
        rating = Rating(limits={}, refusals=(refusal, *own))
        found[name] = Rated(built=built, rating=rating, screw=screw, is_chosen=False)
    return found


def _two_ways() -> Refusal:
    message = _("The units on this cleat describe it, its panel or its screws in several ways.")
    return Refusal(Why.CLEATS, message, _("Enter the cleat the same for all of them."))


def _another() -> Refusal:
    message = _("Another unit on this cleat has no number.")
    return Refusal(Why.TOGETHER, message, _("See what stands against that one."))
