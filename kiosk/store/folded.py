"""Keep the units of open jobs folded in memory, and no entries: a log grows for years.

Only the units that entries touch are folded anew, from the log; the fold of everything stays as the
oracle.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from copy import copy
from datetime import UTC, datetime
from itertools import groupby
from typing import Self

from db.log import Log, Row
from kiosk.rules.airlog import AirLog
from kiosk.rules.entries import OF_SHEETS, Entry, Kind
from kiosk.rules.fold import UnitState, fold_unit
from kiosk.rules.jobfold import JobState
from kiosk.store.airs import Airs
from kiosk.store.doubts import Doubts
from kiosk.store.lookups import Lookups
from kiosk.store.notes import Job, Key, entry_of
from kiosk.store.settling import BACKWARDS
from kiosk.store.sheetlog import SheetLog
from kiosk.store.walllog import WallLog


class Folded(Lookups, Doubts, Airs, SheetLog, WallLog):
    """The jobs of a log and the units of the open ones, as far as it was taken in."""

    def __init__(self, log: Log, kiosk: str) -> None:
        self._log, self._kiosk = log, kiosk
        self._states: dict[Key, UnitState] = {}
        self._touched: set[Key] = set()
        self._jobs: dict[str, Job] = {}
        self._unsure: set[Key] = set()
        self._unsure_jobs: dict[str, JobState | None] = {}
        self._shop_changed = self._air_changed = True
        self._airs: dict[str, AirLog] | None = None
        self._air_since = datetime.max.replace(tzinfo=UTC)
        self._until: datetime | None = None
        self._sheet_rows: dict[str, Entry] | None = None
        self._sheet_turn = 0
        self._turn = 0
        self._wall_rows: dict[str, Entry] | None = None
        self._loaded = False
        self._pos = log.last_pos()
        self._read_jobs()

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

    def as_of(self, moment: datetime) -> Self:
        """Return the open jobs as the log had them at a moment; only to be read."""
        self.load()
        past = copy(self)
        past._until = moment
        past._airs = None if moment < self._air_since else self._airs
        past._states, past._unsure, past._unsure_jobs = {}, set(), {}
        past._read(self._states)
        past._touched, past._shop_changed, past._air_changed = set(), False, True
        return past

    def state(self, job: str, unit: str) -> UnitState | None:
        """Return one unit, of an open job or a closed one, or None if no list named it."""
        key = (job, unit)
        if not self._is_open(job):
            found = fold_unit(self._in_time(self.history(job, unit)))
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

    def _begin_anew(self) -> None:
        """Forget what was folded: the projection was made again."""
        self._states, self._loaded, self._unsure, self._unsure_jobs = {}, False, set(), {}
        self._sheet_rows = self._wall_rows = None
        self._turn += 1
        self._sheet_turn += 1
        self._read_jobs()

    def _take(self, rows: Iterable[Row]) -> None:
        self._turn += 1
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
            if self._take_apart(row):
                continue
            if row.kind in (Kind.AIR_READ, Kind.STRUCK):
                self._take_air(row)
                self._take_sheet_row(row)
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

    def _take_apart(self, row: Row) -> bool:
        """Take in an entry of sheets or of a wall, which change no unit; tell whether it is one."""
        if row.kind in OF_SHEETS:
            self._take_sheet_row(row)
        elif row.kind == Kind.WALL_MEASURED:
            self._take_wall_row(row)
            # where each of its units stands may be another now
            self._touched.update(key for key in self._states if key[0] == row.job)
        else:
            return False
        return True

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
            yield key, self._in_time(map(entry_of, ours))

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
