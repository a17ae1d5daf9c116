"""Hold what a shop plans with: setup, touch times, hours, places; and how much fits at once."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from functools import reduce
from itertools import combinations
from statistics import median_low
from typing import Final

from kiosk.rules.dayplan.model import Bench, Minute, Span, Store, Worker
from kiosk.rules.floor import Rack
from kiosk.rules.parts import UnitSpec
from kiosk.rules.route import STATIONS, Step
from kiosk.rules.setup import Setup
from kiosk.rules.touchtimes import ROOM, StepKey, TouchTime, whole_minutes
from kiosk.rules.words import known, say
from kiosk.rules.workday import Hours, minute_of, spans_of

HORIZON: Final = 120  # days people's hours are known ahead, at first (choice)
FAR: Final = 2 * 365  # days to a hang day; a job with a later one is not planned yet (choice)
SEEN: Final = 21  # days whose stretches count as the usual ones (choice)
SCUFF: Final = 5.0  # minutes of a scuff the route has no step for (choice)
SCORE: Final = 5  # minutes to score a tape's edge (common practice, no source)
LEAST: Final = 30  # minutes of a stretch, or of a piece of a step, that is worth planning (choice)
HARDER: Final = 0.5  # a film past its window takes half as long again to scuff (choice)
ROLES: Final = ("glue", "coat")  # places a plan keeps count of


@dataclass(frozen=True, slots=True)
class Site:
    """What hanging costs besides hanging: minutes of one way, and of loading a job."""

    drive: int = 30
    load: int = 30


@dataclass(frozen=True, slots=True)
class Means:
    """What a plan is made with.

    people are who works, with their hours; hours are the shop's own. benches tells how many steps
    may go on at a station at once; one that is not named has one. days is how far ahead hours are
    known.
    """

    setup: Setup
    times: Mapping[StepKey, TouchTime]
    now: datetime
    people: Sequence[tuple[str, Hours]]
    hours: Hours
    racks: Sequence[Rack] = ()
    benches: Mapping[str, int] = field(default_factory=dict)
    site: Site = field(default_factory=Site)
    days: int = HORIZON

    @property
    def minute(self) -> Minute:
        """Return the moment as a plan counts it."""
        return minute_of(self.now)

    def is_far(self, day: date | None) -> bool:
        """Tell whether a hang day is too far away for its job to be planned yet."""
        today = self.now.astimezone(self.setup.zone).date()
        return day is not None and (day - today).days > FAR

    def touch(self, spec: UnitSpec, step: Step, count: int) -> tuple[int, int]:
        """Return the minutes a step takes for so many parts, and the room it needs to be begun."""
        known_time = self.times.get((spec.kind, step.name))
        used = known_time.used if known_time else step.minutes or SCUFF
        room = known_time.room if known_time else used * ROOM
        minutes = whole_minutes(used * count)
        return minutes, max(minutes, whole_minutes(room * count)) if step.whole else 0

    def place(self, role: str) -> str:
        """Return the name of the place of a role, of all of them together; empty for none."""
        return ", ".join(rack.name for rack in self.racks if rack.role == role)

    def stores(self) -> tuple[Store, ...]:
        """Return the places a plan keeps count of; several of one role count as one."""
        return tuple(
            Store(self.place(role), sum(rack.slots for rack in self.racks if rack.role == role))
            for role in ROLES
            if self.place(role)
        )

    def all_benches(self) -> tuple[Bench, ...]:
        """Return every station with its benches."""
        return tuple(Bench(name, max(1, self.benches.get(name, 1))) for name in STATIONS)

    def workers(self) -> tuple[tuple[Worker, ...], tuple[str, ...]]:
        """Return who works when, and in words the stations nobody is set down for.

        Such a station is done by everybody, as a plan must not stop there.
        """
        everybody = [
            Worker(
                name[:],  # plain, as for other processes
                tuple(
                    Span(*pair)
                    for pair in spans_of(hours, now=self.now, days=self.days, zone=self.setup.zone)
                ),
                hours.stations,
            )
            for name, hours in self.people
        ]
        here = [worker for worker in everybody if worker.spans]
        bare = [name for name in STATIONS if not any(worker.can(name) for worker in here)]
        if not here or not bare:
            return tuple(here), ()
        staff = [
            Worker(one.name, one.spans, (*one.stations, *bare) if one.stations else ())
            for one in here
        ]
        words = [
            say(
                "Nobody is set down for {station}: planned as if everybody worked there.",
                station=known(name, "station"),
            )
            for name in bare
        ]
        return tuple(staff), tuple(words)


class Limits:
    """How long one step may be at a station, by how many people do it, and how many there are."""

    def __init__(self, workers: Sequence[Worker], now: Minute) -> None:
        self._workers, self._now = workers, now
        self._longest: dict[tuple[str, int], int] = {}

    def crew(self, station: str, wanted: int, *, minutes: int = LEAST) -> int:
        """Return how many of the people wanted are there together for long enough; 1 at least.

        That is for the minutes a step takes, or for a piece of it that is worth while.
        """
        enough = min(minutes, LEAST)
        crews = range(2, wanted + 1)
        return max((n for n in crews if self.longest(station, n) >= enough), default=1)

    def longest(self, station: str, crew: int) -> int:
        """Return the usual length of a stretch in which so many work there together; 0 for none.

        The median of the next three weeks: half of all stretches have room for it.
        """
        key = (station, crew)
        if key not in self._longest:
            able = [worker.spans for worker in self._workers if worker.can(station)]
            seen = self._now + SEEN * 24 * 60
            near = [[span for span in spans if span.starts < seen] for spans in able]
            self._longest[key] = _usual(near, crew) or _usual(able, crew)
        return self._longest[key]


def _usual(able: Sequence[Sequence[Span]], crew: int) -> int:
    lengths = [
        span.ends - span.starts
        for some in combinations(able, crew)
        for span in reduce(_shared, some)
    ]
    return median_low(lengths) if lengths else 0


def _shared(first: Sequence[Span], second: Sequence[Span]) -> list[Span]:
    """Return when both stretches go on; both are in order and apart."""
    found, at, other = [], 0, 0
    while at < len(first) and other < len(second):
        one, two = first[at], second[other]
        starts, ends = max(one.starts, two.starts), min(one.ends, two.ends)
        if starts < ends:
            found.append(Span(starts, ends))
        if one.ends <= two.ends:
            at += 1
        else:
            other += 1
    return found
