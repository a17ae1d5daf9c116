"""Judge a plan: what its jobs' lateness, their finish and the time in the works add up to."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from kiosk.rules.dayplan.model import Minute, Placed, Problem


@dataclass(frozen=True, slots=True)
class Finishes:
    """The minute at which each chain and each job is finished; None for a job without chains."""

    chains: tuple[Minute, ...]
    jobs: tuple[Minute | None, ...]


def finishes(problem: Problem, placed: Iterable[Placed]) -> Finishes:
    """Return when each chain is finished, and each job with its last chain.

    Takes the steps in any order; a chain without steps is finished at `now`. Raises KeyError where
    a step lacks.
    """
    ends = {(one.chain, one.work): one.ends for one in placed}
    chains: list[Minute] = []
    jobs: list[Minute | None] = [None] * len(problem.jobs)
    for index, chain in enumerate(problem.chains):
        finish = problem.now
        if chain.works:
            lags = [ends[index, lag.work] + lag.minutes for lag in chain.ends]
            finish = max([ends[index, len(chain.works) - 1], *lags])
        chains.append(finish)
        before = jobs[chain.job]
        jobs[chain.job] = finish if before is None else max(before, finish)
    return Finishes(tuple(chains), tuple(jobs))


def cost_of(problem: Problem, placed: Iterable[Placed]) -> float:
    """Return what a plan costs by the problem's aims; low is good.

    A minute late counts aims.late times its job's weight, a minute from now to a job's finish
    aims.finish, and a minute a chain is in the works aims.flow.
    """
    placed = tuple(placed)
    found = finishes(problem, placed)
    starts = {one.chain: one.starts for one in placed if one.work == 0}
    late, finish = 0.0, 0
    for job, minute in zip(problem.jobs, found.jobs, strict=True):
        if minute is None:
            continue
        finish += minute - problem.now
        if job.due is not None:
            late += job.weight * max(0, minute - job.due)
    flow = sum(found.chains[index] - start for index, start in starts.items())
    aims = problem.aims
    return aims.late * late + aims.finish * finish + aims.flow * flow
