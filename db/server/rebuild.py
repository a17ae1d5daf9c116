"""Bring the shop files' entries into a server that lacks them, as after it was lost for good."""

from __future__ import annotations

import tempfile
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import groupby
from pathlib import Path
from typing import TYPE_CHECKING

from db.backup import backup
from db.chain import FIRST, link
from db.log import Log
from db.records import Row, fields_of
from db.server.kiosks import NOW, shop_of
from db.server.link import reached
from db.server.prepare import check_prepared

if TYPE_CHECKING:
    from db.server.link import Connection

_COLUMNS = "id, kiosk, seq, l, c, wall_ms, person, kind, job, unit, body, chain"
_INSERT = (
    f"INSERT INTO cleatclock.entry (shop, {_COLUMNS}, received_ms)"
    f" VALUES ({', '.join(['%s'] * 13)}, coalesce(%s, {NOW}))"
)
Fields = tuple[str | int, ...]


@dataclass(slots=True)
class Rebuilt:
    """What came of it: how many entries were added, how many the server had, and what is wrong.

    problems are in words: entries left out because another stands in their place, copies that
    differ, places in a kiosk's sequence that no file and not the server has. no_login are the
    letters of kiosks that wrote entries and have no login here.
    """

    added: int = 0
    known: int = 0
    problems: list[str] = field(default_factory=list)
    no_login: list[str] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class _Copy:
    """One file's copy of an entry; holds tells whether its link ties it to the one before."""

    row: Row
    file: Path
    holds: bool

    @property
    def fields(self) -> Fields:
        return (*fields_of(self.row), self.row.chain)


def rebuild(url: str, shop_files: Sequence[Path], *, shop: str | None = None) -> Rebuilt:
    """Add what the server lacks of the entries of some shop files, all or nothing.

    Nothing the server has is changed. An entry keeps the time a server received it, if one did.

    Args:
        url: as the owner of the prepared database.
        shop_files: of the kiosks, may be in use; copies of them do as well.
        shop: which, where the database holds several.

    Raises:
        DbError: a file cannot be read, or the server not be reached; nothing was added.
    """
    done = Rebuilt()
    copies = [copy for file in shop_files for copy in _read(file)]
    found = _one_of_each(copies, done)
    with reached(url) as connection:
        check_prepared(connection)
        shop = shop_of(connection, shop)
        connection.execute("LOCK TABLE cleatclock.entry IN SHARE ROW EXCLUSIVE MODE")
        query = f"SELECT {_COLUMNS} FROM cleatclock.entry WHERE shop = %s"
        there = {str(row[0]): row for row in connection.execute(query.encode(), (shop,))}
        new = _missing(found, there, done)
        values = [(shop, *copy.fields, copy.row.received_ms) for copy in new]
        connection.cursor().executemany(_INSERT.encode(), values)
        done.added = len(new)
        _tell_gaps([*there.values(), *(copy.fields for copy in new)], done)
        done.no_login = _without_login(connection, shop)
    return done


def _read(file: Path) -> list[_Copy]:
    """Read a checked copy: the file itself is in use, or of a version to be brought up to date."""
    with tempfile.TemporaryDirectory(prefix="cleatclock-") as folder:
        copy = Path(folder) / "copy.db"
        backup(file, copy)
        log = Log.open(copy)
        try:
            rows = log.rows_after(0)
        finally:
            log.close()
    links = {(row.kiosk, row.seq): row.chain for row in rows}
    return [_Copy(row, file, _holds(row, links)) for row in rows]


def _holds(row: Row, links: Mapping[tuple[str, int], str]) -> bool:
    before = FIRST if row.seq == 1 else links.get((row.kiosk, row.seq - 1))
    return before is not None and link(before, fields_of(row)) == row.chain


def _one_of_each(copies: Iterable[_Copy], done: Rebuilt) -> dict[str, _Copy]:
    """Return one copy of each entry; of several that differ the one whose link holds."""
    found: dict[str, _Copy] = {}
    for copy in copies:
        known = found.setdefault(copy.row.id, copy)
        if known is copy:
            continue
        kept, other = (copy, known) if copy.holds and not known.holds else (known, copy)
        if kept.fields != other.fields:
            why = "its link holds" if kept.holds and not other.holds else "it came first"
            done.problems.append(
                f"entry {_place(copy)} differs: the one of {kept.file} is taken, as {why},"
                f" not that of {other.file}"
            )
        stamps = [one.row.received_ms for one in (kept, other) if one.row.received_ms is not None]
        row = replace(kept.row, received_ms=min(stamps, default=None))
        found[copy.row.id] = replace(kept, row=row)
    return found


def _missing(found: Mapping[str, _Copy], there: Mapping[str, Fields], done: Rebuilt) -> list[_Copy]:
    """Return what the server lacks, by kiosk and sequence, and tell what cannot go in."""
    taken = {(fields[1], fields[2]): str(entry_id) for entry_id, fields in there.items()}
    new = []
    # of two in one place the one whose link holds comes first
    for copy in sorted(found.values(), key=lambda one: (one.row.kiosk, one.row.seq, not one.holds)):
        row = copy.row
        if row.id in there:
            done.known += 1
            if there[row.id] != copy.fields:
                words = (
                    f"entry {_place(copy)} of {copy.file} differs from the server's, which stays"
                )
                done.problems.append(words)
            continue
        other = taken.setdefault((row.kiosk, row.seq), row.id)
        if other != row.id:
            done.problems.append(
                f"entry {_place(copy)} of {copy.file} is left out: {other} stands in its place"
            )
        elif any("\0" in str(value) for value in copy.fields):
            words = f"entry {_place(copy)} of {copy.file} is left out: a NUL sign is in it"
            done.problems.append(words)
        else:
            if not copy.holds:
                words = f"entry {_place(copy)} of {copy.file} is added, but its link does not hold"
                done.problems.append(words)
            new.append(copy)
    return new


def _place(copy: _Copy) -> str:
    return f"{copy.row.kiosk} {copy.row.seq} ({copy.row.id})"


def _tell_gaps(entries: Iterable[Fields], done: Rebuilt) -> None:
    places = sorted((str(fields[1]), int(fields[2])) for fields in entries)
    for kiosk, ours in groupby(places, key=lambda place: place[0]):
        due = 1
        for _kiosk, seq in ours:
            if seq > due:
                done.problems.append(f"kiosk {kiosk}: entries {due} to {seq - 1} are in no file")
            due = seq + 1


def _without_login(connection: Connection, shop: str) -> list[str]:
    query = (
        "SELECT DISTINCT kiosk FROM cleatclock.entry e WHERE shop = %s AND NOT EXISTS"
        " (SELECT FROM cleatclock.kiosk k WHERE k.shop = e.shop AND k.letter = e.kiosk) ORDER BY 1"
    )
    return [str(letter) for (letter,) in connection.execute(query, (shop,))]
