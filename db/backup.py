"""Copy a shop's file safely while it is in use, check a copy, and bring it back."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import closing, suppress
from itertools import islice
from pathlib import Path
from typing import Any

import apsw

from db.chain import faults
from db.connect import DatabaseRefused, DbError, sync_folder, told
from db.records import SKIPPED

_TAILS = ("-wal", "-shm")  # what SQLite keeps beside a file in use
_FAULTS = 5  # so many are told of, at most
# NOT INDEXED: an index has copies of some fields, which a damaged row would be read from
_LINKS = (
    "SELECT id, kiosk, seq, l, c, wall_ms, person, kind, job, unit, body, chain"
    " FROM entry NOT INDEXED ORDER BY kiosk, seq"
)
_DAMAGED = (apsw.CorruptError, apsw.NotADBError)


def backup(path: Path, to: Path) -> None:
    """Write a checked copy of a running file; the copy appears whole or not at all.

    Raises:
        DbError: no copy was made; a copy that stood at that name before is still there.
    """
    if not path.is_file():
        raise DbError(f"{path} is not there; there is nothing to copy")
    if to.resolve() == path.resolve():
        raise DbError(f"{to} is the shop's file itself; give the copy another name")
    part = _copy_beside(path, to)
    part.replace(to)
    sync_folder(to.parent)


def verify(path: Path) -> list[str]:
    """Return what is wrong with a file, in words; empty where it is whole.

    SQLite's own check and foreign keys, then every entry against the links between them; of a
    file from before there were links its entries alone are not looked at.

    Raises:
        DbError: the file cannot be read at all.
    """
    if not path.is_file():
        raise DbError(f"{path} is not there")
    try:
        with closing(_look_at(path)) as database:
            found = [str(row[0]) for row in database.execute("PRAGMA integrity_check(5)")]
            tables = {row[0] for row in database.execute("SELECT name FROM sqlite_master")}
            if found == ["ok"]:
                found = [*islice(_unsound(database, tables), _FAULTS)] or found
    except apsw.Error as error:
        return [str(error)]
    if "entry" not in tables:
        return ["it holds no log"]
    return [] if found == ["ok"] else found


def _unsound(database: apsw.Connection, tables: set[Any]) -> Iterator[str]:
    for table, *_rest in database.execute("PRAGMA foreign_key_check"):
        yield f"{table} names something that is not there"
    if "own" in tables:
        rows: Any = database.execute(_LINKS)
        yield from faults(rows)


def restore(copy: Path, path: Path) -> Path | None:
    """Put a copy in place of the shop's file and return where what was there is kept, if anything.

    A damaged file is replaced too, that is what copies are for. Numbers for codes go on after the
    last one known to either file, and a stretch further: some may be on labels already.

    Raises:
        DbError: the copy is damaged or the file is in use; nothing was changed.
    """
    problems = verify(copy)
    if problems:
        raise DatabaseRefused(f"{copy} is not whole: {'; '.join(problems)}")
    if copy.resolve() == path.resolve():
        raise DbError(f"{copy} is the shop's file itself; name a copy of it")
    part = _copy_beside(copy, path)
    try:
        with told(path):
            _skip_numbers(part, path)
            kept = _put_aside(path) if path.exists() else None
    except (DbError, OSError):
        part.unlink()
        raise
    part.replace(path)
    sync_folder(path.parent)
    return kept


def _copy_beside(path: Path, to: Path) -> Path:
    """Write a checked, durable copy under a passing name beside where it will stand."""
    if not to.parent.is_dir():
        raise DbError(f"the folder {to.parent} is not there; make it first")
    part = to.with_name(to.name + ".part")
    part.unlink(missing_ok=True)
    try:
        with told(path), closing(_look_at(path)) as source:
            source.execute("VACUUM INTO ?", (str(part),))
        if problems := verify(part):
            raise DbError(f"the copy is not whole: {'; '.join(problems)}")
    except DbError:
        part.unlink(missing_ok=True)
        raise
    with part.open("rb") as handle:
        os.fsync(handle)
    return part


def _look_at(path: Path) -> apsw.Connection:
    """Open for reading only."""
    return apsw.Connection(str(path), flags=apsw.SQLITE_OPEN_READONLY)


def _skip_numbers(part: Path, path: Path) -> None:
    with closing(apsw.Connection(str(part))) as new:
        new.execute("PRAGMA synchronous = FULL")
        for kiosk, number in _counters(path):
            new.execute(
                "INSERT INTO counter (kiosk, next) VALUES (?, ?)"
                " ON CONFLICT (kiosk) DO UPDATE SET next = max(next, excluded.next)",
                (kiosk, number),
            )
        new.execute("UPDATE counter SET next = next + ?", (SKIPPED,))


def _counters(path: Path) -> list[tuple[str, int]]:
    # not there, or damaged: then the stretch alone must do
    with suppress(apsw.Error), closing(_look_at(path)) as old:
        rows: list[Any] = old.execute("SELECT kiosk, next FROM counter").fetchall()
        return rows
    return []


def _put_aside(path: Path) -> Path:
    """Keep the file that is replaced under a name of its own; refuse where somebody has it open."""
    with closing(apsw.Connection(str(path))) as old:
        old.set_busy_timeout(1_000)
        with suppress(*_DAMAGED):
            # Leaving write-ahead logging brings the log home, and fails while any other connection
            # is open, also one that does nothing at the moment (sqlite.org, "PRAGMA journal_mode").
            old.execute("PRAGMA journal_mode = delete").fetchall()
    kept = _free_name(path)
    for tail in _TAILS:  # of a damaged file; a sound one has none any more
        with suppress(FileNotFoundError):
            path.with_name(path.name + tail).replace(kept.with_name(kept.name + tail))
    try:
        os.link(path, kept)  # no moment without a file under the shop's name
    except OSError:  # some disks know no second name for a file
        path.replace(kept)
    return kept


def _free_name(path: Path) -> Path:
    number = 1
    while (name := path.with_name(f"{path.name}.before-restore-{number}")).exists():
        number += 1
    return name
