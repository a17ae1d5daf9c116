"""Bring the shop files' entries into a server that lacks them, as after it was lost for good."""

from __future__ import annotations

import json
import tempfile
from collections.abc import Iterable, Mapping, Sequence
from contextlib import closing
from dataclasses import dataclass, field, replace
from itertools import groupby
from pathlib import Path
from typing import TYPE_CHECKING, Any

import apsw

from db.chain import FIRST, link
from db.connect import DbError
from db.contents import look_at
from db.log import Log
from db.records import LINKED
from db.server.kiosks import shop_of
from db.server.link import reached
from db.server.prepare import NOW, check_prepared

if TYPE_CHECKING:
    from db.server.link import Connection

_INSERT = (
    f"INSERT INTO cleatclock.entry (shop, {LINKED}, received_ms)"
    f" VALUES ({', '.join(['%s'] * 13)}, coalesce(%s, {NOW}))"
)
# NOT INDEXED: an index has copies of some fields, which a damaged row would be read from
_READ = f"SELECT {LINKED}, received_ms FROM entry NOT INDEXED ORDER BY pos"
Fields = tuple[str | int, ...]


@dataclass(slots=True)
class Rebuilt:
    """What came of it: how many entries were added, how many the server had, and what is wrong.

    problems are in words: entries left out because another stands in their place, copies that
    differ, places in a kiosk's sequence that no file and not the server has. no_login are the
    letters of kiosks that wrote entries and have no login here.
    """

    added: int = 0
    known: int = 0
    problems: list[str] = field(default_factory=list)
    no_login: list[str] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class _Copy:
    """One file's copy of an entry: what its link tells of, the link, and when it was received.

    holds tells whether the link ties it to the one before.
    """

    fields: Fields
    received_ms: int | None
    file: Path
    holds: bool

    @property
    def id(self) -> str:
        return str(self.fields[0])

    @property
    def place(self) -> tuple[str, int]:
        """The kiosk, and the place in its sequence."""
        return str(self.fields[1]), int(self.fields[2])

    @property
    def words(self) -> str:
        kiosk, seq = self.place
        return f"entry {kiosk} {seq} ({self.id})"


def rebuild(url: str, shop_files: Sequence[Path], *, shop: str | None = None) -> Rebuilt:
    """Add what the server lacks of the entries of some shop files, all or nothing.

    Nothing the server has is changed. An entry keeps the time a server received it, if one did.

    Args:
        url: as the owner of the prepared database.
        shop_files: of the kiosks, may be in use; copies of them do as well.
        shop: which, where the database holds several.

    Raises:
        DbError: a file cannot be read, or the server not be reached; nothing was added.
    """
    done = Rebuilt()
    copies = [copy for file in shop_files for copy in _read(file)]
    found = _one_of_each(copies, done)
    with reached(url) as connection:
        check_prepared(connection)
        shop = shop_of(connection, shop)
        connection.execute("LOCK TABLE cleatclock.entry IN SHARE ROW EXCLUSIVE MODE")
        query = f"SELECT {LINKED} FROM cleatclock.entry WHERE shop = %s"
        there = {str(row[0]): row for row in connection.execute(query.encode(), (shop,))}
        new = _missing(found, there, done)
        values = [(shop, *copy.fields, copy.received_ms) for copy in new]
        connection.cursor().executemany(_INSERT.encode(), values)
        done.added = len(new)
        _tell_gaps([*there.values(), *(copy.fields for copy in new)], done)
        done.no_login = _without_login(connection, shop)
    return done


def _read(file: Path) -> list[_Copy]:
    """Read all of a file's entries as they stand there, of a damaged one what can be read.

    Not by way of the log: it refuses a file with one entry that cannot be read.
    """
    if not file.is_file():
        raise DbError(f"{file} is not there")
    with tempfile.TemporaryDirectory(prefix="cleatclock-") as folder:
        copy = Path(folder) / "copy.db"
        try:
            with (
                closing(look_at(file)) as source,
                closing(apsw.Connection(str(copy))) as target,
                target.backup("main", source, "main") as going,
            ):
                going.step()
            if not _has_links(copy):
                Log.open(copy).close()  # of an older version: brought up to date
            with closing(look_at(copy)) as database:
                rows: list[Any] = database.execute(_READ).fetchall()
        except DbError as error:
            raise DbError(str(error).replace(str(copy), str(file))) from error
        except (apsw.Error, UnicodeDecodeError) as error:
            raise DbError(f"{file} cannot be read: {error}; take its latest copy") from error
    links = {(kiosk, seq): chain for _id, kiosk, seq, *_others, chain, _at in rows}
    return [_Copy(tuple(row[:12]), row[12], file, _holds(row, links)) for row in rows]


