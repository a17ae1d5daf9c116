"""Add up how far a rate gets in the air there was and will likely be.

The dose is the time at the label's own air that would have done as much: equivalent minutes.
Between readings temperature and humidity run in straight lines; these are cut into steps of at most
five minutes and added up by the trapezoid rule. A step in which a limit is crossed is cut there.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from itertools import accumulate, pairwise
from math import ceil, inf
from typing import Final

from kiosk.rules.rates import Gate, Rate, speed_of

STEP_MS: Final = 5 * 60_000.0
MINUTE_MS: Final = 60_000.0
MOST_STEPS: Final = 288  # between two readings; farther apart than a day finer steps say no more
HOUR_MS: Final = 60 * MINUTE_MS
DAY_MS: Final = 24 * HOUR_MS
_HALVINGS: Final = 24  # of five minutes: the crossing is found to 20 microseconds
_NEVER_DAYS: Final = 1e6  # a dose so far off is never reached

# ms since 1970, °C, %, the surface in °C or None, air speed in m/s or None
Node = tuple[float, float, float, float | None, float | None]
# start and end in ms since 1970, and what held the clock meanwhile
Span = tuple[float, float, Gate]


def between(before: Node, after: Node, share: float) -> Node:
    """Return the air at a share of the way from one node to the next."""
    surface = wind = None
    if before[3] is not None and after[3] is not None:
        surface = before[3] + (after[3] - before[3]) * share
    if before[4] is not None and after[4] is not None:
        wind = before[4] + (after[4] - before[4]) * share
    return (
        before[0] + (after[0] - before[0]) * share,
        before[1] + (after[1] - before[1]) * share,
        before[2] + (after[2] - before[2]) * share,
        surface,
        wind,
    )


@dataclass(frozen=True, slots=True)
class Table:
    """A rate along one stretch; step i runs from times[i] to times[i + 1], begins[i] to ends[i]."""

    times: Sequence[float]
    begins: Sequence[float]
    ends: Sequence[float]
    held: Sequence[Span]

    def sums(self, cap: float, factor: float) -> list[float]:
        """Return the dose at each of the times, the pace multiplied and then capped."""
        half = 0.5 / MINUTE_MS
        steps = [
            (min(cap, a * factor) + min(cap, b * factor)) * (end - start) * half
            for a, b, (start, end) in zip(self.begins, self.ends, pairwise(self.times), strict=True)
        ]
        return list(accumulate(steps, initial=0.0))


@dataclass(frozen=True, slots=True, eq=False)
class Stretch:
    """A run of the air between its first and last node; remembers the rates worked out along it."""

    nodes: tuple[Node, ...]
    _tables: dict[Rate, Table] = field(default_factory=dict, repr=False)
    _sums: dict[tuple[Rate, float, float], list[float]] = field(default_factory=dict, repr=False)

    def table(self, rate: Rate) -> Table:
        """Return the rate along this stretch."""
        found = self._tables.get(rate)
        if found is None:
            found = self._tables[rate] = _tabulate(self.nodes, rate)
        return found

    def sums(self, rate: Rate, cap: float, factor: float) -> list[float]:
        """Return the dose at each time of the table, from 0 at the stretch's start."""
        key = (rate, cap, factor)
        found = self._sums.get(key)
        if found is None:
            found = self._sums[key] = self.table(rate).sums(cap, factor)
        return found


def _tabulate(nodes: Sequence[Node], rate: Rate) -> Table:
    speed, held = speed_of(rate), rate.held
    times, begins, ends = [nodes[0][0]], [], []
    spans: list[Span] = []
    before = nodes[0]
    gate, pace = held(*before[1:4]), speed(*before[1:])
    for after in _in_steps(nodes):
        gate_after, pace_after = held(*after[1:4]), speed(*after[1:])
        if gate == gate_after:
            parts = [(after[0], gate, pace, pace_after)]
        else:
            middle = _crossing(before, after, rate)
            pace_middle = speed(*middle[1:])
            parts = [
                (middle[0], gate, pace, pace_middle),
                (after[0], gate_after, pace_middle, pace_after),
            ]
        for end, gate_part, first, last in parts:
            if gate_part is not None:
                spans.append((times[-1], end, gate_part))
            begins.append(0.0 if gate_part is not None else first)
            ends.append(0.0 if gate_part is not None else last)
            times.append(end)
        before, gate, pace = after, gate_after, pace_after
    return Table(times, begins, ends, joined(spans))


