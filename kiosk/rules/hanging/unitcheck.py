"""Say what the check of hanging came to for one unit: rated, refused, carried, or let go ahead."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from kiosk.rules.hanging.assumed import Assumption
from kiosk.rules.hanging.carrying import Job
from kiosk.rules.hanging.cautions import ALWAYS
from kiosk.rules.hanging.complete import Filled
from kiosk.rules.hanging.fitting import Expected, Fitting, How
from kiosk.rules.hanging.hangviews import Better, Checked, UnitHanging
from kiosk.rules.hanging.improving import improvements
from kiosk.rules.hanging.loads import BY_KEY, Verdict, expected_kg, judge
from kiosk.rules.hanging.means import Means
from kiosk.rules.hanging.onwall import OnWall
from kiosk.rules.hanging.refusals import Refusal, Why
from kiosk.rules.hanging.together import Rated
from kiosk.rules.hangword import HangWord
from kiosk.rules.lengths import mm, show
from kiosk.rules.reasons import say_reason
from kiosk.rules.records import Allowed
from kiosk.rules.tape import on_tape
from kiosk.rules.words import Phrase, _, join, say, say_n, shaped

WEAK_KG: Final = 10  # a unit that may carry less is told what would help (choice)


@dataclass(frozen=True, slots=True, kw_only=True)
class Checking:
    """The job that is checked: its units filled in, who carries which, what is allowed."""

    job: Job
    filled: Mapping[str, Filled]
    carriers: Mapping[str, str]
    allowed: Mapping[str, Allowed]
    means: Means


def see_hooked(
    checking: Checking, one: OnWall, *, rated: Rated, shares_with: tuple[str, ...]
) -> UnitHanging:
    """Return what is said of a unit that hooks on a cleat."""
    name, rating = one.spec.unit, rated.rating
    load = _load(checking, name)
    verdict = judge(load, rating) if load is not None else None
    too_much = load if verdict is not None and not verdict.is_enough else None
    checked, allowed = _checked(checking, name, rating.refusals)
    return UnitHanging(
        unit=name,
        name=one.spec.name,
        kind=one.spec.kind,
        wall=one.wall.wall,
        checked=checked,
        how=How.CLEAT,
        words=_words(rating.net_kg, rating.refusals, allowed, too_much),
        fitting=one.fitting,
        is_fitted=name in checking.job.fittings,
        self_kg=one.self_kg,
        hanging=rated.built.hanging,
        rating=rating,
        refusals=rating.refusals,
        assumptions=tuple(_assumptions(checking, one, rated)),
        cautions=(*(rating.cautions or ALWAYS), *rated.built.reached.left_out),
        screws=rated.screws,
        better=_better(checking, rated, shares_with, verdict),
        load_kg=load,
        fits=verdict.is_enough if verdict else None,
        load_words=verdict.words if verdict else None,
        allowed=allowed,
        shares_with=shares_with,
    )


def see_carried(checking: Checking, name: str, *, carrier: UnitHanging | None) -> UnitHanging:
    """Return what is said of a unit that another one carries; carrier is the one rated for it."""
    refusals: tuple[Refusal, ...] = ()
    words = _("what carries it is not rated")
    if carrier is None:
        message = _("What carries it is not rated itself.")
        remedy = _("Say what it hangs on, and how that hangs.")
        refusals = (Refusal(Why.CARRIER, message, remedy),)
    elif carrier.checked is Checked.REFUSED:
        message = say("{unit} carries it and has no number.", unit=carrier.unit)
        remedy = say("See what stands against {unit}.", unit=carrier.unit)
        refusals = (Refusal(Why.CARRIER, message, remedy),)
    else:
        words = say("its load counts to {unit}", unit=carrier.unit)
    carried_by = carrier.unit if carrier else ""
    return _plain(checking, name, words, refusals, Checked.CARRIED, carried_by)


def see_screwed(checking: Checking, name: str) -> UnitHanging:
    """Return what is said of a unit on screws of its own: a panel may be, all else is not rated."""
    words = _("on screws of its own: not rated")
    refusals: tuple[Refusal, ...] = ()
    if checking.job.specs[name].kind != "panel":
        message = _("It is on screws of its own; only bevelled cleats were worked out.")
        remedy = _("Enter it as a cleat with what hooks on it, or ask a licensed professional.")
        refusals = (Refusal(Why.CARRIER, message, remedy),)
    return _plain(checking, name, words, refusals, Checked.SCREWED, "")


def hang_word(one: UnitHanging) -> HangWord:
    """Return what the board and a scan need of it."""
    is_refused = one.checked is Checked.REFUSED
    first = one.refusals[0] if one.refusals else None
    help_words = one.better[0].words if one.better else first.remedy if first else ""
    return HangWord(
        words=one.words,
        is_refused=is_refused,
        message=_("Not rated: it may come down") if is_refused else "",
        detail=join([*_first_reasons(one), help_words]) if is_refused else "",
        whys=tuple(str(each.why) for each in one.refusals),
        check=tuple(each.message for each in one.refusals),
    )


def _first_reasons(one: UnitHanging) -> Iterator[str]:
    """Yield the first reason and how many there are besides: a bench is read from two metres."""
    yield from (each.message for each in one.refusals[:1])
    rest = len(one.refusals) - 1
    if rest > 0:
        yield say_n("And {n} more reason: see Shop, Hang.", "And {n} more: see Shop, Hang.", rest)


def _plain(
    checking: Checking,
    name: str,
    words: Phrase,
    refusals: tuple[Refusal, ...],
    checked: Checked,
    carried_by: str,
) -> UnitHanging:
    spec, filled = checking.job.specs[name], checking.filled[name]
    found, allowed = _checked(checking, name, refusals)
    return UnitHanging(
        unit=name,
        name=spec.name,
        kind=spec.kind,
        wall=filled.fitting.wall,
        checked=found if refusals else checked,
        how=filled.fitting.how or How.CLEAT,
        words=_words(None, refusals, allowed) if refusals else words,
        fitting=filled.fitting,
        is_fitted=name in checking.job.fittings,
        self_kg=filled.fitting.self_kg,
        refusals=refusals,
        assumptions=filled.notes,
        cautions=ALWAYS,
        load_kg=_own_load(filled.fitting),
        allowed=allowed,
        carried_by=carried_by,
    )


def _checked(
    checking: Checking, name: str, refusals: tuple[Refusal, ...]
) -> tuple[Checked, Allowed | None]:
    """Return what it came to; a person's word covers the refusals that stood when it was given."""
    if not refusals:
        return Checked.RATED, None
    allowed = checking.allowed.get(name)
    if allowed is not None and {str(one.why) for one in refusals} <= set(allowed.whys):
        return Checked.ALLOWED, allowed
    return Checked.REFUSED, None


