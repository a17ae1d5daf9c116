"""Say what a load card says: the load or why there is none, the facts, and what all rests on."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, tzinfo
from math import ceil, floor
from typing import Final

from kiosk.figure.paperflow import Heading, Item, Para, Row, Titles, table
from kiosk.rules.hangday import say_day
from kiosk.rules.hanging.cautions import ALWAYS
from kiosk.rules.hanging.checks import CHECKS
from kiosk.rules.hanging.fitting import How
from kiosk.rules.hanging.hangviews import Checked, ScrewAt, UnitHanging
from kiosk.rules.hanging.rating import Rating
from kiosk.rules.hanging.refusals import Refusal
from kiosk.rules.lengths import System, show
from kiosk.rules.reasons import say_reason
from kiosk.rules.records import Allowed
from kiosk.rules.words import Phrase, _, capital, join, number, say

POUND_KG: Final = 0.45359237  # exactly: international yard and pound agreement of 1959
NOT_RATED: Final = _("NOT RATED")
NOT_CHECKED: Final = _("NOT CHECKED")
UNMEASURED: Final = _(
    "Nobody measured the wall: nothing about how it hangs was checked, and there is no number."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadCard:
    """One unit's card: the unit, its job and shop, and what the check says of it.

    code is that of the unit's own label, '' for none. hanging is None where nobody measured its
    wall. at is when this was printed, in the zone. system is how its job reads lengths.
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
            pounds = say("{pounds} lb", pounds=floor(one.net_kg / POUND_KG))
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


@dataclass(frozen=True, slots=True)
class Setting:
    """How the words below the large figure are set.

    size is that of plain letters. is_short leaves the sources of assumptions out, is_dense runs
    facts and assumptions on in a paragraph each, is_densest the cautions too.
    """

    size: int
    is_short: bool = False
    is_dense: bool = False
    is_densest: bool = False


def card_items(card: LoadCard, how: Setting) -> list[Item]:
    """Return what stands below the large figure."""
    one = card.hanging
    if one is None or one.checked is Checked.NOT_CHECKED:
        return [Para(UNMEASURED, how.size), *_cautions(ALWAYS, how)]
    return [
        *(_override(one.allowed, one.refusals, card.zone, how.size) if one.allowed else ()),
        *_against(one, how.size),
        *_expected(one, how.size),
        *_facts(card, one, how),
        *_cautions(one.cautions or ALWAYS, how),
        *_assumed(one, how),
    ]


def _override(
    allowed: Allowed, refusals: Sequence[Refusal], zone: tzinfo, size: int
) -> Iterator[Item]:
    """Yield a person's word for hanging it against the check: loud, with name, time and reason."""
    at = allowed.at.astimezone(zone)
    when = say("{day}, {time}", day=say_day(at.date()), time=f"{at:%H:%M}")
    yield Para(_("OVERRIDE: hung although the check refuses it"), size + 3, is_loud=True)
    reason = say("Reason: {reason}", reason=say_reason(allowed.reason))
    who = say("{person}, {when}", person=allowed.person or _("nobody named"), when=when)
    by = say("allowed by {person}", person=allowed.allowed_by) if allowed.allowed_by else ""
    yield Para(join((reason, join((who, by), ", ")), " – "), size + 1, is_loud=True)
    now = {str(one.message) for one in refusals}
    gone = [words for words in allowed.check if words not in now]
    if gone:
        yield Para(say("It stood against it then: {check}", check=join(gone)), size)


def _against(one: UnitHanging, size: int) -> Iterator[Item]:
    """Yield what stands against it; what would help says loads, which it has none of yet."""
    if one.refusals:
        yield Heading(_("Why there is no number"), size + 2)
    for refusal in one.refusals:
        yield Para(join((refusal.message, refusal.remedy)), size, "–")


def _expected(one: UnitHanging, size: int) -> Iterator[Item]:
    if one.load_words:
        yield Para(one.load_words, size + 1, is_loud=one.fits is False)


