"""Take in what happens in a shop that runs: ends, hours, pins, what is held at first."""

from __future__ import annotations

from heapq import heapify, heappush

from kiosk.rules.dayplan.flat import NEVER
from kiosk.rules.dayplan.model import Frees, Pin
from kiosk.rules.dayplan.running import END, HELD, HELD_ENDS, PIN, READY, REST, SPAN, Run


def happen(run: Run, kind: int, one: int) -> None:
    """Take in one event."""
    if kind != SPAN:
        run.pending -= 1
    if kind == READY:
        heappush(run.heaps[run.flat.station[one]], run.rank[one])
    elif kind == END:
        _ended(run, one)
    elif kind == REST:
        place, count, _minutes = run.flat.rests[one] or (0, 0, 0)
        run.release((place, count))
    elif kind == SPAN:
        _opens(run, one)
    elif kind == HELD_ENDS and (hold := run.flat.problem.chains[one].held):
        run.release((run.flat.places.index(hold.place), hold.slots))
    elif kind == PIN:
        _begin_pin(run, run.flat.problem.pins[one])
    else:
        _held(run, one)


def _opens(run: Run, who: int) -> None:
    """Let somebody's next stretch of hours begin."""
    spans = run.flat.problem.people[who].spans
    span = spans[run.position[who]]
    run.position[who] += 1
    run.until[who] = span.ends
    if not run.busy[who]:
        run.reach[who] = span.ends
    if run.position[who] < len(spans):
        heappush(run.events, (spans[run.position[who]].starts, SPAN, who))
    for station, staff in enumerate(run.flat.staff):
        run.far[station] = sorted((run.until[one] for one in staff), reverse=True)
    for rank in run.late_hours:
        heappush(run.heaps[run.flat.station[run.order[rank]]], rank)
    run.late_hours = []


def begin(run: Run) -> None:
    """Expect all that is known before the first event."""
    problem, flat = run.flat.problem, run.flat
    for who, worker in enumerate(problem.people):
        ahead = [number for number, span in enumerate(worker.spans) if span.ends > problem.now]
        if ahead:
            run.position[who] = ahead[0]
            starts = worker.spans[ahead[0]].starts
            run.events.append((max(starts, problem.now), SPAN, who))
    for number, pin in enumerate(problem.pins):
        _expect(run, number, pin)
    for who, starts_of in enumerate(run.pins_of):
        starts_of.sort(reverse=True)
        run.limit[who] = starts_of[-1] if starts_of else NEVER
    for index, chain in enumerate(problem.chains):
        first = flat.first[index]
        if chain.held is not None:
            run.push(problem.now, HELD, index)
        if not chain.works:
            run.finish(index, problem.now)
        elif flat.missing[first] == 0 and first not in flat.pinned:
            run.wait(first)
    heapify(run.events)


def _expect(run: Run, number: int, pin: Pin) -> None:
    """Keep people, bench and slots for a pin until it begins."""
    flat = run.flat
    step = flat.first[pin.chain]
    run.push(pin.starts, PIN, number)
    run.pins[flat.station[step]].append(pin)
    for who in pin.people:
        run.pins_of[who].append(pin.starts)
    if flat.net[step] > 0 and (takes := flat.takes[step]):
        run.reserved[takes[0]] += flat.net[step]


def _ended(run: Run, step: int) -> None:
    flat, busy = run.flat, run.busy
    run.bench[flat.station[step]] += 1
    for who in run.crews[step]:
        busy[who] -= 1
        if not busy[who]:
            run.reach[who] = run.until[who]
    if left := flat.left_after[step]:
        run.release(left)
    if rests := flat.rests[step]:
        place, count, minutes = rests
        if minutes > 0:
            run.push(run.ends[step] + minutes, REST, step)
        else:
            run.release((place, count))


def _begin_pin(run: Run, pin: Pin) -> None:
    flat = run.flat
    step = flat.first[pin.chain]
    run.pins[flat.station[step]].remove(pin)
    for who in pin.people:
        run.pins_of[who].pop()
        run.limit[who] = run.pins_of[who][-1] if run.pins_of[who] else NEVER
    if flat.net[step] > 0 and (takes := flat.takes[step]):
        run.reserved[takes[0]] -= flat.net[step]
    run.start(step, pin.starts, pin.people, pin.ends - pin.starts)


def _held(run: Run, index: int) -> None:
    """Let a chain take up what it holds at `now`, and leave what it does not hold on to."""
    chain, flat, now = run.flat.problem.chains[index], run.flat, run.flat.problem.now
    hold = chain.held
    assert hold is not None  # only chains that hold something get here
    slots = (flat.places.index(hold.place), hold.slots)
    run.free[slots[0]] -= slots[1]
    if hold.frees is Frees.REST or not chain.works:
        run.push(now + max(0, hold.minutes), HELD_ENDS, index)
