"""Start what can start at one moment, and choose who does it."""

from __future__ import annotations

from heapq import heapify, heappop, heappush
from math import inf
from typing import Final

from kiosk.rules.dayplan.flat import NEVER
from kiosk.rules.dayplan.happen import happen
from kiosk.rules.dayplan.model import HoursError, Minute
from kiosk.rules.dayplan.resume import keep
from kiosk.rules.dayplan.running import Run

LOOKS: Final = 40  # how often in a run its least cost is looked at (measured)
KEPT: Final = 6  # how many copies of a run are kept (measured)


def go_through(run: Run, cutoff: float = inf) -> None:
    """Let a shop that has begun run until all is done, or it is sure to cost more than cutoff.

    Raises HoursError where the hours of the people end before, and ValueError where chains wait for
    each other.
    """
    now, events, apart = run.flat.problem.now, run.events, len(run.order) // LOOKS + 1
    look = run.left if run.picked else run.left - apart
    while run.left:
        if not events:
            raise HoursError("the hours of the people end before all is done")
        minute = run.time = events[0][0]
        if run.left <= look:
            if cutoff < inf and run.costs_at_least(minute) > cutoff:
                return
            look = run.left - apart
            _keep(run)
        while events and events[0][0] == minute:
            _minute, kind, one = heappop(events)
            happen(run, kind, one)
        if minute >= now:
            _dispatch(run)
            while run.left and not run.pending and _is_stuck(run):
                _force(run)
                _dispatch(run)
        if min(run.free, default=0) < 0:
            _count_over(run)


