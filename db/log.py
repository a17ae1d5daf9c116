"""Append entries durably, with the projection in the same transaction, and read them back."""

from __future__ import annotations

import json
import os
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import peewee

from db.connect import connect, told
from db.migrate import migrate
from db.records import PROJECTION, Counter, Job, Piece, Unit

Key = tuple[str, str]
_COLUMNS = "pos, id, kiosk, seq, l, c, wall_ms, received_ms, person, kind, job, unit, body"
_INSERT = (
    "INSERT INTO entry (id, kiosk, seq, l, c, wall_ms, received_ms, person, kind, job, unit, body)"
    " VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)"
)
_CHUNK = 300  # rows a statement: below every limit on bound values


@dataclass(frozen=True, slots=True)
class Draft:
    """An entry before it has an id, a time and a place in the log."""

    kind: str
    job: str
    unit: str
    person: str
    body: Mapping[str, Any]  # Any: JSON


@dataclass(frozen=True, slots=True)
class Row:
    """One entry as kept; pos is the order of arrival in this file, times are milliseconds UTC."""

    pos: int
    id: str
    kiosk: str
    seq: int
    l: int  # noqa: E741 - hybrid logical time, as its authors write it
    c: int
    wall_ms: int
    received_ms: int | None
    person: str
    kind: str
    job: str
    unit: str
    body: Mapping[str, Any]  # Any: JSON


@dataclass(frozen=True, slots=True)
class Changes:
    """What entries change in the projection.

    jobs: code, open, body. units: job, unit, whether it is there. pieces: code, job, unit.
    """

    jobs: Sequence[tuple[str, bool, Mapping[str, Any]]] = field(default_factory=tuple)
    units: Sequence[tuple[str, str, bool]] = field(default_factory=tuple)
    pieces: Sequence[tuple[str, str, str]] = field(default_factory=tuple)


