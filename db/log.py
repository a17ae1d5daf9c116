"""Append entries durably, with the projection in the same transaction, and read them back."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import replace
from pathlib import Path

from db.chain import FIRST, link
from db.connect import TIMEOUT_S, DbError, beside, connect, told
from db.hybrid import horizon, next_time
from db.migrate import migrate
from db.outgoing import Outgoing
from db.records import (
    COLUMNS,
    PROJECTION,
    SKIPPED,
    Changes,
    Counter,
    Draft,
    Row,
    as_json,
    fields_of,
    new_id,
)
from db.tries import ALL_TRIES, Change, Tried, change_tries

__all__ = ["Changes", "Draft", "Log", "Row", "new_id"]

_INSERT = (
    f"INSERT INTO entry ({COLUMNS}) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)"
    # only a true retry is passed over: OR IGNORE would also swallow a reused (kiosk, seq)
    " ON CONFLICT (id) DO NOTHING"
)


class Log(Outgoing):
    """The log of one shop file, on one connection; threads that share it take turns."""

    @classmethod
    def open(cls, path: Path) -> Log:
        """Open a shop file, making it or bringing its schema up to date.

        Raises:
            DbError: it cannot be used; the text says why.
        """
        database = connect(path)
        try:
            with told(path):
                migrate(database, path)
        except BaseException:
            database.close()
            raise
        return cls(database, path)

    def close(self) -> None:
        """Close the file, with all that was written in it."""
        with self._turn:
            with suppress(DbError):  # it is read from beside the file at the next start
                self.bring_home()
            self._db.close()

    def bring_home(self) -> bool:
        """Bring what waits in the write-ahead log into the file, and empty the log.

        Waits for nobody: while another connection reads or writes, what can be brought is.

        Returns:
            Whether nothing waits any more.

        Raises:
            DbError: the disk did not take it; nothing is lost.
        """
        waiting = beside(self._path)
        with self._turn, told(self._path):
            if not waiting.is_file() or not waiting.stat().st_size:
                return True
            self._db.execute_sql("PRAGMA busy_timeout = 0")
            try:
                # sqlite.org, "PRAGMA wal_checkpoint": busy is 0 where it was done whole
                found = self._db.execute_sql("PRAGMA wal_checkpoint(TRUNCATE)").fetchall()
            finally:
                self._db.execute_sql(f"PRAGMA busy_timeout = {TIMEOUT_S * 1000}")
        return not found[0][0]

    # -- writing

    def append(
        self,
        drafts: Sequence[Draft],
        *,
        kiosk: str,
        wall_ms: int,
        changes: Changes | Callable[[Sequence[Row]], Changes],
    ) -> tuple[Row, ...]:
        """Append entries and apply their changes in one durable transaction, all or none.

        A draft whose id is in the log already is not written again; its entry is returned, and
        where all are, the changes are left out too.

        Args:
            drafts: what to append.
            kiosk: the letter of the kiosk that writes.
            wall_ms: its clock, milliseconds since 1970 UTC.
            changes: what they change; or asked within the same transaction, once the entries are
                in the log, what these change.

        Raises:
            DbError: nothing was written.
        """
        with self._writing():
            known = {row.id: row for row in self.entries(draft.id for draft in drafts if draft.id)}
            new = [draft for draft in drafts if draft.id not in known]
            made = iter(self._rows_of(new, kiosk, wall_ms))
            rows = [known[draft.id] if draft.id in known else next(made) for draft in drafts]
            if new or not drafts:
                self._insert([row for row in rows if row.id not in known])
                self._note_own(kiosk)
                self._apply(changes if isinstance(changes, Changes) else changes(rows))
        return tuple(rows)

    def merge(self, rows: Sequence[Row], changes: Callable[[], Changes]) -> tuple[Row, ...]:
        """Take in entries made elsewhere, as they are but for pos; known ids are passed over.

        Args:
            rows: the entries.
            changes: asked within the same transaction, once they are in the log, what they change.

        Returns:
            The entries that were new here, with their pos in this file.

        Raises:
            DbError: nothing was written; so too where two kiosks used one place in a sequence.
        """
        with self._writing():
            before = self.last_pos()
            self._insert(rows, keep_pos=False)
            self._apply(changes())
            return tuple(self.rows_after(before))

    def take_numbers(self, kiosk: str, count: int) -> range:
        """Hand out numbers for codes; durable before this returns, never handed out again.

        Raises:
            DbError: none were handed out.
        """
        with self._writing():
            first = self._next_number(kiosk)
            self._count(kiosk, next=first + count)
        return range(first, first + count)

    def skip_numbers(self, kiosk: str, beyond: int) -> None:
        """Hand out no number up to one that was handed out elsewhere, by a file that was lost.

        Some more are left out, as not all that were handed out are known.

        Raises:
            DbError: nothing was noted.
        """
        with self._writing():
            first = self._next_number(kiosk)
            if first <= beyond:
                self._count(kiosk, next=beyond + 1 + SKIPPED)

    def mark_unclean(self, kiosk: str) -> bool:
        """Note that a kiosk runs; tell whether its last stop was unclean (numbers are left out).

        Call it once at the start of the kiosk, not of a command beside it.

        Raises:
            DbError: nothing was noted.
        """
        with self._writing():
            stopped = self._one("SELECT clean FROM counter WHERE kiosk = ?", kiosk)
            first = self._next_number(kiosk)
            skipped = SKIPPED if stopped == 0 else 0
            self._count(kiosk, next=first + skipped, clean=False)
        return bool(skipped)

    def mark_clean(self, kiosk: str) -> None:
        """Note that a kiosk stopped in good order.

        Raises:
            DbError: nothing was noted.
        """
        with self._writing():
            first = self._next_number(kiosk)
            self._count(kiosk, next=first, clean=True)

    def renew_projection(
        self, changes: Changes, then: Callable[[], Changes] = lambda: Changes()
    ) -> None:
        """Throw the projection away and write it anew, in one transaction.

        Args:
            changes: the whole of it.
            then: asked within it, once that is written, what has been changed since it was read.

        Raises:
            DbError: it is as it was before.
        """
        with self._writing():
            for table in PROJECTION:
                table.delete().execute(self._db)
            self._apply(changes)
            self._apply(then())

    def change_tries(self, code: str, change: Change) -> Tried:
        """Change in one transaction what is known of the tries of a PIN, and return what it was.

        Raises:
            DbError: it is as it was before.
        """
        with self._writing():
            return change_tries(self._db, code, change)

    def tries(self) -> dict[str, Tried]:
        """Return what is known of the tries of PINs, by the codes of their badges."""
        return {
            code: Tried(wrong, since_ms, bool(told))
            for code, wrong, since_ms, told in self._read(ALL_TRIES)
        }

    def _rows_of(self, drafts: Sequence[Draft], kiosk: str, wall_ms: int) -> list[Row]:
        """Give drafts their ids, places, links and hybrid logical time."""
        query = "SELECT seq, chain, l, c FROM entry WHERE kiosk = ? ORDER BY seq DESC LIMIT 1"
        last = self._db.execute_sql(query, (kiosk,)).fetchone()
        seq, before, own_l, own_c = last or (0, FIRST, 0, 0)
        query = "SELECT l, c FROM entry WHERE l <= ? ORDER BY l DESC, c DESC LIMIT 1"
        seen = self._db.execute_sql(query, (horizon(wall_ms),)).fetchone() or (0, 0)
        l, c = next_time((own_l, own_c), (seen[0], seen[1]), wall_ms=wall_ms)  # noqa: E741
        pos = self.last_pos()
        rows = []
        for n, one in enumerate(drafts, start=1):
            if "\0" in one.person + one.kind + one.job + one.unit:
                # PostgreSQL's text holds none: such an entry could never be sent, nor any after it
                raise ValueError("a name holds the sign NUL")
            made = (one.id or new_id(wall_ms), kiosk, seq + n, l, c + n - 1, wall_ms, None)
            row = Row(pos + n, *made, one.person, one.kind, one.job, one.unit, one.body)
            before = link(before, fields_of(row))
            rows.append(replace(row, chain=before))
        return rows

    def _insert(self, rows: Sequence[Row], *, keep_pos: bool = True) -> None:
        values = [
            (row.pos if keep_pos else None, row.id, row.kiosk, row.seq, row.l, row.c, row.wall_ms,
             row.received_ms, row.person, row.kind, row.job, row.unit, as_json(row.body), row.chain)
            for row in rows
        ]  # fmt: skip
        self._db.cursor().executemany(_INSERT, values)

    def _next_number(self, kiosk: str) -> int:
        return self._one("SELECT next FROM counter WHERE kiosk = ?", kiosk) or 1

    def _count(self, kiosk: str, **values: int | bool) -> None:
        Counter.insert(kiosk=kiosk, **values).on_conflict(
            conflict_target=[Counter.kiosk], preserve=list(values)
        ).execute(self._db)
