"""Take readings of the shop's air and say what the air was, and will likely be, at any moment."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum
from itertools import pairwise
from math import ceil, inf
from typing import Final

from kiosk.rules.dose import (
    DAY_MS,
    HOUR_MS,
    MINUTE_MS,
    Course,
    Node,
    Span,
    Stretch,
    between,
    joined,
)
from kiosk.rules.forecast import KNOWN_GAP_MS, profile
from kiosk.rules.problems import Problem
from kiosk.rules.rates import Rate
from kiosk.rules.words import _, say

# What a thermometer in a shop can show; beyond it the sensor or the typing is wrong (choice).
LOWEST_C, HIGHEST_C = -20.0, 60.0
OLDEST: Final = timedelta(days=200)  # longer than any rest that ships, in slow air (choice)
# A panel's temperature and the air's speed are measured now and then; each stands for an hour.
STANDS_MS: Final = HOUR_MS
MOST_SPEED: Final = 10.0  # m/s; a storm, not a shop (choice)
SOURCES = ("typed", "imported", "sensor")


@dataclass(frozen=True, slots=True)
class Reading:
    """One reading of the air; at is aware.

    temperature_c in °C, humidity relative in %, surface_c the panel's own temperature in °C and
    speed_m_s the air's in m/s where they were measured. source is one of SOURCES.
    """

    at: datetime
    temperature_c: float
    humidity: float
    surface_c: float | None = None
    speed_m_s: float | None = None
    source: str = "typed"


def check_reading(
    reading: Reading, *, now: datetime, oldest: timedelta | None = OLDEST
) -> tuple[Problem, ...]:
    """Name everything that makes a reading impossible; without problems it may be kept.

    Refused: outside -20 to 60 °C, humidity outside 0 to 100 %, a time still to come or longer ago
    than oldest.
    """
    found = []
    for column, value in (
        (_("temperature"), reading.temperature_c),
        (_("surface temperature"), reading.surface_c),
    ):
        if value is not None and not LOWEST_C <= value <= HIGHEST_C:
            words = say("{value:g} °C is no {column} of a shop.", value=value, column=column)
            remedy = say(
                "Write one between {lowest_c:g} and {highest_c:g} °C; is it in °F?",
                lowest_c=LOWEST_C,
                highest_c=HIGHEST_C,
            )
            found.append(Problem(words, remedy, column=column, value=f"{value:g}"))
    if not 0 < reading.humidity <= 100:
        words = say("{humidity:g} % is no relative humidity.", humidity=reading.humidity)
        remedy = _("Write one above 0 and up to 100 %.")
        found.append(Problem(words, remedy, column="humidity", value=f"{reading.humidity:g}"))
    if reading.speed_m_s is not None and not 0 <= reading.speed_m_s <= MOST_SPEED:
        words = say("{speed_m_s:g} m/s is no air speed of a shop.", speed_m_s=reading.speed_m_s)
        remedy = say("Write one up to {most_speed:g} m/s.", most_speed=MOST_SPEED)
        found.append(Problem(words, remedy, column="air speed", value=f"{reading.speed_m_s:g}"))
    if oldest is not None and reading.at < now - oldest:
        words = say(
            "The reading is older than {days} days; no rest reaches back so far.", days=oldest.days
        )
        remedy = _("Is the clock of what read it set?")
        found.append(Problem(words, remedy, column="time", value=reading.at.isoformat()))
    if reading.at > now + timedelta(minutes=1):
        remedy = _("Give the time at which it was read.")
        words = _("The reading is of a time still to come.")
        found.append(Problem(words, remedy, column="time", value=reading.at.isoformat()))
    return tuple(found)


def in_order(readings: Iterable[Reading]) -> tuple[Reading, ...]:
    """Return readings by time, one per moment: of two for the same moment the later given counts.

    So the order in which readings of different moments arrive does not matter.
    """
    by_time = {reading.at: reading for reading in readings}
    return tuple(by_time[at] for at in sorted(by_time))


class Ahead(StrEnum):
    """Where the air after the last reading comes from."""

    PROFILE = "profile"  # the mean of the same hour of the last days
    LAST = "last"  # the last reading's, for want of a whole day
    LABEL = "label"  # no reading at all: every product's own reference air
    SUPPOSED = "supposed"  # what a person asked about


class Air:
    """The air of one place: every reading, the forecast after the last, and doses along both."""

    __slots__ = ("_courses", "_days", "_gaps", "_nodes", "ahead", "day", "readings", "stretches")

    def __init__(self, readings: Iterable[Reading] = (), *, before: Air | None = None) -> None:
        """Take readings in any order; of two for one moment the later given counts.

        What `before` has worked out for days that are the same here is used again.
        """
        self.readings = in_order(readings)
        self._nodes = _standing([_node(reading) for reading in self.readings])
        known = before._days if before else {}
        self._days: dict[int, Stretch] = _by_day(self._nodes, known)
        times = [-inf, *(node[0] for node in self._nodes), inf]
        self._gaps = [(a, b) for a, b in pairwise(times) if b - a > KNOWN_GAP_MS]
        self._courses: dict[tuple[Rate, float, float], Course] = {}
        self.stretches: tuple[Stretch, ...] = tuple(self._days.values())
        if not self._nodes:
            self.ahead, self.day = Ahead.LABEL, Stretch(())
            return
        hours = profile(self._nodes)
        self.ahead = Ahead.PROFILE if hours else Ahead.LAST
        last = self._nodes[-1]
        start = last[0] + HOUR_MS
        first = hours[0] if hours else (last[1], last[2], None, None)
        # what was measured of panel and air speed stands for an hour, whatever the air does
        self.stretches = (*self.stretches, Stretch((last, (start, *first[:2], *last[3:]))))
        around = [*hours, hours[0]] if hours else []
        self.day = (
            Stretch(tuple((start + at * HOUR_MS, *values) for at, values in enumerate(around)))
            if hours
            else _steady((start, *first), start)
        )

    @property
    def first_ms(self) -> float | None:
        """Return when the first reading was taken, None without one."""
        return self._nodes[0][0] if self._nodes else None

    @property
    def last_ms(self) -> float | None:
        """Return when the last reading was taken, None without one."""
        return self._nodes[-1][0] if self._nodes else None

    def supposing(self, temperature_c: float, humidity: float, *, now: datetime) -> Air:
        """Return this air as it would go on if it were so from now on.

        Without any reading it is taken to have been so all along.
        """
        start = now.timestamp() * 1000
        supposed: Node = (start + MINUTE_MS, temperature_c, humidity, None, None)
        found = Air(reading for reading in self.readings if reading.at <= now)
        if found._nodes:
            last = found._nodes[-1]
            hours = range(1, ceil((start - last[0]) / HOUR_MS))
            times = [*(last[0] + hour * HOUR_MS for hour in hours), start]
            until = [node for at in times if at > last[0] and (node := self.at(at)) is not None]
            found.stretches = (*found._days.values(), Stretch((last, *until, supposed)))
        found.day, found.ahead = _steady(supposed, supposed[0]), Ahead.SUPPOSED
        return found

    def course(self, rate: Rate, *, cap: float, factor: float = 1.0) -> Course:
        """Return the dose of a rate along this air; without readings, along the label's own air."""
        key = (rate, cap, factor)
        found = self._courses.get(key)
        if found is None:
            day = self.day
            if self.ahead == Ahead.LABEL:
                label = (0.0, rate.reference_c, rate.reference_humidity, None, None)
                day = _steady(label, 0.0)
                rate = Rate(rate.law, rate.reference_c, rate.reference_humidity, rate.energy_kj)
            found = Course(self.stretches, day, rate, cap=cap, factor=factor)
            self._courses[key] = found
        return found

    def at(self, ms: float) -> Node | None:
        """Return the air at a moment, read or forecast; None without a reading."""
        nodes: Sequence[Node] = self._nodes
        if not nodes and self.ahead == Ahead.LABEL:
            return None
        if nodes and ms <= nodes[0][0]:
            return (ms, *nodes[0][1:])
        if ms >= self.day.nodes[0][0]:
            nodes = self.day.nodes
            shift = (ms - nodes[0][0]) // DAY_MS * DAY_MS
        else:
            shift = 0.0
            if not nodes or ms > nodes[-1][0]:
                nodes = self.stretches[-1].nodes if self.stretches else self.day.nodes
        place = min(max(bisect_left(nodes, (ms - shift,)), 1), len(nodes) - 1)
        before, after = nodes[place - 1], nodes[place]
        share = (ms - shift - before[0]) / (after[0] - before[0])
        return (ms, *between(before, after, min(max(share, 0.0), 1.0))[1:])

    def held(self, rate: Rate, start_ms: float, end_ms: float) -> list[Span]:
        """Return what held a rate, and from when to when, between two moments."""
        if self.ahead == Ahead.LABEL:
            return []
        spans = [span for stretch in self.stretches for span in stretch.table(rate).held]
        first, last = self.first_ms, self.day.nodes[0][0]
        if first is not None and start_ms < first:
            gate = rate.held(*self._nodes[0][1:4])
            spans = [(start_ms, first, gate), *spans] if gate else spans
        shift = 0.0
        while last + shift < end_ms:
            spans += [(a + shift, b + shift, gate) for a, b, gate in self.day.table(rate).held]
            shift += DAY_MS
        cut = [(max(a, start_ms), min(b, end_ms), gate) for a, b, gate in spans]
        return joined(span for span in cut if span[0] < span[1])

    def without_reading(self, start: datetime, end: datetime) -> timedelta:
        """Return the longest time without a reading between two moments."""
        low, high = start.timestamp() * 1000, end.timestamp() * 1000
        overlaps = (min(after, high) - max(before, low) for before, after in self._gaps)
        return timedelta(milliseconds=max([0.0, *overlaps])) if high > low else timedelta(0)


