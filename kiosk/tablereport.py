"""Write answers as tables for spreadsheets: a row for each unit, under the keys of the JSON."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from kiosk.report import Json
from kiosk.tables.writing import SEPARATORS, Cell, keep_table

ENDINGS = tuple(SEPARATORS)
# of the board's keys those that say something without the others
_KEYS = (
    "job",
    "unit",
    "name",
    "kind",
    "standing",
    "next_step",
    "station",
    "place",
    "hands_at",
    "earliest",
    "latest",
    "window_closes_at",
    "coats_done",
    "coats_wanted",
    "parts_done",
    "parts_wanted",
    "held",
    "why",
)


def unit_table(units: Sequence[Json]) -> list[list[Cell]]:
    """Return the board's units as rows under a row of headings."""
    return [list(_KEYS), *([unit[key] for key in _KEYS] for unit in units)]


def write_units(units: Sequence[Json], out: Path) -> None:
    """Write the board's units to a CSV or TSV file.

    Raises:
        OSError: it cannot be written.
    """
    keep_table(unit_table(units), out)
