"""Append entries durably, with the projection in the same transaction, and read them back."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path
from threading import RLock
from typing import Any

import peewee

from db.connect import TIMEOUT_S, DbError, beside, connect, told
from db.hybrid import horizon, next_time
from db.migrate import migrate
from db.records import (
    COLUMNS,
    PROJECTION,
    SKIPPED,
    Changes,
    Counter,
    Draft,
    Job,
    Row,
    as_json,
    new_id,
)

__all__ = ["Changes", "Draft", "Log", "Row", "new_id"]

Key = tuple[str, str]
_CHUNK = 300  # rows a statement: below every limit on bound values
_INSERT = (
    f"INSERT INTO entry ({COLUMNS}) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)"
    # only a true retry is passed over: OR IGNORE would also swallow a reused (kiosk, seq)
    " ON CONFLICT (id) DO NOTHING"
)
_UNIT = (
    "INSERT INTO unit (job, unit, is_there) VALUES (?, ?, ?)"
    " ON CONFLICT (job, unit) DO UPDATE SET is_there = excluded.is_there"
)
_PIECE = (
    "INSERT INTO piece (code, job, unit) VALUES (?, ?, ?)"
    " ON CONFLICT (code) DO UPDATE SET job = excluded.job, unit = excluded.unit"
)


class Log:
    """The log of one shop file, on one connection; threads that share it take turns."""

    def __init__(self, database: peewee.SqliteDatabase, path: Path) -> None:
        self._db, self._path = database, path
        self._turn = RLock()

    @classmethod
    def open(cls, path: Path) -> Log:
        """Open a shop file, making it or bringing its schema up to date.

        Raises:
            DbError: it cannot be used; the text says why.
        """
        database = connect(path)
        try:
            with told(path):
                migrate(database, path)
        except BaseException:
            database.close()
            raise
        return cls(database, path)

    def close(self) -> None:
        """Close the file, with all that was written in it."""
        with self._turn:
            with suppress(DbError):  # it is read from beside the file at the next start
                self.bring_home()
            self._db.close()

    def bring_home(self) -> bool:
        """Bring what waits in the write-ahead log into the file, and empty the log.

        Waits for nobody: while another connection reads or writes, what can be brought is.

        Returns:
            Whether nothing waits any more.

        Raises:
            DbError: the disk did not take it; nothing is lost.
        """
        waiting = beside(self._path)
        with self._turn, told(self._path):
            if not waiting.is_file() or not waiting.stat().st_size:
                return True
            self._db.execute_sql("PRAGMA busy_timeout = 0")
            try:
                # sqlite.org, "PRAGMA wal_checkpoint": busy is 0 where it was done whole
                found = self._db.execute_sql("PRAGMA wal_checkpoint(TRUNCATE)").fetchall()
            finally:
                self._db.execute_sql(f"PRAGMA busy_timeout = {TIMEOUT_S * 1000}")
        return not found[0][0]

    # -- writing

    def append(
        self, drafts: Sequence[Draft], *, kiosk: str, wall_ms: int, changes: Changes
    ) -> tuple[Row, ...]:
        """Append entries and apply their changes in one durable transaction, all or none.

        A draft whose id is in the log already is not written again; its entry is returned, and
        where all are, the changes are left out too.

        Raises:
            DbError: nothing was written.
        """
        with self._writing():
            known = self._known([draft.id for draft in drafts if draft.id])
            new = [draft for draft in drafts if draft.id not in known]
            made = iter(self._rows_of(new, kiosk, wall_ms))
            rows = [known[draft.id] if draft.id in known else next(made) for draft in drafts]
            if new or not drafts:
                self._insert([row for row in rows if row.id not in known])
                self._apply(changes)
        return tuple(rows)

    def merge(self, rows: Sequence[Row], changes: Changes) -> tuple[Row, ...]:
        """Take in entries made elsewhere, as they are but for pos; known ids are passed over.

        Returns:
            The entries that were new here, with their pos in this file.

        Raises:
            DbError: nothing was written; so too where two kiosks used one place in a sequence.
        """
        with self._writing():
            before = self.last_pos()
            self._insert(rows, keep_pos=False)
            self._apply(changes)
            return tuple(self.rows_after(before))

    def take_numbers(self, kiosk: str, count: int) -> range:
        """Hand out numbers for codes; durable before this returns, never handed out again.

        Raises:
            DbError: none were handed out.
        """
        with self._writing():
            first = self._one("SELECT next FROM counter WHERE kiosk = ?", kiosk) or 1
            self._count(kiosk, next=first + count)
        return range(first, first + count)

    def mark_unclean(self, kiosk: str) -> bool:
        """Note that a kiosk runs; tell whether its last stop was unclean (numbers are left out).

        Call it once at the start of the kiosk, not of a command beside it.

        Raises:
            DbError: nothing was noted.
        """
        with self._writing():
            stopped = self._one("SELECT clean FROM counter WHERE kiosk = ?", kiosk)
            first = self._one("SELECT next FROM counter WHERE kiosk = ?", kiosk) or 1
            skipped = SKIPPED if stopped == 0 else 0
            self._count(kiosk, next=first + skipped, clean=False)
        return bool(skipped)

    def mark_clean(self, kiosk: str) -> None:
        """Note that a kiosk stopped in good order.

        Raises:
            DbError: nothing was noted.
        """
        with self._writing():
            first = self._one("SELECT next FROM counter WHERE kiosk = ?", kiosk) or 1
            self._count(kiosk, next=first, clean=True)

    def renew_projection(self, changes: Changes) -> None:
        """Throw the projection away and write it anew, in one transaction.

        Raises:
            DbError: it is as it was before.
        """
        with self._writing():
            for table in PROJECTION:
                table.delete().execute(self._db)
            self._apply(changes)

    @contextmanager
    def _writing(self) -> Iterator[None]:
        with self._turn, told(self._path), self._db.atomic():
            yield

    def _rows_of(self, drafts: Sequence[Draft], kiosk: str, wall_ms: int) -> list[Row]:
        """Give drafts their ids, places and hybrid logical time."""
        query = "SELECT seq, l, c FROM entry WHERE kiosk = ? ORDER BY seq DESC LIMIT 1"
        seq, own_l, own_c = self._db.execute_sql(query, (kiosk,)).fetchone() or (0, 0, 0)
        query = "SELECT l, c FROM entry WHERE l <= ? ORDER BY l DESC, c DESC LIMIT 1"
        seen = self._db.execute_sql(query, (horizon(wall_ms),)).fetchone() or (0, 0)
        l, c = next_time((own_l, own_c), (seen[0], seen[1]), wall_ms=wall_ms)  # noqa: E741
        pos = self.last_pos()
        return [
            Row(pos + n, draft.id or new_id(wall_ms), kiosk, seq + n, l, c + n - 1, wall_ms, None,
                draft.person, draft.kind, draft.job, draft.unit, draft.body)
            for n, draft in enumerate(drafts, start=1)
        ]  # fmt: skip

    def _known(self, ids: Sequence[str]) -> dict[str | None, Row]:
        found: dict[str | None, Row] = {}
        for chunk in _chunks(ids):
            marks = ", ".join("?" * len(chunk))
            found |= {row.id: row for row in self._rows(f"WHERE id IN ({marks})", *chunk)}
        return found

    def _insert(self, rows: Sequence[Row], *, keep_pos: bool = True) -> None:
        values = [
            (row.pos if keep_pos else None, row.id, row.kiosk, row.seq, row.l, row.c, row.wall_ms,
             row.received_ms, row.person, row.kind, row.job, row.unit, as_json(row.body))
            for row in rows
        ]  # fmt: skip
        self._db.cursor().executemany(_INSERT, values)

    def _apply(self, changes: Changes) -> None:
        for code, is_open, body in changes.jobs:
            Job.insert(code=code, is_open=is_open, body=as_json(body)).on_conflict(
                conflict_target=[Job.code], preserve=[Job.is_open, Job.body]
            ).execute(self._db)
        self._db.cursor().executemany(_UNIT, changes.units)
        self._db.cursor().executemany(_PIECE, changes.pieces)

    def _count(self, kiosk: str, **values: int | bool) -> None:
        Counter.insert(kiosk=kiosk, **values).on_conflict(
            conflict_target=[Counter.kiosk], preserve=list(values)
        ).execute(self._db)

    # -- reading

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

    def job_rows(self, job: str) -> list[Row]:
        """Return the entries about a job as a whole."""
        return self.unit_rows(job, "")

    def rows_after(self, pos: int) -> list[Row]:
        """Return the entries that arrived after a position."""
        return self._rows("WHERE pos > ? ORDER BY pos", pos)

    def last_pos(self) -> int:
        """Return the position of the latest entry, 0 where there is none."""
        return self._one("SELECT max(pos) FROM entry") or 0

    def row(self, entry_id: str) -> Row | None:
        """Return an entry by its id, or None."""
        return next(iter(self._rows("WHERE id = ?", entry_id)), None)

    def kind_rows(self, *kinds: str, since_ms: int | None = None) -> list[Row]:
        """Return the entries of some kinds, all or those recorded since a time."""
        marks = ", ".join("?" * len(kinds))
        since = -(2**62) if since_ms is None else since_ms
        where = f"WHERE kind IN ({marks}) AND wall_ms >= ? ORDER BY pos"
        return self._rows(where, *map(str, kinds), since)

    def tally(self) -> dict[str, int]:
        """Return how many entries there are of each kind."""
        return dict(self._read("SELECT kind, count(*) FROM entry GROUP BY kind ORDER BY kind"))

    def people(self) -> list[str]:
        """Return everybody an entry names as the one who did it."""
        return [name for (name,) in self._read("SELECT DISTINCT person FROM entry") if name]

    def last_rows(self, kiosk: str, count: int, kinds: Sequence[str]) -> list[Row]:
        """Return a kiosk's latest entries of some kinds, newest first."""
        marks = ", ".join("?" * len(kinds))
        where = f"WHERE kiosk = ? AND kind IN ({marks}) ORDER BY seq DESC LIMIT ?"
        return self._rows(where, kiosk, *kinds, count)

    def open_units(self) -> list[Key]:
        """Return the units of open jobs, in the order in which lists named them."""
        return self._read(
            "SELECT unit.job, unit.unit FROM unit JOIN job ON job.code = unit.job"
            " WHERE job.is_open AND unit.is_there ORDER BY unit.place"
        )

    def units_of(self, job: str) -> list[str]:
        """Return the names of a job's units."""
        query = "SELECT unit FROM unit WHERE job = ? AND is_there ORDER BY place"
        return [unit for (unit,) in self._read(query, job)]

    def all_units_of(self, job: str) -> list[str]:
        """Return the names of all units of a job, those a list left out too."""
        query = "SELECT unit FROM unit WHERE job = ? ORDER BY place"
        return [unit for (unit,) in self._read(query, job)]

    def jobs(self) -> list[tuple[str, bool, Mapping[str, Any]]]:
        """Return all jobs: code, open, body."""
        with told(self._path):
            found = self._read("SELECT code, is_open, body FROM job ORDER BY rowid")
            return [(code, bool(is_open), json.loads(body)) for code, is_open, body in found]

    def find_piece(self, code: str) -> Key | None:
        """Return the unit a code belongs to, or None."""
        return next(iter(self._read("SELECT job, unit FROM piece WHERE code = ?", code)), None)

    def data_version(self) -> int:
        """Return a number that differs once another process has written to the file."""
        return self._one("PRAGMA data_version") or 0

    def _rows(self, where: str, *values: object) -> list[Row]:
        with told(self._path):
            found = self._read(f"SELECT {COLUMNS} FROM entry {where}", *values)
            return [Row(*(*row[:12], json.loads(row[12]))) for row in found]

    def _one(self, query: str, *values: object) -> int | None:
        found = self._read(query, *values)
        return None if not found or found[0][0] is None else int(found[0][0])

    def _read(self, query: str, *values: object) -> list[Any]:  # Any: rows of SQLite's values
        """Read all at once: a cursor left half read keeps the write-ahead log from shrinking."""
        with self._turn, told(self._path):
            return list(self._db.execute_sql(query, values).fetchall())


def _chunks(rows: Sequence[Any]) -> Iterator[Sequence[Any]]:
    for start in range(0, len(rows), _CHUNK):
        yield rows[start : start + _CHUNK]
