"""Say from when each unit may be hung, wiped and loaded, in the words of the handover sheet."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, tzinfo
from typing import Final

from kiosk.rules.ends import Ends

ESTIMATE: Final = "estimate"
NOTHING: Final = "load nothing"
UNCONFIRMED: Final = "typical figures"
HEADINGS: Final = ("unit", "may be hung from", "may be wiped from", "may carry goods from")
LOADED: Final = "may carry"  # the column that stands there where hanging was asked about
ADVICE: Final = (
    "The dates follow the figures on the label of what was put on, and the air of the shop as it "
    "was read. They are rounded up to the full hour.",
    f"A date marked “{ESTIMATE}” lies after the last reading of the air. It may come sooner or "
    "later and is no guarantee.",
    f"A unit marked “{UNCONFIRMED}” was reckoned with figures typical of the kind, which nobody "
    "has confirmed from the label.",
    "Where the label of a product says otherwise, the label decides.",
    "Before anything heavy goes on for good, stand it overnight on a shelf nobody sees. If it "
    "leaves a mark or sticks, wait longer.",
)

_USES: Final = ("hang", "wipe", "load")
_DAYS: Final = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_MONTHS: Final = (
    "Jan",
    "Feb",
    "Mar",
    "Apr",
    "May",
    "Jun",
    "Jul",
    "Aug",
    "Sep",
    "Oct",
    "Nov",
    "Dec",
)
_HOUR: Final = timedelta(hours=1)


@dataclass(frozen=True, slots=True)
class Row:
    """One unit of the table: each cell is a line and a smaller one below it, which may be empty."""

    cells: tuple[tuple[str, str], ...]


def compose_rows(
    ends: Sequence[Ends],
    *,
    now: datetime,
    zone: tzinfo,
    loads: Mapping[str, tuple[str, str]] | None = None,
) -> tuple[Row, ...]:
    """Return the table's rows: code and name, then for each use from when, or why not known.

    With loads, of each unit what it may carry as a line and a smaller one below, each row has a
    last cell with them; a unit that is not among them was not checked. One that nothing may be put
    on gets no date for that either.
    """
    rows = tuple(_row(one, now, zone) for one in ends)
    if loads is None:
        return rows
    unknown = ("not checked", "")
    return tuple(
        _loaded(row, loads.get(one.unit, unknown)) for row, one in zip(rows, ends, strict=True)
    )


def _loaded(row: Row, load: tuple[str, str]) -> Row:
    *dates, _last = row.cells
    return Row((*dates, ("", NOTHING), load) if load[1] == NOTHING else (*row.cells, load))


def _row(ends: Ends, now: datetime, zone: tzinfo) -> Row:
    mark = f"{UNCONFIRMED}: {', '.join(ends.seeds)}" if ends.seeds else ""
    name = f"{ends.unit} {ends.name}" if ends.name and ends.name != ends.unit else ends.unit
    return Row(((name, mark), *(_cell(ends, use, now, zone) for use in _USES)))


def _cell(ends: Ends, use: str, now: datetime, zone: tzinfo) -> tuple[str, str]:
    at = ends.at.get(use)
    if at is None:
        # left blank, to be filled in by hand
        return "", "" if use == "hang" else ends.why.get(use, "")
    return say_hour(at, now=now, zone=zone), ESTIMATE if ends.estimated and at > now else ""


def say_hour(at: datetime, *, now: datetime, zone: tzinfo) -> str:
    """Return a time rounded up to the shop's full hour: `Fri 27 Mar, 15:00`.

    The year is said where it is not this one.
    """
    local = at.astimezone(zone)
    # twice where a zone sets its clocks by half an hour meanwhile
    while past := timedelta(
        minutes=local.minute, seconds=local.second, microseconds=local.microsecond
    ):
        local = (local.astimezone(UTC) + _HOUR - past).astimezone(zone)
    year = "" if local.year == now.astimezone(zone).year else f" {local.year}"
    return f"{_DAYS[local.weekday()]} {local.day} {_MONTHS[local.month - 1]}{year}, {local:%H:%M}"


def say_date(at: datetime, zone: tzinfo) -> str:
    """Return a day in full: `Fri 27 Mar 2026`."""
    local = at.astimezone(zone)
    return f"{_DAYS[local.weekday()]} {local.day} {_MONTHS[local.month - 1]} {local.year}"
