"""Say what would let a unit carry more: the smallest change first."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations
from math import ceil
from typing import Final

from kiosk.rules.hanging.checks import studs
from kiosk.rules.hanging.fasteners import on_washers
from kiosk.rules.hanging.hooking import least_drop
from kiosk.rules.hanging.kinds import Backing, Head
from kiosk.rules.hanging.model import Hanging, Lock
from kiosk.rules.hanging.rating import SHOP_FACTOR
from kiosk.rules.hanging.refusingstop import reach
from kiosk.rules.hanging.sharedcleat import rate_together
from kiosk.rules.lengths import Length, System, from_mm, mm
from kiosk.rules.tape import Toward, on_tape
from kiosk.rules.words import Phrase, _, capital, join, say

WASHER: Final = 16.0  # mm across, a common small washer (choice)
LOCK_SCREWS: Final = 2  # of a proposed pull-lock (choice)
STEP: Final = 10.0  # mm: a back piece is cut longer by whole steps (choice)


@dataclass(frozen=True, slots=True)
class Change:
    """One thing to do otherwise, what it is about, and the unit as it would be then."""

    what: Phrase
    about: str
    hanging: Hanging


@dataclass(frozen=True, slots=True, kw_only=True)
class Improvement:
    """What to change, and what the unit may carry before and after, kg; None was not rated."""

    what: Phrase
    before: int | None
    after: int
    hanging: Hanging

    @property
    def words(self) -> Phrase:
        """Return a sentence that says it."""
        if self.before is None:
            return say(
                "{what}: no number before, {after} kg after.", what=self.what, after=self.after
            )
        return say(
            "{what}: {before} kg before, {after} kg after.",
            what=self.what,
            before=self.before,
            after=self.after,
        )


def improvements(
    hanging: Hanging,
    *,
    stock: Sequence[Length] = (),
    beside: Sequence[Hanging] = (),
    shop: float = SHOP_FACTOR,
    system: System = System.MM,
) -> tuple[Improvement, ...]:
    """Return what lets a unit carry at least a kilogram more, least effort first.

    beside are the other units on its cleat: all are rated together, before and after. Tried are
    washers, a longer screw of those in stock, a pull-lock, a longer back, the unit in the middle,
    and one stud more, in this order (choice); where none of them alone helps, any two together.
    Nothing comes back where nothing of this helps.
    """
    before = _net(hanging, beside, shop)
    changes = list(_changes(hanging, stock, system))
    found = [_tried(one, before, beside, shop) for one in changes]
    if not any(found):
        found = [_tried(one, before, beside, shop) for one in _pairs(changes, stock, system)]
    return tuple(one for one in found if one)


def _net(hanging: Hanging, beside: Sequence[Hanging], shop: float) -> int | None:
    """Return what a unit may carry while those beside it on the cleat are loaded too, kg."""
    alike = [
        replace(one, cleat=hanging.cleat, wall=hanging.wall, screw=hanging.screw) for one in beside
    ]
    units = {str(at): one for at, one in enumerate((hanging, *alike))}
    return rate_together(units, shop=shop)["0"].net_kg


def _tried(
    change: Change, before: int | None, beside: Sequence[Hanging], shop: float
) -> Improvement | None:
    after = _net(change.hanging, beside, shop)
    if after is None or after <= (before or 0):
        return None
    return Improvement(
        what=capital(change.what), before=before, after=after, hanging=change.hanging
    )


def _changes(hanging: Hanging, stock: Sequence[Length], system: System) -> Iterator[Change]:
    unit, screw = hanging.unit, hanging.screw
    if screw.head is not Head.WASHER:
        what = say("washers {across} wide", across=on_tape(from_mm(WASHER), system))
        yield Change(what, "washers", replace(hanging, screw=on_washers(screw, WASHER)))
    for length in sorted(one for one in stock if one > screw.length):
        what = say("screws {length} long", length=on_tape(length, system))
        longer = replace(screw, length=length, thread=None)
        yield Change(what, "length", replace(hanging, screw=longer))
    if unit.lock is None:
        lock = Lock(screw=screw, count=LOCK_SCREWS, backing=Backing.STUD)
        what = _("a pull-lock of two screws into studs")
        yield Change(what, "lock", replace(hanging, unit=replace(unit, lock=lock)))
    yield from _longer_back(hanging, system)
    yield from _in_the_middle(hanging)
    yield from _one_stud_more(hanging)


def _longer_back(hanging: Hanging, system: System) -> Iterator[Change]:
    """Yield the shortest back that hooks; a longer one takes no more off the pull."""
    if hanging.unit.drop is None:
        return
    contact = mm(hanging.cleat.thickness) / 2
    lacking = least_drop(out=reach(hanging), contact=contact) - mm(hanging.unit.drop)
    if lacking > 0:
        more = from_mm(ceil(round(lacking / STEP, 9)) * STEP)
        what = say("a back piece {more} longer", more=on_tape(more, system, toward=Toward.MORE))
        longer = replace(hanging.unit, drop=Length(hanging.unit.drop + more))
        yield Change(what, "back", replace(hanging, unit=longer))


def _in_the_middle(hanging: Hanging) -> Iterator[Change]:
    """Yield the unit before the middle of its cleat's studs, where it is not there."""
    places = studs(hanging)
    if len(places) < 2:
        return
    middle = from_mm(sum(places) / len(places))
    if middle != hanging.unit.middle:
        what = _("the unit in the middle of its studs")
        yield Change(what, "studs", replace(hanging, unit=replace(hanging.unit, middle=middle)))


def _one_stud_more(hanging: Hanging) -> Iterator[Change]:
    """Yield the cleat on one stud more, the unit where it is, or in the middle of all studs."""
    places = studs(hanging)
    if len(places) < 2:
        return
    apart = (places[-1] - places[0]) / (len(places) - 1)
    middle, centre = mm(hanging.unit.middle), sum(places) / len(places)
    more = from_mm(places[-1] + apart if middle >= centre else places[0] - apart)
    wall = replace(hanging.wall, studs=(*hanging.wall.studs, more))
    longer = replace(hanging, wall=wall)
    yield Change(_("a cleat that reaches one stud more"), "studs", longer)
    centred = from_mm(sum(studs(longer)) / (len(places) + 1))
    what = _("a cleat that reaches one stud more, the unit in the middle of them")
    yield Change(what, "studs", replace(longer, unit=replace(hanging.unit, middle=centred)))


def _pairs(changes: Sequence[Change], stock: Sequence[Length], system: System) -> Iterator[Change]:
    """Yield two changes at once, each about another thing; no screw has two lengths."""
    for first, second in combinations(changes, 2):
        for then in _changes(first.hanging, stock, system):
            if then.what == second.what and then.about != first.about:
                what = join([first.what, then.what], _(" and "))
                yield Change(what, "both", then.hanging)
