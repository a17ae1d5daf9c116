"""Keep which units and jobs may be a question to a person; all others cost nothing."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from datetime import datetime

from db.log import Log
from kiosk.rules.entries import Entry, Kind
from kiosk.rules.fold import UnitState
from kiosk.rules.jobfold import JobState
from kiosk.store.notes import Job, Key, entry_of
from kiosk.store.settling import job_state


class Doubts:
    """What of a shop's open jobs does not fit; until is the moment a past view stops at."""

    _log: Log
    _until: datetime | None
    _states: dict[Key, UnitState]
    _jobs: dict[str, Job]
    _unsure: set[Key]
    _unsure_jobs: dict[str, JobState | None]

    def load(self) -> None:
        """Fold every unit of the open jobs."""
        raise NotImplementedError

    def unsure_units(self) -> Iterator[UnitState]:
        """Yield the units about which something may be asked, in the order of their lists."""
        self.load()
        for key in [key for key in self._states if key in self._unsure] if self._unsure else ():
            yield self._states[key]

    def unsure_jobs(self) -> Iterator[JobState]:
        """Yield the open jobs about which something may be asked."""
        for code, job in self._jobs.items():
            if job.open:
                if code not in self._unsure_jobs:
                    self._unsure_jobs[code] = self._job_in_doubt(code)
                if (state := self._unsure_jobs[code]) is not None:
                    yield state

    def units_answered(self, job: str, answer: str) -> list[str]:
        """Return the units in which an answer about their job brought something about."""
        found = (one.unit for one in self._entries_of_units(job) if one.answer == answer)
        return list(dict.fromkeys(found))

    def _note_unsure(self, found: Mapping[Key, UnitState | None]) -> None:
        for key, state in found.items():
            if state is not None and not state.away and state.may_ask:
                self._unsure.add(key)
            else:
                self._unsure.discard(key)

    def _job_in_doubt(self, code: str) -> JobState | None:
        found = job_state(code, history=self._entries_of, of_units=self._entries_of_units)
        return found if found is not None and found.needs_units else None

    def _entries_of(self, job: str, unit: str) -> Iterator[Entry]:
        """Yield what is known about a unit, or about a job itself but for its site's air."""
        # a sensor may have written thousands of readings
        rows = (
            self._log.unit_rows(job, unit)
            if unit
            else self._log.job_rows(job, without=Kind.AIR_READ)
        )
        return self._in_time(map(entry_of, rows))

    def _entries_of_units(self, job: str) -> Iterator[Entry]:
        """Yield what is known about the units of a job."""
        return self._in_time(map(entry_of, self._log.rows_of_units(job)))

    def _in_time(self, entries: Iterable[Entry]) -> Iterator[Entry]:
        until = self._until
        return (one for one in entries if until is None or one.at <= until)
