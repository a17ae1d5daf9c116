"""What a person can do with a shop; the only caller of the store."""

from __future__ import annotations

from kiosk.actions.airing import Airing, AirNow, AirTaken
from kiosk.actions.benchview import BenchView, PartAt
from kiosk.actions.buying import Buying
from kiosk.actions.catalogue import Catalogue
from kiosk.actions.exchanging import Exchanging
from kiosk.actions.hangpapers import HangPaper, HangPapers
from kiosk.actions.intake import TakenIn
from kiosk.actions.jobbook import JobBook, JobSum, Past
from kiosk.actions.labelfiles import Wanted
from kiosk.actions.lookup import PartHit
from kiosk.actions.openprints import Kept, Unfinished
from kiosk.actions.orders import Order, Ordered
from kiosk.actions.paperprints import DaySheets, PaperPrinter, PaperPrints, PaperSent, say_sent
from kiosk.actions.people import People
from kiosk.actions.printing import LabelRun
from kiosk.actions.promising import Promised, Promising, SureDay
from kiosk.actions.upkeep import Upkeep
from kiosk.rules.reasons import GO_AHEAD_REASONS, PROBLEMS

__all__ = [
    "GO_AHEAD_REASONS",
    "PROBLEMS",
    "AirNow",
    "AirTaken",
    "DaySheets",
    "HangPaper",
    "JobSum",
    "Kept",
    "LabelRun",
    "Order",
    "Ordered",
    "PaperPrinter",
    "PaperSent",
    "PartAt",
    "PartHit",
    "Past",
    "Promised",
    "Shop",
    "SureDay",
    "TakenIn",
    "Unfinished",
    "Wanted",
    "say_sent",
]


class Shop(
    Buying,
    HangPapers,
    JobBook,
    People,
    Airing,
    BenchView,
    Catalogue,
    Upkeep,
    Promising,
    PaperPrints,
    Exchanging,
):
    """One shop, ready for work."""
