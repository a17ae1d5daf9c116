"""Reckon the whole list of what to buy, and say with it what it stands on."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from typing import Final

from kiosk.rules.buying.basis import say_basis
from kiosk.rules.buying.coats import coat_needs, disc_needs
from kiosk.rules.buying.joints import cleat_needs, edging_needs, joint_needs
from kiosk.rules.buying.model import BuyingList, BuyLine, Group, Left, Need
from kiosk.rules.buying.notes import list_assumptions, list_cautions
from kiosk.rules.buying.sheets import Planned, Supply, sheet_lines
from kiosk.rules.lengths import System
from kiosk.rules.problems import Problem
from kiosk.rules.setup import Setup

# What each is sold by and rounded up to (choices): litres and kilograms to a tenth, screws to ten.
SOLD: Final[Mapping[Group, tuple[str, Fraction]]] = {
    Group.SHEETS: ("sheets", Fraction(1)),
    Group.CLEATS: ("m", Fraction(1, 10)),
    Group.GLUE: ("kg", Fraction(1, 10)),
    Group.SCREWS: ("screws", Fraction(10)),
    Group.EDGING: ("m", Fraction(1)),
    Group.FILLER: ("l", Fraction(1, 10)),
    Group.WALL_FILLER: ("l", Fraction(1, 10)),
    Group.COAT: ("l", Fraction(1, 10)),
    Group.STRIPE: ("l", Fraction(1, 10)),
    Group.WALL_PAINT: ("l", Fraction(1, 10)),
    Group.DISCS: ("discs", Fraction(1)),
}
_ORDER: Final = tuple(Group)


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """What a list is for: the units' work left, their jobs' plans, and what the shop has.

    system is how lengths are said. whole and allowance are as in `BuyingList`.
    """

    jobs: tuple[str, ...]
    left: tuple[Left, ...]
    planned: Planned
    supply: Supply
    system: System = System.MM
    allowance: int = 10
    whole: bool = False


def reckon(work: Work, setup: Setup, figures: Mapping[str, Fraction]) -> BuyingList:
    """Return what to buy.

    Args:
        work: allowance from 0 to 100 %; it is added to all but sheets of a plan.
        setup: the shop's routes and products.
        figures: those of `FIGURES` by name.
    """
    found = [one for left in work.left for one in needs_of(left, setup, figures, work.system)]
    uncut = [piece for left in work.left for piece in left.uncut]
    sheets = list(
        sheet_lines(uncut, work.planned, work.supply, allowance=work.allowance, system=work.system)
    )
    needs = merge(one for one in found if isinstance(one, Need))
    lines = [one for one in sheets if isinstance(one, BuyLine)]
    lines += [make_line(one, work.allowance) for one in needs]
    problems = [one for one in (*sheets, *found) if isinstance(one, Problem)]
    said = list_assumptions(
        needs,
        figures,
        allowance=work.allowance,
        whole=work.whole,
        is_estimate=any(piece.code not in work.planned.codes for piece in uncut),
    )
    return BuyingList(
        jobs=work.jobs,
        whole=work.whole,
        allowance=work.allowance,
        lines=tuple(lines),
        assumptions=tuple(said),
        cautions=tuple(list_cautions(needs, setup)),
        problems=tuple(dict.fromkeys(problems)),
    )


def needs_of(
    left: Left, setup: Setup, figures: Mapping[str, Fraction], system: System
) -> Iterator[Need | Problem]:
    """Yield all that a unit needs beside sheets, and what cannot be reckoned."""
    yield from cleat_needs(left, system)
    yield from joint_needs(left, setup, figures)
    yield from edging_needs(left, figures, system)
    yield from coat_needs(left, setup, figures)
    yield from disc_needs(left, figures)


def merge(needs: Iterable[Need]) -> tuple[Need, ...]:
    """Return the needs of one thing as one, in the order of the list."""
    found: dict[tuple[Group, str], Need] = {}
    for one in needs:
        key = one.group, one.item
        held = found.get(key)
        found[key] = (
            one
            if held is None
            else replace(held, amount=held.amount + one.amount, measure=held.measure + one.measure)
        )
    return tuple(found[key] for key in sorted(found, key=lambda k: (_ORDER.index(k[0]), k[1])))


def make_line(need: Need, allowance: int) -> BuyLine:
    """Return the line of a need, rounded up to what is sold; allowance is in percent."""
    unit, step = SOLD[need.group]
    steps = need.amount * (100 + allowance) / 100 / step
    amount = -(-steps.numerator // steps.denominator) * step
    return BuyLine(
        group=need.group,
        what=need.what,
        amount=Decimal(amount.numerator) / amount.denominator,
        unit=unit,
        needed=need.amount,
        basis=say_basis(need),
        is_instead=need.group is Group.CLEATS,
    )
