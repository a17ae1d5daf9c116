"""The sample shop's sheets: what lies in its rack, and how its two lists are broken down."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from kiosk.actions import Shop
from kiosk.rules.sheets.views import SheetsView

TRIES: Final = 0  # the first layouts, so that the sample shop is there soon (choice)

# Material, thickness, length along the grain, width, how many and trim; all as typed.
SHEETS: Final = (
    ("Birch plywood 18", "18", "2440", "1220", "14", "5"),
    ("Birch plywood 12", "12", "2440", "1220", "3", "5"),
    ("Birch plywood 6", "6", "2440", "1220", "", "5"),
    ("Maple plywood 3/4", "3/4 in", "96 in", "48 in", "11", "1/4 in"),
    ("Maple plywood 1/2", "1/2 in", "96 in", "48 in", "2", "1/4 in"),
    ("Maple plywood 1/4", "1/4 in", "96 in", "48 in", "", "1/4 in"),
)
# Material, thickness, length and width of what was left of work before; as typed.
OFFCUTS: Final = (
    ("Birch plywood 18", "18", "1180", "415"),
    ("Birch plywood 12", "12", "700", "560"),
    ("Maple plywood 3/4", "3/4 in", "34 in", "20 in"),
)


def fill_rack(shop: Shop, *, person: str) -> None:
    """Count the sheets and offcuts of the sample shop."""
    for material, thickness, length, width, count, trim in SHEETS:
        done = shop.count_sheets(
            material, thickness, length=length, width=width, count=count, trim=trim, person=person
        )
        _expect(done.problems)
    for material, thickness, length, width in OFFCUTS:
        done = shop.add_offcut(material, thickness, length=length, width=width, person=person)
        _expect(done.problems)


def break_down(shop: Shop, job: str, *, person: str) -> SheetsView:
    """Break a job down, the same way each time, and keep the fewest sheets."""
    _expect(shop.begin_sheets(job, tries=TRIES, processes=0))
    shop.wait_sheets()
    return shop.keep_sheets(job, person=person)


def _expect(problems: Sequence[object]) -> None:
    if problems:
        raise RuntimeError(f"the sample shop's sheets went wrong: {problems[0]}")
