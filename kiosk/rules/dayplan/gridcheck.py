"""Check a day plan minute by minute: mark each minute of step, hold and person, and compare.

Nothing here is shared with what makes plans, nor with `sweepcheck`, which checks the same promises
in another way: a slip in one of the three shows in the others.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import accumulate

from kiosk.rules.dayplan.model import Frees, Hold, Minute, Placed, Plan, Problem, Work
from kiosk.rules.words import _, say

# how far a plan's own cost may be from ours, as a share: sums of floats in another order (choice)
SLACK = 1e-6


def find_faults(problem: Problem, plan: Plan) -> tuple[str, ...]:
    """Return what is wrong with a plan, in words; nothing where it is sound.

    A step that is pinned is taken as it is: only that it stays, that its people do one step at a
    time, and what the others make of it is checked. Benches and places that the pins alone overfill
    are no fault of the plan. Never raises, whatever the plan holds.
    """
    if faults := tuple(_incomplete(problem, plan)):
        return faults
    grid = _Grid(problem, {(one.chain, one.work): one for one in plan.placed})
    return (
        *_out_of_order(plan),
        *_steps(grid),
        *_people(grid),
        *_benches(grid),
        *_places(grid, plan),
        *_cost(grid, plan),
    )


@dataclass(slots=True)
class _Grid:
    """A plan on a row of minutes; begins is the first of them."""

    problem: Problem
    at: dict[tuple[int, int], Placed]
    begins: Minute = 0
    length: int = 0
    pins: frozenset[int] = frozenset()
    finished: list[Minute] = field(default_factory=list)

    def __post_init__(self) -> None:
        problem = self.problem
        self.begins = min([problem.now, *(one.starts for one in self.at.values())])
        reach = [
            one.starts + self.work(one).room + self.work(one).extra for one in self.at.values()
        ]
        ends = max([problem.now, *reach, *(one.ends for one in self.at.values())])
        self.length = ends - self.begins + 1
        self.pins = frozenset(pin.chain for pin in problem.pins)
        self.finished = [self._finish(index) for index in range(len(problem.chains))]

    def work(self, one: Placed) -> Work:
        return self.problem.chains[one.chain].works[one.work]

    def is_pinned(self, one: Placed) -> bool:
        return one.work == 0 and one.chain in self.pins

    def _finish(self, chain: int) -> Minute:
        works = self.problem.chains[chain].works
        if not works:
            return self.problem.now
        finish = self.at[chain, len(works) - 1].ends
        for lag in self.problem.chains[chain].ends:
            finish = max(finish, self.at[chain, lag.work].ends + lag.minutes)
        return finish

    def row(self, worker: int) -> bytearray:
        """Return a byte for each minute: 1 where they are there."""
        row = bytearray(self.length)
        for span in self.problem.people[worker].spans:
            starts = min(max(span.starts - self.begins, 0), self.length)
            ends = min(max(span.ends - self.begins, starts), self.length)
            row[starts:ends] = b"\1" * (ends - starts)
        return row


@dataclass(slots=True)
class _Counts:
    """How much goes on in each minute, written down as what each minute has more than the last."""

    begins: Minute
    changes: list[int] = field(default_factory=list)

    def add(self, starts: Minute, ends: Minute, much: int = 1) -> None:
        if ends > starts:
            lacking = ends - self.begins + 1 - len(self.changes)
            self.changes.extend([0] * lacking)
            self.changes[starts - self.begins] += much
            self.changes[ends - self.begins] -= much

    def most(self) -> int:
        return max(accumulate(self.changes), default=0)

    def minutes(self) -> list[int]:
        return list(accumulate(self.changes))


def _incomplete(problem: Problem, plan: Plan) -> Iterator[str]:
    seen = Counter((one.chain, one.work) for one in plan.placed)
    for index, chain in enumerate(problem.chains):
        for number, work in enumerate(chain.works):
            times = seen.pop((index, number), 0)
            if times != 1:
                what = _("it is not planned") if not times else _("it is planned twice")
                yield say("{unit}, {step}: {what}", unit=chain.unit, step=work.step, what=what)
    if seen:
        yield _("The plan holds a step that no unit has.")
    known = range(len(problem.people))
    if any(person not in known for one in plan.placed for person in one.people):
        yield _("The plan names somebody who is not in the shop.")


def _out_of_order(plan: Plan) -> Iterator[str]:
    starts = [one.starts for one in plan.placed]
    if starts != sorted(starts):
        yield _("The steps of the plan are not in order.")


def _steps(grid: _Grid) -> Iterator[str]:
    rows = [grid.row(worker) for worker in range(len(grid.problem.people))]
    pins = {pin.chain: pin for pin in grid.problem.pins}
    for one in grid.at.values():
        if grid.is_pinned(one):
            pin = pins[one.chain]
            if (one.starts, one.ends, one.people) != (pin.starts, pin.ends, pin.people):
                yield _said(grid, one, _("it is under way and must stay where it is"))
            continue
        if one.starts < _ready(grid, one):
            yield _said(grid, one, _("it starts too early"))
        extra = _extra(grid, one)
        if one.extra != extra or one.ends - one.starts != grid.work(one).minutes + extra:
            yield _said(grid, one, _("it does not take the time it needs"))
        if not len(set(one.people)) == len(one.people) == grid.work(one).crew:
            yield _said(grid, one, _("it has not as many people as it needs"))
        if not all(grid.problem.people[who].can(grid.work(one).station) for who in one.people):
            yield _said(grid, one, _("somebody does it who does not know the station"))
        starts = one.starts - grid.begins
        ends = starts + grid.work(one).room + extra
        if any(rows[who].find(0, starts, ends) >= 0 for who in one.people):
            yield _said(grid, one, _("it does not fit before the next break"))


def _ready(grid: _Grid, one: Placed) -> Minute:
    """Return the first minute at which a step may start for all that goes before it."""
    work = grid.work(one)
    ready = [grid.problem.now, *(grid.finished[chain] for chain in work.after)]
    if work.earliest is not None:
        ready.append(work.earliest)
    if one.work > 0:
        ready.append(grid.at[one.chain, one.work - 1].ends)
    ready.extend(grid.at[one.chain, lag.work].ends + lag.minutes for lag in work.waits)
    return max(ready)


def _extra(grid: _Grid, one: Placed) -> int:
    """Return the minutes of scuffing or scoring that a step needs where it stands."""
    work = grid.work(one)
    closes = [grid.at[one.chain, lag.work].ends + lag.minutes for lag in work.closes]
    if work.closes_at is not None:
        closes.append(work.closes_at)
    return work.extra if any(one.starts > close for close in closes) else 0


def _people(grid: _Grid) -> Iterator[str]:
    busy = [bytearray(grid.length) for _worker in grid.problem.people]
    for one in grid.at.values():
        minutes = slice(one.starts - grid.begins, max(one.ends, one.starts) - grid.begins)
        for who in one.people:
            if any(busy[who][minutes]):
                yield _said(grid, one, _("somebody does two steps at once"))
            busy[who][minutes] = b"\1" * (minutes.stop - minutes.start)


def _benches(grid: _Grid) -> Iterator[str]:
    counts = {bench.station: bench.count for bench in grid.problem.benches}
    used: dict[str, _Counts] = {}
    pinned: dict[str, _Counts] = {}
    for one in grid.at.values():
        station = grid.work(one).station
        used.setdefault(station, _Counts(grid.begins)).add(one.starts, one.ends)
        if grid.is_pinned(one):
            pinned.setdefault(station, _Counts(grid.begins)).add(one.starts, one.ends)
    for station, each in used.items():
        given = pinned.get(station, _Counts(grid.begins))
        if _is_overfull(each, given, counts.get(station, 0)):
            yield say("{station}: more steps at once than it has benches", station=station)


def _places(grid: _Grid, plan: Plan) -> Iterator[str]:
    slots = {
        store.place: store.slots + plan.over.get(store.place, 0) for store in grid.problem.stores
    }
    used: dict[str, _Counts] = {}
    for hold, starts, ends in _holds(grid):
        used.setdefault(hold.place, _Counts(grid.begins)).add(starts, ends, hold.slots)
    for place, each in used.items():
        if _is_overfull(each, _Counts(grid.begins), slots.get(place, 0)):
            yield say("{place}: more rests there than it has slots", place=place)


def _is_overfull(used: _Counts, pinned: _Counts, count: int) -> bool:
    """Tell whether some minute holds more than count, and more than the pins put there alone."""
    if used.most() <= count:
        return False
    minutes, given = used.minutes(), pinned.minutes()
    return any(
        many > max(count, given[minute] if minute < len(given) else 0)
        for minute, many in enumerate(minutes)
    )


def _holds(grid: _Grid) -> Iterator[tuple[Hold, Minute, Minute]]:
    """Yield what is taken up, from when and until when."""
    for index, chain in enumerate(grid.problem.chains):
        if chain.held is not None:
            now = grid.problem.now
            yield chain.held, now, _freed(grid, chain.held, now, (index, 0))
        for number, work in enumerate(chain.works):
            if work.hold is not None:
                one = grid.at[index, number]
                yield work.hold, one.starts, _freed(grid, work.hold, one.ends, (index, number + 1))


def _freed(grid: _Grid, hold: Hold, rests: Minute, following: tuple[int, int]) -> Minute:
    if hold.frees is Frees.REST or following not in grid.at:
        return rests + hold.minutes
    one = grid.at[following]
    return one.starts if hold.frees is Frees.START else one.ends


def _cost(grid: _Grid, plan: Plan) -> Iterator[str]:
    aims, now = grid.problem.aims, grid.problem.now
    cost = 0.0
    for index, job in enumerate(grid.problem.jobs):
        chains = [number for number, one in enumerate(grid.problem.chains) if one.job == index]
        finish = max((grid.finished[number] for number in chains), default=now)
        cost += aims.finish * (finish - now)
        if job.due is not None and finish > job.due and chains:
            cost += aims.late * job.weight * (finish - job.due)
    for index, finish in enumerate(grid.finished):
        if (index, 0) in grid.at:
            cost += aims.flow * (finish - grid.at[index, 0].starts)
    # a cost that is no number at all is close to nothing
    if not abs(cost - plan.cost) <= SLACK * max(1.0, abs(cost)):
        yield _("The cost of the plan is not what its steps add up to.")


def _said(grid: _Grid, one: Placed, what: str) -> str:
    unit, step = grid.problem.chains[one.chain].unit, grid.work(one).step
    return say("{unit}, {step}: {what}", unit=unit, step=step, what=what)
