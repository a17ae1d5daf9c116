"""Make a plan from priorities: whatever they are, a plan that keeps all that a problem asks."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from itertools import pairwise
from math import inf

from kiosk.rules.dayplan.dispatch import go_through
from kiosk.rules.dayplan.flat import NEVER, Flat, flatten, gather, spread
from kiosk.rules.dayplan.happen import begin
from kiosk.rules.dayplan.model import Keys, Minute, Placed, Plan, Problem
from kiosk.rules.dayplan.resume import resumed
from kiosk.rules.dayplan.running import Run


def decode(
    problem: Problem,
    keys: Keys,
    *,
    delays: Mapping[tuple[int, int], Minute] | None = None,
    people: Mapping[tuple[int, int], tuple[int, ...]] | None = None,
) -> Plan:
    """Return the plan that priorities lead to: at each moment the lowest key that can start does.

    Steps with the same key go by chain, then by step. delays hold steps back on purpose: no start
    before a minute, by chain and step. people names who was to do a step: they do it if they are
    free and able then, else whoever is. Where units would block each other's slots for ever a place
    is exceeded, by as few slots as will do; `over` says so. Raises HoursError where the hours end
    before all is done, and another ValueError only where a problem does not keep what its docstring
    promises.
    """
    flat = flatten(problem)
    named = (people or {}).items()
    flat.named.update({flat.first[chain] + work: who for (chain, work), who in named})
    held_back = {flat.first[chain] + work: at for (chain, work), at in (delays or {}).items()}
    return plan_of(flat, spread(flat, keys), held_back)


def plan_of(flat: Flat, row: Sequence[float], delays: Mapping[int, Minute]) -> Plan:
    """Return the plan of priorities given by step; delays are by step too."""
    run = run_of(flat, row, delays)
    placed = sorted(
        (
            Placed(
                chain=flat.chain[step],
                work=step - flat.first[flat.chain[step]],
                starts=run.starts[step],
                ends=run.ends[step],
                people=run.crews[step],
                extra=run.extras[step],
            )
            for step in range(len(row))
        ),
        key=lambda one: (one.starts, one.chain, one.work),
    )
    over = {flat.places[place]: count for place, count in enumerate(run.over) if count > 0}
    at = {
        (flat.chain[step], step - flat.first[flat.chain[step]]): minute
        for step, minute in sorted(delays.items())
    }
    return Plan(tuple(placed), cost_of_run(run), gather(flat, row), at, over)


def run_of(
    flat: Flat, row: Sequence[float], delays: Mapping[int, Minute], *, keeps: bool = False
) -> Run:
    """Return a shop run to its end by priorities; keeps has it keep what `run_again` goes on from.

    Steps with the same priority go by number.
    """
    run = Run(flat, sorted(range(len(row)), key=row.__getitem__), delays)
    if keeps:
        run.kept = []
    begin(run)
    go_through(run)
    return run


def run_again(
    before: Run,
    row: Sequence[float],
    delays: Mapping[int, Minute],
    *,
    changed: Collection[int],
    cutoff: float = inf,
) -> Run:
    """Return the run of other priorities or delays than one that was kept; the same as `run_of`.

    changed are the steps whose priorities differ. It goes on to its end, or until it is sure to
    cost more than cutoff; where nothing can differ, it is the run before itself.
    """
    order = sorted(range(len(row)), key=row.__getitem__)
    held = [step for step, _minute in before.delays.items() ^ delays.items()]
    run = resumed(before, order, delays, changed=changed, held=held)
    if run is None:
        run = Run(before.flat, order, delays)
        run.kept = []
        begin(run)
    go_through(run, cutoff)
    return run


def cost_of_run(run: Run) -> float:
    """Return what `cost_of` says of the run's plan, without making the plan; inf if cut off."""
    if run.left:
        return inf
    flat, problem, ends = run.flat, run.flat.problem, run.ends
    last = [-NEVER] * len(problem.jobs)
    flow, steps = 0, len(ends)
    for index, (first, after) in enumerate(pairwise([*flat.first, steps])):
        finish = problem.now
        if after > first:
            finish = ends[after - 1]
            for step, minutes in flat.ends[index]:
                finish = max(finish, ends[step] + minutes)
            flow += finish - run.starts[first]
        last[flat.job[index]] = max(last[flat.job[index]], finish)
    late, finished = 0.0, 0
    for job, minute in enumerate(last):
        if minute > -NEVER:
            finished += minute - problem.now
            if minute > flat.dues[job]:
                late += flat.late[job] * (minute - flat.dues[job])
    return late + problem.aims.finish * finished + problem.aims.flow * flow