def _in_steps(nodes: Sequence[Node]) -> Iterator[Node]:
    """Yield what ends each step: of at most five minutes, where the air was read within a day."""
    for before, after in pairwise(nodes):
        count = min(ceil((after[0] - before[0]) / STEP_MS), MOST_STEPS)
        for step in range(1, count):
            yield between(before, after, step / count)
        yield after


def _crossing(before: Node, after: Node, rate: Rate) -> Node:
    """Return where, between two moments with different gates, the first one's ends."""
    gate, low, high = rate.held(*before[1:4]), 0.0, 1.0
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        if rate.held(*between(before, after, middle)[1:4]) == gate:
            low = middle
        else:
            high = middle
    return between(before, after, high)


def joined(spans: Iterable[Span]) -> list[Span]:
    """Return spans with those of one gate that touch made one."""
    found: list[Span] = []
    for span in spans:
        if found and found[-1][2] == span[2] and found[-1][1] >= span[0]:
            found[-1] = (found[-1][0], span[1], span[2])
        else:
            found.append(span)
    return found


class Course:
    """The dose of one rate along all of the air: what was read, and after it the same day for ever.

    Before the first reading the air is taken to have been as it was then. `cap` is the fastest pace
    counted, `factor` multiplies the pace before that.
    """

    __slots__ = ("_day", "_day_sums", "_first_pace", "_offsets", "_starts", "_stretches", "_sums")

    def __init__(
        self, stretches: Sequence[Stretch], day: Stretch, rate: Rate, *, cap: float, factor: float
    ) -> None:
        """Take the stretches of the air in order, each from where the last ended, and the day."""
        self._stretches = [stretch.table(rate).times for stretch in stretches]
        self._sums = [stretch.sums(rate, cap, factor) for stretch in stretches]
        self._starts = [times[0] for times in self._stretches]
        self._offsets = list(accumulate((sums[-1] for sums in self._sums), initial=0.0))
        self._day = day.table(rate).times
        self._day_sums = day.sums(rate, cap, factor)
        table = (stretches[0] if stretches else day).table(rate)
        self._first_pace = min(cap, table.begins[0] * factor)

    def at(self, ms: float) -> float:
        """Return the dose in minutes from the first reading to a moment; negative before it."""
        first = self._starts[0] if self._starts else self._day[0]
        if ms < first:
            return (ms - first) / MINUTE_MS * self._first_pace
        if ms < self._day[0]:
            place = bisect_right(self._starts, ms) - 1
            inside = _look_up(self._stretches[place], self._sums[place], ms)
            return self._offsets[place] + inside
        days, rest = divmod(ms - self._day[0], DAY_MS)
        inside = _look_up(self._day, self._day_sums, self._day[0] + rest)
        return self._offsets[-1] + days * self._day_sums[-1] + inside

    def when(self, dose: float) -> float:
        """Return the first moment in ms at which the dose is reached, infinite if not in sight."""
        if dose <= 0:
            first = self._starts[0] if self._starts else self._day[0]
            return first + dose / self._first_pace * MINUTE_MS if self._first_pace else first
        if dose <= self._offsets[-1]:
            place = bisect_left(self._offsets, dose) - 1
            left = dose - self._offsets[place]
            return _look_up(self._sums[place], self._stretches[place], left)
        left, a_day = dose - self._offsets[-1], self._day_sums[-1]
        if a_day <= left / _NEVER_DAYS:
            return inf
        days = ceil(left / a_day) - 1
        inside = _look_up(self._day_sums, self._day, left - days * a_day)
        return inside + days * DAY_MS


def _look_up(known: Sequence[float], wanted: Sequence[float], value: float) -> float:
    """Return what stands beside a value in a rising table, in a straight line between two."""
    place = min(max(bisect_left(known, value), 1), len(known) - 1)
    low, high = known[place - 1], known[place]
    share = (value - low) / (high - low) if high > low else 1.0
    return wanted[place - 1] + (wanted[place] - wanted[place - 1]) * share
