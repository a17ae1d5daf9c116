"""Copy a shop's file safely while it is in use, check a copy, and bring it back."""

from __future__ import annotations

import os
import sqlite3
from contextlib import closing, suppress
from pathlib import Path

from db.connect import DatabaseRefused, DbError, sync_folder, told
from db.records import SKIPPED

_TAILS = ("-wal", "-shm")  # what SQLite keeps beside a file in use
_DAMAGED = (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB)


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

    Raises:
        DbError: the file cannot be read at all.
    """
    if not path.is_file():
        raise DbError(f"{path} is not there")
    try:
        with closing(_look_at(path)) as database:
            found = [str(row[0]) for row in database.execute("PRAGMA integrity_check(5)")]
            tables = {row[0] for row in database.execute("SELECT name FROM sqlite_master")}
    except sqlite3.Error as error:
        return [str(error)]
    if "entry" not in tables:
        return ["it holds no log"]
    return [] if found == ["ok"] else found


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


def _look_at(path: Path) -> sqlite3.Connection:
    """Open for reading only; as an address, so that # and ? in a name stay part of it."""
    return sqlite3.connect(f"{path.absolute().as_uri()}?mode=ro", uri=True)


def _skip_numbers(part: Path, path: Path) -> None:
    with closing(sqlite3.connect(part, isolation_level=None)) as new:
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
    with suppress(sqlite3.Error), closing(_look_at(path)) as old:
        return old.execute("SELECT kiosk, next FROM counter").fetchall()
    return []


def _put_aside(path: Path) -> Path:
    """Keep the file that is replaced under a name of its own; refuse where somebody has it open."""
    with closing(sqlite3.connect(path, timeout=1)) as old:
        try:
            # Leaving write-ahead logging brings the log home, and fails while any other connection
            # is open, also one that does nothing at the moment (sqlite.org, "PRAGMA journal_mode").
            old.execute("PRAGMA journal_mode = delete").fetchone()
        except sqlite3.DatabaseError as error:
            if getattr(error, "sqlite_errorcode", 0) & 0xFF not in _DAMAGED:
                raise
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
