"""What is written into the log and what it changes: notes, jobs, and entries from rows."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from db.log import Changes, Row
from kiosk.rules.entries import LATEST_MS, Entry, Kind, from_ms
from kiosk.rules.parts import unit_from_body

Key = tuple[str, str]


@dataclass(frozen=True, slots=True)
class Note:
    """One thing to be written into the log: an entry before it has a place in it.

    id is given only where another note of the same writing names it.
    """

    kind: Kind
    job: str = ""
    unit: str = ""
    body: Mapping[str, Any] | None = None  # Any: JSON
    person: str = ""
    id: str | None = None


@dataclass(frozen=True, slots=True)
class Job:
    """One client's installation.

    units is 'mm', 'inch' or empty where nobody said; hang_day is an ISO date or empty.
    """

    code: str
    name: str = ""
    site: str = ""
    hang_day: str = ""
    units: str = ""
    open: bool = True


def changes_of(notes: Iterable[Note | Entry]) -> Changes:
    """Return what notes, in order, list in the projection: jobs, units and the codes of parts."""
    jobs: dict[str, tuple[str, bool, Mapping[str, Any]]] = {}
    units: dict[Key, tuple[str, str, bool]] = {}
    pieces: dict[str, tuple[str, str, str]] = {}
    for note in notes:
        body = note.body or {}
        match note.kind:
            case Kind.JOB_OPENED | Kind.JOB_CLOSED:
                jobs[note.job] = (note.job, note.kind == Kind.JOB_OPENED, body)
            case Kind.UNIT_TAKEN | Kind.UNIT_GONE:
                is_there = note.kind == Kind.UNIT_TAKEN
                units[note.job, note.unit] = (note.job, note.unit, is_there)
                for piece in unit_from_body(note.job, note.unit, body).pieces:
                    pieces[piece.code] = (piece.code, note.job, note.unit)
            case Kind.UNIT_CODED:
                code = body.get("code")
                if isinstance(code, str) and code:
                    pieces[code] = (code, note.job, note.unit)
            case Kind.PART_SPOILED:
                recut = body.get("recut")
                if isinstance(recut, str) and recut:
                    pieces[recut] = (recut, note.job, note.unit)
    return Changes(tuple(jobs.values()), tuple(units.values()), tuple(pieces.values()))


def entry_of(row: Row) -> Entry:
    """Return a row of the log as an entry."""
    return Entry(
        row.id,
        row.kiosk,
        row.seq,
        row.l,
        row.c,
        row.wall_ms,
        row.person,
        row.kind,
        row.job,
        row.unit,
        row.body if isinstance(row.body, dict) else {},
        row.received_ms,
    )


def clock_time(wall_ms: int) -> datetime:
    """Return what a kiosk's clock said as a time (aware, UTC): a wrong clock's as the nearest."""
    return from_ms(min(max(wall_ms, 0), LATEST_MS))
