"""Simple ways to choose what to do next, without any plan: what a planned day is compared with.

Written for the comparison alone, so that it does not lean on the rules a plan is made from.
"""

from __future__ import annotations

from collections.abc import Callable
from math import exp

from kiosk.rules.dayplan.model import Chain, Keys, Problem

OPEN = 525 / 1440  # the share of an open day that is worked


def _even(problem: Problem, values: list[float]) -> Keys:
    return [[value] * len(one.works) for one, value in zip(problem.chains, values, strict=True)]


def _by_job(problem: Problem, values: list[float]) -> Keys:
    return _even(problem, [values[one.job] for one in problem.chains])


def _left(chain: Chain) -> int:
    return sum(work.minutes * work.crew for work in chain.works)


def _job_left(problem: Problem) -> list[float]:
    left = [0.0] * len(problem.jobs)
    for one in problem.chains:
        left[one.job] += _left(one)
    return left


def _due(problem: Problem, job: int) -> float:
    due = problem.jobs[job].due
    return float("inf") if due is None else float(due)


def _rests(chain: Chain) -> float:
    """Return the minutes a chain must rest yet."""
    return sum(lag.minutes for work in chain.works for lag in work.waits)


def _worked(minutes: float) -> float:
    """Return how much of a stretch of calendar time is worked, five days of seven."""
    return minutes * OPEN * 5 / 7


def first_come(problem: Problem) -> Keys:
    """Jobs and units as they came in: chains are in that order."""
    return _even(problem, [float(index) for index in range(len(problem.chains))])


def earliest_due(problem: Problem) -> Keys:
    """The job with the nearest day first."""
    return _by_job(problem, [_due(problem, job) for job in range(len(problem.jobs))])


def earliest_due_late_rests(problem: Problem) -> Keys:
    """The nearest day first, and of one job the units that rest longest yet."""
    return _even(problem, [_due(problem, one.job) - _rests(one) / 100 for one in problem.chains])


def least_slack(problem: Problem) -> Keys:
    """The job with the least time to spare after its work."""
    left = _job_left(problem)
    slack = [_worked(_due(problem, job) - problem.now) - left[job] for job in range(len(left))]
    return _by_job(problem, slack)


def critical_ratio(problem: Problem) -> Keys:
    """The job with the least time for each minute of its work."""
    left = _job_left(problem)
    ratio = [(_due(problem, job) - problem.now) / max(1.0, left[job]) for job in range(len(left))]
    return _by_job(problem, ratio)


def longest_rest(problem: Problem) -> Keys:
    """The unit that has the longest rests before it."""
    return _even(problem, [-_rests(one) for one in problem.chains])


def shortest_weighted_job(problem: Problem) -> Keys:
    """The job with the most weight for each minute of work."""
    left = _job_left(problem)
    return _by_job(problem, [left[job] / problem.jobs[job].weight for job in range(len(left))])


def _tardy(problem: Problem, values: list[float], jobs: list[int], ahead: float) -> list[float]:
    """Return the index of Vepsalainen and Morton (1987), low first; ahead is its look-ahead."""
    mean = sum(values) / max(1, len(values))
    found = []
    for left, job in zip(values, jobs, strict=True):
        slack = max(0.0, _worked(_due(problem, job) - problem.now) * 2 - left)
        weight = problem.jobs[job].weight
        urgent = exp(-min(600.0, slack / (ahead * mean))) if mean else 1.0
        found.append(-weight / max(1.0, left) * urgent)
    return found


def tardy_jobs(ahead: float) -> Callable[[Problem], Keys]:
    """Return the rule of apparent tardiness cost, on whole jobs."""

    def rule(problem: Problem) -> Keys:
        left = _job_left(problem)
        return _by_job(problem, _tardy(problem, left, list(range(len(left))), ahead))

    return rule


def tardy_units(problem: Problem) -> Keys:
    """Apparent tardiness cost, on units."""
    left = [float(_left(one)) for one in problem.chains]
    return _even(problem, _tardy(problem, left, [one.job for one in problem.chains], 2.0))


UNPLANNED: dict[str, Callable[[Problem], Keys]] = {
    "first come": first_come,
    "earliest due date": earliest_due,
    "earliest due date, longest rests": earliest_due_late_rests,
    "least slack": least_slack,
    "critical ratio": critical_ratio,
    "longest rest first": longest_rest,
    "most weight per minute, jobs": shortest_weighted_job,
    "tardiness cost, units": tardy_units,
    "tardiness cost, jobs, 1": tardy_jobs(1.0),
    "tardiness cost, jobs, 2": tardy_jobs(2.0),
    "tardiness cost, jobs, 4": tardy_jobs(4.0),
}
