"""Copy a shop's file safely while it is in use, check a copy, and bring it back."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable, Iterator
from contextlib import closing, suppress
from glob import escape
from itertools import islice
from pathlib import Path
from typing import Any

import apsw

from db.chain import faults
from db.connect import DatabaseRefused, DbError, DiskFull, beside, sync_folder, told
from db.contents import look_at
from db.records import LINKED, SKIPPED

_TAILS = ("-wal", "-shm")  # what SQLite keeps beside a file in use
_FAULTS = 5  # so many are told of, at most; choice
# NOT INDEXED: an index has copies of some fields, which a damaged row would be read from
_LINKS = f"SELECT {LINKED} FROM entry NOT INDEXED ORDER BY {{}}"
_DAMAGED = (apsw.CorruptError, apsw.NotADBError)
PART = ".part"  # what a copy's name ends in until it is whole
# Left free beside a copy, for the work of the hours to come: a day writes well below 1 MiB. Choice.
SPARE_BYTES = 32 * 2**20
Check = Callable[[Path], list[str]]


def backup(path: Path, to: Path, check: Check | None = None) -> None:
    """Write a checked copy of a running file; the copy appears whole or not at all.

    Args:
        path: the file; it may be in use.
        to: the copy's name.
        check: looks further into the copy before it gets its name; returns what is wrong.

    Raises:
        DbError: no copy was made; a copy that stood at that name before is still there.
    """
    if not path.is_file():
        raise DbError(f"{path} is not there; there is nothing to copy")
    if to.resolve() == path.resolve():
        raise DbError(f"{to} is the shop's file itself; give the copy another name")
    part = _copy_beside(path, to, check)
    part.replace(to)
    sync_folder(to.parent)


def check_room(path: Path, folder: Path) -> None:
    """Refuse a folder whose disk would be full with a copy of a file in it.

    Raises:
        DiskFull: in words, with what is needed and what is free.
        OSError: the folder cannot be looked at.
    """
    waiting = beside(path)
    needed = path.stat().st_size + (waiting.stat().st_size if waiting.is_file() else 0)
    free = shutil.disk_usage(folder).free
    if free < needed + SPARE_BYTES:
        raise DiskFull(
            f"the disk of {folder} has no room for a copy: "
            f"{(needed + SPARE_BYTES) / 2**20:,.0f} MiB are needed, {free / 2**20:,.0f} MiB are "
            "free. Move older copies or other files elsewhere"
        )


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
        with closing(look_at(path)) as database:
            found = [str(row[0]) for row in database.execute(f"PRAGMA integrity_check({_FAULTS})")]
            tables = {row[0] for row in database.execute("SELECT name FROM sqlite_master")}
            if found == ["ok"]:
                found = [*islice(_unsound(database, tables), _FAULTS)] or found
    except apsw.Error as error:
        return [str(error)]
    if "entry" not in tables:
        return ["it holds no log"]
    return [] if found == ["ok"] else found


def _unsound(database: apsw.Connection, tables: set[Any]) -> Iterator[str]:
    for table, _row, parent, _key in database.execute("PRAGMA foreign_key_check"):
        yield f"a row of {table} belongs to one of {parent} that is not there"
    if "own" not in tables:
        return
    try:
        # sorting needs as much room again beside the file: only where one came before its time
        order = "pos" if _arrived_in_sequence(database) else "kiosk, seq"
        rows: Any = database.execute(_LINKS.format(order))
        yield from faults(rows)
    except (ValueError, TypeError) as error:  # no UTF-8, no number
        yield f"an entry is not as it was written, it cannot be read ({error})"


def _arrived_in_sequence(database: apsw.Connection) -> bool:
    """Tell whether each kiosk's entries stand in its sequence, as those of an exchange do."""
    heads: dict[Any, Any] = {}
    for kiosk, seq in database.execute("SELECT kiosk, seq FROM entry NOT INDEXED ORDER BY pos"):
        if seq < heads.get(kiosk, 0):
            return False
        heads[kiosk] = seq
    return True


def restore(copy: Path, path: Path, check: Check | None = None) -> Path | None:
    """Put a copy in place of the shop's file and return where what was there is kept, if anything.

    A damaged file is replaced too, that is what copies are for. Numbers for codes go on after the
    last one known to either file, and a stretch further: some may be on labels already.

    Args:
        copy: stays as it is.
        path: the shop's file.
        check: looks further into what is to be put there; returns what is wrong.

    Raises:
        DbError: the copy is damaged or the file is in use; nothing was changed.
    """
    problems = verify(copy)
    if problems:
        raise DatabaseRefused(f"{copy} is not whole: {'; '.join(problems)}")
    if copy.resolve() == path.resolve():
        raise DbError(f"{copy} is the shop's file itself; name a copy of it")
    part = _copy_beside(copy, path, check)
    try:
        with told(path):
            _skip_numbers(part, path)
            kept = _put_aside(path) if path.exists() else None
    except (DbError, OSError):
        _clear(part)
        raise
    part.replace(path)
    sync_folder(path.parent)
    return kept


def leave_wal(part: Path) -> None:
    """Make a copy that was opened one file again, without what stands beside a file in use.

    Raises:
        DbError: it could not be done.
    """
    with told(part), closing(apsw.Connection(str(part))) as file:
        file.execute("PRAGMA journal_mode = delete").fetchall()
    _clear(part, ("-wal", "-shm", ".lock"))
    for older in part.parent.glob(f"{escape(part.name)}.schema-*"):
        older.unlink()


def _copy_beside(path: Path, to: Path, check: Check | None = None) -> Path:
    """Write a checked, durable copy under a passing name beside where it will stand."""
    if not to.parent.is_dir():
        raise DbError(f"the folder {to.parent} is not there; make it first")
    part = to.with_name(to.name + PART)
    _clear(part)
    try:
        check_room(path, to.parent)
        with told(path), closing(look_at(path)) as source:
            source.execute("VACUUM INTO ?", (str(part),))
        with part.open("rb") as handle:
            os.fsync(handle)
        problems = verify(part) or (check(part) if check is not None else [])
        if problems:
            raise DbError(f"the copy is not whole: {'; '.join(problems)}")
    except BaseException:
        _clear(part)
        raise
    return part


def _clear(part: Path, tails: tuple[str, ...] = ("", "-journal", *_TAILS, ".lock")) -> None:
    """Remove what a copy that broke off left behind.

    A full disk leaves half a copy and its journal, and the next copy of that name would be rolled
    back by it.
    """
    for tail in tails:
        part.with_name(part.name + tail).unlink(missing_ok=True)


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
    with suppress(apsw.Error, ValueError), closing(look_at(path)) as old:
        rows: list[Any] = old.execute("SELECT kiosk, next FROM counter").fetchall()
        return rows
    return []


def _put_aside(path: Path) -> Path:
    """Keep the file that is replaced under a name of its own; refuse where somebody has it open."""
    with closing(apsw.Connection(str(path))) as old, suppress(*_DAMAGED):
        old.set_busy_timeout(1_000)
        # Leaving write-ahead logging brings the log home, and fails while any other connection is
        # open, also one that does nothing at the moment (sqlite.org, "PRAGMA journal_mode").
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
