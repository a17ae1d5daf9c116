"""The one door to the database: rows become entries, entries become the units' states.

What the store holds in memory is `kiosk.store.folded`; here the file is opened and written to.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from datetime import datetime
from pathlib import Path

from db.backup import PART, backup, check_room, restore, verify
from db.connect import SQLITE_VERSION, beside
from db.connect import DbError as StoreError
from db.log import Changes, Draft, Log, Row, new_id
from db.tries import Tried
from kiosk.rules.entries import Entry, from_ms, to_ms
from kiosk.rules.lockout import Tries
from kiosk.store.folded import Folded
from kiosk.store.notes import Job, Key, Note, entry_of
from kiosk.store.outgoings import Outgoings, is_moved
from kiosk.store.settling import LISTED, may_change, settled, settled_anew

__all__ = [
    "PART",
    "SQLITE_VERSION",
    "Job",
    "Key",
    "Note",
    "Store",
    "StoreError",
    "backup",
    "beside",
    "check_room",
    "restore",
    "verify",
]


class Store(Folded, Outgoings):
    """Holds the log of one shop file and the folded units of its open jobs."""

    def __init__(self, log: Log, kiosk: str, folder: Path) -> None:
        # before all else is read: what others write meanwhile shows at the next look
        self._version, self._sent = log.data_version(), log.sent()
        super().__init__(log, kiosk)
        self.folder, self.file = folder, folder / "shop.db"
        self._begun = False

    @classmethod
    def open(cls, path: Path, kiosk: str) -> Store:
        """Open the shop's file, making it where there is none.

        Raises:
            StoreError: the file cannot be used; the text says why.
        """
        store = cls(Log.open(path), kiosk, path.parent)
        store.file = path
        return store

    def begin(self) -> None:
        """Note that a kiosk runs; after one that never ended, numbers for codes are skipped."""
        self._log.mark_unclean(self._kiosk)
        self._begun = True

    def close(self) -> None:
        """Close the file; a kiosk that has begun notes that it ended well.

        Raises:
            StoreError: that could not be noted; the file is closed all the same.
        """
        try:
            if self._begun:
                self._log.mark_clean(self._kiosk)
        finally:
            self._log.close()

    def bring_home(self) -> bool:
        """Bring into the file what waits beside it; tell whether nothing waits any more.

        Raises:
            StoreError: the disk did not take it; nothing is lost.
        """
        return self._log.bring_home()

    def refresh(self) -> bool:
        """Take in what other processes wrote to the file; tell whether there was anything."""
        version = self._log.data_version()
        if version == self._version:
            return False
        rows = [*self._log.rows_after(self._pos), *self._newly_received()]
        self._take(rows)
        self._version = version
        return bool(rows)

    def write(self, notes: Sequence[Note], now: datetime) -> tuple[Entry, ...]:
        """Write notes as entries, durably and all or none, and refold what they touch.

        Raises:
            StoreError: nothing was written; the text says why.
        """
        drafts = [
            Draft(str(note.kind), note.job, note.unit, note.person, note.body or {}, note.id)
            for note in notes
        ]
        rows = self._log.append(
            drafts, kiosk=self._kiosk, wall_ms=to_ms(now), changes=self._settled_new
        )
        return self._take_in(rows)

    def new_id(self, now: datetime) -> str:
        """Return an id for an entry that others of the same writing name."""
        return new_id(to_ms(now))

    def _settled_new(self, rows: Sequence[Row]) -> Changes:
        """Return what entries change that were not in the log before: most change nothing."""
        shown = self._log.is_open_unit
        return self._settled(one for one in map(entry_of, rows) if may_change(one, shown=shown))

    def _settled(self, fresh: Iterable[Entry]) -> Changes:
        return settled(list(fresh), history=self._entries_of, of_units=self._entries_of_units)

    def _take_in(self, rows: Sequence[Row]) -> tuple[Entry, ...]:
        between = bool(rows) and rows[0].pos > self._pos + 1
        # what others wrote since the last look lies before ours; skipping it would lose it here
        self._take(self._log.rows_after(self._pos) if between else rows)
        return tuple(entry_of(row) for row in rows)

    def take_in(self, rows: Sequence[Row]) -> tuple[Entry, ...]:
        """Take in entries that other kiosks made, durably and all or none; known ones are left.

        Returns:
            The entries that were new here.

        Raises:
            StoreError: nothing was written; the text says why.
        """
        self._skip_numbers([row for row in rows if row.kiosk == self._kiosk])
        return self._take_in(self._log.merge(rows, lambda: self._settled_new(rows)))

    def take_receipts(self, received: Sequence[tuple[str, int]]) -> None:
        """Note when a shop server received entries made here: ids and milliseconds since 1970.

        Raises:
            StoreError: nothing was noted; the text says why.
        """
        at, known = dict(received), self._log.entries(entry_id for entry_id, _at in received)
        moved = {row.id for row in known if is_moved(row, at[row.id])}
        rows = self._log.take_receipts(
            received, lambda: self._settled(entry_of(row) for row in known if row.id in moved)
        )
        self._take([row for row in rows if row.id in moved])
        self._sent = self._log.sent()

    def take_numbers(self, count: int) -> range:
        """Hand out numbers for part codes; durable before this returns.

        Raises:
            StoreError: none were handed out.
        """
        return self._log.take_numbers(self._kiosk, count)

    def change_tries(self, code: str, change: Callable[[Tries], Tries]) -> Tries:
        """Change what is known of the tries of a badge's PIN, durably; return what it was.

        Raises:
            StoreError: it is as it was before.
        """
        before = self._log.change_tries(code, lambda kept: _as_kept(change(_as_tries(kept))))
        return _as_tries(before)

    def tries(self) -> dict[str, Tries]:
        """Return the wrong tries of PINs at this kiosk, by the codes of their badges."""
        return {code: _as_tries(kept) for code, kept in self._log.tries().items()}

    def rebuild(self) -> None:
        """Throw the projection away and make it again from the log, all or nothing."""
        # read before the file is held for writing: of a log of years it takes longer than another
        # process waits
        pos = self._log.last_pos()
        anew = settled_anew(
            map(entry_of, self._log.kind_rows(*LISTED)),
            history=self._entries_of,
            of_units=self._entries_of_units,
        )
        since = self._log.rows_after
        self._log.renew_projection(anew, lambda: self._settled_new(since(pos)))
        self._begin_anew()


def _as_tries(kept: Tried) -> Tries:
    since = None if kept.since_ms is None else from_ms(kept.since_ms)
    return Tries(kept.wrong, since, kept.told)


def _as_kept(tries: Tries) -> Tried:
    since_ms = None if tries.since is None else to_ms(tries.since)
    return Tried(tries.wrong, since_ms, tries.told)
