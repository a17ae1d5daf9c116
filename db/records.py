"""The tables: the append-only log, and the projection that can be made again from it."""

from __future__ import annotations

import peewee

proxy = peewee.DatabaseProxy()


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

    class Meta:
        indexes = (
            (("kiosk", "seq"), True),
            (("job", "unit", "pos"), False),
            (("kind", "pos"), False),
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
    """Numbers handed out for codes; never handed out twice, so not part of the projection."""

    kiosk = peewee.TextField(primary_key=True)
    next = peewee.IntegerField()


TABLES = (Entry, Job, Unit, Piece, Counter)
PROJECTION = (Job, Unit, Piece)
