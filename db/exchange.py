"""Talk to the shop server, a PostgreSQL database: send entries, fetch them, hear of new ones."""

from __future__ import annotations

import json
import logging
import os
import selectors
import socket
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path
from threading import Timer
from typing import Any, Final

import psycopg
from psycopg.conninfo import conninfo_to_dict, make_conninfo

from db.chain import FIRST, link
from db.connect import DbError
from db.records import LINKED, Row, as_json
from db.refusals import CHANGED, FORKED, Changed, Forked, ServerAway, ServerRefused, said

__all__ = ["Changed", "Forked", "Link", "ServerAway", "ServerRefused"]

# What goes wrong is raised as well; here it would be told with the server's name and the login.
logging.getLogger("psycopg").setLevel(logging.ERROR)

# A pulled cable shows within some 6 s while sending, 11 s while waiting, and only with both kinds
# of setting: PostgreSQL 18, "Database Connection Control Functions". A server that hangs while its
# machine still answers is seen by none of them; a watchdog of our own shuts the line. Seconds are
# choices, measured to do.
_PATIENCE: Final[Mapping[str, int]] = {
    "connect_timeout": 3,
    "tcp_user_timeout": 5_000,  # milliseconds
    "keepalives": 1,
    "keepalives_idle": 5,
    "keepalives_interval": 2,
    "keepalives_count": 3,
}
WATCHDOG_S: Final = 5.0
BELL: Final = "cleatclock_entries"  # the channel that tells of new entries; its payload is the shop
_SEND = (
    f"INSERT INTO cleatclock.entry (shop, {LINKED})"
    " VALUES (%s, %s, %s, %s, %s, %s, %s, %s, %s, %s, %s, %s, %s)"
    # what was sent before and not answered is sent again; anything else that clashes must show
    " ON CONFLICT (shop, id) DO NOTHING"
)


