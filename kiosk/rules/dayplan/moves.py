"""Change priorities a little, where it may help: the moves of the search.

Most moves go to jobs in proportion to what their lateness costs, and ask what was taken up while
a step of theirs waited; the rest is drawn evenly, so that nothing stays out of reach.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable
from dataclasses import dataclass, field
from itertools import accumulate
from typing import Final, TypeAlias

from kiosk.rules.dayplan.flat import Flat
from kiosk.rules.dayplan.model import Minute
from kiosk.rules.dayplan.running import Run

Draw: TypeAlias = Callable[[], float]  # a number from 0 up to 1, 1 excluded, like random.random

LATE_JOBS: Final = 0.7  # share of the moves that go to late jobs (measured)
# how many steps are drawn to find one near another, or one that waited (choice)
TRIES: Final = 6


@dataclass(slots=True)
class Spot:
    """Where a climb stands: its priorities, its delays, what they cost and the run they give."""

    row: list[float]
    delays: dict[int, Minute]
    cost: float
    run: Run
    lateness: list[float] = field(default_factory=list)  # by job, added up: what it costs so far


@dataclass(frozen=True, slots=True)
class Change:
    """Other priorities and delays, and the steps whose priorities differ."""

    row: list[float]
    delays: dict[int, Minute]
    steps: list[int]


def lateness(run: Run) -> list[float]:
    """Return what the lateness of the jobs costs, added up from the first to each."""
    flat = run.flat
    own = [
        late * max(0, finish - due) if chains else 0.0
        for late, finish, due, chains in zip(
            flat.late, run.finished, flat.dues, flat.chains_of, strict=True
        )
    ]
    return list(accumulate(own))


def steps_of(flat: Flat, chain: int) -> range:
    """Return the steps of a chain."""
    return range(flat.first[chain], flat.stops[chain])


def pick(draw: Draw, count: int) -> int:
    """Return a number from 0 up to count, count excluded."""
    return int(draw() * count)


def _chain(spot: Spot, draw: Draw) -> int:
    """Return a chain: often one of a late job, the later the oftener, and of two the later one."""
    flat, total = spot.run.flat, spot.lateness
    if total[-1] > 0 and draw() < LATE_JOBS:
        job = bisect_left(total, max(draw() * total[-1], 1e-9))
        own = flat.chains_by_job[job]
        first, second = own[pick(draw, len(own))], own[pick(draw, len(own))]
        ends = spot.run.ends
        return max(first, second, key=lambda one: ends[flat.stops[one] - 1])
    return pick(draw, len(flat.first))


def _slip(spot: Spot, draw: Draw) -> float:
    """Return how far to move: mostly about as far as from one job to the next."""
    return (draw() + draw() + draw() - 1.5) * 3 / len(spot.run.flat.dues)


def _job_steps(spot: Spot, draw: Draw) -> list[int]:
    flat = spot.run.flat
    own = flat.chains_by_job[flat.job[_chain(spot, draw)]]
    return [step for chain in own for step in steps_of(flat, chain)]


def shift_job(spot: Spot, draw: Draw) -> Change | None:
    """Let a job come sooner or later."""
    return _by(spot, _job_steps(spot, draw), _slip(spot, draw))


def lean_job(spot: Spot, draw: Draw) -> Change | None:
    """Let the first steps of a job's units come sooner than its last ones, or later."""
    steps = _job_steps(spot, draw)
    return _along(spot, steps, spot.run.flat.ways, _slip(spot, draw))


def lean_all(spot: Spot, draw: Draw) -> Change | None:
    """Let all first steps come sooner than the last ones, or later."""
    steps = list(range(len(spot.row)))
    return _along(spot, steps, spot.run.flat.ways, _slip(spot, draw))


def favour_rests(spot: Spot, draw: Draw) -> Change | None:
    """Let steps with long rests after them come sooner, or later."""
    steps = list(range(len(spot.row)))
    return _along(spot, steps, spot.run.flat.pauses, 2 * _slip(spot, draw))


def favour_station(spot: Spot, draw: Draw) -> Change | None:
    """Let all steps at a station come sooner or later."""
    flat = spot.run.flat
    at = pick(draw, len(flat.stations))
    steps = [step for step, station in enumerate(flat.station) if station == at]
    return _by(spot, steps, _slip(spot, draw))


def _along(spot: Spot, steps: list[int], figures: list[float], by: float) -> Change:
    row = list(spot.row)
    for step in steps:
        row[step] += figures[step] * by
    return Change(row, spot.delays, steps)


def shift_chain(spot: Spot, draw: Draw) -> Change | None:
    """Let a unit come sooner or later, from its first step on or from a later one."""
    steps = list(steps_of(spot.run.flat, _chain(spot, draw)))
    steps = steps[pick(draw, len(steps)) :] if draw() < 0.5 else steps
    return _by(spot, steps, _slip(spot, draw))


