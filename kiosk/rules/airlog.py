"""Keep readings of the air in entries of the log, and gather them from any order of entries."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime
from typing import Any, Final

from kiosk.rules.air import SOURCES, Reading, check_reading
from kiosk.rules.entries import LATEST_MS, Entry, Kind, Order, from_ms, to_ms

READINGS_EACH: Final = 1000  # of one entry: a logger's month is a few entries (choice)
_NO_VALUE: Final = -1e6


def air_bodies(readings: Sequence[Reading]) -> list[dict[str, Any]]:  # Any: JSON
    """Return the bodies of the entries that hold readings of one source."""
    rows = [
        [to_ms(one.at), one.temperature_c, one.humidity, one.surface_c, one.speed_m_s]
        for one in readings
    ]
    source = readings[0].source if readings else SOURCES[0]
    return [
        {"source": source, "readings": rows[start : start + READINGS_EACH]}
        for start in range(0, len(rows), READINGS_EACH)
    ]


def readings_of(body: Mapping[str, Any]) -> list[Reading]:
    """Return the readings of an entry; a row that is none is left out."""
    source = str(body.get("source", ""))
    rows = body.get("readings")
    found = []
    for row in rows if isinstance(rows, list) else ():
        reading = _reading(row, source)
        if reading is not None:
            found.append(reading)
    return found


def _reading(row: Any, source: str) -> Reading | None:
    if not isinstance(row, list) or len(row) != 5:
        return None
    at_ms = row[0]
    if not isinstance(at_ms, int) or isinstance(at_ms, bool) or not 0 <= at_ms < LATEST_MS:
        return None
    values = [_value(value) for value in row[1:]]
    warm, damp, surface, wind = values
    if warm is None or damp is None or any(value == _NO_VALUE for value in values):
        return None
    reading = Reading(from_ms(at_ms), warm, damp, surface, wind, source)
    return None if check_reading(reading, now=reading.at) else reading


def _value(value: Any) -> float | None:
    """Return a number of a row, None where none stands, and what no reading has if it is odd."""
    if value is None:
        return None
    sound = isinstance(value, int | float) and not isinstance(value, bool)
    return float(value) if sound and abs(value) < -_NO_VALUE else _NO_VALUE


class AirLog:
    """The readings of one place as the log has them; which entry came first does not matter.

    Of two readings for the same moment the one counts whose entry is later in the log's order, and
    within an entry the later one. A struck entry's readings count no more.
    """

    def __init__(self) -> None:
        self._entries: dict[str, Entry] = {}
        self._struck: set[str] = set()
        self._found: dict[datetime, tuple[Order, Reading]] = {}

    def take(self, entry: Entry) -> bool:
        """Take an entry about this place's air; tell whether the readings may have changed."""
        if entry.kind == Kind.STRUCK:
            target = str(entry.body.get("target"))
            self._struck.add(target)
            if target in self._entries:
                self._put_all()
            return target in self._entries
        if entry.kind != Kind.AIR_READ:
            return False
        known = self._entries.get(entry.id)
        if known is None:
            self._entries[entry.id] = entry
            self._put(entry)
        elif entry.order < known.order:
            # the copy that carries a server's stamp: the same one must count always
            self._entries[entry.id] = entry
            self._put_all()
        return True

    def _put_all(self) -> None:
        self._found = {}
        for entry in self._entries.values():
            self._put(entry)

    def _put(self, entry: Entry) -> None:
        if entry.id in self._struck:
            return
        for reading in readings_of(entry.body):
            before = self._found.get(reading.at)
            if before is None or before[0] <= entry.order:
                self._found[reading.at] = (entry.order, reading)

    def readings(self, until: datetime | None = None) -> list[Reading]:
        """Return the readings by time, those after `until` left out."""
        times: Iterable[datetime] = sorted(self._found)
        return [self._found[at][1] for at in times if until is None or at <= until]

    def entry_of(self, at: datetime) -> Entry | None:
        """Return the entry whose reading counts for a moment, or None."""
        found = self._found.get(at)
        if found is None:
            return None
        return next((one for one in self._entries.values() if one.order == found[0]), None)