def _keep(run: Run) -> None:
    """Keep a copy of the run where enough has happened since the last one."""
    steps, kept = len(run.order), run.kept
    if kept is not None and steps - run.left >= (len(kept) + 1) * (steps // KEPT + 1):
        keep(run, kept)


def _dispatch(run: Run) -> None:
    """Start ready steps by priority until nobody is free or nothing can start."""
    heaps, minute, reach = run.heaps, run.time, run.reach
    if not any(heaps) or max(reach, default=0) <= minute:
        return
    staff, picked, picked_at = run.flat.staff, run.picked, run.picked_at
    stations = list(range(len(heaps)))
    aside: list[tuple[int, int]] = []
    limits: list[tuple[int, Minute]] = []
    benches: list[int] = []
    while True:
        best, at = _best(run, stations)
        if at < 0:
            break
        step = run.order[heappop(heaps[at])]
        picked.append(step)
        picked_at.append(minute)
        if _went(run, step, limits, benches):
            if max(reach) <= minute:
                break
            continue
        aside.append((at, best))
        if max([reach[who] for who in staff[at]]) <= minute:
            stations.remove(at)
    for station, rank in aside:
        heappush(heaps[station], rank)
    for who, before in reversed(limits):
        run.limit[who] = before
    for station in benches:
        run.bench[station] += 1


def _best(run: Run, stations: list[int]) -> tuple[int, int]:
    """Return the first ready step by priority that has a bench, and its station; -1 for none."""
    bench, heaps = run.bench, run.heaps
    best, at = NEVER, -1
    for station in stations:
        heap = heaps[station]
        if heap and heap[0] < best and bench[station] > 0:
            best, at = heap[0], station
    return best, at


def _went(run: Run, step: int, limits: list[tuple[int, Minute]], benches: list[int]) -> bool:
    """Start a step or set it apart until what it lacks changes; False: it lacks people or room."""
    minute = run.time
    station, crew, room, minutes, extra, place, net = run.flat.needs[step]
    if extra and minute > run.close[step]:
        room, minutes = room + extra, minutes + extra
    else:
        extra = 0
    far = run.far[station]
    if crew > len(far) or minute + room > far[crew - 1]:
        run.late_hours.append(run.rank[step])
    elif net > 0 and net > run.free[place] - run.reserved[place] and step not in run.forced:
        heappush(run.parked[station][place], run.rank[step])
        run.waiting += 1
    elif run.pins[station] and not _has_bench(run, station, minute + minutes):
        return False
    elif found := _who(run, step, minute + room, minute + minutes):
        run.extras[step] = extra
        run.forced.discard(step)
        run.start(step, minute, found, minutes)
    else:
        if crew > 1:
            _keep_free(run, step, (room, minutes), limits, benches)
        return False
    if run.waiting:
        for at in range(len(run.free)):
            run.wake(station, at)
    return True


def _has_bench(run: Run, station: int, ends: Minute) -> bool:
    """Tell whether a step may go on until then beside those that are about to begin there."""
    flat = run.flat
    count = flat.counts[station]
    busy = [
        run.ends[step]
        for step, at in enumerate(flat.station)
        if at == station and run.crews[step] and run.ends[step] > run.time
    ]
    for pin in run.pins[station]:
        if pin.starts < ends:
            going = sum(one > pin.starts for one in busy)
            others = sum(one.starts <= pin.starts < one.ends for one in run.pins[station])
            if going + others >= count:
                return False
    return True


def _who(run: Run, step: int, room: Minute, ends: Minute) -> tuple[int, ...]:
    """Return who does a step: those named for it if they are free, else whoever the rules choose.

    room is until when they must be there, ends until when they are busy with it.
    """
    flat = run.flat
    named, crew = flat.named.get(step, ()), flat.crew[step]
    if len(named) == crew:
        staff = flat.staff[flat.station[step]]
        if all(who in staff and run.reach[who] >= room and run.limit[who] >= ends for who in named):
            return named
    return (_one if crew == 1 else _crew)(run, step, room, ends)


def _one(run: Run, step: int, room: Minute, ends: Minute) -> tuple[int, ...]:
    """Return who does a step alone: whom other stations miss least, then who did the last one."""
    flat, reach, limit = run.flat, run.reach, run.limit
    last, found = run.last[flat.chain[step]], -1
    for who in flat.staff[flat.station[step]]:
        if reach[who] < room or limit[who] < ends:
            continue
        if found < 0:
            found = who
            if last < 0 or who == last:
                break
        elif who == last:
            is_alike = flat.alike[who] == flat.alike[found] and reach[who] == reach[found]
            found = who if is_alike and limit[who] == limit[found] else found
            break
    return (found,) if found >= 0 else ()


def _crew(run: Run, step: int, room: Minute, ends: Minute) -> tuple[int, ...]:
    """Return who does a step together, or nobody if too few are free."""
    staff = run.flat.staff[run.flat.station[step]]
    able = [who for who in staff if run.reach[who] >= room and run.limit[who] >= ends]
    crew = run.flat.crew[step]
    return tuple(able[:crew]) if len(able) >= crew else ()


def _keep_free(
    run: Run,
    step: int,
    lengths: tuple[int, int],
    limits: list[tuple[int, Minute]],
    benches: list[int],
) -> None:
    """Keep those free who wait for the rest of their crew: they do only what ends before.

    Without it a step for two would starve behind a stream of work for one.
    """
    flat, minute = run.flat, run.time
    room, minutes = lengths
    staff = flat.staff[flat.station[step]]
    able: list[tuple[Minute, int]] = []
    for who in staff:
        at = run.free_at[who] if run.busy[who] else minute
        if run.until[who] >= at + room and run.limit[who] >= at + minutes:
            able.append((at, who))
    crew = sorted(able)[: flat.crew[step]]
    if len(crew) < flat.crew[step]:
        return
    meet = crew[-1][0]
    if any(run.until[who] < meet + room or run.limit[who] < meet + minutes for _at, who in crew):
        return
    for at, who in crew:
        if at == minute and meet < run.limit[who]:
            limits.append((who, run.limit[who]))
            run.limit[who] = meet
    run.bench[flat.station[step]] -= 1
    benches.append(flat.station[step])


def _is_stuck(run: Run) -> bool:
    """Tell whether only a slot more lets anything start again."""
    if run.late_hours or any(run.heaps):
        return False
    if not any(parked for row in run.parked for parked in row):
        raise ValueError("some steps wait for each other in a ring")
    return True


def _force(run: Run) -> None:
    """Let the step go on that exceeds its place by least, and of those the first by priority."""
    flat, found = run.flat, []
    for station, row in enumerate(run.parked):
        for place, parked in enumerate(row):
            for rank in parked:
                lack = flat.net[run.order[rank]] - run.free[place]
                found.append((lack, rank, station, place))
    _lack, rank, station, place = min(found)
    parked = run.parked[station][place]
    parked.remove(rank)
    run.waiting -= 1
    heapify(parked)
    run.forced.add(run.order[rank])
    heappush(run.heaps[station], rank)


def _count_over(run: Run) -> None:
    for place, free in enumerate(run.free):
        run.over[place] = max(run.over[place], -free)
