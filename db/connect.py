"""Open the shop's SQLite file so that what is acknowledged is kept, or refuse in words."""

from __future__ import annotations

import fcntl
import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import apsw
import peewee
from playhouse.apsw_ext import APSWDatabase

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


# SQLite up to 3.51.2 can damage a file where two connections write at the same instant (sqlite.org,
# "Write-Ahead Logging", the WAL-reset bug; mended in 3.51.3, 3.50.7, 3.44.6), and the one that
# Python links on Debian 12 is 3.40.1. So the file is opened by apsw, which brings its own, and by
# nothing else in this process: two copies of SQLite in one process undo each other's locks
# (sqlite.org, "How To Corrupt An SQLite Database File", 2.2.1).
SQLITE_VERSION = apsw.sqlite_lib_version()


class DbError(Exception):
    """Something about the shop's file is broken; the text says what and what to do."""


class DatabaseRefused(DbError):
    """The file is not one the program can work with safely."""


class DiskFull(DbError):
    """The disk has no room; nothing was written."""


class ReadOnly(DbError):
    """The file cannot be written; nothing was written."""


class DiskFailed(DbError):
    """The disk did not read or write; nothing was written."""


# What SQLite's primary result codes (sqlite.org, "Result and Error Codes") mean for a person.
_WORDS: dict[int, tuple[type[DbError], str]] = {
    apsw.SQLITE_FULL: (DiskFull, "the disk is full: make room, then go on; {} is as it was"),
    apsw.SQLITE_READONLY: (
        ReadOnly,
        "{} cannot be written: give the kiosk's user the file and its folder",
    ),
    apsw.SQLITE_IOERR: (
        DiskFailed,
        "the disk did not take {}: look at its room, its cable and its health, then try again",
    ),
    apsw.SQLITE_BUSY: (
        DbError,
        "{} is held by another program: close that one, or wait and try again",
    ),
    apsw.SQLITE_CORRUPT: (
        DatabaseRefused,
        "{} is damaged: bring back the latest copy with `cleatclock restore`",
    ),
    apsw.SQLITE_NOTADB: (DatabaseRefused, "{} is no shop file: name the right one"),
    apsw.SQLITE_CANTOPEN: (
        DatabaseRefused,
        "{} cannot be opened: look whether it is a file, and whose",
    ),
}


def connect(path: Path) -> peewee.SqliteDatabase:
    """Open a file, making it where there is none, and read its settings back.

    Raises:
        DatabaseRefused: not a database, damaged, not writable, or its settings do not hold.
    """
    if not path.parent.is_dir():
        raise DatabaseRefused(f"the folder {path.parent} is not there; make it first")
    is_new = not path.exists()
    if not os.access(path.parent if is_new else path, os.W_OK):
        raise DatabaseRefused(f"{path} cannot be written: give the kiosk's user file and folder")
    # One connection a file, whichever thread asks: peewee would open another for each thread.
    # db.log keeps the threads apart.
    database: peewee.SqliteDatabase = APSWDatabase(
        str(path),
        pragmas=PRAGMAS,
        timeout=TIMEOUT_S,
        lock_type="IMMEDIATE",
        thread_safe=False,
        autoconnect=False,
    )
    try:
        # SQLite does not wait for another process that turns the same new file to WAL
        with locked(path), told(path):
            database.connect()
            _read_back(database, path)
            database.execute_sql("SELECT count(*) FROM sqlite_master").fetchone()
        if is_new:
            sync_folder(path.parent)
    except DatabaseRefused:
        database.close()
        raise
    except (DbError, OSError) as error:
        database.close()
        raise DatabaseRefused(str(error)) from error
    return database


def _read_back(database: peewee.SqliteDatabase, path: Path) -> None:
    """Refuse a file whose settings do not hold: SQLite ignores what it cannot do in silence."""
    for name, wanted in _MUST_BE.items():
        (found,) = database.execute_sql(f"PRAGMA {name}").fetchone()
        if found != wanted:
            raise DatabaseRefused(
                f"{path} does not keep {name}={wanted} (it is {found}); "
                "put it on a disk of this machine, not a network folder"
            )


def beside(path: Path) -> Path:
    """Return the file in which SQLite keeps what was written and waits to come into the file."""
    return path.with_name(path.name + "-wal")


@contextmanager
def locked(path: Path) -> Iterator[None]:
    """Keep other processes from opening or migrating the same file meanwhile.

    Raises:
        DatabaseRefused: the folder cannot be written.
    """
    try:
        lock = path.with_name(path.name + ".lock").open("w")
    except OSError as error:
        raise DatabaseRefused(f"the folder of {path} cannot be written: {error}") from error
    with lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        yield


@contextmanager
def told(path: Path) -> Iterator[None]:
    """Turn what SQLite says inside into one of our errors, in words.

    Raises:
        DbError: of the kind that fits; also where a text cannot be kept as UTF-8 or JSON.
    """
    try:
        yield
    except (peewee.PeeweeException, apsw.Error) as error:
        kind, words = _WORDS.get(_code(error), (DbError, f"{{}}: {error}"))
        raise kind(words.replace("{}", str(path))) from error
    except ValueError as error:
        raise DbError(f"{path} cannot keep or read this text: {error}") from error


def _code(error: BaseException | None) -> int:
    """Return SQLite's primary result code of an error, or of the one it hides.

    SQLite rolls back by itself when the disk is full; the second rollback then fails and hides why.
    """
    while error is not None:
        if isinstance(error, apsw.Error) and "cannot rollback" not in str(error):
            return int(getattr(error, "result", 0)) & 0xFF
        error = error.__context__
    return 0


def sync_folder(folder: Path) -> None:
    """Make a new file's name durable; a name in an unsynced folder may vanish at power loss."""
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
