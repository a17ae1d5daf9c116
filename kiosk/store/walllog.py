"""Keep the entries that measure walls: read once, then entry by entry; there are few."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

from db.log import Log, Row
from kiosk.rules.entries import Entry, Kind, standing_entries
from kiosk.store.notes import entry_of


class WallLog:
    """The walls of all jobs as measured; until is the moment a past view stops at."""

    _log: Log
    _until: datetime | None
    _turn: int
    _wall_rows: dict[str, Entry] | None
    _walls_by_job: dict[str, tuple[Entry, ...]] | None = None

    @property
    def turn(self) -> tuple[int, datetime | None]:
        """Return what differs once anything was taken in."""
        return self._turn, self._until

    def wall_entries(self, job: str) -> tuple[Entry, ...]:
        """Return the entries that measured a job's walls, in order."""
        entries = self._walls().get(job, ())
        until = self._until
        return entries if until is None else tuple(one for one in entries if one.at <= until)

    def has_walls(self, job: str) -> bool:
        """Tell whether any wall of a job was measured."""
        return bool(self.wall_entries(job))

    def _walls(self) -> Mapping[str, tuple[Entry, ...]]:
        if self._wall_rows is None:
            rows = self._log.kind_rows(Kind.WALL_MEASURED)
            self._wall_rows = {row.id: entry_of(row) for row in rows}
            self._walls_by_job = None
        if self._walls_by_job is None:
            found: dict[str, list[Entry]] = {}
            for one in standing_entries(self._wall_rows.values()):
                found.setdefault(one.job, []).append(one)
            self._walls_by_job = {job: tuple(entries) for job, entries in found.items()}
        return self._walls_by_job

    def _take_wall_row(self, row: Row) -> None:
        """Take in an entry that measured a wall."""
        if self._wall_rows is not None:
            self._wall_rows[row.id] = entry_of(row)
        self._walls_by_job = None
