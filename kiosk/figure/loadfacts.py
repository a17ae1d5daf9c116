"""Say what a load card says: the load or why there is none, weights, hook, stop and screws."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, tzinfo
from math import ceil
from typing import Final

from kiosk.rules.hangday import say_day
from kiosk.rules.hanging.checks import CHECKS
from kiosk.rules.hanging.fitting import How
from kiosk.rules.hanging.hangviews import Checked, ScrewAt, UnitHanging
from kiosk.rules.hanging.loads import BY_KEY
from kiosk.rules.hanging.rating import Rating
from kiosk.rules.lengths import System
from kiosk.rules.tape import Toward, on_tape
from kiosk.rules.weights import pounds_down, say_gross, say_most, say_weight
from kiosk.rules.words import Phrase, _, join, say

NOT_RATED: Final = _("NOT RATED")
NOT_CHECKED: Final = _("NOT CHECKED")


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadCard:
    """One unit's card: the unit, its job and shop, and what the check says of it.

    code is that of the unit's own label, '' for none. hanging is None where nobody measured its
    wall. carries are the units whose loads count to this one. at is when this was printed, in the
    zone. system is how its job reads lengths.
    """

    unit: str
    name: str
    job: str
    at: datetime
    zone: tzinfo
    code: str = ""
    job_name: str = ""
    shop: str = ""
    hanging: UnitHanging | None = None
    carries: tuple[str, ...] = ()
    system: System = System.MM

    @property
    def is_rated(self) -> bool:
        """Say whether there is a number: the check let it pass, and nothing stands against it."""
        one = self.hanging
        return (
            one is not None
            and one.checked is Checked.RATED
            and one.net_kg is not None
            and not one.refusals
        )


def say_load(card: LoadCard) -> tuple[str, str]:
    """Return what stands in large letters on a card, and the line below it.

    Only a rated unit has a figure in either; pounds are rounded down as kilograms are.
    """
    one = card.hanging
    if one is None or one.checked is Checked.NOT_CHECKED:
        return NOT_CHECKED, _("Load nothing on it before it is checked.")
    if card.is_rated and one.net_kg is not None:
        evenly = _("evenly spread, besides its own weight")
        if card.system is System.INCH:
            pounds = say("{pounds} lb", pounds=pounds_down(one.net_kg))
            evenly = join((pounds, evenly), ", ")
        return say("{kg} kg", kg=one.net_kg), evenly
    if one.checked is Checked.CARRIED:
        carrier = one.carried_by or _("what carries it")
        return _("NO LOAD OF ITS OWN"), say(
            "What is put on it counts to {unit}: see the card there.", unit=carrier
        )
    if one.checked is Checked.SCREWED:
        return NOT_RATED, _("It is on screws of its own, which were not worked out.")
    return NOT_RATED, _("Load nothing on it: what stands against it is below.")


def facts(card: LoadCard, one: UnitHanging) -> Iterator[tuple[str, str]]:
    """Yield what a card says of weights, hook, stop, use and screws; loads are rounded down."""
    if one.self_kg is not None:
        yield _("its own weight"), say_weight(one.self_kg, card.system)
    if card.is_rated and one.rating is not None:
        yield from _rated_facts(one.rating, card.system)
    if one.how is How.CLEAT:
        drop = one.fitting.drop
        below = on_tape(drop, card.system) if drop is not None else _("not measured")
        yield _("stop below the bevel"), below
        if one.fitting.lock is None and card.is_rated:
            yield _("lock"), _("no lock")
        elif one.fitting.lock is not None:
            lock = one.fitting.lock
            yield _("lock"), say("{n} screws No. {gauge}", n=lock.count, gauge=lock.screw.gauge)
    uses = [BY_KEY[use.use].name for use in one.fitting.expected if use.use in BY_KEY]
    if uses:
        yield _("meant for"), join(dict.fromkeys(uses), ", ")
    if one.screws:
        yield _("screws"), say_screws(one.screws, card.system)
    if card.carries:
        yield _("counts here too what is put on"), join(card.carries, ", ")
    if one.shares_with:
        yield _("on one cleat with"), join(one.shares_with, ", ")


def _rated_facts(rating: Rating, system: System) -> Iterator[tuple[str, str]]:
    if rating.gross_kg is not None:
        yield _("with its own weight"), say_gross(rating.gross_kg, system)
    if rating.governing is not None:
        yield _("decided by"), CHECKS[rating.governing]
    for at, shelf in enumerate(rating.shelves, 1):
        most = say("{load} at most", load=say_most(shelf.net_kg, system))
        yield say("shelf {n} of {all}", n=at, all=len(rating.shelves)), most
    if rating.hooks:
        yield _("hook"), _("stays on its cleat without a lock")
    else:
        held = ceil(round(rating.lock_n, 6))
        yield _("hook"), say("only with its pull-lock, which holds {n} N", n=held)


def say_screws(screws: tuple[ScrewAt, ...], system: System) -> Phrase:
    """Return how many screws of which size a cleat has, and how far they reach into the studs."""
    first = screws[0]
    deep = min(one.penetration for one in screws)
    return say(
        "{n} × No. {gauge} × {length}, at least {deep} into {studs} studs",
        n=len(screws),
        gauge=first.gauge,
        length=on_tape(first.length, system),
        deep=on_tape(deep, system, toward=Toward.LESS),
        studs=len({one.stud for one in screws}),
    )


def foot_words(card: LoadCard) -> Phrase:
    """Return where and when a card was printed."""
    at = card.at.astimezone(card.zone)
    when = say("printed {day}, {time}", day=say_day(at.date()), time=f"{at:%H:%M}")
    return join((card.shop, when), ", ")
