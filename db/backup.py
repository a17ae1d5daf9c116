"""Copy a shop's file safely while it is in use, check a copy, and bring it back."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

from db.connect import DatabaseRefused, DbError, told


def backup(path: Path, to: Path) -> None:
    """Write a checked copy of a running file; the copy appears whole or not at all.

    Raises:
        DbError: no copy was made.
    """
    if not path.is_file():
        raise DbError(f"{path} is not there; there is nothing to copy")
    part = to.with_name(to.name + ".part")
    part.unlink(missing_ok=True)
    with told(str(to)), closing(sqlite3.connect(path)) as source:
        source.execute("VACUUM INTO ?", (str(part),))
    problems = verify(part)
    if problems:
        part.unlink(missing_ok=True)
        raise DbError(f"the copy is not whole: {'; '.join(problems)}")
    part.replace(to)


def verify(path: Path) -> list[str]:
    """Return what is wrong with a file, in words; empty where it is whole.

    Raises:
        DbError: the file cannot be read at all.
    """
    if not path.is_file():
        raise DbError(f"{path} is not there")
    try:
        with closing(sqlite3.connect(f"file:{path}?mode=ro", uri=True)) as database:
            found = [str(row[0]) for row in database.execute("PRAGMA integrity_check(5)")]
            tables = {row[0] for row in database.execute("SELECT name FROM sqlite_master")}
    except sqlite3.Error as error:
        return [str(error)]
    if "entry" not in tables:
        return ["it holds no log"]
    return [] if found == ["ok"] else found


def restore(copy: Path, path: Path) -> Path | None:
    """Put a copy in place of the shop's file and return where what was there is kept, if anything.

    Raises:
        DbError: the copy is damaged or the file is in use; nothing was changed.
    """
    problems = verify(copy)
    if problems:
        raise DatabaseRefused(f"{copy} is not whole: {'; '.join(problems)}")
    part = path.with_name(path.name + ".part")
    part.unlink(missing_ok=True)
    with told(str(copy)), closing(sqlite3.connect(f"file:{copy}?mode=ro", uri=True)) as source:
        source.execute("VACUUM INTO ?", (str(part),))
    kept = None
    if path.exists():
        with told(str(path)), closing(sqlite3.connect(path, timeout=1)) as old:
            # brings the write-ahead log home, and fails where a kiosk has the file open for writing
            old.execute("BEGIN EXCLUSIVE").connection.rollback()
            (busy, _log, _done) = old.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchone()
        if busy:
            part.unlink()
            raise DbError(f"{path} is in use; close the kiosk first")
        kept = _free_name(path)
        path.replace(kept)
        for tail in ("-wal", "-shm"):
            path.with_name(path.name + tail).unlink(missing_ok=True)
    part.replace(path)
    return kept


def _free_name(path: Path) -> Path:
    number = 1
    while (name := path.with_name(f"{path.name}.before-restore-{number}")).exists():
        number += 1
    return name