class Log:
    """The log of one shop file. Use it from the thread that opened it."""

    def __init__(self, database: peewee.SqliteDatabase, path: Path) -> None:
        self._db, self._path = database, str(path)

    @classmethod
    def open(cls, path: Path) -> Log:
        """Open a shop file, making it or bringing its schema up to date.

        Raises:
            DbError: it cannot be used; the text says why.
        """
        database = connect(path)
        with told(str(path)):
            migrate(database, path)
        return cls(database, path)

    def close(self) -> None:
        """Close the file."""
        self._db.close()

    # -- writing -----------------------------------------------------------------------------

    def append(
        self, drafts: Sequence[Draft], *, kiosk: str, wall_ms: int, changes: Changes
    ) -> tuple[Row, ...]:
        """Append entries and apply their changes in one durable transaction, all or none.

        Hybrid logical time (Kulkarni, Demirbas et al. 2014) never runs backwards, even when the
        kiosk's clock does: its first part is the later of wall_ms and the last entry's.

        Raises:
            DbError: nothing was written.
        """
        with told(self._path), self._db.atomic():
            seq = self._one("SELECT max(seq) FROM entry WHERE kiosk = ?", kiosk) or 0
            last = self._db.execute_sql("SELECT l, c FROM entry ORDER BY pos DESC LIMIT 1")
            high, count = last.fetchone() or (0, 0)
            l, c = (wall_ms, 0) if wall_ms > high else (high, count + 1)  # noqa: E741
            pos = self._one("SELECT max(pos) FROM entry") or 0
            rows = tuple(
                Row(
                    pos + place + 1,
                    new_id(wall_ms),
                    kiosk,
                    seq + place + 1,
                    l,
                    c + place,
                    wall_ms,
                    None,
                    draft.person,
                    draft.kind,
                    draft.job,
                    draft.unit,
                    draft.body,
                )
                for place, draft in enumerate(drafts)
            )
            self._insert(rows)
            self._apply(changes)
        return rows

    def _insert(self, rows: Sequence[Row]) -> None:
        cursor = self._db.cursor()
        cursor.executemany(
            _INSERT.replace("(id,", "(pos, id,", 1).replace("VALUES (", "VALUES (?, ", 1),
            [
                (
                    row.pos, row.id, row.kiosk, row.seq, row.l, row.c, row.wall_ms,
                    row.received_ms, row.person, row.kind, row.job, row.unit, _dump(row.body),
                )
                for row in rows
            ],
        )  # fmt: skip

    def _apply(self, changes: Changes) -> None:
        for code, is_open, body in changes.jobs:
            Job.insert(code=code, is_open=is_open, body=_dump(body)).on_conflict(
                conflict_target=[Job.code], preserve=[Job.is_open, Job.body]
            ).execute()
        for units in _chunks(changes.units):
            rows = [{"job": job, "unit": unit, "is_there": there} for job, unit, there in units]
            Unit.insert_many(rows).on_conflict(
                conflict_target=[Unit.job, Unit.unit], preserve=[Unit.is_there]
            ).execute()
        for pieces in _chunks(changes.pieces):
            Piece.insert_many(pieces, fields=[Piece.code, Piece.job, Piece.unit]).on_conflict(
                conflict_target=[Piece.code], preserve=[Piece.job, Piece.unit]
            ).execute()

    def take_numbers(self, kiosk: str, count: int) -> range:
        """Hand out numbers for codes; durable before this returns, never handed out again.

        Raises:
            DbError: none were handed out.
        """
        with told(self._path), self._db.atomic():
            first = self._one("SELECT next FROM counter WHERE kiosk = ?", kiosk) or 1
            Counter.insert(kiosk=kiosk, next=first + count).on_conflict(
                conflict_target=[Counter.kiosk], preserve=[Counter.next]
            ).execute()
        return range(first, first + count)

    def clear_projection(self) -> None:
        """Throw the projection away."""
        with told(self._path), self._db.atomic():
            for table in PROJECTION:
                table.delete().execute()

    def write_projection(self, changes: Changes) -> None:
        """Write the projection anew."""
        with told(self._path), self._db.atomic():
            self._apply(changes)

    # -- reading -----------------------------------------------------------------------------

    def unit_rows(self, job: str, unit: str) -> list[Row]:
        """Return all entries about a unit as they arrived."""
        return self._rows("WHERE job = ? AND unit = ? ORDER BY pos", job, unit)

    def units_rows(self, keys: Iterable[Key]) -> Iterator[Row]:
        """Yield the entries about many units, unit by unit as they arrived."""
        for chunk in _chunks(list(keys)):
            wanted = ", ".join(["(?, ?)"] * len(chunk))
            flat = [text for key in chunk for text in key]
            where = f"WHERE (job, unit) IN (VALUES {wanted}) ORDER BY job, unit, pos"
            yield from self._rows(where, *flat)

    def rows_after(self, pos: int) -> list[Row]:
        """Return the entries that arrived after a position."""
        return self._rows("WHERE pos > ? ORDER BY pos", pos)

    def last_pos(self) -> int:
        """Return the position of the latest entry, 0 where there is none."""
        return self._one("SELECT max(pos) FROM entry") or 0

    def row(self, entry_id: str) -> Row | None:
        """Return an entry by its id, or None."""
        return next(iter(self._rows("WHERE id = ?", entry_id)), None)

    def kind_rows(self, *kinds: str) -> list[Row]:
        """Return the entries of some kinds."""
        marks = ", ".join("?" * len(kinds))
        return self._rows(f"WHERE kind IN ({marks}) ORDER BY pos", *kinds)

    def last_rows(self, kiosk: str, count: int) -> list[Row]:
        """Return a kiosk's latest entries, newest first."""
        return self._rows("WHERE kiosk = ? ORDER BY seq DESC LIMIT ?", kiosk, count)

    def open_units(self) -> list[Key]:
        """Return the units of open jobs, in the order in which lists named them."""
        found = self._db.execute_sql(
            "SELECT unit.job, unit.unit FROM unit JOIN job ON job.code = unit.job"
            " WHERE job.is_open AND unit.is_there ORDER BY unit.place"
        )
        return [(job, unit) for job, unit in found.fetchall()]

    def units_of(self, job: str) -> list[str]:
        """Return the names of a job's units."""
        found = self._db.execute_sql(
            "SELECT unit FROM unit WHERE job = ? AND is_there ORDER BY place", (job,)
        )
        return [str(unit) for (unit,) in found.fetchall()]

    def jobs(self) -> list[tuple[str, bool, Mapping[str, Any]]]:
        """Return all jobs: code, open, body."""
        found = self._db.execute_sql("SELECT code, is_open, body FROM job ORDER BY rowid")
        return [(code, bool(is_open), json.loads(body)) for code, is_open, body in found.fetchall()]

    def find_piece(self, code: str) -> Key | None:
        """Return the unit a code belongs to, or None."""
        found = self._db.execute_sql("SELECT job, unit FROM piece WHERE code = ?", (code,))
        row = found.fetchone()
        return (str(row[0]), str(row[1])) if row else None

    def data_version(self) -> int:
        """Return a number that differs once another process has written to the file."""
        return self._one("PRAGMA data_version") or 0

    def _rows(self, where: str, *values: object) -> list[Row]:
        with told(self._path):
            found = self._db.execute_sql(f"SELECT {_COLUMNS} FROM entry {where}", values)
            return [Row(*(*row[:12], json.loads(row[12]))) for row in found.fetchall()]

    def _one(self, sql: str, *values: object) -> int | None:
        row = self._db.execute_sql(sql, values).fetchone()
        return None if row is None or row[0] is None else int(row[0])


def new_id(wall_ms: int) -> str:
    """Return a version 7 UUID (RFC 9562, section 5.7) as 32 hexadecimal digits."""
    chance = int.from_bytes(os.urandom(10), "big")
    value = (wall_ms & (2**48 - 1)) << 80
    value |= 0x7 << 76 | (chance >> 62 & 0xFFF) << 64
    value |= 0b10 << 62 | chance & (2**62 - 1)
    return f"{value:032x}"


def _dump(body: Mapping[str, Any]) -> str:
    return json.dumps(body, ensure_ascii=False, separators=(",", ":"))


def _chunks(rows: Sequence[Any]) -> Iterator[Sequence[Any]]:
    for start in range(0, len(rows), _CHUNK):
        yield rows[start : start + _CHUNK]
