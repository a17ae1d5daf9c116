"""Keep the readings of the air, the shop's and each site's: folded once, then entry by entry."""

from __future__ import annotations

from datetime import datetime

from db.log import Log, Row
from kiosk.rules.air import OLDEST, Reading
from kiosk.rules.airlog import AirLog
from kiosk.rules.entries import Entry, Kind, to_ms
from kiosk.store.lookups import A_MINUTE
from kiosk.store.notes import entry_of


class Airs:
    """What the log tells of the air; until is the moment a past view stops at."""

    _log: Log
    _until: datetime | None
    _airs: dict[str, AirLog] | None
    _air_since: datetime
    _air_changed: bool

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

    def take_air_changed(self) -> bool:
        """Tell whether the air's readings may have changed since the last call."""
        changed, self._air_changed = self._air_changed, False
        return changed

    def _air_logs(self, now: datetime) -> dict[str, AirLog]:
        if self._airs is None:
            self._air_since = min(now, self._until or now) - OLDEST
            since = to_ms(self._air_since)
            self._airs = {}
            for row in self._log.kind_rows(Kind.AIR_READ, Kind.STRUCK, since_ms=since):
                if not row.unit:
                    self._airs.setdefault(row.job, AirLog()).take(entry_of(row))
        return self._airs

    def _take_air(self, row: Row) -> None:
        """Take in a reading, or what may strike one."""
        if self._airs is not None:
            self._airs.setdefault(row.job, AirLog()).take(entry_of(row))
        self._air_changed = True
