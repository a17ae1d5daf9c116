"""What happened in the shop: the entries of the append-only log and their order."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from enum import StrEnum
from typing import Any

# A kiosk whose clock runs ahead must not push its entries before everybody's; a server stamps when
# it received them and more than this ahead of that is cut back. Choice, docs/rules.md "Order".
AHEAD_MS = 60_000
LATEST_MS = 4_102_444_800_000  # the year 2100; a later time is no time of a shop


class Kind(StrEnum):
    """The kinds of entry; docs/formats.md lists the body of each."""

    JOB_OPENED = "job_opened"
    JOB_CLOSED = "job_closed"
    LIST_TAKEN = "list_taken"
    UNIT_TAKEN = "unit_taken"
    UNIT_GONE = "unit_gone"
    LABELS_PRINTED = "labels_printed"
    STEP_DONE = "step_done"
    STRUCK = "struck"
    HOLD_PUT = "hold_put"
    HOLD_LIFTED = "hold_lifted"
    PART_SPOILED = "part_spoiled"
    ROUTES_SET = "routes_set"
    PRODUCTS_SET = "products_set"
    AIR_READ = "air_read"
    DRYNESS_FOUND = "dryness_found"
    RAGS_CLEARED = "rags_cleared"
    UNIT_CODED = "unit_coded"
    PLACE_CODED = "place_coded"
    PERSON_SET = "person_set"
    HOURS_SET = "hours_set"
    PIN_SET = "pin_set"
    PIN_REFUSED = "pin_refused"
    TOUCH_TIME_SET = "touch_time_set"
    DAY_PLANNED = "day_planned"


# What Strike may void. A list is mended by revising it, a struck entry by recording it again.
STRIKABLE = (
    Kind.STEP_DONE,
    Kind.HOLD_PUT,
    Kind.HOLD_LIFTED,
    Kind.PART_SPOILED,
    Kind.DRYNESS_FOUND,
    Kind.AIR_READ,
    Kind.RAGS_CLEARED,
)
# What a second tap on Strike last may void: not the air, which sensors write unasked.
STRIKABLE_LAST = tuple(kind for kind in STRIKABLE if kind != Kind.AIR_READ)


@dataclass(frozen=True, slots=True)
class Entry:
    """One entry of the log.

    l and c are the hybrid logical time (milliseconds since 1970 UTC, counter), wall_ms the kiosk's
    own clock, received_ms the server's clock or None, seq the kiosk's gapless sequence from 1. job
    and unit say what the entry is about; both empty: the whole shop.
    """

    id: str
    kiosk: str
    seq: int
    l: int  # noqa: E741 - the letter the hybrid logical clock's authors use
    c: int
    wall_ms: int
    person: str
    kind: str
    job: str
    unit: str
    body: Mapping[str, Any]  # Any: JSON
    received_ms: int | None = None

    @property
    def order(self) -> tuple[int, int, str, int]:
        """Return the key that puts entries of all kiosks into one order."""
        l = self.l  # noqa: E741
        if self.received_ms is not None:
            l = min(l, self.received_ms + AHEAD_MS)  # noqa: E741
        return (l, self.c, self.kiosk, self.seq)

    @property
    def at(self) -> datetime:
        """Return when it happened (aware, UTC): as stated for a late scan, else as recorded."""
        stated = self.body.get("at_ms")
        if not isinstance(stated, int) or not 0 <= stated < LATEST_MS:
            stated = min(max(self.wall_ms, 0), LATEST_MS)
            if self.received_ms is not None:
                stated = min(stated, self.received_ms + AHEAD_MS)
        return from_ms(stated)


def from_ms(ms: int) -> datetime:
    """Return whole milliseconds since 1970 as an aware UTC time."""
    return datetime.fromtimestamp(ms / 1000, UTC)


def to_ms(at: datetime) -> int:
    """Return an aware time as whole milliseconds since 1970."""
    return round(at.timestamp() * 1000)


def standing_entries(entries: Iterable[Entry]) -> list[Entry]:
    """Return the entries that count, once each and in order: without doubles and struck ones.

    A struck entry is void whatever arrived first; a strike itself cannot be struck.
    """
    unique: dict[str, Entry] = {}
    for entry in entries:
        known = unique.get(entry.id)
        # one copy may carry the server's stamp and another not yet: the same one must count always
        if known is None or entry.order < known.order:
            unique[entry.id] = entry
    struck = {
        str(entry.body.get("target")) for entry in unique.values() if entry.kind == Kind.STRUCK
    }
    return sorted(
        (
            entry
            for entry in unique.values()
            if not (entry.id in struck and entry.kind in STRIKABLE)
        ),
        key=lambda entry: entry.order,
    )
