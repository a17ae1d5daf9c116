"""The tables as peewee sees them, and the values that go in and out of the log."""

from __future__ import annotations

import json
import os
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import peewee

# Never given a database: a process may hold two files (a copy beside the original), so every query
# names its own in execute(); one that forgets fails instead of writing into the other file.
proxy = peewee.DatabaseProxy()

SKIPPED = 1_000  # numbers left out where it is unsure which were handed out. Choice.
# What an entry's link tells of, in the order of db.chain.link, and the link itself.
LINKED = "id, kiosk, seq, l, c, wall_ms, person, kind, job, unit, body, chain"
COLUMNS = "pos, id, kiosk, seq, l, c, wall_ms, received_ms, person, kind, job, unit, body, chain"


class Record(peewee.Model):
    """What all tables share."""

    class Meta:
        database = proxy
        legacy_table_names = False


class Entry(Record):
    """One entry of the log; pos is its order of arrival here, times are milliseconds UTC."""

    pos = peewee.AutoField()
    id = peewee.TextField(unique=True)
    kiosk = peewee.TextField()
    seq = peewee.IntegerField()
    l = peewee.BigIntegerField()  # noqa: E741 - hybrid logical time
    c = peewee.IntegerField()
    wall_ms = peewee.BigIntegerField()
    received_ms = peewee.BigIntegerField(null=True)
    person = peewee.TextField()
    kind = peewee.TextField()
    job = peewee.TextField()
    unit = peewee.TextField()
    body = peewee.TextField()
    chain = peewee.TextField()

    class Meta:
        indexes = (
            (("kiosk", "seq"), True),
            (("job", "unit", "pos"), False),
            (("kind", "pos"), False),
            (("l", "c"), False),
        )


class Job(Record):
    """Projection: the jobs, and whether they are open; body is the JSON of the latest entry."""

    code = peewee.TextField(primary_key=True)
    is_open = peewee.BooleanField()
    body = peewee.TextField()


class Unit(Record):
    """Projection: the units, in the order in which lists named them."""

    place = peewee.AutoField()
    job = peewee.TextField()
    unit = peewee.TextField()
    is_there = peewee.BooleanField()

    class Meta:
        indexes = ((("job", "unit"), True),)


class Piece(Record):
    """Projection: which unit a part's code belongs to."""

    code = peewee.TextField(primary_key=True)
    job = peewee.TextField()
    unit = peewee.TextField()


class Counter(Record):
    """Numbers handed out for codes; never handed out twice, so not part of the projection.

    clean is false while a kiosk runs: found false at a start, the stop before was no orderly one.
    """

    kiosk = peewee.TextField(primary_key=True)
    next = peewee.IntegerField()
    clean = peewee.BooleanField(default=True)


class Own(Record):
    """The kiosks that wrote in this file itself, and up to which entry a shop server has theirs."""

    kiosk = peewee.TextField(primary_key=True)
    sent = peewee.IntegerField(default=0)


class PinTry(Record):
    """Wrong tries of a PIN by the code of its badge, at this kiosk alone; no part of the log."""

    code = peewee.TextField(primary_key=True)
    wrong = peewee.IntegerField()
    since_ms = peewee.BigIntegerField(null=True)
    told = peewee.BooleanField()


TABLES = (Entry, Job, Unit, Piece, Counter, Own, PinTry)
PROJECTION = (Job, Unit, Piece)


@dataclass(frozen=True, slots=True)
class Draft:
    """An entry before it has a time and a place in the log.

    id is given only to write again what may have been written before: the entry is then kept once.
    """

    kind: str
    job: str
    unit: str
    person: str
    body: Mapping[str, Any]  # Any: JSON
    id: str | None = None


@dataclass(frozen=True, slots=True)
class Row:
    """One entry as kept; pos is the order of arrival in this file, times are milliseconds UTC.

    chain ties it to the kiosk's entry before it (`db.chain`).
    """

    pos: int
    id: str
    kiosk: str
    seq: int
    l: int  # noqa: E741 - hybrid logical time, as its authors write it
    c: int
    wall_ms: int
    received_ms: int | None
    person: str
    kind: str
    job: str
    unit: str
    body: Mapping[str, Any]  # Any: JSON
    chain: str = ""


@dataclass(frozen=True, slots=True)
class Changes:
    """What entries change in the projection.

    jobs: code, open, body. units: job, unit, whether it is there. pieces: code, job, unit.
    """

    jobs: Sequence[tuple[str, bool, Mapping[str, Any]]] = field(default_factory=tuple)
    units: Sequence[tuple[str, str, bool]] = field(default_factory=tuple)
    pieces: Sequence[tuple[str, str, str]] = field(default_factory=tuple)


def new_id(wall_ms: int) -> str:
    """Return a version 7 UUID (RFC 9562, section 5.7) as 32 hexadecimal digits."""
    chance = int.from_bytes(os.urandom(10), "big")
    value = (wall_ms & (2**48 - 1)) << 80
    value |= 0x7 << 76 | (chance >> 62 & 0xFFF) << 64
    value |= 0b10 << 62 | chance & (2**62 - 1)
    return f"{value:032x}"


def as_json(body: Mapping[str, Any]) -> str:
    """Return a body as compact JSON text.

    Raises:
        ValueError: it holds a number JSON does not know (not-a-number, infinite).
    """
    return json.dumps(body, ensure_ascii=False, separators=(",", ":"), allow_nan=False)


def fields_of(row: Row) -> tuple[str | int, ...]:
    """Return what of an entry its link tells of (`db.chain.link`)."""
    text = as_json(row.body)
    who = (row.id, row.kiosk, row.seq, row.l, row.c, row.wall_ms, row.person)
    return (*who, row.kind, row.job, row.unit, text)
