"""Set what stands on a load card below the large figure, as close as its room asks for."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import tzinfo
from typing import Final

from kiosk.figure.loadfacts import LoadCard, facts
from kiosk.figure.paperflow import Heading, Item, Para, Row, Titles, table
from kiosk.rules.hangday import say_day
from kiosk.rules.hanging.cautions import ALWAYS
from kiosk.rules.hanging.hangviews import Checked, UnitHanging
from kiosk.rules.hanging.pounds import say_expected
from kiosk.rules.hanging.refusals import Refusal
from kiosk.rules.lengths import System
from kiosk.rules.reasons import say_reason
from kiosk.rules.records import Allowed
from kiosk.rules.words import Phrase, _, capital, join, say

# What a small card names at least of what a rating rests on, as `assumed` says it.
MAIN: Final = frozenset(
    {
        "studs",
        "specific gravity of the studs",
        "screws",
        "which screws",
        "penetration into the stud",
        "cleat on panel",
        "gap",
        "shop factor",
    }
)
UNMEASURED: Final = _(
    "Nobody measured the wall: nothing about how it hangs was checked, and there is no number."
)


@dataclass(frozen=True, slots=True)
class Setting:
    """How the words below the large figure are set.

    size is that of plain letters. is_short leaves the sources of assumptions out, is_dense runs
    facts and assumptions on in a paragraph each, is_densest the cautions too. is_brief says the
    `MAIN` assumptions alone, and how many more there are.
    """

    size: int
    is_short: bool = False
    is_dense: bool = False
    is_densest: bool = False
    is_brief: bool = False


def card_items(card: LoadCard, how: Setting) -> list[Item]:
    """Return what stands below the large figure."""
    one = card.hanging
    if one is None or one.checked is Checked.NOT_CHECKED:
        return [Para(UNMEASURED, how.size), *_cautions(ALWAYS, how)]
    return [
        *(_override(one.allowed, one.refusals, card.zone, how.size) if one.allowed else ()),
        *_against(one, how.size),
        *_expected(one, how.size, card.system),
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


def _expected(one: UnitHanging, size: int, system: System) -> Iterator[Item]:
    words = say_expected(one, system)
    if words:
        yield Para(words, size + 1, is_loud=one.fits is False)


def _facts(card: LoadCard, one: UnitHanging, how: Setting) -> Iterator[Item]:
    said = [say("{what}: {value}", what=what, value=value) for what, value in facts(card, one)]
    if how.is_dense:
        yield Para(capital(join(said, "; ")), how.size)
        return
    titles = Titles(("", ""), (0.5, 0.5), how.size)
    pairs = [capital(words) for words in said] + [""] * (len(said) % 2)
    for at in range(0, len(pairs), 2):
        yield Row(titles, (pairs[at], pairs[at + 1]), how.size)


def _assumed(one: UnitHanging, how: Setting) -> Iterator[Item]:
    if not one.assumptions:
        return
    if how.is_short:
        kept = [a for a in one.assumptions if not how.is_brief or a.what in MAIN]
        said = [say("{what}: {value}", what=a.what, value=a.value) for a in kept]
        left = len(one.assumptions) - len(kept)
        if left:
            said.append(say("{n} more on this unit's card of a whole page", n=left))
        yield from _titled(_("What this rests on"), join(said, "; "), how)
        return
    yield Heading(_("What this rests on"), how.size + 2)
    titles = Titles((_("what"), _("value"), _("source")), (0.33, 0.31, 0.36), max(how.size - 2, 8))
    rows = [(a.what, a.value, a.basis) for a in one.assumptions]
    yield from table(titles, rows, size=max(how.size - 1, 9))


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
