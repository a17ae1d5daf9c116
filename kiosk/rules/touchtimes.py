"""Learn from the scans how long each step takes in this shop.

A step is scanned when it is done, so the time between two scans of one person is what the second
took; it begins no earlier than the end of a rest that was waited for. Median and 80th percentile
are taken, as a few long intervals hold a telephone call.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta, tzinfo
from math import ceil
from typing import Final

from kiosk.rules.entries import Entry, Kind
from kiosk.rules.reasons import GO_AHEAD_REASONS
from kiosk.rules.route import LONGEST_STEP, Route, Step

ENOUGH: Final = 8  # samples from which the shop's own figure stands alone (choice)
SAME_BATCH: Final = timedelta(seconds=45)  # scans of one step as near as this share their time
# Beyond these times the usual figure an interval tells of something else: a meeting, or scans made
# up for afterwards (choices).
MOST: Final = 4.0
LEAST: Final = 0.15
ROOM: Final = 1.2  # 80th percentile over median where none is learned: log-normal, sigma 0.22
UNSAID: Final = 10.0  # minutes of a step nobody gave a figure for (choice)
LOOKS_BACK: Final = timedelta(days=180)  # a shop gets faster, and changes its tools (choice)
# Done at another time than scanned: tells nothing of how long it took.
_LATE: Final = str(GO_AHEAD_REASONS[3])

StepKey = tuple[str, str]  # kind of unit, name of the step


@dataclass(frozen=True, slots=True)
class TouchTime:
    """How long one step takes, in minutes: of a part where each is scanned, else of the unit.

    catalogue is the route's figure, learned and eighty the median and 80th percentile of count
    intervals (None: none yet), set what the shop said (None: nothing). used is what counts, and
    room the time that must be left before a break where it cannot be left half done.
    """

    kind: str
    step: str
    title: str
    each: bool
    catalogue: float
    learned: float | None = None
    eighty: float | None = None
    count: int = 0
    set: float | None = None
    used: float = UNSAID
    room: float = UNSAID * ROOM


def touch_times(
    routes: Mapping[str, Route],
    samples: Mapping[StepKey, Sequence[float]],
    said: Mapping[StepKey, float],
) -> dict[StepKey, TouchTime]:
    """Return the touch time of every step of every route.

    A median weighs by its count up to ENOUGH, the rest is the catalogue's: linear, a choice. What
    the shop said counts before both.
    """
    found = {}
    for kind, route in routes.items():
        for step in route.steps:
            key = (kind, step.name)
            found[key] = _touch_time(kind, step, samples.get(key, ()), said.get(key))
    return found


def _touch_time(kind: str, step: Step, samples: Sequence[float], said: float | None) -> TouchTime:
    catalogue = float(step.minutes or UNSAID)
    learned, eighty = (quantile(samples, share) if samples else None for share in (0.5, 0.8))
    share = min(1.0, len(samples) / ENOUGH)
    used, room = catalogue, catalogue * ROOM
    if learned is not None and eighty is not None:
        used = share * learned + (1 - share) * catalogue
        room = share * eighty + (1 - share) * catalogue * ROOM
    if said is not None:
        used, room = said, said * ROOM
    return TouchTime(
        kind,
        step.name,
        step.title,
        step.each,
        catalogue,
        learned,
        eighty,
        len(samples),
        said,
        used,
        max(room, used),
    )


def quantile(values: Sequence[float], share: float) -> float:
    """Return the value below which a share of the values lies, between neighbours linearly.

    Type 7 of Hyndman and Fan, "Sample Quantiles in Statistical Packages", 1996 (from memory).
    """
    ordered = sorted(values)
    place = share * (len(ordered) - 1)
    low = int(place)
    high = min(low + 1, len(ordered) - 1)
    return ordered[low] + (ordered[high] - ordered[low]) * (place - low)


def times_said(entries: Iterable[Entry]) -> dict[StepKey, float]:
    """Return what the shop said of its touch times; the last word counts, none takes it back.

    Args:
        entries: of kind touch_time_set, in the log's order.
    """
    found: dict[StepKey, float] = {}
    for entry in entries:
        kind, step, minutes = (entry.body.get(name) for name in ("kind", "step", "minutes"))
        if entry.kind != Kind.TOUCH_TIME_SET or not (
            isinstance(kind, str) and isinstance(step, str)
        ):
            continue
        found.pop((kind, step), None)
        if isinstance(minutes, bool) or not isinstance(minutes, int | float):
            continue
        if 0 < minutes <= LONGEST_STEP:
            found[kind, step] = float(minutes)
    return found


@dataclass(frozen=True, slots=True)
class _Batch:
    """Scans of one step of one kind within seconds: they were worked on together."""

    key: StepKey
    first: datetime
    last: datetime
    entries: tuple[Entry, ...]
    is_late: bool


def learn_samples(
    entries: Iterable[Entry],
    kinds: Mapping[tuple[str, str], str],
    routes: Mapping[str, Route],
    *,
    zone: tzinfo,
    paused: Callable[[datetime, datetime], float],
    rested: Callable[[Entry], datetime | None],
) -> dict[StepKey, list[float]]:
    """Return the intervals of each step in minutes, one for each batch, as its scans tell no more.

    Args:
        entries: of kind step_done, those that count.
        kinds: the kind of each unit by job and id.
        routes: of the shop; a step not in them is left out, but the next begins at its scan.
        zone: of the shop; the first scan of a day tells nothing.
        paused: how many minutes between two times of one day are the break's.
        rested: when the rest was over that the step of an entry waits for; None: it waits for none.
    """
    by_hand: dict[str, list[Entry]] = defaultdict(list)
    for entry in entries:
        by_hand[entry.person or f"\0{entry.kiosk}"].append(entry)
    usual = {
        (kind, step.name): step.minutes or UNSAID
        for kind, route in routes.items()
        for step in route.steps
    }
    found: dict[StepKey, list[float]] = defaultdict(list)
    for mine in by_hand.values():
        mine.sort(key=lambda entry: (entry.at, entry.order))
        before: datetime | None = None
        for batch in _batches(mine, kinds):
            is_same_day = before is not None and _day(before, zone) == _day(batch.first, zone)
            if before is not None and is_same_day and batch.key in usual and not batch.is_late:
                begun = max(before, _waited(batch, rested) or before)
                spent = (batch.last - begun) / timedelta(minutes=1) - paused(begun, batch.last)
                each = spent / len(batch.entries)
                if LEAST * usual[batch.key] <= each <= MOST * usual[batch.key]:
                    found[batch.key].append(each)
            before = batch.last
    return dict(found)


def _waited(batch: _Batch, rested: Callable[[Entry], datetime | None]) -> datetime | None:
    """Return until when all units of a batch rested; None where one of them did not.

    One that was gone on with before its rest was over did not wait for it.
    """
    ends = [rested(entry) for entry in batch.entries]
    waited = [end for end in ends if end is not None and end < batch.first]
    return min(waited) if len(waited) == len(ends) else None


def _batches(entries: Sequence[Entry], kinds: Mapping[tuple[str, str], str]) -> list[_Batch]:
    """Return scans in order, those of one step and kind within seconds of each other as one."""
    found: list[_Batch] = []
    for entry in entries:
        key = (kinds.get((entry.job, entry.unit), ""), str(entry.body.get("step", "")))
        is_late = entry.body.get("early") == _LATE
        last = found[-1] if found else None
        if last and last.key == key and entry.at - last.last <= SAME_BATCH:
            is_late = is_late or last.is_late
            found[-1] = _Batch(key, last.first, entry.at, (*last.entries, entry), is_late)
        else:
            found.append(_Batch(key, entry.at, entry.at, (entry,), is_late))
    return found


def _day(at: datetime, zone: tzinfo) -> object:
    return at.astimezone(zone).date()


def whole_minutes(minutes: float) -> int:
    """Return minutes as a plan counts them: whole ones, rounded up, 1 at least."""
    return max(1, ceil(minutes - 1e-9))
