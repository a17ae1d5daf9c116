"""Keep what the log tells of sheets and offcuts: read once, then entry by entry."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime

from db.log import Log, Row
from kiosk.rules.entries import OF_SHEETS, Entry, Kind, standing_entries
from kiosk.store.notes import entry_of

_NOTHING: Mapping[str, object] = {}


class SheetLog:
    """The entries of sheets and of the stock; until is the moment a past view stops at."""

    _log: Log
    _until: datetime | None
    _sheet_rows: dict[str, Entry] | None
    _sheet_turn: int
    _sheet_standing: tuple[int, tuple[Entry, ...]] = (-1, ())

    @property
    def sheet_turn(self) -> tuple[int, datetime | None]:
        """Return what differs once `sheet_entries` may answer otherwise."""
        return self._sheet_turn, self._until

    def sheet_entries(self) -> tuple[Entry, ...]:
        """Return the entries of sheets and stock that count, in order; plans without their body.

        Plans are long and only a job's last one is read: ask `find_entry` for its body.
        """
        if self._sheet_rows is None:
            rows = self._log.kind_rows(*OF_SHEETS, Kind.STRUCK)
            self._sheet_rows = {row.id: _slim(row) for row in rows if not row.unit}
        if self._sheet_standing[0] != self._sheet_turn:
            found = standing_entries(self._sheet_rows.values())
            kept = tuple(one for one in found if one.kind in OF_SHEETS)
            self._sheet_standing = self._sheet_turn, kept
        until, entries = self._until, self._sheet_standing[1]
        return entries if until is None else tuple(one for one in entries if one.at <= until)

    def _take_sheet_row(self, row: Row) -> None:
        """Take in an entry of sheets, or what may strike one."""
        if row.kind == Kind.AIR_READ:
            return
        if self._sheet_rows is not None:
            self._sheet_rows[row.id] = _slim(row)
        self._sheet_turn += 1


def _slim(row: Row) -> Entry:
    entry = entry_of(row)
    return replace(entry, body=_NOTHING) if row.kind == Kind.SHEETS_PLANNED else entry
