"""Look for a better plan by changing priorities: hill climbing with small slips, and restarts.

Random keys are from Bean, ORSA Journal on Computing 6 (1994) 154-160. Decoding never idles where a
step could start, which can rule out the best plan; so some moves hold a step back on purpose. The
shares of the moves are measured choices.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from math import inf
from typing import Final

from kiosk.rules.dayplan.decode import cost_of_run, decode, plan_of, run_of
from kiosk.rules.dayplan.flat import Flat, flatten, spread
from kiosk.rules.dayplan.model import Minute, Plan, Problem
from kiosk.rules.dayplan.portfolio import ranked_starts
from kiosk.rules.dayplan.running import Run

Draw = Callable[[], float]  # a number from 0 up to 1, 1 excluded, like random.random

DELAYS: Final = 0.2  # share of the moves that hold a step back, or no longer do
JOBS: Final = 0.35  # share of the other moves that are on whole jobs, where there are several
UNITS: Final = 0.7  # up to this share on units, the rest on single steps
SLIPS: Final = 0.005  # a plan that is worse by this share is gone on from, too
CLIMBS: Final = 4  # how many starts are climbed from before the best is taken further
FIRST_PART: Final = 0.6  # share of the evaluations for those climbs


@dataclass(slots=True)
class _Climb:
    """Where a climb stands: its priorities, its delays, what they cost and the run they give."""

    row: list[float]
    delays: dict[int, Minute]
    cost: float = inf
    run: Run | None = None


@dataclass(slots=True)
class _Hunt:
    """What a search shares between its climbs."""

    flat: Flat
    draw: Draw
    left: int
    go_on: Callable[[], bool]
    heard: Callable[[Plan], None]
    best: _Climb
    late: list[int] = field(default_factory=list)

    def pick(self, count: int) -> int:
        return int(self.draw() * count)


def improve(
    problem: Problem,
    starts: Sequence[Plan],
    *,
    draw: Draw,
    evaluations: int,
    go_on: Callable[[], bool] | None = None,
    heard: Callable[[Plan], None] | None = None,
) -> Plan:
    """Return the best plan found from the given ones and the simple rules; never a worse one.

    draw gives random numbers from 0 up to 1; the same numbers and as many evaluations give the same
    plan. go_on is asked before each evaluation and ends the search; heard gets each better plan.
    """
    flat = flatten(problem)
    climbs = _starts(flat, starts)
    hunt = _Hunt(
        flat, draw, evaluations, go_on or (lambda: True), heard or (lambda _plan: None), climbs[0]
    )
    part = int(evaluations * FIRST_PART) // max(1, len(climbs))
    for climb in climbs:
        _go_up(hunt, climb, part)
    _go_up(hunt, _Climb(list(hunt.best.row), dict(hunt.best.delays)), hunt.left)
    return _plan(flat, hunt.best)


def _starts(flat: Flat, starts: Sequence[Plan]) -> list[_Climb]:
    given = []
    for plan in starts:
        delays = {flat.first[chain] + work: at for (chain, work), at in plan.delays.items()}
        given.append(_climb(flat, spread(flat, plan.keys), delays))
    rules = [_climb(flat, row, {}) for _cost, row in ranked_starts(flat)[:CLIMBS]]
    found: list[_Climb] = []
    for climb in sorted([*given, *rules], key=lambda one: one.cost):
        if all(climb.cost != other.cost for other in found):
            found.append(climb)
    return found[:CLIMBS]


def _climb(flat: Flat, row: Sequence[float], delays: dict[int, Minute]) -> _Climb:
    climb = _Climb(_even(row), delays)
    climb.run = run_of(flat, climb.row, delays)
    climb.cost = cost_of_run(climb.run)
    return climb


def _even(row: Sequence[float]) -> list[float]:
    """Return priorities in the same order, spread evenly from 0 to 1 and none twice."""
    found = [0.0] * len(row)
    for rank, step in enumerate(sorted(range(len(row)), key=row.__getitem__)):
        found[step] = rank / len(row)
    return found


def _plan(flat: Flat, climb: _Climb) -> Plan:
    return plan_of(flat, _even(climb.row), climb.delays)


def _go_up(hunt: _Hunt, climb: _Climb, evaluations: int) -> None:
    """Climb from priorities with so many evaluations."""
    if climb.run is None:
        climb = _climb(hunt.flat, climb.row, climb.delays)
    _note_late(hunt, climb)
    while climb.row and evaluations > 0 and hunt.left > 0 and hunt.go_on():
        evaluations -= 1
        hunt.left -= 1
        row, delays = _moved(hunt, climb)
        most = climb.cost * (1 + SLIPS)
        run = run_of(hunt.flat, row, delays, cutoff=most)
        cost = cost_of_run(run)
        if cost > most:
            continue
        is_better = cost < climb.cost
        climb = _Climb(row, delays, cost, run)
        if is_better:
            _note_late(hunt, climb)
        if cost < hunt.best.cost:
            hunt.best = climb
            hunt.heard(_plan(hunt.flat, climb))


def _note_late(hunt: _Hunt, climb: _Climb) -> None:
    """Note the jobs that are late, as moves on them help most."""
    jobs = climb.run.finished if climb.run else []
    hunt.late = [
        chain for chain, job in enumerate(hunt.flat.job) if jobs[job] > hunt.flat.dues[job]
    ]


def _moved(hunt: _Hunt, climb: _Climb) -> tuple[list[float], dict[int, Minute]]:
    """Return priorities and delays with one thing changed."""
    flat, draw = hunt.flat, hunt.draw
    row, delays = climb.row, climb.delays
    if draw() < DELAYS:
        return row, _delayed(hunt, climb)
    row = list(row)
    kind = draw()
    chain = hunt.pick(len(flat.first))
    if hunt.late and draw() < 0.5:
        chain = hunt.late[hunt.pick(len(hunt.late))]
    if kind < JOBS and len(flat.dues) > 1:
        steps = [step for step, own in enumerate(flat.chain) if flat.job[own] == flat.job[chain]]
    elif kind < UNITS:
        steps = [step for step, own in enumerate(flat.chain) if own == chain]
        steps = steps[hunt.pick(len(steps)) :] if steps and draw() < 0.5 else steps
    else:
        return _step_moved(hunt, climb, row), delays
    shift = (draw() + draw() + draw() - 1.5) * (0.1 if draw() < 0.5 else 0.5)
    for step in steps:
        row[step] += shift
    return row, delays


def _step_moved(hunt: _Hunt, climb: _Climb, row: list[float]) -> list[float]:
    """Let a step come just before or after another that goes on near it."""
    step = hunt.pick(len(row))
    other = _near(hunt, climb, step)
    row[step] = row[other] + (hunt.draw() - 0.5) * 2 / len(row)
    return row


def _near(hunt: _Hunt, climb: _Climb, step: int) -> int:
    """Return a step that starts near another, at the same station if one is drawn soon."""
    flat, run = hunt.flat, climb.run
    best, found = inf, step
    for _try in range(6):
        other = hunt.pick(len(flat.chain))
        if run is None or flat.chain[other] == flat.chain[step]:
            continue
        away = abs(run.starts[other] - run.starts[step])
        away *= 1 if flat.station[other] == flat.station[step] else 2
        if away < best:
            best, found = away, other
    return found


def _delayed(hunt: _Hunt, climb: _Climb) -> dict[int, Minute]:
    """Return the delays with one less, or one more: until another step near it starts."""
    flat, run = hunt.flat, climb.run
    delays = dict(climb.delays)
    if delays and hunt.draw() < 0.4:
        del delays[sorted(delays)[hunt.pick(len(delays))]]
        return delays
    step = hunt.pick(len(flat.chain))
    other = _near(hunt, climb, step)
    if run is not None and step not in flat.pinned:
        after = run.ends[other] if hunt.draw() < 0.5 else run.starts[other]
        if after > run.starts[step]:
            delays[step] = after
    return delays


def drop_needless_delays(problem: Problem, plan: Plan) -> Plan:
    """Return a plan without the delays that gain nothing: hands are not left idle for them.

    Each delay is tried away, one after the other; the plan never costs more than before.
    """
    best = plan
    for held in sorted(plan.delays):
        left = {step: until for step, until in best.delays.items() if step != held}
        found = decode(problem, best.keys, delays=left)
        if found.cost <= best.cost:
            best = found
    return best
