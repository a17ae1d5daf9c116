"""Hold what is left to do, what it needs, and the list of what to buy.

Amounts are exact fractions until the last line rounds them up to what is sold.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction
from typing import Final

from kiosk.rules.parts import Piece, UnitSpec
from kiosk.rules.problems import Problem
from kiosk.rules.route import Step

NOTHING: Final = Fraction(0)


class Group(StrEnum):
    """What kind of thing is bought, in the order of the list."""

    SHEETS = "sheets"
    CLEATS = "cleats"
    GLUE = "glue"
    SCREWS = "screws"
    EDGING = "edging"
    FILLER = "filler"
    WALL_FILLER = "wall_filler"
    COAT = "coat"
    STRIPE = "stripe"
    WALL_PAINT = "wall_paint"
    DISCS = "discs"


@dataclass(frozen=True, slots=True, kw_only=True)
class Left:
    """What is left to do on a unit.

    pieces are all it waits for, uncut those still to be cut. steps are those of the unit as a whole
    that are left. is_edged tells that one of those is recorded: its edges were banded before.
    """

    spec: UnitSpec
    pieces: tuple[Piece, ...]
    uncut: tuple[Piece, ...]
    steps: tuple[Step, ...]
    is_edged: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Need:
    """What one unit needs of one thing, without allowance.

    item tells things of a group apart: a product's key, a thickness. amount is in what the group is
    sold by (litres, kilograms, metres, a number); measure is the area in m², the length in m or the
    number of places it comes from, at rate.
    """

    group: Group
    item: str
    what: str
    amount: Fraction
    measure: Fraction
    rate: Fraction = NOTHING


@dataclass(frozen=True, slots=True, kw_only=True)
class BuyLine:
    """One line of the list.

    amount is what to buy in `unit`, rounded up to what is sold; needed is the exact figure without
    allowance. basis says how it was reckoned. is_instead marks what may be bought in place of
    something else on the list.
    """

    group: Group
    what: str
    amount: Decimal
    unit: str
    needed: Fraction
    basis: str
    is_instead: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class BuyingList:
    """What to buy for some jobs.

    whole tells that work done already counts too. allowance is in percent. assumptions and cautions
    are sentences that belong on every copy; problems are what could not be reckoned.
    """

    jobs: tuple[str, ...]
    whole: bool
    allowance: int
    lines: tuple[BuyLine, ...]
    assumptions: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    problems: tuple[Problem, ...] = ()
