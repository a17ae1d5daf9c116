"""What a person can do with a shop; the only caller of the store."""

from __future__ import annotations

from kiosk.actions.airing import Airing, AirNow, AirTaken
from kiosk.actions.catalogue import Catalogue
from kiosk.actions.intake import TakenIn
from kiosk.actions.jobbook import JobBook, JobSum, Past
from kiosk.actions.lookup import PartHit
from kiosk.actions.printing import LabelRun, Order, Printing, Wanted
from kiosk.actions.scans import GO_AHEAD_REASONS, PROBLEMS

__all__ = [
    "GO_AHEAD_REASONS",
    "PROBLEMS",
    "AirNow",
    "AirTaken",
    "JobSum",
    "LabelRun",
    "Order",
    "PartHit",
    "Past",
    "Shop",
    "TakenIn",
    "Wanted",
]


class Shop(JobBook, Printing, Airing, Catalogue):
    """One shop, ready for work."""