def _facts(card: LoadCard, one: UnitHanging, how: Setting) -> Iterator[Item]:
    said = [say("{what}: {value}", what=what, value=value) for what, value in facts(card, one)]
    if how.is_dense:
        yield Para(capital(join(said, "; ")), how.size)
        return
    titles = Titles(("", ""), (0.5, 0.5), how.size)
    pairs = [capital(words) for words in said] + [""] * (len(said) % 2)
    for at in range(0, len(pairs), 2):
        yield Row(titles, (pairs[at], pairs[at + 1]), how.size)


def facts(card: LoadCard, one: UnitHanging) -> Iterator[tuple[str, str]]:
    """Yield what a card says of weights, the hook, the stop and the screws; loads rounded down."""
    if one.self_kg is not None:
        yield _("its own weight"), number(f"{ceil(round(one.self_kg * 10, 6)) / 10:g} kg")
    if card.is_rated and one.rating is not None:
        yield from _rated_facts(one.rating)
    if one.how is How.CLEAT:
        drop = one.fitting.drop
        below = show(drop, card.system) if drop is not None else _("not measured")
        yield _("stop below the bevel"), below
        if one.fitting.lock is None and card.is_rated:
            yield _("lock"), _("none")
        elif one.fitting.lock is not None:
            lock = one.fitting.lock
            yield _("lock"), say("{n} screws No. {gauge}", n=lock.count, gauge=lock.screw.gauge)
    if one.screws:
        yield _("screws"), say_screws(one.screws, card.system)
    if one.shares_with:
        yield _("on one cleat with"), join(one.shares_with, ", ")


def _rated_facts(rating: Rating) -> Iterator[tuple[str, str]]:
    if rating.gross_kg is not None:
        gross = floor(round(rating.gross_kg * 10, 6)) / 10
        yield _("with its own weight"), number(f"{gross:g} kg")
    if rating.governing is not None:
        yield _("decided by"), CHECKS[rating.governing]
    for at, shelf in enumerate(rating.shelves, 1):
        most = say("{kg} kg at most", kg=floor(round(shelf.net_kg, 6)))
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
        length=show(first.length, system),
        deep=show(deep, system),
        studs=len({one.stud for one in screws}),
    )


def _assumed(one: UnitHanging, how: Setting) -> Iterator[Item]:
    if not one.assumptions:
        return
    if how.is_short:
        said = (say("{what}: {value}", what=a.what, value=a.value) for a in one.assumptions)
        yield from _titled(_("What this rests on"), join(said, "; "), how)
        return
    yield Heading(_("What this rests on"), how.size + 2)
    titles = Titles((_("what"), _("value"), _("source")), (0.33, 0.31, 0.36), how.size - 2)
    rows = [(a.what, a.value, a.basis) for a in one.assumptions]
    yield from table(titles, rows, size=how.size - 1)


def _cautions(words: tuple[Phrase, ...], how: Setting) -> Iterator[Item]:
    if how.is_densest:
        yield from _titled(_("Heed"), join(words, " • "), how)
        return
    if not how.is_dense:
        yield Heading(_("Heed"), how.size + 2)
    for caution in words:
        yield Para(caution, how.size, "•")


def _titled(title: Phrase, text: Phrase, how: Setting) -> Iterator[Item]:
    """Yield a heading over a paragraph, or in front of it where words are set close."""
    if how.is_dense:
        yield Para(say("{title}: {text}", title=title, text=text), how.size)
        return
    yield Heading(title, how.size + 2)
    yield Para(text, how.size)


def foot_words(card: LoadCard) -> Phrase:
    """Return where and when a card was printed."""
    at = card.at.astimezone(card.zone)
    when = say("printed {day}, {time}", day=say_day(at.date()), time=f"{at:%H:%M}")
    return join((card.shop, when), ", ")
