"""Say what the check of hanging came to for one unit: rated, refused, carried, or let go ahead."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from kiosk.rules.hanging.assumed import Assumption
from kiosk.rules.hanging.carrying import Job
from kiosk.rules.hanging.cautions import ALWAYS
from kiosk.rules.hanging.complete import Filled
from kiosk.rules.hanging.expecting import loads_of, own_load
from kiosk.rules.hanging.fitting import How
from kiosk.rules.hanging.hangviews import Better, Checked, UnitHanging
from kiosk.rules.hanging.improving import improvements
from kiosk.rules.hanging.loads import Verdict, judge
from kiosk.rules.hanging.means import Means
from kiosk.rules.hanging.onwall import OnWall
from kiosk.rules.hanging.rating import Rating, rate
from kiosk.rules.hanging.refusals import Refusal, Why
from kiosk.rules.hanging.together import Rated
from kiosk.rules.hangword import HangWord
from kiosk.rules.lengths import show
from kiosk.rules.reasons import say_reason
from kiosk.rules.records import Allowed
from kiosk.rules.tape import on_tape
from kiosk.rules.words import Phrase, _, join, say, say_n, shaped

_BARE: Final = _(
    "No layer is entered for the wall: the panel is taken to lie on the studs. Gypsum that is there"
    " takes up to half off what the screws hold across: measure it."
)
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
    checking: Checking, one: OnWall, *, rated: Rated, beside: Mapping[str, Rated]
) -> UnitHanging:
    """Return what is said of a unit that hooks on a cleat; beside are the others on that cleat."""
    name, rating = one.spec.unit, rated.rating
    load, verdict = _load(checking, name, rating)
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
        self_kg=one.self_kg,
        hanging=rated.built.hanging,
        rating=rating,
        refusals=rating.refusals,
        assumptions=tuple(_assumptions(checking, one, rated)),
        cautions=(
            *(rating.cautions or ALWAYS),
            *(() if one.wall.layers else (_BARE,)),
            *rated.built.reached.left_out,
        ),
        screws=rated.screws,
        better=_better(checking, rated, tuple(beside.values()), verdict),
        load_kg=load,
        fits=verdict.is_enough if verdict else None,
        load_words=verdict.words if verdict else None,
        allowed=allowed,
        shares_with=tuple(beside),
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
        self_kg=filled.fitting.self_kg,
        refusals=refusals,
        assumptions=filled.notes,
        cautions=ALWAYS,
        load_kg=own_load(filled.fitting),
        allowed=allowed,
        carried_by=carried_by,
    )


def _checked(
    checking: Checking, name: str, refusals: tuple[Refusal, ...]
) -> tuple[Checked, Allowed | None]:
    """Return what it came to; a person's word covers the refusals that stood when it was given.

    They are known by their words too: a stop that is far too short is another matter than one that
    was a little too short when somebody said yes.
    """
    if not refusals:
        return Checked.RATED, None
    allowed = checking.allowed.get(name)
    covered = set(zip(allowed.whys, allowed.check, strict=False)) if allowed is not None else set()
    if {(str(one.why), str(one.message)) for one in refusals} <= covered:
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


def _load(checking: Checking, name: str, rating: Rating) -> tuple[float | None, Verdict | None]:
    """Return what is expected on a unit and on all it carries, kg, and whether it holds that.

    None where nobody said. What cannot be reckoned leaves it open, unless the rest is too much.
    """
    names = [one for one, carrier in checking.carriers.items() if carrier == name]
    loads = [load for one in names for load in loads_of(checking.filled[one].fitting)]
    known = [one for one in loads if one is not None]
    if not known:
        return None, None
    verdict = judge(sum(known), rating)
    if len(known) < len(loads) and (verdict.is_enough or not rating.is_rated):
        return None, None
    return sum(known), verdict


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
    checking: Checking, rated: Rated, beside: Sequence[Rated], verdict: Verdict | None
) -> tuple[Better, ...]:
    """Return what would help a unit that is refused, weak, or not enough for what is expected.

    Nothing where something stands against it that no such change takes away, as then it would have
    no number afterwards either: what others on its cleat or its wall bring.
    """
    net, hanging = rated.rating.net_kg, rated.built.hanging
    others = [one.built.hanging for one in beside]
    known = [one for one in others if one is not None]
    is_short = verdict is not None and not verdict.is_enough
    if hanging is None or len(known) < len(others):
        return ()
    if net is not None and net >= WEAK_KG and not is_short:
        return ()
    own = rate(hanging, shop=checking.means.shop, system=checking.job.system).refusals
    if any(one not in own and one.why is not Why.TOGETHER for one in rated.rating.refusals):
        return ()
    found = improvements(
        hanging,
        stock=tuple(
            dict.fromkeys(
                one.length for one in checking.means.stock if one.gauge == hanging.screw.gauge
            )
        ),
        beside=known,
        shop=checking.means.shop,
        system=checking.job.system,
    )
    return tuple(Better(words=one.words, before=one.before, after=one.after) for one in found)
