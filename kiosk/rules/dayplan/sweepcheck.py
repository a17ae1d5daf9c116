"""Check a day plan event by event: sort what begins and ends, and look up the hours people work.

Nothing here is shared with what makes plans, nor with `gridcheck`, which checks the same promises
minute by minute: a slip in one of the three shows in the others.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from itertools import pairwise
from typing import TypeAlias

from kiosk.rules.dayplan.model import Chain, Frees, Hold, Lag, Minute, Pin, Placed, Plan, Problem
from kiosk.rules.words import _, say

Rows: TypeAlias = list[list[Placed]]
Event: TypeAlias = tuple[Minute, int, int]  # when, how much more, of it pinned


def find_faults(problem: Problem, plan: Plan) -> tuple[str, ...]:
    """Return what is wrong with a plan, in words; nothing where it is sound.

    The promises are those of `gridcheck.find_faults`: pins stay, and all else keeps order, time,
    hours, people, benches, places and the cost it claims. Never raises, whatever the plan holds.
    """
    rows = _rows(problem, plan.placed)
    if rows is None:
        return (_("The plan does not hold each step of each unit exactly once."),)
    staff = range(len(problem.people))
    if not all(person in staff for one in plan.placed for person in one.people):
        return (_("The plan names somebody who is not in the shop."),)
    is_sorted = _is_sorted(plan.placed)
    faults: list[str] = [] if is_sorted else [_("The steps of the plan are not in order.")]
    pins = {pin.chain: pin for pin in problem.pins}
    finishes = [
        _finish(chain, row, problem.now) for chain, row in zip(problem.chains, rows, strict=True)
    ]
    for number, row in enumerate(rows):
        for index, one in enumerate(row):
            pin = pins.get(number) if index == 0 else None
            told = _moved(one, pin) if pin else _wrong(problem, row, one, finishes)
            unit, step = problem.chains[number].unit, problem.chains[number].works[index].step
            faults += [say("{unit}, {step}: {what}", unit=unit, step=step, what=x) for x in told]
    faults += _doubled(problem, plan.placed)
    faults += _crowded(problem, plan.placed, pins)
    faults += _overfull(problem, rows, plan.over)
    if not math.isclose(_cost(problem, rows, finishes), plan.cost, rel_tol=1e-6, abs_tol=1e-6):
        faults.append(_("The cost of the plan is not what its steps add up to."))
    return tuple(faults)


def _rows(problem: Problem, placed: Iterable[Placed]) -> Rows | None:
    """Return the steps by chain and place in it, or nothing if any lacks or there are too many."""
    sizes = [len(chain.works) for chain in problem.chains]
    rows: Rows = [[] for _size in sizes]
    for one in sorted(placed, key=lambda one: one.work):
        if not 0 <= one.chain < len(rows) or one.work != len(rows[one.chain]):
            return None
        rows[one.chain].append(one)
    return rows if [len(row) for row in rows] == sizes else None


def _is_sorted(placed: Sequence[Placed]) -> bool:
    return all(first.starts <= second.starts for first, second in pairwise(placed))


def _finish(chain: Chain, row: Sequence[Placed], now: Minute) -> Minute:
    if not row:
        return now
    return max([row[-1].ends, *_lagged(chain.ends, row)])


def _lagged(lags: Iterable[Lag], row: Sequence[Placed]) -> list[Minute]:
    return [row[lag.work].ends + lag.minutes for lag in lags]


def _moved(one: Placed, pin: Pin) -> list[str]:
    is_same = one.starts == pin.starts and one.ends == pin.ends and one.people == pin.people
    return [] if is_same else [_("it is under way and must stay where it is")]


def _wrong(
    problem: Problem, row: Sequence[Placed], one: Placed, finishes: Sequence[Minute]
) -> list[str]:
    """Return what is wrong with one step that is free to move."""
    work = problem.chains[one.chain].works[one.work]
    closes = [*_lagged(work.closes, row), *([] if work.closes_at is None else [work.closes_at])]
    extra = work.extra if closes and min(closes) < one.starts else 0
    crew = [problem.people[person] for person in one.people]
    told: list[str] = []
    if one.starts < problem.now or (work.earliest is not None and one.starts < work.earliest):
        told.append(_("it starts too early"))
    if any(one.starts < minute for minute in _lagged(work.waits, row)):
        told.append(_("it does not wait as long as it must"))
    if one.work and one.starts < row[one.work - 1].ends:
        told.append(_("it starts before the step before it has ended"))
    if any(one.starts < finishes[chain] for chain in work.after):
        told.append(_("it starts before its supports are finished"))
    if one.extra != extra or one.ends - one.starts != work.minutes + extra:
        told.append(_("it does not take the time it needs"))
    if len(crew) != work.crew or len(frozenset(one.people)) < len(crew):
        told.append(_("it has not as many people as it needs"))
    if not all(worker.can(work.station) for worker in crew):
        told.append(_("somebody does it who does not know the station"))
    for worker in crew:
        index = bisect_right(worker.spans, one.starts, key=lambda span: span.starts) - 1
        if index < 0 or one.starts + work.room + extra > worker.spans[index].ends:
            told.append(_("it does not fit before the next break"))
    return told


def _doubled(problem: Problem, placed: Sequence[Placed]) -> list[str]:
    """Return who does two steps at once."""
    told: list[str] = []
    for person, worker in enumerate(problem.people):
        own = [
            (one.starts, one.ends)
            for one in placed
            for who in one.people
            if who == person and one.ends > one.starts
        ]
        if any(ends > starts for (_s, ends), (starts, _e) in pairwise(sorted(own))):
            told.append(say("{person} does two steps at once", person=worker.name))
    return told


def _crowded(problem: Problem, placed: Sequence[Placed], pins: Mapping[int, Pin]) -> list[str]:
    """Return the stations with more steps at once than benches."""
    events: dict[str, list[Event]] = defaultdict(list)
    for one in placed:
        if one.ends > one.starts:
            pinned = int(one.work == 0 and one.chain in pins)
            own = events[problem.chains[one.chain].works[one.work].station]
            own += [(one.starts, 1, pinned), (one.ends, -1, -pinned)]
    benches = {bench.station: bench.count for bench in problem.benches}
    return [
        say("{station}: more steps at once than it has benches", station=station)
        for station, own in events.items()
        if _is_over(own, benches.get(station, 0))
    ]


def _overfull(problem: Problem, rows: Rows, over: Mapping[str, int]) -> list[str]:
    """Return the places with more rests at once than slots."""
    events: dict[str, list[Event]] = defaultdict(list)
    for chain, row in zip(problem.chains, rows, strict=True):
        taken: list[tuple[Hold | None, Minute, Minute]] = [(chain.held, problem.now, problem.now)]
        taken += [(work.hold, x.starts, x.ends) for work, x in zip(chain.works, row, strict=True)]
        for (hold, starts, ends), following in zip(taken, [*row, None], strict=True):
            if hold is None:
                continue
            freed = ends + hold.minutes
            if following is not None and hold.frees is not Frees.REST:
                freed = following.ends if hold.frees is Frees.END else following.starts
            if freed > starts:
                events[hold.place] += [(starts, hold.slots, 0), (freed, -hold.slots, 0)]
    slots = {store.place: store.slots for store in problem.stores}
    return [
        say("{place}: more rests there than it has slots", place=place)
        for place, own in events.items()
        if _is_over(own, slots[place] + over.get(place, 0) if place in slots else 0)
    ]


def _is_over(events: Iterable[Event], count: int) -> bool:
    """Tell whether more than count goes on at once, by more than what is pinned alone."""
    levels: dict[Minute, list[int]] = {}
    for minute, much, pinned in events:
        change = levels.setdefault(minute, [0, 0])
        change[0] += much
        change[1] += pinned
    level = given = 0
    for _minute, (much, pinned) in sorted(levels.items()):
        level += much
        given += pinned
        if level > max(count, given):
            return True
    return False


def _cost(problem: Problem, rows: Rows, finishes: Sequence[Minute]) -> float:
    last: dict[int, Minute] = {}
    for chain, finish in zip(problem.chains, finishes, strict=True):
        last[chain.job] = max(last.get(chain.job, finish), finish)
    late = sum(
        problem.jobs[job].weight * max(0, minute - due)
        for job, minute in last.items()
        if (due := problem.jobs[job].due) is not None
    )
    flow = sum(finish - row[0].starts for row, finish in zip(rows, finishes, strict=True) if row)
    finish = sum(minute - problem.now for minute in last.values())
    return problem.aims.late * late + problem.aims.finish * finish + problem.aims.flow * flow
