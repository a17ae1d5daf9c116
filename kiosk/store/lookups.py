"""Look things up in the log itself: nothing here is kept in memory."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta
from typing import Any

from db.log import Log
from kiosk.rules.entries import STRIKABLE, Entry, Kind, standing_entries, to_ms, void_ids
from kiosk.store.notes import Key, clock_time, entry_of

A_MINUTE = timedelta(minutes=1)


class Lookups:
    """What is asked of a log; until is the moment a past view stops at, None for now."""

    _log: Log
    _kiosk: str
    _until: datetime | None

    def history(self, job: str, unit: str) -> list[Entry]:
        """Return all entries about a unit in order, struck ones too."""
        rows = self._log.unit_rows(job, unit)
        return sorted((entry_of(row) for row in rows), key=lambda entry: entry.order)

    def units_of(self, job: str) -> list[str]:
        """Return the names of a job's units."""
        return self._log.units_of(job)

    def find_piece(self, code: str) -> Key | None:
        """Return the unit a part's code belongs to, or None."""
        return self._log.find_piece(code)

    def find_entry(self, entry_id: str) -> Entry | None:
        """Return an entry by its id, or None."""
        row = self._log.row(entry_id)
        return entry_of(row) if row else None

    def last_entries(self, count: int, kinds: Sequence[Kind]) -> list[Entry]:
        """Return this kiosk's latest entries of some kinds, newest first."""
        rows = self._log.last_rows(self._kiosk, count, [str(kind) for kind in kinds])
        return [entry_of(row) for row in rows]

    def last_at(self) -> datetime | None:
        """Return what this kiosk's clock said at its latest entry (aware, UTC), or None."""
        found = self._log.last_wall_ms(self._kiosk)
        return None if found is None else clock_time(found)

    def last_body(self, kind: Kind) -> Mapping[str, Any] | None:
        """Return the body of the latest shop-wide entry of a kind, or None."""
        found = self.shop_entries(kind)
        return found[-1].body if found else None

    def latest(self, kind: Kind, now: datetime) -> Entry | None:
        """Return the latest shop-wide entry of a kind by now, or None; nothing else is read.

        Of another kiosk's clock a minute ahead is let pass, but in a view of the past.
        """
        until = now + A_MINUTE if self._until is None else min(now, self._until)
        row = self._log.last_of_kind(kind, until_ms=to_ms(until))
        return entry_of(row) if row else None

    def shop_entries(self, kind: Kind) -> list[Entry]:
        """Return the shop-wide entries of a kind that count, in order."""
        rows = self._log.kind_rows(kind, *([Kind.STRUCK] if kind in STRIKABLE else []))
        found = standing_entries(entry_of(row) for row in rows if not row.job)
        return [
            entry
            for entry in found
            if entry.kind == kind and (self._until is None or entry.at <= self._until)
        ]

    def kind_entries(self, kind: Kind, *, since: datetime) -> list[Entry]:
        """Return the entries of a kind about any unit that count, since a time, in order."""
        kinds = (kind, Kind.STRUCK, Kind.QUESTION_ANSWERED)
        rows = self._log.kind_rows(*kinds, since_ms=to_ms(since))
        return [
            entry
            for entry in standing_entries(entry_of(row) for row in rows)
            if entry.kind == kind and (self._until is None or entry.at <= self._until)
        ]

    def kinds(self) -> dict[Key, str]:
        """Return the kind of every unit any list named, of closed jobs too."""
        return {key: str(body.get("kind", "")) for key, body in self.bodies(Kind.UNIT_TAKEN)}

    def tally(self) -> dict[str, int]:
        """Return how many entries there are of each kind."""
        return self._log.tally()

    def people(self) -> list[str]:
        """Return everybody an entry names as the one who did it."""
        return self._log.people()

    def bodies(self, kind: Kind) -> list[tuple[Key, Mapping[str, Any]]]:
        """Return the bodies of all entries of a kind and the units they are about."""
        rows = self._log.kind_rows(kind)
        return [((row.job, row.unit), entry_of(row).body) for row in rows]

    def units_with(self, kind: Kind) -> list[Key]:
        """Return the units with entries of a kind, of closed jobs too."""
        return list(dict.fromkeys((row.job, row.unit) for row in self._log.kind_rows(kind)))

    def strikes(self, entry: Entry) -> frozenset[str]:
        """Return the ids of what is void about the same unit, or about the shop."""
        if entry.unit:
            rows = self._log.unit_rows(entry.job, entry.unit)
        else:
            rows = self._log.kind_rows(Kind.STRUCK, entry.kind)
        return void_ids(map(entry_of, rows))
