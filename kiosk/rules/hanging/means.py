"""What the shop has and holds back where units are hung."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from kiosk.rules.hanging.kinds import Steel
from kiosk.rules.hanging.model import Screw
from kiosk.rules.hanging.rating import SHOP_FACTOR
from kiosk.rules.hanging.screws import SIZES
from kiosk.rules.lengths import Length, from_mm, parse
from kiosk.rules.words import say

PITCH: Final = from_mm(300)  # of cleat rows (common practice, no source: 200 to 400 mm)
STOCK: Final = "8 x 64, 10 x 64, 10 x 89, 12 x 89"
MOST_SCREWS: Final = 12  # kinds of screws in stock: each is tried on every cleat (choice)


@dataclass(frozen=True, slots=True, kw_only=True)
class Means:
    """The shop's screws, what it holds back of each check, and the pitch of its cleat rows."""

    stock: Sequence[Screw] = ()
    shop: float = SHOP_FACTOR
    pitch: Length = PITCH


def read_stock(text: str) -> tuple[tuple[Screw, ...], str]:
    """Read a list of screws such as `8 x 64, 10 x 3 1/2"`: number and length, mm without a unit.

    They are wood screws with countersunk heads. The second value says what is wrong, '' if nothing.
    """
    found: list[Screw] = []
    for part in filter(None, (one.strip() for one in text.split(","))):
        number, _times, length_text = part.lower().replace("×", "x").partition("x")
        gauge = number.strip().removeprefix("no.").strip()
        if not gauge.isdecimal() or int(gauge) not in SIZES:
            known = ", ".join(map(str, SIZES))
            words = say("“{part}” begins with none of the numbers {known}", part=part, known=known)
            return (), words
        length, why = parse(length_text)
        if length is None:
            return (), why
        found.append(Screw(gauge=int(gauge), length=length, steel=Steel.WOOD))
    if len(found) > MOST_SCREWS:
        return (), say("more than {most} kinds of screws", most=MOST_SCREWS)
    return tuple(dict.fromkeys(found)), ""
