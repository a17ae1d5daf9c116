"""Carry chains forward: steps that begin and end, rests that run, places taken and left."""

from __future__ import annotations

from bisect import insort
from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from enum import IntEnum
from heapq import heappush
from math import hypot

from kiosk.rules.dayplan.going import Going
from kiosk.rules.dayplan.model import Frees, Hold, Lag, Minute, Placed, Problem, Work
from kiosk.rules.dayplan.shoptime import ShopTime
from kiosk.rules.dayplan.spread import Spread, beyond, even, factor, place

DAY = 1440  # minutes
LAST = float("inf")


class Event(IntEnum):
    """What happens at a minute; those of one minute happen in this order."""

    END = 0
    READY = 1
    FREE = 2
    FINISH = 3
    COME = 4


class UnderWay:
    """All chains of a shop while it runs, and what is bound to happen to them."""

    def __init__(
        self, problem: Problem, *, seed: int, spread: Spread, resting: Mapping[int, Minute]
    ) -> None:
        self.problem = problem
        self.shop = ShopTime(problem)
        self.events: list[tuple[Minute, Event, int]] = []
        self.ready: dict[int, Minute] = {}  # what may start, and since when
        self.queue: list[tuple[float, int]] = []  # the same by key, lowest first
        self.keys: list[list[float]] = [[] for _chain in problem.chains]
        self.done: list[Placed] = []
        self.rests: dict[tuple[int, int], Minute] = {}
        self.overtime = 0
        self.going: list[Going] = []
        number: Counter[int] = Counter()
        for chain in problem.chains:
            name = problem.jobs[chain.job].job
            self.going.append(Going(chain, (name, number[chain.job])))
            number[chain.job] += 1
        self._seed, self._spread = seed, spread
        self._resting = resting
        self._pinned = {pin.chain for pin in problem.pins}
        self._followers: dict[int, list[int]] = defaultdict(list)
        self._damp: dict[int, float] = {}
        self._leaving: list[tuple[Going, Hold]] = []

    def come(self, index: int, at: Minute) -> None:
        """Let a chain come in, with what it takes up."""
        one = self.going[index]
        one.come = True
        if one.chain.held is not None:
            self.shop.take(one.chain.held)
            self._hold(one, one.chain.held, at, longer=1.0)
        if index in self._pinned:
            return  # it waits for nothing, not even for what should have come before
        if one.chain.works:
            self._await(index, at)
        else:
            one.finished = at
            self._add(at, Event.FINISH, index)

    def happen(self, event: Event, index: int, at: Minute) -> None:
        """Let one thing happen."""
        if event is Event.END:
            self._end(index, at)
        elif event is Event.READY:
            self.going[index].rest = None
            self.ready[index] = at
            insort(self.queue, (self._key(index), index))
        elif event is Event.FREE:
            one, hold = self._leaving[index]
            self.shop.leave(hold)
            one.resting = None if one.resting is hold else one.resting
        elif event is Event.FINISH:
            self._finish(index, at)
        else:
            self.come(index, at)

    def set_keys(self, keys: Mapping[int, Sequence[float]]) -> None:
        """Give chains other keys, one for each step from the first on; LAST where they lack."""
        for index, row in keys.items():
            self.keys[index] = list(row)
        self.queue = sorted((self._key(index), index) for index in self.ready)

    def _key(self, index: int) -> float:
        row, step = self.keys[index], len(self.going[index].ends)
        return row[step] if step < len(row) else LAST

    def next_work(self, index: int) -> Work:
        """Return the step a chain comes to next."""
        one = self.going[index]
        return one.chain.works[len(one.ends)]

    def extra(self, index: int, at: Minute) -> int:
        """Return the minutes a chain's next step takes more if it starts at a minute."""
        one = self.going[index]
        work = self.next_work(index)
        closes = [one.ends[lag.work] + lag.minutes for lag in work.closes]
        closes += [] if work.closes_at is None else [work.closes_at]
        return work.extra if closes and at > min(closes) else 0

    def start(self, index: int, people: Sequence[int], at: Minute) -> None:
        """Begin a chain's next step."""
        one = self.going[index]
        step = len(one.ends)
        work, extra = one.chain.works[step], self.extra(index, at)
        sigma = self._spread.of(work.step)
        lasts = factor(sigma, even(self._seed, *one.name, step, "touch")) * (work.minutes + extra)
        ends = at + max(1, round(lasts))
        self._under(
            index, Placed(index, step, at, ends, tuple(people), extra), work.minutes + extra
        )

    def go_on(self, index: int, people: Sequence[int], starts: Minute, *, expected: int) -> None:
        """Go on with a chain's first step, which began before; it lasts longer than so far."""
        one, now = self.going[index], self.problem.now
        at = even(self._seed, *one.name, 0, "touch")
        sigma = self._spread.of(one.chain.works[0].step)
        least = (now - starts) / max(1, expected)
        ends = max(now, starts + round(beyond(sigma, at, least=least) * expected))
        self._under(index, Placed(index, 0, starts, ends, tuple(people)), expected)

    def _under(self, index: int, placed: Placed, expected: int) -> None:
        one = self.going[index]
        work = one.chain.works[placed.work]
        if self.ready.pop(index, None) is not None:
            self.queue.remove((self._key(index), index))
        if one.held is not None and one.held.frees is Frees.START:
            self.shop.leave(one.held)
            one.held = None
        if work.hold is not None:
            self.shop.take(work.hold)
        one.under, one.expected = placed, expected
        for person in placed.people:
            closing = self.shop.closing(person, placed.starts)
            self.overtime += max(0, placed.ends - (closing or placed.ends))
        self.shop.begin(work, placed.people, until=placed.starts + expected)
        self._add(placed.ends, Event.END, index)

    def _end(self, index: int, at: Minute) -> None:
        one = self.going[index]
        placed = one.under
        if placed is None:  # pragma: no cover
            return
        work = one.chain.works[placed.work]
        self.shop.end(work, placed.people)
        self.done.append(placed)
        one.under = None
        one.ends.append(at)
        if one.held is not None:
            self.shop.leave(one.held)
            one.held = None
        if work.hold is not None:
            self._hold(one, work.hold, at, longer=self._longer(index, placed.work))
        if len(one.ends) < len(one.chain.works):
            self._await(index, at)
            return
        ends = [self._rested(index, lag) for lag in one.chain.ends]
        self._add(max([at, *ends]), Event.FINISH, index)

    def _hold(self, one: Going, hold: Hold, at: Minute, *, longer: float) -> None:
        """Keep a place that is taken, until the next step or until a rest is over."""
        if hold.frees is not Frees.REST and len(one.ends) < len(one.chain.works):
            one.held = hold
            return
        one.resting, one.resting_until = hold, at + hold.minutes
        self._leaving.append((one, hold))
        self._add(at + round(hold.minutes * longer), Event.FREE, len(self._leaving) - 1)

    def _await(self, index: int, at: Minute) -> None:
        """Find out from when a chain's next step may start, if that is known already."""
        one = self.going[index]
        work = self.next_work(index)
        lacking = {other for other in work.after if self.going[other].finished is None}
        one.lacks = len(lacking)
        for other in lacking:
            self._followers[other].append(index)
        if not lacking:
            since = [(self._rested(index, lag), one.ends[lag.work]) for lag in work.waits]
            if not one.ends and work.earliest is not None and index in self._resting:
                began = self._resting[index]
                since.append((self._still(index, began, work.earliest), began))
            over, began = max(since, default=(at, at))
            one.rest = began if over > at else None
            fixed = at if index in self._resting and not one.ends else work.earliest or at
            self._add(max(at, fixed, over), Event.READY, index)

    def _still(self, index: int, began: Minute, expected: Minute) -> Minute:
        """Return when a rest is over that runs at `now`: it lasts longer than it has so far."""
        now, sigma = self.problem.now, hypot(self._spread.day, self._spread.own)
        minutes = max(1, expected - began)
        longer = self._at(now // DAY) * factor(self._spread.own, self._own(index, -1))
        least = (now - began) / minutes
        return began + round(minutes * beyond(sigma, place(sigma, longer), least=least))

    def _finish(self, index: int, at: Minute) -> None:
        self.going[index].finished = at
        for follower in self._followers.pop(index, ()):
            self.going[follower].lacks -= 1
            if not self.going[follower].lacks:
                self._await(follower, at)

    def _rested(self, index: int, lag: Lag) -> Minute:
        """Return when a rest is over; it is written down as the longest of its step."""
        ended = self.going[index].ends[lag.work]
        until = ended + round(lag.minutes * self._longer(index, lag.work))
        self.rests[index, lag.work] = max(until, self.rests.get((index, lag.work), ended))
        return until

    def _longer(self, index: int, work: int) -> float:
        """Return how much longer than expected a step's rest takes, on the day it began."""
        day = self.going[index].ends[work] // DAY
        return self._at(day) * factor(self._spread.own, self._own(index, work))

    def _at(self, day: int) -> float:
        """Return how much longer all rests take that begin on a day."""
        if day not in self._damp:
            self._damp[day] = factor(self._spread.day, even(self._seed, "day", day))
        return self._damp[day]

    def _own(self, index: int, work: int) -> float:
        return even(self._seed, *self.going[index].name, work, "rest")

    def _add(self, at: Minute, event: Event, index: int) -> None:
        heappush(self.events, (at, event, index))