def _node(reading: Reading) -> Node:
    at = reading.at.timestamp() * 1000
    return (at, reading.temperature_c, reading.humidity, reading.surface_c, reading.speed_m_s)


def _standing(nodes: list[Node]) -> list[Node]:
    """Let each panel temperature and air speed stand for an hour, or until the next one."""
    found: list[Node] = []
    surface: tuple[float, float] | None = None
    wind: tuple[float, float] | None = None
    for node in nodes:
        for stated in (surface, wind):
            # between two readings far apart it ends where its hour is over
            end = stated[1] + STANDS_MS if stated else inf
            if found and found[-1][0] < end < node[0]:
                share = (end - found[-1][0]) / (node[0] - found[-1][0])
                middle = between(found[-1], node, share)
                found.append((*middle[:3], *_stands(surface, wind, end)))
        surface = (node[3], node[0]) if node[3] is not None else surface
        wind = (node[4], node[0]) if node[4] is not None else wind
        found.append((*node[:3], *_stands(surface, wind, node[0])))
    return found


def _stands(
    surface: tuple[float, float] | None, wind: tuple[float, float] | None, at: float
) -> tuple[float | None, float | None]:
    kept = [
        stated[0] if stated is not None and at <= stated[1] + STANDS_MS else None
        for stated in (surface, wind)
    ]
    return kept[0], kept[1]


def _steady(air: Node, start_ms: float) -> Stretch:
    return Stretch(((start_ms, *air[1:]), (start_ms + DAY_MS, *air[1:])))


def _by_day(nodes: Sequence[Node], known: Mapping[int, Stretch]) -> dict[int, Stretch]:
    """Return a stretch for each day (UTC) with readings, up to the first reading after it."""
    days: dict[int, list[Node]] = {}
    for node in nodes:
        days.setdefault(int(node[0] // DAY_MS), []).append(node)
    keys = list(days)
    for day, after in pairwise(keys):
        days[day].append(days[after][0])
    found = {}
    for day, listed in days.items():
        if len(listed) > 1:
            whole, old = tuple(listed), known.get(day)
            found[day] = old if old is not None and old.nodes == whole else Stretch(whole)
    return found


NO_AIR: Final = Air()