class Link:
    """A connection to the shop server for one kiosk; to be used by one thread."""

    def __init__(self, connection: psycopg.Connection[Any], shop: str, letter: str) -> None:
        self._line, self.shop, self.letter = connection, shop, letter

    @classmethod
    def open(cls, url: str, *, passfile: Path | None = None) -> Link:
        """Connect, and ask which shop and which letter the server knows this kiosk by.

        Args:
            url: a PostgreSQL address, `postgresql://user@host/database?sslmode=verify-full`.
            passfile: the file that holds the password, in PostgreSQL's own form; None: libpq's.

        Raises:
            ServerAway: nobody answers.
            ServerRefused: the address or the password is wrong, or the server is no shop server.
        """
        with said("the server"):
            given = conninfo_to_dict(url)
            extra: dict[str, Any] = {k: v for k, v in _PATIENCE.items() if k not in given}
            if passfile is not None:
                extra["passfile"] = str(passfile)
            line = psycopg.connect(
                make_conninfo(url, application_name="cleatclock", **extra), autocommit=True
            )
        found = cls(line, "", "")
        try:
            found._introduce()
        except DbError:
            line.close()
            raise
        return found

    def close(self) -> None:
        """End the connection; no error if it has gone already."""
        with suppress(psycopg.Error, OSError):
            self._line.close()

    def heads(self) -> dict[str, tuple[int, str]]:
        """Return the place in its sequence and the link of each kiosk's latest entry there.

        Of those without a login, too: a server that was rebuilt has entries of kiosks that are
        gone. The letters are hopped through by the index, as counting all entries takes long.

        Raises:
            ServerAway, ServerRefused: it could not be asked.
        """
        rows = self._ask(
            "WITH RECURSIVE hop (letter) AS ("
            "(SELECT kiosk FROM cleatclock.entry WHERE shop = %s ORDER BY kiosk LIMIT 1)"
            " UNION ALL SELECT (SELECT kiosk FROM cleatclock.entry WHERE shop = %s"
            " AND kiosk > hop.letter ORDER BY kiosk LIMIT 1) FROM hop WHERE hop.letter IS NOT NULL)"
            " SELECT hop.letter, e.seq, e.chain FROM hop CROSS JOIN LATERAL"
            " (SELECT seq, chain FROM cleatclock.entry WHERE shop = %s AND kiosk = hop.letter"
            " ORDER BY seq DESC LIMIT 1) e",
            (self.shop, self.shop, self.shop),
        )
        return {letter: (seq, chain) for letter, seq, chain in rows}

    def send(self, rows: Sequence[Row]) -> list[tuple[str, int]]:
        """Send entries in one transaction and return when the server received each.

        Entries that are there already are not written again; that they are the same is looked at.

        Raises:
            Forked: another entry has this kiosk's place in the sequence.
            ServerAway: no answer; some or all may be there, so send them again.
            ServerRefused: the server does not take them.
        """
        values = [
            (self.shop, row.id, row.kiosk, row.seq, row.l, row.c, row.wall_ms, row.person, row.kind,
             row.job, row.unit, as_json(row.body), row.chain)
            for row in rows
        ]  # fmt: skip
        query = (
            "SELECT id, received_ms, chain FROM cleatclock.entry WHERE shop = %s AND id = ANY(%s)"
        )
        whole = self._line.transaction()
        with said(rows[0].kiosk), self._guarded(), whole, self._line.cursor() as cursor:
            cursor.executemany(_SEND, values)
            cursor.execute("SELECT pg_notify(%s, %s)", (BELL, self.shop))
            found = cursor.execute(query, (self.shop, [row.id for row in rows])).fetchall()
        kept = {entry: (received, chain) for entry, received, chain in found}
        for row in rows:
            if row.id not in kept or kept[row.id][1] != row.chain:
                raise Forked(FORKED.format(kiosk=row.kiosk))
        return [(row.id, kept[row.id][0]) for row in rows]

    def fetch(self, kiosk: str, after: tuple[int, str], count: int) -> list[Row]:
        """Return a kiosk's next entries, each tied to the one before it; pos is 0.

        Args:
            kiosk: whose.
            after: place in the sequence and link of the last one known here; (0, "") for none.
            count: at most so many.

        Raises:
            Changed: one of them is not what that kiosk wrote.
            Forked: they are of this kiosk's letter, and another file wrote them.
            ServerAway, ServerRefused: it could not be asked.
        """
        query = (
            f"SELECT {LINKED}, received_ms FROM cleatclock.entry"
            " WHERE shop = %s AND kiosk = %s AND seq > %s ORDER BY seq LIMIT %s"
        )
        seq, before = after[0], after[1] if after[0] else FIRST
        rows = []
        for *fields, body, chain, received in self._ask(query, (self.shop, kiosk, seq, count)):
            seq += 1
            before = link(before, (*fields, body))
            if fields[2] != seq or before != chain:
                if kiosk == self.letter:  # what this file holds before it is not the server's
                    raise Forked(FORKED.format(kiosk=kiosk))
                raise Changed(CHANGED.format(seq=seq, kiosk=kiosk))
            entry, _kiosk, _seq, l, c, wall_ms, *about = fields  # noqa: E741
            person, what, job, unit = about
            rows.append(
                Row(0, entry, kiosk, seq, l, c, wall_ms, received, person, what, job, unit,
                    json.loads(body), chain)
            )  # fmt: skip
        return rows

    def ahead_ms(self, clock: Callable[[], int]) -> int:
        """Return by how many milliseconds a clock of this machine is ahead of the server's.

        Half the way there and back is the most it is wrong by.

        Raises:
            ServerAway, ServerRefused: it could not be asked.
        """
        before = clock()
        ((there,),) = self._ask("SELECT (extract(epoch FROM clock_timestamp()) * 1000)::bigint", ())
        return (before + clock()) // 2 - int(there)

    def wait(self, seconds: float, waker: int) -> bool:
        """Wait for the bell, or until `waker` (a pipe) can be read; tell whether the bell rang.

        The bell may ring in vain, and may not ring: it only saves waiting.

        Raises:
            ServerAway, ServerRefused: the connection has gone.
        """
        with said("the server"), selectors.DefaultSelector() as selector:
            if self._rang():  # it may have been heard while something else was asked
                return True
            selector.register(self._line.fileno(), selectors.EVENT_READ)
            selector.register(waker, selectors.EVENT_READ)
            ready = selector.select(seconds)
            return any(key.fd == self._line.fileno() for key, _mask in ready) and self._rang()

    def listen(self) -> None:
        """Have the bell rung here.

        Raises:
            ServerAway, ServerRefused: it could not be asked.
        """
        with said("the server"), self._guarded():
            self._line.execute(f"LISTEN {BELL}")

    def names(self) -> dict[str, str]:
        """Return what people call each kiosk of the shop, by letter, removed ones too.

        Raises:
            ServerAway, ServerRefused: it could not be asked.
        """
        query = "SELECT letter, name FROM cleatclock.kiosk WHERE shop = %s ORDER BY letter"
        return dict(self._ask(query, (self.shop,)))

    def link_at(self, kiosk: str, seq: int) -> str | None:
        """Return the link of one entry by its place in a kiosk's sequence, None where none is.

        Raises:
            ServerAway, ServerRefused: it could not be asked.
        """
        query = "SELECT chain FROM cleatclock.entry WHERE shop = %s AND kiosk = %s AND seq = %s"
        found = self._ask(query, (self.shop, kiosk, seq))
        return found[0][0] if found else None

    def shut(self) -> None:
        """Break off what is asked just now, from any thread; the connection is of no more use."""
        self._shut()

    def _rang(self) -> bool:
        with self._guarded():
            rung = list(self._line.notifies(timeout=0))
        own = self._line.info.backend_pid  # what was sent from here is no news here
        return any(one.payload == self.shop and one.pid != own for one in rung)

    def _introduce(self) -> None:
        rows = self._ask("SELECT shop, letter FROM cleatclock.kiosk WHERE role = current_user", ())
        if len(rows) != 1:
            raise ServerRefused(
                "the server knows no kiosk by this name: add it with"
                " `cleatclock server add-kiosk`, and join with the line it prints"
            )
        self.shop, self.letter = rows[0]

    def _ask(self, query: str, values: Sequence[object]) -> list[Any]:  # Any: rows of the query
        with said("the server"), self._guarded():
            return self._line.execute(query.encode(), values).fetchall()

    @contextmanager
    def _guarded(self) -> Iterator[None]:
        """Shut the line where an answer takes longer than the watchdog waits."""
        timer = Timer(WATCHDOG_S, self._shut)
        timer.daemon = True
        timer.start()
        try:
            yield
        finally:
            timer.cancel()

    def _shut(self) -> None:
        with (
            suppress(psycopg.Error, OSError),
            socket.socket(fileno=os.dup(self._line.fileno())) as one,
        ):
            one.shutdown(socket.SHUT_RDWR)
