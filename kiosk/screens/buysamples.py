"""What is to be bought for a glaze store, for pictures."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from kiosk.rules.buying.model import BuyingList, BuyLine, Group
from kiosk.rules.cautions import HAZARDS
from kiosk.rules.problems import Problem
from kiosk.rules.words import _, say

_ROWS = (
    (Group.SHEETS, "birch ply, 18 mm, 2440 × 1220 mm", "2", "", _("planned: S1, S2"), False),
    (Group.SHEETS, "poplar ply, 15 mm, 1525 × 1525 mm", "1", "", _("planned: S3"), False),
    (
        Group.GLUE,
        _("Wood glue"),
        "0.4",
        "l",
        say("{area} m² at {rate} l each", area="1.6", rate="0.2"),
        False,
    ),
    (Group.SCREWS, _("Screws 4 × 40"), "48", "", say("{n} joints", n=24), False),
    (Group.EDGING, _("Edging 19 mm"), "38.5", "m", say("{n} edges", n=62), False),
    (
        Group.COAT,
        _("Hardwax oil"),
        "1.2",
        "l",
        say("{n} coats on {area} m²", n=2, area="9.4"),
        False,
    ),
    (Group.DISCS, _("Discs, 180 grit"), "3", "", say("{area} m²", area="9.4"), False),
)
_ASSUMED = _("A coat takes as much as the label says.")
_PROBLEM = Problem(
    _("The coverage of the primer is not known."),
    _("Read it off its tin and set it in buying.toml."),
)


def sample_buying(job: str) -> BuyingList:
    """Return a list with a caution, an assumption and a thing that could not be reckoned."""
    lines = tuple(
        BuyLine(
            group=group,
            what=what,
            amount=Decimal(amount),
            unit=unit,
            needed=Fraction(Decimal(amount)),
            basis=basis,
            is_instead=instead,
        )
        for group, what, amount, unit, basis, instead in _ROWS
    )
    return BuyingList(
        jobs=(job,),
        whole=False,
        allowance=10,
        lines=lines,
        assumptions=(_ASSUMED,),
        cautions=(HAZARDS["oily_rags"],),
        problems=(_PROBLEM,),
    )
