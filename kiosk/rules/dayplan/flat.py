"""Lay a problem out flat, so that it can be decoded many times quickly.

Each step has a number of its own: those of the first chain first, in order.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Final, TypeAlias

from kiosk.rules.dayplan.model import Frees, Hold, Keys, Lag, Minute, Problem, Work

NEVER: Final = 1 << 60  # later than any minute
Slots: TypeAlias = tuple[int, int]  # a place and how many of its slots
# a step's station, crew, room, minutes, extra, the place it takes up, and how many more slots there
Needs: TypeAlias = tuple[int, int, int, int, int, int, int]
Lags: TypeAlias = tuple[tuple[int, int], ...]  # numbers of steps and minutes after their ends


@dataclass(slots=True)
class Flat:
    """A problem as lists by step, chain, station or place; nobody changes them once laid out.

    takes says what a step takes up by starting, and net how much more than what it leaves by it;
    leaves and left_after what of the step before ends with its start and its end; rests what ends
    by itself: place, slots and minutes after the step's end.
    """

    problem: Problem
    stations: list[str]
    places: list[str]
    counts: list[int]
    slots: list[int]
    staff: list[list[int]]  # who knows each station, those with rare skills last
    alike: list[int]  # people with the same number know the same stations
    first: list[int]
    job: list[int]
    dues: list[Minute]
    late: list[float]
    chains_of: list[int]  # how many chains a job has
    chains_by_job: list[list[int]]
    chain: list[int] = field(default_factory=list)
    is_last: list[bool] = field(default_factory=list)
    station: list[int] = field(default_factory=list)
    minutes: list[int] = field(default_factory=list)
    room: list[int] = field(default_factory=list)
    extra: list[int] = field(default_factory=list)
    crew: list[int] = field(default_factory=list)
    waits: list[Lags] = field(default_factory=list)
    closes: list[Lags] = field(default_factory=list)
    closes_at: list[Minute] = field(default_factory=list)
    earliest: list[Minute] = field(default_factory=list)
    missing: list[int] = field(default_factory=list)  # what must be known before it is ready
    needs: list[Needs] = field(default_factory=list)
    takes: list[Slots | None] = field(default_factory=list)
    net: list[int] = field(default_factory=list)
    leaves: list[Slots | None] = field(default_factory=list)
    left_after: list[Slots | None] = field(default_factory=list)
    rests: list[tuple[int, int, int] | None] = field(default_factory=list)
    ends: list[Lags] = field(default_factory=list)  # by chain
    stops: list[int] = field(default_factory=list)  # by chain: the step after its last
    tails: list[int] = field(default_factory=list)  # least minutes from a start to the chain's end
    ways: list[float] = field(default_factory=list)  # tails as shares of the longest
    pauses: list[float] = field(default_factory=list)  # minutes after a step's end, likewise
    followers: list[list[int]] = field(default_factory=list)  # by chain: steps that wait for it
    pinned: set[int] = field(default_factory=set)
    named: dict[int, tuple[int, ...]] = field(default_factory=dict)  # by step: who does it if free


def flatten(problem: Problem) -> Flat:
    """Return a problem laid out flat.

    Raises ValueError where nobody can do a step, or nobody is there for long enough at a stretch.
    """
    named = [work.station for chain in problem.chains for work in chain.works]
    counts = {bench.station: bench.count for bench in problem.benches}
    stations = list(dict.fromkeys(named))
    first, total = [], 0
    for chain in problem.chains:
        first.append(total)
        total += len(chain.works)
    skills = [tuple(one for one in stations if who.can(one)) for who in problem.people]
    flat = Flat(
        problem=problem,
        stations=stations,
        places=[store.place for store in problem.stores],
        counts=[counts.get(station, 0) for station in stations],
        slots=[store.slots for store in problem.stores],
        staff=[_staff(skills, station) for station in stations],
        alike=[skills.index(own) for own in skills],
        first=first,
        job=[chain.job for chain in problem.chains],
        dues=[NEVER if job.due is None else job.due for job in problem.jobs],
        late=[problem.aims.late * job.weight for job in problem.jobs],
        chains_of=[
            sum(chain.job == job for chain in problem.chains) for job in range(len(problem.jobs))
        ],
        chains_by_job=[
            [index for index, chain in enumerate(problem.chains) if chain.job == job]
            for job in range(len(problem.jobs))
        ],
        followers=[[] for _chain in problem.chains],
        pinned={first[pin.chain] for pin in problem.pins},
    )
    for index in range(len(problem.chains)):
        _add_chain(flat, index)
    _add_shares(flat)
    _check(flat)
    return flat


def spread(flat: Flat, keys: Keys) -> list[float]:
    """Return priorities by chain and step as one row."""
    row = [key for own in keys for key in own]
    if len(row) != len(flat.chain):
        raise ValueError("there must be a priority for each step of each chain")
    return row


def gather(flat: Flat, row: Sequence[float]) -> tuple[tuple[float, ...], ...]:
    """Return a row of priorities by chain and step."""
    bounds = [*flat.first, len(row)]
    return tuple(tuple(row[start:end]) for start, end in pairwise(bounds))


def even(row: Sequence[float]) -> list[float]:
    """Return priorities in the same order, spread evenly from 0 to 1 and none twice."""
    found = [0.0] * len(row)
    for rank, step in enumerate(sorted(range(len(row)), key=row.__getitem__)):
        found[step] = rank / len(row)
    return found


def _add_shares(flat: Flat) -> None:
    longest = max(flat.tails, default=1)
    for step, tail in enumerate(flat.tails):
        after = 0 if flat.is_last[step] else flat.tails[step + 1]
        flat.ways.append(tail / longest)
        flat.pauses.append((tail - flat.minutes[step] - after) / longest)


def _staff(skills: Sequence[tuple[str, ...]], station: str) -> list[int]:
    """Return who knows a station: those first whom the other stations miss least."""

    def missed(who: int) -> float:
        return sum(1 / sum(one in own for own in skills) for one in skills[who])

    able = [who for who, own in enumerate(skills) if station in own]
    return sorted(able, key=lambda who: (missed(who), who))


def _add_chain(flat: Flat, index: int) -> None:
    chain = flat.problem.chains[index]
    first = flat.first[index]
    flat.ends.append(_lags(chain.ends, first))
    before = chain.held
    for number, work in enumerate(chain.works):
        step = first + number
        flat.chain.append(index)
        flat.is_last.append(number == len(chain.works) - 1)
        _add_work(flat, work, first)
        after = dict.fromkeys(work.after)
        flat.missing.append(len(after) + (number > 0))
        for other in after:
            flat.followers[other].append(step)
        _add_hold(flat, work.hold, before, is_last=flat.is_last[-1])
        before = work.hold
    for step in range(first, len(flat.chain)):
        place = (flat.takes[step] or (0, 0))[0]
        own = (flat.station[step], flat.crew[step], flat.room[step], flat.minutes[step])
        flat.needs.append((*own, flat.extra[step], place, flat.net[step]))
    flat.stops.append(len(flat.chain))
    flat.tails += _tails(flat, index)


def _tails(flat: Flat, index: int) -> list[int]:
    """Return the least minutes from each step's start to its chain's finish."""
    first, stop = flat.first[index], flat.stops[index]
    tails = [0] * (stop - first)
    rests = dict(flat.ends[index])
    for step in reversed(range(first, stop)):
        after = rests.get(step, 0)
        if step + 1 < stop:
            after = max(after, tails[step + 1 - first])
        for later in range(step + 1, stop):
            for other, minutes in flat.waits[later]:
                if other == step:
                    after = max(after, minutes + tails[later - first])
        tails[step - first] = flat.minutes[step] + after
    return tails


def _add_work(flat: Flat, work: Work, first: int) -> None:
    now = flat.problem.now
    flat.station.append(flat.stations.index(work.station))
    flat.minutes.append(work.minutes)
    flat.room.append(work.room)
    flat.extra.append(work.extra)
    flat.crew.append(work.crew)
    flat.waits.append(_lags(work.waits, first))
    flat.closes.append(_lags(work.closes, first))
    flat.closes_at.append(NEVER if work.closes_at is None else work.closes_at)
    flat.earliest.append(now if work.earliest is None else max(now, work.earliest))


def _add_hold(flat: Flat, hold: Hold | None, before: Hold | None, *, is_last: bool) -> None:
    taken = _slots(flat, hold)
    leaves = _slots(flat, before) if before and before.frees is Frees.START else None
    flat.takes.append(taken)
    flat.leaves.append(leaves)
    flat.left_after.append(_slots(flat, before) if before and before.frees is Frees.END else None)
    rests = None
    if taken and hold and (is_last or hold.frees is Frees.REST):
        rests = (*taken, hold.minutes)
    flat.rests.append(rests)
    is_same = taken is not None and leaves is not None and taken[0] == leaves[0]
    flat.net.append((taken[1] if taken else 0) - (leaves[1] if leaves and is_same else 0))


def _slots(flat: Flat, hold: Hold | None) -> Slots | None:
    return (flat.places.index(hold.place), hold.slots) if hold else None


def _lags(lags: Sequence[Lag], first: int) -> Lags:
    return tuple((first + lag.work, lag.minutes) for lag in lags)


def _check(flat: Flat) -> None:
    people, now = flat.problem.people, flat.problem.now
    longest = [
        max((span.ends - max(now, span.starts) for span in who.spans), default=0) for who in people
    ]
    checked: set[tuple[int, int, int]] = set()
    for step, station in enumerate(flat.station):
        crew, room = flat.crew[step], flat.room[step]
        if step in flat.pinned or (station, crew, room) in checked:
            continue
        checked.add((station, crew, room))
        stretches = sorted((longest[who] for who in flat.staff[station]), reverse=True)
        if len(stretches) < crew or flat.counts[station] < 1:
            raise ValueError(f"there is nobody, or no bench, for {flat.stations[station]}")
        if stretches[crew - 1] < room:
            raise ValueError(f"nobody is at {flat.stations[station]} for {room} minutes on end")
