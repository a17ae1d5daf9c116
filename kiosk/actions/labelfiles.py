"""Which labels are wanted, what their file is called, and why they could not be made."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from kiosk.actions.core import seed_text
from kiosk.rules.labelwords import say_drawing
from kiosk.rules.words import say
from labels.stocks import Stock, merge_stocks

FOLDER = "labels"  # beside the shop's file
ORDERS = ("cut", "list")
OWN_STOCKS = "stocks.toml"  # there too, as settings.toml is


@dataclass(frozen=True, slots=True)
class Wanted:
    """Which labels are wanted of a job.

    Of no job: those of the shop's places, or with `people` the badges of who is on the list. only:
    codes of parts, places or badges, names of units; empty: all. new: leave out what was printed
    before. units: the units' own labels instead of the parts'. reason says why a label is printed
    again. order says how parts' labels follow each other: `cut`, as they come off the saw where
    sheets are broken down, or `list`.
    """

    job: str
    only: Sequence[str] = ()
    new: bool = False
    units: bool = False
    stock: str = ""
    skip: int = 0
    reason: str = ""
    people: bool = False
    order: str = "cut"


def name_of(wanted: Wanted) -> str:
    """Return what a file of these labels is called, without signs a file's name may not have."""
    what = "units" if wanted.units else "parts"
    words = (wanted.job, wanted.only[0] if len(wanted.only) == 1 else what)
    return safe_name("-".join(words) if wanted.job else kind_of(wanted))


def safe_name(text: str) -> str:
    """Return a text without the signs that a file's name may not have."""
    return re.sub(r"[^\w-]+", "-", text)


def kind_of(wanted: Wanted) -> str:
    """Return what labels of no job are of, in a file's name."""
    return "badges" if wanted.people else "places"


def free_path(folder: Path, name: str, at: datetime) -> Path:
    """Return a PDF file that is not there yet: labels not printed yet are never overwritten."""
    stem = f"{name}-{at:%Y-%m-%d-%H%M}"
    path, number = folder / f"{stem}.pdf", 2
    while path.exists():
        path, number = folder / f"{stem}-{number}.pdf", number + 1
    return path


def own_stocks(folder: Path) -> tuple[dict[str, Stock], tuple[str, ...]]:
    """Return the label stocks by key, what ships and the shop's own over it, and what is wrong."""
    shipped, own = seed_text("stocks.toml"), folder / OWN_STOCKS
    try:
        text = own.read_text("utf-8-sig") if own.is_file() else ""
    except (OSError, UnicodeDecodeError) as error:
        stocks, problems = merge_stocks(shipped, "")
        return stocks, (*problems, say("{own} cannot be read: {error}", own=own, error=error))
    return merge_stocks(shipped, text)


def say_lost(error: Exception) -> str:
    """Return in words why a label could not be made."""
    if isinstance(error, OSError) and error.strerror:
        return say(
            "{file} cannot be written: {error}.", file=error.filename or "", error=error.strerror
        )
    return say_drawing(error) or type(error).__name__
