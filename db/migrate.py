"""Bring a file's schema up to the program's, one step at a time, with a copy first."""

from __future__ import annotations

import fcntl
from collections.abc import Callable
from pathlib import Path

import peewee

from db.connect import DatabaseRefused
from db.records import TABLES, proxy


def _make_tables(database: peewee.SqliteDatabase) -> None:
    database.create_tables(TABLES)


# Step n brings schema n to n + 1; steps are only ever added at the end.
STEPS: tuple[Callable[[peewee.SqliteDatabase], None], ...] = (_make_tables,)


def migrate(database: peewee.SqliteDatabase, path: Path) -> None:
    """Bring the file to the program's schema; two processes at once are kept apart by a lock.

    Raises:
        DatabaseRefused: the file was made by a newer program.
    """
    proxy.initialize(database)
    if _version(database) == len(STEPS):
        return
    with path.with_name(path.name + ".lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        version = _version(database)
        if version > len(STEPS):
            raise DatabaseRefused(
                f"{path} was made by a newer program (schema {version}, this one knows "
                f"{len(STEPS)}); install the newer one on this kiosk too"
            )
        if 0 < version < len(STEPS):
            _keep_copy(database, path.with_name(f"{path.name}.schema-{version}"))
        for number in range(version, len(STEPS)):
            with database.atomic():
                STEPS[number](database)
                database.execute_sql(f"PRAGMA user_version = {number + 1}")


def _version(database: peewee.SqliteDatabase) -> int:
    (version,) = database.execute_sql("PRAGMA user_version").fetchone()
    return int(version)


def _keep_copy(database: peewee.SqliteDatabase, copy: Path) -> None:
    copy.unlink(missing_ok=True)
    database.execute_sql("VACUUM INTO ?", (str(copy),))
