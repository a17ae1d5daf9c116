"""The one door to the database: rows become entries, entries become the units' states.

The store keeps the units of open jobs folded in memory, and no entries: a log grows for years.
Writing, and reading what another process wrote, refolds only the units touched from the log; the
fold of everything stays as the oracle.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from copy import copy
from datetime import UTC, datetime
from itertools import groupby
from pathlib import Path

from db.backup import PART, backup, check_room, restore, verify
from db.connect import SQLITE_VERSION, beside
from db.connect import DbError as StoreError
from db.log import Changes, Draft, Log, Row, new_id
from db.tries import Tried
from kiosk.rules.air import OLDEST, Reading
from kiosk.rules.airlog import AirLog
from kiosk.rules.entries import Entry, Kind, from_ms, to_ms
from kiosk.rules.fold import UnitState, fold_unit
from kiosk.rules.jobfold import JobState
from kiosk.rules.lockout import Tries
from kiosk.store.doubts import Doubts
from kiosk.store.lookups import A_MINUTE, Lookups
from kiosk.store.notes import Job, Key, Note, entry_of
from kiosk.store.outgoings import Outgoings, is_moved
from kiosk.store.settling import BACKWARDS, LISTED, may_change, settled, settled_anew

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


class Store(Lookups, Doubts, Outgoings):
    """Holds the log of one shop file and the folded units of its open jobs."""

    def __init__(self, log: Log, kiosk: str, folder: Path) -> None:
        self._log, self._kiosk, self.folder = log, kiosk, folder
        self.file = folder / "shop.db"
        self._states: dict[Key, UnitState] = {}
        self._touched: set[Key] = set()
        self._jobs: dict[str, Job] = {}
        self._unsure: set[Key] = set()
        self._unsure_jobs: dict[str, JobState | None] = {}
        self._shop_changed = self._air_changed = True
        self._airs: dict[str, AirLog] | None = None
        self._air_since = datetime.max.replace(tzinfo=UTC)
        self._until: datetime | None = None
        self._loaded = False
        self._begun = False
        self._pos = log.last_pos()
        self._version = log.data_version()
        self._sent = log.sent()
        self._read_jobs()

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

    # -- reading -----------------------------------------------------------------------------

    @property
    def is_past(self) -> bool:
        """Tell whether this is a view of the past, which is only to be read."""
        return self._until is not None

    def load(self) -> None:
        """Fold every unit of the open jobs; needed once before `states` is asked."""
        if self._loaded:
            return
        keys = [key for key in self._log.open_units() if key not in self._states]
        self._read(keys)
        self._loaded = True

    def states(self) -> Mapping[Key, UnitState]:
        """Return the units of all open jobs."""
        self.load()
        return self._states

    def as_of(self, moment: datetime) -> Store:
        """Return the open jobs as the log had them at a moment; only to be read."""
        self.load()
        past = copy(self)
        past._until = moment
        past._airs = None if moment < self._air_since else self._airs
        folded = {
            key: fold_unit(entry for entry in entries if entry.at <= moment)
            for key, entries in self._histories(self._states)
        }
        past._states = {
            key: state for key, state in folded.items() if state is not None and not state.away
        }
        past._unsure, past._unsure_jobs = set(), {}
        past._note_unsure(past._states)
        past._touched, past._shop_changed, past._air_changed = set(), False, True
        return past

    def airs(self, now: datetime) -> dict[str, list[Reading]]:
        """Return the readings up to now by time: the shop's under '', a site's under its job.

        What was recorded longer ago than readings are taken in for is left out: no rest reaches it.
        A reading of a time still to come, from a kiosk whose clock was wrong, does not count.
        """
        until = min(now + A_MINUTE, self._until or now + A_MINUTE)
        return {job: air.readings(until) for job, air in self._air_logs(now).items()}

    def air_entry(self, job: str, at: datetime) -> Entry | None:
        """Return the entry whose reading of a place's air counts for a moment, or None."""
        air = self._air_logs(at).get(job)
        return air.entry_of(at) if air else None

    def _air_logs(self, now: datetime) -> dict[str, AirLog]:
        if self._airs is None:
            self._air_since = min(now, self._until or now) - OLDEST
            since = to_ms(self._air_since)
            self._airs = {}
            for row in self._log.kind_rows(Kind.AIR_READ, Kind.STRUCK, since_ms=since):
                if not row.unit:
                    self._airs.setdefault(row.job, AirLog()).take(entry_of(row))
        return self._airs

    def take_air_changed(self) -> bool:
        """Tell whether the air's readings may have changed since the last call."""
        changed, self._air_changed = self._air_changed, False
        return changed

    def state(self, job: str, unit: str) -> UnitState | None:
        """Return one unit, of an open job or a closed one, or None if no list named it."""
        key = (job, unit)
        if not self._is_open(job):
            entries = self.history(job, unit)
            until = self._until
            found = fold_unit(one for one in entries if until is None or one.at <= until)
            return None if found is None or found.away else found
        if key not in self._states:
            self._read([key])
        return self._states.get(key)

    def jobs(self) -> Mapping[str, Job]:
        """Return all jobs by code, closed ones too."""
        return self._jobs

    def take_touched(self) -> set[Key]:
        """Return the units that changed since the last call, and forget them."""
        touched, self._touched = self._touched, set()
        return touched

    def take_shop_changed(self) -> bool:
        """Tell whether routes or products may have changed since the last call."""
        changed, self._shop_changed = self._shop_changed, False
        return changed

    def refresh(self) -> bool:
        """Take in what other processes wrote to the file; tell whether there was anything."""
        version = self._log.data_version()
        if version == self._version:
            return False
        rows = [*self._log.rows_after(self._pos), *self._newly_received()]
        self._take(rows)
        self._version = version
        return bool(rows)

    # -- writing -----------------------------------------------------------------------------

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
        self._states, self._loaded, self._unsure, self._unsure_jobs = {}, False, set(), {}
        self._read_jobs()

    # -- inside ------------------------------------------------------------------------------

    def _take(self, rows: Iterable[Row]) -> None:
        touched: dict[Key, None] = {}  # in the order of the log, the same each time
        jobs: set[str] = set()
        for row in rows:
            is_moved = row.pos <= self._pos  # known before; now it is known when it was received
            self._pos = max(self._pos, row.pos)
            if row.job and row.unit:
                touched[row.job, row.unit] = None
                known = self._jobs.get(row.job)
                if known is None or not known.open or row.kind in BACKWARDS or is_moved:
                    # work on a closed job brings it back, until it is struck or lies before
                    jobs.add(row.job)
                continue
            if row.kind in (Kind.AIR_READ, Kind.STRUCK):
                if self._airs is not None:
                    self._airs.setdefault(row.job, AirLog()).take(entry_of(row))
                self._air_changed = True
                self._shop_changed |= row.kind == Kind.STRUCK
            elif not row.job and row.kind != Kind.DAY_PLANNED:
                self._shop_changed = True
            if row.job and row.kind != Kind.AIR_READ:
                jobs.add(row.job)
        if jobs:
            self._read_jobs()
        in_doubt = {job for job, _unit in touched if self._unsure_jobs.get(job) is not None}
        for code in jobs | in_doubt:
            self._unsure_jobs.pop(code, None)
        held = [key for key in touched if key in self._states]
        fresh = [key for key in touched if key not in self._states] if self._loaded else []
        self._read([*held, *(key for key in fresh if self._is_open(key[0]))])
        self._touched.update(touched)

    def _is_open(self, job: str) -> bool:
        return job not in self._jobs or self._jobs[job].open

    def _read(self, keys: Iterable[Key]) -> None:
        """Fold units anew from the log; their histories, which only grow, are not kept."""
        keys = list(keys)
        found = dict.fromkeys(keys, None) | {
            key: fold_unit(entries) for key, entries in self._histories(keys)
        }
        self._note_unsure(found)
        for key, state in found.items():
            if state is None or state.away:
                self._states.pop(key, None)
            else:
                self._states[key] = state

    def _histories(self, keys: Iterable[Key]) -> Iterator[tuple[Key, Iterator[Entry]]]:
        """Yield the entries about each unit, as long as the next unit is not asked for."""
        rows = self._log.units_rows(keys)
        for key, ours in groupby(rows, key=lambda row: (row.job, row.unit)):
            yield key, map(entry_of, ours)

    def _read_jobs(self) -> None:
        before = {job.code for job in self._jobs.values() if not job.open}
        self._jobs = {
            code: Job(
                code,
                str(body.get("name", "")),
                str(body.get("site", "")),
                str(body.get("hang_day", "")),
                str(body.get("units", "mm")),
                is_open,
            )
            for code, is_open, body in self._log.jobs()
        }
        closed = {job.code for job in self._jobs.values() if not job.open}
        for key in [key for key in self._states if key[0] in closed]:
            self._touched.add(key)
            self._unsure.discard(key)
            del self._states[key]
        if before - closed:
            self._loaded = False  # a job was opened again: its units are to be read


def _as_tries(kept: Tried) -> Tries:
    since = None if kept.since_ms is None else from_ms(kept.since_ms)
    return Tries(kept.wrong, since, kept.told)


def _as_kept(tries: Tries) -> Tried:
    since_ms = None if tries.since is None else to_ms(tries.since)
    return Tried(tries.wrong, since_ms, tries.told)