def _has_links(file: Path) -> bool:
    with closing(look_at(file)) as database:
        return any(row[1] == "chain" for row in database.execute("PRAGMA table_info(entry)"))


def _holds(row: tuple[Any, ...], links: Mapping[tuple[str, int], str]) -> bool:
    try:
        before = FIRST if row[2] == 1 else links.get((row[1], row[2] - 1))
        return before is not None and link(before, row[:11]) == row[11]
    except TypeError:  # a field is damaged so that it is no text or number any more
        return False


def _is_object(text: str | int) -> bool:
    try:
        return isinstance(json.loads(str(text)), dict)
    except ValueError:
        return False


def _one_of_each(copies: Iterable[_Copy], done: Rebuilt) -> dict[str, _Copy]:
    """Return one copy of each entry; of several that differ the one whose link holds."""
    found: dict[str, _Copy] = {}
    for copy in copies:
        known = found.setdefault(copy.id, copy)
        if known is copy:
            continue
        kept, other = (copy, known) if copy.holds and not known.holds else (known, copy)
        if kept.fields != other.fields:
            why = "its link holds" if kept.holds and not other.holds else "it came first"
            done.problems.append(
                f"{copy.words} differs: the one of {kept.file} is taken, as {why},"
                f" not that of {other.file}"
            )
        stamps = [one.received_ms for one in (kept, other) if one.received_ms is not None]
        found[copy.id] = replace(kept, received_ms=min(stamps, default=None))
    return found


def _missing(found: Mapping[str, _Copy], there: Mapping[str, Fields], done: Rebuilt) -> list[_Copy]:
    """Return what the server lacks, by kiosk and sequence, and tell what cannot go in."""
    taken = {(str(one[1]), int(one[2])): entry_id for entry_id, one in there.items()}
    new = []
    # of two in one place the one whose link holds comes first
    for copy in sorted(found.values(), key=lambda one: (one.place, not one.holds)):
        at = f"{copy.words} of {copy.file}"
        if copy.id in there:
            done.known += 1
            if there[copy.id] != copy.fields:
                done.problems.append(f"{at} differs from the server's, which stays")
        elif (other := taken.get(copy.place, copy.id)) != copy.id:
            done.problems.append(f"{at} is left out: {other} stands in its place")
        elif any("\0" in str(value) for value in copy.fields):
            done.problems.append(f"{at} is left out: a NUL sign is in it")
        elif not _is_object(copy.fields[10]):
            done.problems.append(f"{at} is left out: its body cannot be read")
        else:
            taken[copy.place] = copy.id
            if not copy.holds:
                done.problems.append(f"{at} is added, but its link does not hold")
            new.append(copy)
    return new


def _tell_gaps(entries: Iterable[Fields], done: Rebuilt) -> None:
    places = sorted((str(fields[1]), int(fields[2])) for fields in entries)
    for kiosk, ours in groupby(places, key=lambda place: place[0]):
        due = 1
        for _kiosk, seq in ours:
            if seq > due:
                done.problems.append(f"kiosk {kiosk}: entries {due} to {seq - 1} are in no file")
            due = seq + 1


def _without_login(connection: Connection, shop: str) -> list[str]:
    query = (
        "SELECT DISTINCT kiosk FROM cleatclock.entry e WHERE shop = %s AND NOT EXISTS"
        " (SELECT FROM cleatclock.kiosk k WHERE k.shop = e.shop AND k.letter = e.kiosk) ORDER BY 1"
    )
    return [str(letter) for (letter,) in connection.execute(query, (shop,))]
