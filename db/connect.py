"""Open the shop's SQLite file so that what is acknowledged is kept, or refuse in words."""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import peewee

# WAL with FULL syncs the log at every commit: durable through power loss if the disk obeys
# (sqlite.org, "PRAGMA synchronous" and "Write-Ahead Logging").
PRAGMAS = {
    "journal_mode": "wal",
    "synchronous": 2,
    "foreign_keys": 1,
    "journal_size_limit": 16 * 1024 * 1024,
    "cell_size_check": 1,
}
_MUST_BE = {"journal_mode": "wal", "synchronous": 2, "foreign_keys": 1}
TIMEOUT_S = 10  # longer than any other process holds the file


class DbError(Exception):
    """Something about the shop's file is broken; the text says what and what to do."""


class DatabaseRefused(DbError):
    """The file is not one the program can work with safely."""


class DiskFull(DbError):
    """The disk has no room; nothing was written."""


class ReadOnly(DbError):
    """The file cannot be written; nothing was written."""


def connect(path: Path) -> peewee.SqliteDatabase:
    """Open a file, making it where there is none, and read its settings back.

    Raises:
        DatabaseRefused: not a database, damaged, not writable, or its settings do not hold.
    """
    if not path.parent.is_dir():
        raise DatabaseRefused(f"the folder {path.parent} is not there; make it first")
    is_new = not path.exists()
    database = peewee.SqliteDatabase(
        str(path), pragmas=PRAGMAS, timeout=TIMEOUT_S, lock_type="IMMEDIATE"
    )
    try:
        database.connect()
        for name, wanted in _MUST_BE.items():
            (found,) = database.execute_sql(f"PRAGMA {name}").fetchone()
            if found != wanted:
                raise DatabaseRefused(
                    f"{path} does not keep {name}={wanted} (it is {found}); "
                    "put it on a disk of this machine, not a network folder"
                )
        database.execute_sql("SELECT count(*) FROM sqlite_master").fetchone()
    except (peewee.DatabaseError, sqlite3.Error) as error:
        database.close()
        raise DatabaseRefused(f"{path} cannot be opened: {error}") from error
    except DatabaseRefused:
        database.close()
        raise
    if is_new:
        _sync_folder(path.parent)
    return database


@contextmanager
def told(path: str) -> Iterator[None]:
    """Turn what SQLite says inside into one of our errors, in words."""
    try:
        yield
    except (peewee.DatabaseError, sqlite3.Error) as error:
        text = _all_said(error)
        if "full" in text:
            message = f"the disk is full: make room, then go on; {path} is as it was before"
            raise DiskFull(message) from error
        if "readonly" in text or "read-only" in text:
            message = f"{path} cannot be written: give the kiosk's user the file and its folder"
            raise ReadOnly(message) from error
        raise DbError(f"{path}: {error}") from error


def _all_said(error: BaseException | None) -> str:
    """Return the words of an error and of those behind it.

    SQLite rolls back by itself when the disk is full; the second rollback then fails and hides why.
    """
    words = []
    while error is not None:
        words.append(str(error).lower())
        error = error.__context__
    return " ".join(words)


def _sync_folder(folder: Path) -> None:
    """Make the new file's name durable; a file in an unsynced folder may vanish at power loss."""
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
