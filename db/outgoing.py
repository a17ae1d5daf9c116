"""What of a shop file's log goes to a server: how far it is sent, and under which letter."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import replace

from db.chain import FIRST, link
from db.connect import told
from db.reading import LATEST, Reader
from db.records import Changes, Job, Own, Row, as_json, fields_of

_UNIT = (
    "INSERT INTO unit (job, unit, is_there) VALUES (?, ?, ?)"
    " ON CONFLICT (job, unit) DO UPDATE SET is_there = excluded.is_there"
)
_PIECE = (
    "INSERT INTO piece (code, job, unit) VALUES (?, ?, ?)"
    " ON CONFLICT (code) DO UPDATE SET job = excluded.job, unit = excluded.unit"
)


class Outgoing(Reader):
    """Writes what a server is known to have; each call is one transaction."""

    def take_receipts(
        self, received: Sequence[tuple[str, int]], changes: Callable[[], Changes]
    ) -> tuple[Row, ...]:
        """Note that a server has entries of ours, and when it received them.

        When an entry was received may change its place in the order; changes is asked within the
        same transaction what that does.

        Args:
            received: ids and milliseconds since 1970 UTC, by the server's clock.
            changes: see `merge`.

        Returns:
            The entries as they are now.

        Raises:
            DbError: nothing was noted.
        """
        with self._writing():
            stamps = [(at, entry_id) for entry_id, at in received]
            # others may have the first stamp of an entry that a server lost and was sent again
            query = (
                "UPDATE entry SET received_ms = min(coalesce(received_ms, ?1), ?1) WHERE id = ?2"
            )
            self._db.cursor().executemany(query, stamps)
            rows = self.entries(entry_id for entry_id, _at in received)
            for row in rows:
                query = "UPDATE own SET sent = max(sent, ?) WHERE kiosk = ?"
                self._db.execute_sql(query, (row.seq, row.kiosk))
            self._apply(changes())
            return tuple(rows)

    def forget_sent(self) -> None:
        """Send everything again from the first entry on: the server is a new one.

        Raises:
            DbError: nothing was changed.
        """
        with self._writing():
            Own.update(sent=0).execute(self._db)

    def match_sent(self, heads: Mapping[str, int]) -> bool:
        """Send again what a server was known to have and has no more, as one brought back.

        Args:
            heads: the place in its sequence of each kiosk's latest entry on the server.

        Returns:
            Whether there is anything to be sent again.

        Raises:
            DbError: nothing was changed.
        """
        behind = {
            kiosk: heads.get(kiosk, 0)
            for kiosk, sent in self.sent().items()
            if sent > heads.get(kiosk, 0)
        }
        if behind:
            with self._writing():
                for kiosk, seq in behind.items():
                    query = "UPDATE own SET sent = ? WHERE kiosk = ?"
                    self._db.execute_sql(query, (seq, kiosk))
        return bool(behind)

    def move(self, after: Mapping[str, int], to: str) -> int:
        """Bring entries that no server has under another letter, in order behind what is there.

        Their ids and times stay, so that what names them still does; the letters they leave count
        no more as written here.

        Args:
            after: by letter, the place in its sequence after which entries move.
            to: the letter they get; none of those they leave.

        Returns:
            How many moved.

        Raises:
            DbError: nothing was changed.
        """
        if to in after:
            raise ValueError(f"entries of {to} cannot move to {to}")
        with self._writing():
            rows = [row for kiosk, seq in after.items() for row in self._all_after(kiosk, seq)]
            rows.sort(key=lambda row: (row.l, row.c, row.kiosk, row.seq))
            seq, before = self.heads().get(to, (0, FIRST))
            for place, row in enumerate(rows, start=seq + 1):
                moved = replace(row, kiosk=to, seq=place)
                before = link(before, fields_of(moved))
                query = (
                    "UPDATE entry SET kiosk = ?, seq = ?, chain = ?, received_ms = NULL"
                    " WHERE id = ?"
                )
                self._db.execute_sql(query, (to, place, before, row.id))
            for kiosk in after:
                Own.delete().where(Own.kiosk == kiosk).execute(self._db)
            self._note_own(to)
        return len(rows)

    def waiting(self) -> int:
        """Return how many entries made here no server is known to have."""
        # sequences have no gaps, so that nothing has to be counted
        query = (
            "SELECT sum(coalesce((SELECT max(seq) FROM entry WHERE entry.kiosk = own.kiosk), 0)"
            " - sent) FROM own"
        )
        return max(0, self._one(query) or 0)

    def link_at(self, kiosk: str, seq: int) -> str | None:
        """Return the link of one entry by its place in a kiosk's sequence, None where none is."""
        found = self._read("SELECT chain FROM entry WHERE kiosk = ? AND seq = ?", kiosk, seq)
        return found[0][0] if found else None

    def latest(self) -> dict[str, int]:
        """Return what each kiosk's clock said at its latest entry here: milliseconds since 1970."""
        query = LATEST.format("e.kiosk, e.wall_ms, e.received_ms")
        return {
            kiosk: wall if received is None else min(wall, received)
            for kiosk, wall, received in self._read(query)
        }

    def _all_after(self, kiosk: str, seq: int) -> list[Row]:
        return self._rows("WHERE kiosk = ? AND seq > ? ORDER BY seq", kiosk, seq)

    def _note_own(self, kiosk: str) -> None:
        """Note that a kiosk writes in this file itself."""
        query = "INSERT INTO own (kiosk, sent) VALUES (?, 0) ON CONFLICT (kiosk) DO NOTHING"
        self._db.execute_sql(query, (kiosk,))

    @contextmanager
    def _writing(self) -> Iterator[None]:
        with self._turn, told(self._path), self._db.atomic():
            yield

    def _apply(self, changes: Changes) -> None:
        for code, is_open, body in changes.jobs:
            Job.insert(code=code, is_open=is_open, body=as_json(body)).on_conflict(
                conflict_target=[Job.code], preserve=[Job.is_open, Job.body]
            ).execute(self._db)
        self._db.cursor().executemany(_UNIT, changes.units)
        self._db.cursor().executemany(_PIECE, changes.pieces)