def _words(
    net: int | None,
    refusals: tuple[Refusal, ...],
    allowed: Allowed | None,
    too_much: float | None = None,
) -> Phrase:
    if allowed is not None:
        return say("not rated, goes up all the same: {reason}", reason=say_reason(allowed.reason))
    if refusals:
        why = shaped(refusals[0].message, str.removesuffix, ".")  # words, no sentence, on a board
        # what ends in no stud says itself that it is not rated
        return say("{why}", why=why) if _says_so(why) else say("not rated: {why}", why=why)
    if too_much is not None:
        return say("holds {net} kg; {load:.1f} kg are expected: too much", net=net, load=too_much)
    return say("holds {net} kg", net=net)


def _says_so(why: str) -> bool:
    return why.startswith("Not rated")


def _load(checking: Checking, name: str) -> float | None:
    """Return what is expected on a unit and on all it carries, kg; None where nobody said."""
    names = [one for one, carrier in checking.carriers.items() if carrier == name]
    loads = [_own_load(checking.filled[one].fitting) for one in names]
    known = [one for one in loads if one is not None]
    return sum(known) if known else None


def _own_load(fitting: Fitting) -> float | None:
    """Return what is expected on a unit itself, kg; an unknown use counts as general shelves.

    None where nobody said, or where it cannot be reckoned for want of a size.
    """
    found = [_expected(one, fitting) for one in fitting.expected]
    known = [one for one in found if one is not None]
    return sum(known) if known and len(known) == len(found) else None


def _expected(one: Expected, fitting: Fitting) -> float | None:
    if one.kg is not None:
        return one.kg
    length = fitting.width if one.length is None else one.length
    depth = fitting.depth if one.depth is None else one.depth
    if length is None or depth is None:
        return None
    return expected_kg(BY_KEY.get(one.use, BY_KEY["general"]), length=mm(length), depth=mm(depth))


def _assumptions(checking: Checking, one: OnWall, rated: Rated) -> Iterator[Assumption]:
    system = checking.job.system
    yield from checking.filled[one.spec.unit].notes
    if rated.is_chosen and rated.screw is not None and rated.rating.is_rated:
        length = on_tape(rated.screw.length, system)
        said = say("No. {gauge} × {length}", gauge=rated.screw.gauge, length=length)
        yield Assumption(_("which screws"), said, _("the best of the shop's list"))
    finder = show(one.wall.finder, system)
    yield Assumption(_("error of the stud finder"), finder, _("as entered for the wall"))
    yield from rated.rating.assumptions


def _better(
    checking: Checking, rated: Rated, shares_with: tuple[str, ...], verdict: Verdict | None
) -> tuple[Better, ...]:
    """Return what would help a unit that is refused, weak, or not enough for what is expected.

    On a shared cleat only what stands against a unit by itself is looked at.
    """
    net, hanging = rated.rating.net_kg, rated.built.hanging
    is_short = verdict is not None and not verdict.is_enough
    if hanging is None or (net is not None and net >= WEAK_KG and not is_short):
        return ()
    if shares_with and not rated.rating.is_rated:
        own = {one.why for one in rated.rating.refusals}
        if own <= {Why.TOGETHER, Why.CLEATS}:
            return ()
    found = improvements(
        hanging,
        stock=tuple(
            dict.fromkeys(
                one.length for one in checking.means.stock if one.gauge == hanging.screw.gauge
            )
        ),
        shop=checking.means.shop,
        system=checking.job.system,
    )
    return tuple(Better(words=one.words, before=one.before, after=one.after) for one in found)
