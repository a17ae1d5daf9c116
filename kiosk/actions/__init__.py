"""What a person can do with a shop; the only caller of the store."""

from __future__ import annotations

from kiosk.actions.airing import Airing, AirNow, AirTaken
from kiosk.actions.catalogue import Catalogue
from kiosk.actions.intake import Intake, TakenIn
from kiosk.actions.lookup import PartHit
from kiosk.actions.printing import LabelRun, Order, Printing, Wanted
from kiosk.actions.scans import GO_AHEAD_REASONS, PROBLEMS
from kiosk.actions.upkeep import Upkeep

__all__ = [
    "GO_AHEAD_REASONS",
    "PROBLEMS",
    "AirNow",
    "AirTaken",
    "LabelRun",
    "Order",
    "PartHit",
    "Shop",
    "TakenIn",
    "Wanted",
]


class Shop(Intake, Printing, Airing, Catalogue, Upkeep):
    """One shop, ready for work."""