def _by(spot: Spot, steps: list[int], shift: float) -> Change:
    row = list(spot.row)
    for step in steps:
        row[step] += shift
    return Change(row, spot.delays, steps)


def swap_jobs(spot: Spot, draw: Draw) -> Change | None:
    """Let two jobs change places."""
    flat = spot.run.flat
    first, second = flat.job[_chain(spot, draw)], flat.job[pick(draw, len(flat.first))]
    if first == second:
        return None
    groups = [
        [step for chain in flat.chains_by_job[job] for step in steps_of(flat, chain)]
        for job in (first, second)
    ]
    means = [sum(spot.row[step] for step in own) / max(len(own), 1) for own in groups]
    row = list(spot.row)
    for step in groups[0]:
        row[step] += means[1] - means[0]
    for step in groups[1]:
        row[step] += means[0] - means[1]
    return Change(row, spot.delays, [*groups[0], *groups[1]])


def _waited(spot: Spot, draw: Draw) -> tuple[int, int] | None:
    """Return a step that waited, and one that was taken up while it did."""
    flat, run = spot.run.flat, spot.run
    for _try in range(TRIES):
        steps = steps_of(flat, _chain(spot, draw))
        if not steps:
            continue
        step = steps[pick(draw, len(steps))]
        if run.starts[step] > run.ready[step] and step not in flat.pinned:
            since = bisect_left(run.picked_at, run.ready[step])
            until = bisect_left(run.picked_at, run.starts[step] + 1)
            # mostly the last ones before it: where a person came free
            share = draw() * draw() if draw() < 0.5 else draw()
            other = run.picked[until - 1 - int(share * (until - since))]
            if other != step:
                return step, other
    return None


def pull_step(spot: Spot, draw: Draw) -> Change | None:
    """Let a step that waited come just before one that was taken up while it did."""
    if (found := _waited(spot, draw)) is None:
        return None
    step, other = found
    return _by(spot, [step], spot.row[other] - spot.row[step] - draw() * 0.5 / len(spot.row))


def pull_rest(spot: Spot, draw: Draw) -> Change | None:
    """Let a step that waited come before one that did not, and the rest of its unit as much."""
    if (found := _waited(spot, draw)) is None:
        return None
    step, other = found
    steps = list(range(step, spot.run.flat.stops[spot.run.flat.chain[step]]))
    return _by(spot, steps, spot.row[other] - spot.row[step] - draw() * 0.5 / len(spot.row))


def push_step(spot: Spot, draw: Draw) -> Change | None:
    """Let a step that was taken up while a late unit's step waited come after that."""
    if (found := _waited(spot, draw)) is None:
        return None
    step, other = found
    return _by(spot, [other], spot.row[step] - spot.row[other] + draw() * 0.5 / len(spot.row))


def near_step(spot: Spot, draw: Draw) -> Change | None:
    """Let a step come just before or after another that goes on near it."""
    step = pick(draw, len(spot.row))
    other = _near(spot, draw, step)
    shift = spot.row[other] - spot.row[step] + (draw() - 0.5) * 2 / len(spot.row)
    return _by(spot, [step], shift)


def _near(spot: Spot, draw: Draw, step: int) -> int:
    """Return a step that starts near another, at the same station if one is drawn soon."""
    flat, starts = spot.run.flat, spot.run.starts
    best, found = -1, step
    for _try in range(TRIES):
        other = pick(draw, len(flat.chain))
        if flat.chain[other] == flat.chain[step]:
            continue
        away = abs(starts[other] - starts[step])
        away *= 1 if flat.station[other] == flat.station[step] else 2
        if best < 0 or away < best:
            best, found = away, other
    return found


def delay(spot: Spot, draw: Draw) -> Change | None:
    """Hold a step back until another near it starts or ends, or no longer hold one back."""
    run, delays = spot.run, dict(spot.delays)
    if delays and draw() < 0.4:
        del delays[sorted(delays)[pick(draw, len(delays))]]
        return Change(spot.row, delays, [])
    step = pick(draw, len(spot.row))
    other = _near(spot, draw, step)
    after = run.ends[other] if draw() < 0.5 else run.starts[other]
    if after <= run.starts[step] or step in run.flat.pinned:
        return None
    delays[step] = after
    return Change(spot.row, delays, [])


Move: TypeAlias = Callable[[Spot, Draw], Change | None]
COARSE: Final[tuple[Move, ...]] = (  # a move named twice comes twice as often
    shift_job,
    shift_job,
    swap_jobs,
    lean_job,
    lean_all,
    favour_rests,
    favour_station,
)
MOVES: Final[tuple[Move, ...]] = (
    *COARSE,
    shift_chain,
    pull_step,
    pull_rest,
    push_step,
    near_step,
    delay,
)
