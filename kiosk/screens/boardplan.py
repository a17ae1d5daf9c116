"""Which of the two boards a screen can show legibly, and how tall its lines are."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kiosk.theme import Sizes
from kiosk.widgets.fewer import line_height
from kiosk.widgets.tiles import least_slot

if TYPE_CHECKING:
    from kiosk.rules.floor import Floor

HEADER = 0.125  # of the height, for the three counts (choice, by eye)
# Bands that come and go above the places, in lines: rags at closing time, and no news.
_BAND_LINES = 2.6


def head_height(sizes: Sizes) -> int:
    """Return how tall the line with a place's name is, in pixels."""
    return line_height(max(round(sizes.board * 0.85), sizes.board_least)) + sizes.gap


def foot_height(sizes: Sizes, *, has_back: bool) -> int:
    """Return how tall the line of the next hands is, in pixels."""
    wanted = max(round(sizes.height * 0.1), line_height(sizes.board_least) + sizes.gap)
    return max(wanted, sizes.touch) if has_back else wanted


def choose_layout(floor: Floor, sizes: Sizes) -> str:
    """Return 'places' where every slot can be read from the stated distance, else 'bands'.

    There must be room also while the bands about rags and missing news are shown: a board that
    changes its layout then would have to be learnt twice.
    """
    if not floor.places:
        return "bands"
    across, along = least_slot(sizes)
    slots = max(len(place.slots) for place in floor.places)
    taken = (
        head_height(sizes)
        + foot_height(sizes, has_back=True)
        + (1 + _BAND_LINES) * line_height(sizes.board_least)
    )
    column = (sizes.width - 4 * sizes.gap) / len(floor.places) - sizes.gap
    fits = slots * along <= sizes.height - taken and across <= column
    return "places" if fits else "bands"
