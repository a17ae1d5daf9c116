"""Read what a shop's file holds as it stands: nothing is written, no schema is changed.

A copy is judged by what is in its tables, read row by row and not through an index: an index holds
some values twice, and SQLite would answer from there about a row that is damaged.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from contextlib import closing, contextmanager
from dataclasses import dataclass
from itertools import zip_longest
from pathlib import Path
from typing import Any

import apsw

from db.connect import DbError, told
from db.records import Row

# The columns of the first schema, which every file has; received_ms may come later to an entry.
_COLUMNS = "pos, id, kiosk, seq, l, c, wall_ms, received_ms, person, kind, job, unit, body"
_NEVER_CHANGED = "pos, id, kiosk, seq, l, c, wall_ms, person, kind, job, unit, body"


@dataclass(frozen=True, slots=True)
class Lists:
    """The projection as it stands: jobs by code, whether a unit is there, the unit of a code."""

    jobs: Mapping[str, tuple[bool, Mapping[str, Any]]]  # Any: JSON
    units: Mapping[tuple[str, str], bool]
    pieces: Mapping[str, tuple[str, str]]


class Contents:
    """What is in one file, of any schema."""

    def __init__(self, file: Any) -> None:  # Any: apsw tells of its rows that they may be anything
        self._file = file

    def rows(self) -> Iterator[Row]:
        """Yield every entry as it arrived; read all of it, or checkpoints wait.

        Raises:
            ValueError: an entry's body is no JSON.
        """
        found = self._file.execute(f"SELECT {_COLUMNS} FROM entry NOT INDEXED ORDER BY pos")
        for row in found:
            yield Row(*(*row[:12], json.loads(row[12])))

    def rows_about(self, job: str, unit: str) -> list[Row]:
        """Return the entries about a unit of a job, about the job itself for an empty unit."""
        return self._found("WHERE job = ? AND unit = ?", job, unit)

    def rows_of_units(self, job: str) -> list[Row]:
        """Return the entries about all units of a job."""
        return self._found("WHERE job = ? AND unit <> ''", job)

    def _found(self, where: str, *values: str) -> list[Row]:
        """Look entries up; that the index agrees with them is what SQLite's own check tells."""
        found = self._file.execute(f"SELECT {_COLUMNS} FROM entry {where}", values).fetchall()
        return [Row(*(*row[:12], json.loads(row[12]))) for row in found]

    def lists(self) -> Lists:
        """Return the projection.

        Raises:
            ValueError: a job's body is no JSON.
        """
        jobs = self._file.execute("SELECT code, is_open, body FROM job NOT INDEXED").fetchall()
        units = self._file.execute("SELECT job, unit, is_there FROM unit NOT INDEXED").fetchall()
        pieces = self._file.execute("SELECT code, job, unit FROM piece NOT INDEXED").fetchall()
        return Lists(
            {code: (bool(is_open), json.loads(body)) for code, is_open, body in jobs},
            {(job, unit): bool(is_there) for job, unit, is_there in units},
            {code: (job, unit) for code, job, unit in pieces},
        )

    def count(self) -> int:
        """Return how many entries there are."""
        found = self._file.execute("SELECT count(*) FROM entry NOT INDEXED").fetchone()
        return int(found[0])

    def first_ms(self) -> int | None:
        """Return when the first entry was recorded, None where there is none."""
        found = self._file.execute("SELECT wall_ms FROM entry ORDER BY pos LIMIT 1").fetchone()
        return None if found is None else int(found[0])

    def last_ms(self) -> int | None:
        """Return when the latest entry was recorded, None where there is none."""
        found = self._file.execute("SELECT max(wall_ms) FROM entry").fetchone()
        return None if found[0] is None else int(found[0])

    def kept(self) -> Iterator[tuple[Any, ...]]:  # Any: rows of SQLite's values
        """Yield of every entry, as it arrived, what is never changed after."""
        yield from self._file.execute(
            f"SELECT {_NEVER_CHANGED} FROM entry NOT INDEXED ORDER BY pos"
        )


def look_at(path: Path) -> apsw.Connection:
    """Open a file for reading only."""
    return apsw.Connection(str(path), flags=apsw.SQLITE_OPEN_READONLY)


@contextmanager
def looking_into(path: Path) -> Iterator[Contents]:
    """Open a file for reading only.

    Raises:
        DbError: it cannot be read; the text says why.
    """
    if not path.is_file():
        raise DbError(f"{path} is not there")
    with told(path), closing(look_at(path)) as file:
        yield Contents(file)


def first_other(copy: Contents, shop: Contents) -> int | None:
    """Return the place of the first entry of a copy that the shop has not, or has otherwise.

    Entries are only ever added, in the order of their arrival: so a copy holds what its shop held
    first. Counted from 1; None where the shop has all of them just so.
    """
    pairs = zip_longest(copy.kept(), shop.kept())
    for place, (ours, theirs) in enumerate(pairs, start=1):
        if ours is None:
            return None
        if ours != theirs:
            return place
    return None
