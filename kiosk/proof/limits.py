"""Work out what no plan can beat and no better plan can need, before anything is searched."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from kiosk.rules.dayplan.model import Chain, Minute, Plan, Problem, Span, Work, Worker


def price(problem: Problem, job: int, finish: Minute) -> float:
    """Return what a job costs that finishes then: its weighted lateness and its finish."""
    one, aims = problem.jobs[job], problem.aims
    late = 0 if one.due is None else max(0, finish - one.due)
    return aims.late * one.weight * late + aims.finish * (finish - problem.now)


def aimed(problem: Problem, plan: Plan) -> float:
    """Return a whole plan's lateness and finish: its cost without the flow of its chains."""
    last: dict[int, Minute] = {}
    for chain, finish in zip(problem.chains, _finishes(problem, plan), strict=True):
        last[chain.job] = max(finish, last.get(chain.job, finish))
    return sum(price(problem, job, finish) for job, finish in last.items())


def priced(problem: Problem, plan: Plan) -> float:
    """Return a whole plan's cost."""
    starts = {one.chain: one.starts for one in plan.placed if one.work == 0}
    finishes = enumerate(_finishes(problem, plan))
    flow = sum(finish - starts[number] for number, finish in finishes if number in starts)
    return aimed(problem, plan) + problem.aims.flow * flow


def _finishes(problem: Problem, plan: Plan) -> list[Minute]:
    ends = {(one.chain, one.work): one.ends for one in plan.placed}
    return [
        max((ends[number, work] + minutes for work, minutes in tails(chain)), default=problem.now)
        for number, chain in enumerate(problem.chains)
    ]


def tails(chain: Chain) -> list[tuple[int, int]]:
    """Return the steps whose ends finish a chain, each with the minutes that must follow it."""
    if not chain.works:
        return []
    return [(len(chain.works) - 1, 0), *((lag.work, lag.minutes) for lag in chain.ends)]


def heads(problem: Problem) -> list[Minute]:
    """Return when each chain can be finished at the soonest, if it had the whole shop to itself."""
    pins = {pin.chain: pin.ends for pin in problem.pins}
    found: dict[int, Minute] = {}

    def finish(number: int) -> Minute:
        # supports form no ring, so this ends
        if number not in found:
            ends: list[Minute] = []
            chain = problem.chains[number]
            for work in chain.works:
                if not ends and number in pins:
                    ends.append(pins[number])
                    continue
                ready = [problem.now, work.earliest or problem.now, *ends[-1:]]
                ready += [ends[lag.work] + lag.minutes for lag in work.waits]
                ready += [finish(other) for other in work.after]
                ends.append(_soonest(problem.people, work, max(ready)) + work.minutes)
            found[number] = max(
                (ends[work] + minutes for work, minutes in tails(chain)), default=problem.now
            )
        return found[number]

    return [finish(number) for number in range(len(problem.chains))]


def _soonest(people: Sequence[Worker], work: Work, ready: Minute) -> Minute:
    """Return the first minute from ready on at which somebody has room for a step."""
    starts = [
        max(span.starts, ready)
        for worker in people
        if worker.can(work.station)
        for span in worker.spans
        if max(span.starts, ready) + work.room <= span.ends
    ]
    return min(starts, default=ready)


def latest(problem: Problem, plan: Plan) -> list[Minute]:
    """Return for each job the last minute at which it could finish in a plan that is no worse.

    What all other jobs cost at the least is taken off what the plan costs; the rest is all that a
    single job may cost. A job that costs nothing may take until the people's last hour.
    """
    soonest = [problem.now] * len(problem.jobs)
    for chain, head in zip(problem.chains, heads(problem), strict=True):
        soonest[chain.job] = max(soonest[chain.job], head)
    least = [price(problem, job, soonest[job]) for job in range(len(problem.jobs))]
    spare = aimed(problem, plan) - sum(least)
    return [
        _last_within(problem, job, least[job] + spare, soonest[job])
        for job in range(len(problem.jobs))
    ]


def _last_within(problem: Problem, job: int, most: float, soonest: Minute) -> Minute:
    rests = [lag.minutes for chain in problem.chains for lag in chain.ends]
    low, high = soonest, max(soonest, _last_hour(problem) + max(rests, default=0))
    while low < high:
        middle = (low + high + 1) // 2
        if price(problem, job, middle) <= most + 1e-6 * max(1.0, most):
            low = middle
        else:
            high = middle - 1
    return low


def _last_hour(problem: Problem) -> Minute:
    pins = [pin.ends for pin in problem.pins]
    ends = [span.ends for worker in problem.people for span in worker.spans]
    return max([problem.now, *ends, *pins])


def staffed_until(problem: Problem, chains: Sequence[int]) -> Minute:
    """Return the first minute by which the people were there as long as the chains' steps take.

    No plan can finish them all sooner, whoever does what.
    """
    pinned = {pin.chain for pin in problem.pins}
    left = sum(
        work.minutes * work.crew
        for number in chains
        for index, work in enumerate(problem.chains[number].works)
        if index or number not in pinned
    )
    levels: dict[Minute, int] = {}
    for worker in problem.people:
        for span in worker.spans:
            if span.ends > problem.now:
                starts = max(span.starts, problem.now)
                levels[starts] = levels.get(starts, 0) + 1
                levels[span.ends] = levels.get(span.ends, 0) - 1
    here, before = 0, problem.now
    for minute, change in sorted(levels.items()):
        if left <= here * (minute - before):
            break
        left -= here * (minute - before)
        here, before = here + change, minute
    return before + -(-left // here) if left > 0 and here else before


def are_alike(problem: Problem) -> bool:
    """Tell whether it does not matter who does what, so that people need only be counted.

    They must have the same hours and know every station, and what is pinned must have begun: then
    names can be given afterwards, in the order of the starts.
    """
    first = problem.people[0]
    stations = {work.station for chain in problem.chains for work in chain.works}
    return all(
        worker.spans == first.spans and all(worker.can(station) for station in stations)
        for worker in problem.people
    ) and all(pin.starts <= problem.now for pin in problem.pins)


def stretches(spans: Sequence[Span], most: int) -> list[tuple[Minute, Minute, int]]:
    """Return from when to when how many of the spans go on at once, never more than most."""
    changes: dict[Minute, int] = {}
    for span in spans:
        changes[span.starts] = changes.get(span.starts, 0) + 1
        changes[span.ends] = changes.get(span.ends, 0) - 1
    minutes = sorted(changes)
    found, level = [], 0
    for starts, ends in pairwise(minutes):
        level += changes[starts]
        if level > 0:
            found.append((starts, ends, min(level, most)))
    return found
