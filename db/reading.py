"""Read a shop file's log and its projection."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from pathlib import Path
from threading import RLock
from typing import Any, TypeAlias

import peewee

from db.connect import told
from db.hybrid import AHEAD_MS
from db.records import COLUMNS, Row

Key: TypeAlias = tuple[str, str]
# Of entries that came in late from elsewhere, so many of a kind may lie after the latest. Choice.
_LATEST = 100
_CHUNK = 300  # rows a statement: below every limit on bound values
# Each kiosk's latest entry, found by stepping from letter to letter through the index: GROUP BY
# would read all of it, at every round of an exchange.
LATEST = (
    "WITH RECURSIVE letter (kiosk) AS (SELECT min(kiosk) FROM entry UNION ALL"
    " SELECT (SELECT min(kiosk) FROM entry WHERE entry.kiosk > letter.kiosk) FROM letter"
    " WHERE letter.kiosk IS NOT NULL)"
    " SELECT {} FROM letter JOIN entry e ON e.kiosk = letter.kiosk"
    " AND e.seq = (SELECT max(seq) FROM entry WHERE entry.kiosk = letter.kiosk)"
)


class Reader:
    """Reads one shop file, on one connection; threads that share it take turns."""

    def __init__(self, database: peewee.SqliteDatabase, path: Path) -> None:
        self._db, self._path = database, path
        self._turn = RLock()

    def unit_rows(self, job: str, unit: str) -> list[Row]:
        """Return all entries about a unit as they arrived."""
        return self._rows("WHERE job = ? AND unit = ? ORDER BY pos", job, unit)

    def units_rows(self, keys: Iterable[Key]) -> Iterator[Row]:
        """Yield the entries about many units, unit by unit as they arrived."""
        for chunk in chunks(list(keys)):
            wanted = ", ".join(["(?, ?)"] * len(chunk))
            flat = [text for key in chunk for text in key]
            where = f"WHERE (job, unit) IN (VALUES {wanted}) ORDER BY job, unit, pos"
            yield from self._rows(where, *flat)

    def job_rows(self, job: str, *, without: str = "") -> list[Row]:
        """Return the entries about a job as a whole, those of one kind left out."""
        return self._rows("WHERE job = ? AND unit = '' AND kind <> ? ORDER BY pos", job, without)

    def rows_of_units(self, job: str) -> list[Row]:
        """Return the entries about all units of a job, those no list named too, unit by unit."""
        return self._rows("WHERE job = ? AND unit <> '' ORDER BY unit, pos", job)

    def rows_after(self, pos: int) -> list[Row]:
        """Return the entries that arrived after a position."""
        return self._rows("WHERE pos > ? ORDER BY pos", pos)

    def last_pos(self) -> int:
        """Return the position of the latest entry, 0 where there is none."""
        return self._one("SELECT max(pos) FROM entry") or 0

    def row(self, entry_id: str) -> Row | None:
        """Return an entry by its id, or None."""
        return next(iter(self._rows("WHERE id = ?", entry_id)), None)

    def entries(self, ids: Iterable[str]) -> list[Row]:
        """Return entries by their ids, in no order; unknown ones are left out."""
        found: list[Row] = []
        for chunk in chunks(list(ids)):
            found += self._rows(f"WHERE id IN ({', '.join('?' * len(chunk))})", *chunk)
        return found

    def kind_rows(self, *kinds: str, since_ms: int | None = None) -> list[Row]:
        """Return the entries of some kinds, all or those recorded since a time."""
        marks = ", ".join("?" * len(kinds))
        since = -(2**62) if since_ms is None else since_ms
        where = f"WHERE kind IN ({marks}) AND wall_ms >= ? ORDER BY pos"
        return self._rows(where, *map(str, kinds), since)

    def last_of_kind(self, kind: str, *, until_ms: int) -> Row | None:
        """Return the latest shop-wide entry of a kind up to a time, in the order of the log.

        It is looked for among those that arrived last, from their index: a log has thousands.
        """
        at = "min(wall_ms, ifnull(received_ms, wall_ms) + ?)"
        latest = (
            f"SELECT pos FROM entry WHERE kind = ? AND job = '' AND unit = '' AND {at} <= ?"
            f" ORDER BY pos DESC LIMIT {_LATEST}"
        )
        order = "min(l, ifnull(received_ms, l) + ?) DESC, l DESC, c DESC, kiosk DESC, seq DESC"
        where = f"WHERE pos IN ({latest}) ORDER BY {order} LIMIT 1"
        found = self._rows(where, str(kind), AHEAD_MS, until_ms, AHEAD_MS)
        return next(iter(found), None)

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

    def last_wall_ms(self, kiosk: str) -> int | None:
        """Return what a kiosk's clock said at its latest entry, or None."""
        query = "SELECT wall_ms FROM entry WHERE kiosk = ? ORDER BY seq DESC LIMIT 1"
        return self._one(query, kiosk)

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

    def is_open_unit(self, job: str, unit: str) -> bool:
        """Tell whether a unit is there, and its job open."""
        query = (
            "SELECT 1 FROM unit JOIN job ON job.code = unit.job"
            " WHERE unit.job = ? AND unit.unit = ? AND is_open AND is_there"
        )
        return bool(self._read(query, job, unit))

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
            return [Row(*(*row[:12], json.loads(row[12]), row[13])) for row in found]

    def _one(self, query: str, *values: object) -> int | None:
        found = self._read(query, *values)
        return None if not found or found[0][0] is None else int(found[0][0])

    def _read(self, query: str, *values: object) -> list[Any]:  # Any: rows of SQLite's values
        """Read all at once: a cursor left half read keeps the write-ahead log from shrinking."""
        with self._turn, told(self._path):
            return list(self._db.execute_sql(query, values).fetchall())

    def heads(self) -> dict[str, tuple[int, str]]:
        """Return the place in its sequence and the link of each kiosk's latest entry."""
        query = LATEST.format("e.kiosk, e.seq, e.chain")
        return {kiosk: (seq, chain) for kiosk, seq, chain in self._read(query)}

    def sent(self) -> dict[str, int]:
        """Return by kiosk that wrote in this file itself up to which entry a server has theirs."""
        return dict(self._read("SELECT kiosk, sent FROM own ORDER BY kiosk"))

    def outbox(self, count: int) -> list[Row]:
        """Return the first entries made here that no server is known to have, in sequence order."""
        where = "JOIN own USING (kiosk) WHERE seq > sent ORDER BY kiosk, seq LIMIT ?"
        return self._rows(where, count)

    def kiosk_rows(self, kiosk: str, after: int, count: int) -> list[Row]:
        """Return a kiosk's entries after a place in its sequence, in order."""
        return self._rows("WHERE kiosk = ? AND seq > ? ORDER BY seq LIMIT ?", kiosk, after, count)


def chunks(rows: Sequence[Any]) -> Iterator[Sequence[Any]]:
    """Yield rows in pieces that fit into one statement."""
    for start in range(0, len(rows), _CHUNK):
        yield rows[start : start + _CHUNK]
