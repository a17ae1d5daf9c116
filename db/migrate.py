"""Bring a file's schema up to the program's, one step at a time, with a copy first."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path

import peewee

from db.chain import FIRST, link
from db.connect import DatabaseRefused, locked, sync_folder

_AT_ONCE = 10_000  # entries in memory; choice
# Frozen: a step stays as it was on the day it came, whatever the tables in records.py become.
_FIRST = """
CREATE TABLE entry (pos INTEGER NOT NULL PRIMARY KEY, id TEXT NOT NULL, kiosk TEXT NOT NULL,
  seq INTEGER NOT NULL, l INTEGER NOT NULL, c INTEGER NOT NULL, wall_ms INTEGER NOT NULL,
  received_ms INTEGER, person TEXT NOT NULL, kind TEXT NOT NULL, job TEXT NOT NULL,
  unit TEXT NOT NULL, body TEXT NOT NULL);
CREATE UNIQUE INDEX entry_id ON entry (id);
CREATE UNIQUE INDEX entry_kiosk_seq ON entry (kiosk, seq);
CREATE INDEX entry_job_unit_pos ON entry (job, unit, pos);
CREATE INDEX entry_kind_pos ON entry (kind, pos);
CREATE TABLE job (code TEXT NOT NULL PRIMARY KEY, is_open INTEGER NOT NULL, body TEXT NOT NULL);
CREATE TABLE unit (place INTEGER NOT NULL PRIMARY KEY, job TEXT NOT NULL, unit TEXT NOT NULL,
  is_there INTEGER NOT NULL);
CREATE UNIQUE INDEX unit_job_unit ON unit (job, unit);
CREATE TABLE piece (code TEXT NOT NULL PRIMARY KEY, job TEXT NOT NULL, unit TEXT NOT NULL);
CREATE TABLE counter (kiosk TEXT NOT NULL PRIMARY KEY, next INTEGER NOT NULL)
"""


def _make_tables(database: peewee.SqliteDatabase) -> None:
    for statement in _FIRST.split(";"):
        database.execute_sql(statement)


def _mark_stops_and_index_time(database: peewee.SqliteDatabase) -> None:
    database.execute_sql("ALTER TABLE counter ADD COLUMN clean INTEGER NOT NULL DEFAULT 1")
    database.execute_sql("CREATE INDEX entry_l_c ON entry (l, c)")


def _tie_entries(database: peewee.SqliteDatabase) -> None:
    """Tie what was written before there were links, and note who wrote it: nobody but this file."""
    database.execute_sql("ALTER TABLE entry ADD COLUMN chain TEXT NOT NULL DEFAULT ''")
    database.execute_sql(
        "CREATE TABLE own (kiosk TEXT NOT NULL PRIMARY KEY, sent INTEGER NOT NULL)"
    )
    database.execute_sql("INSERT INTO own SELECT DISTINCT kiosk, 0 FROM entry")
    fields = "id, kiosk, seq, l, c, wall_ms, person, kind, job, unit, body"
    # some at a time: a log of years does not fit into a small kiosk's memory
    query = (
        f"SELECT pos, {fields} FROM entry WHERE (kiosk, seq) > (?, ?) ORDER BY kiosk, seq LIMIT ?"
    )
    kiosk, seq, before = "", 0, FIRST
    while rows := database.execute_sql(query, (kiosk, seq, _AT_ONCE)).fetchall():
        links = []
        for pos, *row in rows:
            before = link(before if row[1] == kiosk else FIRST, tuple(row))
            kiosk, seq = row[1], row[2]
            links.append((before, pos))
        database.cursor().executemany("UPDATE entry SET chain = ? WHERE pos = ?", links)


def _count_pin_tries(database: peewee.SqliteDatabase) -> None:
    database.execute_sql(
        "CREATE TABLE pin_try (code TEXT NOT NULL PRIMARY KEY, wrong INTEGER NOT NULL,"
        " since_ms INTEGER, told INTEGER NOT NULL)"
    )


# Step n brings schema n to n + 1; steps are only ever added at the end.
STEPS: tuple[Callable[[peewee.SqliteDatabase], None], ...] = (
    _make_tables,
    _mark_stops_and_index_time,
    _tie_entries,
    _count_pin_tries,
)


def migrate(database: peewee.SqliteDatabase, path: Path) -> None:
    """Bring the file to the program's schema; two processes at once are kept apart by a lock.

    A file with entries is copied first, to a name that ends in its old schema's number.

    Raises:
        DatabaseRefused: the file was made by a newer program, or by another one.
    """
    if _checked_version(database, path) == len(STEPS):
        return
    with locked(path):
        version = _checked_version(database, path)
        if 0 < version < len(STEPS):
            _keep_copy(database, path.with_name(f"{path.name}.schema-{version}"))
        for number in range(version, len(STEPS)):
            with database.atomic():
                STEPS[number](database)
                database.execute_sql(f"PRAGMA user_version = {number + 1}")


def _checked_version(database: peewee.SqliteDatabase, path: Path) -> int:
    version = int(database.execute_sql("PRAGMA user_version").fetchone()[0])
    tables = {name for (name,) in database.execute_sql("SELECT name FROM sqlite_master").fetchall()}
    if (tables or version) and not (version and "entry" in tables and "counter" in tables):
        raise DatabaseRefused(
            f"{path} is another program's file: name the shop's own, or a new one"
        )
    if version > len(STEPS):
        raise DatabaseRefused(
            f"{path} was made by a newer program (schema {version}, this one knows "
            f"{len(STEPS)}); install the newer one on this kiosk too"
        )
    return version


def _keep_copy(database: peewee.SqliteDatabase, copy: Path) -> None:
    copy.unlink(missing_ok=True)
    database.execute_sql("VACUUM INTO ?", (str(copy),))
    with copy.open("rb") as handle:
        os.fsync(handle)
    sync_folder(copy.parent)
