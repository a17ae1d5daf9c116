"""What people put on shelves and rails, and whether a rating is enough for it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from kiosk.rules.hanging.inches import GRAVITY, inches, pounds, psf
from kiosk.rules.hanging.rating import Rating
from kiosk.rules.words import Phrase, _, say

_AREA: Final = 1e6 / GRAVITY  # MPa into kg per m²


@dataclass(frozen=True, slots=True, kw_only=True)
class Goods:
    """What is stored: kg per m² of shelf, per m of it or in all, and where the figure is from."""

    key: str
    name: Phrase
    per_m2: float = 0.0
    per_m: float = 0.0
    whole: float = 0.0
    basis: Phrase


_AWS: Final = _("Architectural Woodwork Standards 2009")
_TEST: Final = _("furniture tests of the EN 14749 family, from memory")

GOODS: Final[tuple[Goods, ...]] = (
    Goods(key="general", name=_("general shelves"), per_m2=psf(40) * _AREA, basis=_AWS),
    Goods(key="books", name=_("books, school, hospital"), per_m2=psf(50) * _AREA, basis=_AWS),
    Goods(
        key="household",
        name=_("household cabinet shelf"),
        per_m2=psf(15) * _AREA,
        basis=_("ANSI/KCMA A161.1, seven days"),
    ),
    Goods(
        key="book_row",
        name=_("books in one row"),
        per_m=pounds(25) / GRAVITY / inches(12) * 1000,
        basis=_("a builder's guide to shelves: 20 to 25 lb a foot, the more of it"),
    ),
    Goods(key="domestic", name=_("domestic shelf, test load"), per_m2=100.0, basis=_TEST),
    Goods(key="kitchen", name=_("kitchen shelf, test load"), per_m2=150.0, basis=_TEST),
    Goods(key="clothes", name=_("clothes rail, test load"), per_m=40.0, basis=_TEST),
    Goods(
        key="cabinet",
        name=_("wall cabinet as a whole, test load"),
        whole=pounds(500) / GRAVITY,
        basis=_("ANSI/KCMA A161.1; 600 lb above 24 in of height since 2012"),
    ),
    Goods(
        key="tools",
        name=_("tools; weigh the heavy ones"),
        per_m2=psf(40) * _AREA,
        basis=_("no standard found; as general shelves"),
    ),
)
BY_KEY: Final = {one.key: one for one in GOODS}


def expected_kg(goods: Goods, *, length: float, depth: float) -> float:
    """Return what to expect on a shelf or rail of this length and depth in mm, kg."""
    spread = goods.per_m2 * length * depth / 1e6 + goods.per_m * length / 1e3
    return spread + goods.whole


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """Whether a rating is enough for a load, and the words; without a rating none is."""

    is_enough: bool
    words: Phrase


def judge(load_kg: float, rating: Rating) -> Verdict:
    """Return whether a unit so rated may carry a load in kg, own weight not counted."""
    most = rating.net_kg
    if most is None:
        words = _("There is no number for it: load nothing.")
        return Verdict(is_enough=False, words=words)
    if load_kg <= most:
        words = say("It may carry {most} kg; {load:.1f} kg are expected.", most=most, load=load_kg)
        return Verdict(is_enough=True, words=words)
    words = say(
        "It may carry {most} kg only; {load:.1f} kg are expected: too much.",
        most=most,
        load=load_kg,
    )
    # what is not a number is never enough either
    return Verdict(is_enough=False, words=words)
