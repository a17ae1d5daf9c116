"""Rank steps by simple rules, and take the best of the plans they lead to.

The rules for single units are the common ones of dispatching; apparent tardiness cost is from
Vepsalainen and Morton, Management Science 33 (1987) 1035-1047. The job-level ones rank whole jobs,
as a job is late with its last unit: finishing many units and few jobs helps nobody.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import exp
from typing import Final

from kiosk.rules.dayplan.decode import cost_of_run, plan_of, run_of
from kiosk.rules.dayplan.flat import Flat, even, flatten, gather, spread
from kiosk.rules.dayplan.model import Keys, Plan, Problem

# how far ahead apparent tardiness cost looks, in mean times of what is ranked (choice, tried)
LOOKS_AHEAD: Final = 2.0
# above so many chains only the rules that are best most often are tried (measured)
MANY_CHAINS: Final = 150
# by how many jobs the first step of the longest way, and the longest rest, come sooner (tried)
MIXES: Final = ((0.5, 2.0), (2.0, 3.0), (-2.0, 1.0))
SOON: Final = 1e-6  # stands for no time left where it divides


@dataclass(frozen=True, slots=True)
class Outlook:
    """What rules look at: minutes by step and by job.

    tails are touch time and rests from a step's start to its chain's end, touches the touch time
    of it, rests the wait right after it. work is a job's touch time, span its longest tail and
    slack the minutes from now to its due; slack of a job without a due is that of the last one.
    """

    flat: Flat
    tails: Sequence[int]
    touches: Sequence[int]
    rests: Sequence[int]
    work: Sequence[int]
    span: Sequence[int]
    slack: Sequence[int]
    weight: Sequence[float]
    share: float  # of the hours of a day and night that people are there, over all of them


def look_out(flat: Flat) -> Outlook:
    """Return what rules look at."""
    problem = flat.problem
    steps = len(flat.chain)
    tails, touches, rests = [0] * steps, [0] * steps, [0] * steps
    work, span = [0] * len(problem.jobs), [0] * len(problem.jobs)
    for step in reversed(range(steps)):
        job = flat.job[flat.chain[step]]
        waits: Sequence[tuple[int, int]] = flat.ends[flat.chain[step]]
        if not flat.is_last[step]:
            waits = flat.waits[step + 1]
            tails[step], touches[step] = tails[step + 1], touches[step + 1]
        rests[step] = max((minutes for other, minutes in waits if other == step), default=0)
        touch = flat.minutes[step] * flat.crew[step]
        touches[step] += touch
        tails[step] += flat.minutes[step] + rests[step]
        work[job] += touch
        span[job] = max(span[job], tails[step])
    dues = [job.due for job in problem.jobs if job.due is not None]
    latest = max(dues, default=problem.now) - problem.now
    slack = [latest if job.due is None else job.due - problem.now for job in problem.jobs]
    weight = [job.weight for job in problem.jobs]
    return Outlook(flat, tails, touches, rests, work, span, slack, weight, _share(problem))


def _share(problem: Problem) -> float:
    there = sum(span.ends - span.starts for who in problem.people for span in who.spans)
    spans = [span for who in problem.people for span in who.spans]
    over = max((span.ends for span in spans), default=1) - min((s.starts for s in spans), default=0)
    return max(there / max(over, 1), SOON)


def _by_job(view: Outlook, rank: Sequence[float], inside: Sequence[float]) -> list[float]:
    """Return keys that go by whole jobs first, and inside a job by a second figure."""
    order = sorted(range(len(rank)), key=lambda job: (rank[job], view.slack[job], job))
    place = {job: number for number, job in enumerate(order)}
    widest = max((abs(one) for one in inside), default=0) or 1.0
    flat = view.flat
    return [
        place[flat.job[chain]] + inside[step] / widest / 4 for step, chain in enumerate(flat.chain)
    ]


def _of_job(view: Outlook, figures: Sequence[float]) -> list[float]:
    return [figures[view.flat.job[chain]] for chain in view.flat.chain]


def _urgency(weight: float, work: float, slack: float, scale: float) -> float:
    return weight / max(work, 1.0) * exp(-max(0.0, slack) / max(scale, 1.0))


def due_first(view: Outlook) -> list[float]:
    """Rank by the job's due."""
    return _of_job(view, [float(one) for one in view.slack])


def first_come(view: Outlook) -> list[float]:
    """Rank by the order of the chains."""
    return [float(chain) for chain in view.flat.chain]


def longest_rest(view: Outlook) -> list[float]:
    """Rank by the rest after the step, long first."""
    return [-float(rest) for rest in view.rests]


def critical_ratio(view: Outlook) -> list[float]:
    """Rank by the time left to the due over the time the unit still needs."""
    return [
        view.slack[view.flat.job[chain]] / max(view.tails[step], 1)
        for step, chain in enumerate(view.flat.chain)
    ]


def most_work(view: Outlook) -> list[float]:
    """Rank by the unit's time to its end, long first."""
    return [-float(tail) for tail in view.tails]


def short_jobs(view: Outlook) -> list[float]:
    """Rank by the job's work over its weight, short first."""
    return _of_job(view, _short(view))


def urgent_units(view: Outlook) -> list[float]:
    """Rank by apparent tardiness cost of units."""
    flat, touches = view.flat, view.touches
    scale = LOOKS_AHEAD * sum(view.tails) / max(len(view.tails), 1)
    return [
        -_urgency(
            view.weight[flat.job[chain]],
            touches[step],
            view.slack[flat.job[chain]] - view.tails[step],
            scale,
        )
        for step, chain in enumerate(flat.chain)
    ]


def urgent_jobs(view: Outlook) -> list[float]:
    """Rank by apparent tardiness cost of whole jobs."""
    return _of_job(view, _urgent(view, LOOKS_AHEAD))


def _short(view: Outlook) -> list[float]:
    return [work / max(weight, SOON) for work, weight in zip(view.work, view.weight, strict=True)]


def _urgent(view: Outlook, ahead: float) -> list[float]:
    mean = sum(view.work) / max(len(view.work), 1) / view.share
    figures = zip(view.weight, view.work, view.slack, view.span, strict=True)
    return [
        -_urgency(weight, work, slack - span - work / view.share, ahead * mean)
        for weight, work, slack, span in figures
    ]


def _jobs_urgent(ahead: float, *, deep: bool) -> Callable[[Outlook], list[float]]:
    def rank(view: Outlook) -> list[float]:
        inside = [float(one) * (1 if deep else -1) for one in view.tails]
        return _by_job(view, _urgent(view, ahead), inside)

    return rank


def _jobs_due(view: Outlook) -> list[float]:
    return _by_job(view, [float(one) for one in view.slack], [-float(one) for one in view.tails])


def _spare(view: Outlook) -> list[float]:
    return [
        slack - span - work / view.share
        for slack, span, work in zip(view.slack, view.span, view.work, strict=True)
    ]


def _jobs_slack(view: Outlook) -> list[float]:
    return _by_job(view, _spare(view), [-float(one) for one in view.tails])


def _jobs_short(view: Outlook) -> list[float]:
    return _by_job(view, _short(view), [-float(one) for one in view.tails])


# the rules a shop could follow without a plan
DISPATCH: Final[dict[str, Callable[[Outlook], list[float]]]] = {
    "earliest due date": due_first,
    "urgency of units": urgent_units,
    "longest rest first": longest_rest,
    "first come": first_come,
    "shortest job first": short_jobs,
    "critical ratio": critical_ratio,
    "urgency of jobs": urgent_jobs,
}
RULES: Final[dict[str, Callable[[Outlook], list[float]]]] = {
    **DISPATCH,
    "most work left": most_work,
    "jobs by due, long ways first": _jobs_due,
    "jobs by slack, long ways first": _jobs_slack,
    "short jobs, long ways first": _jobs_short,
    "urgent jobs, long ways first": _jobs_urgent(LOOKS_AHEAD, deep=False),
    "very urgent jobs, long ways first": _jobs_urgent(0.5, deep=False),
    "hardly urgent jobs, long ways first": _jobs_urgent(6.0, deep=False),
    "urgent jobs, short ways first": _jobs_urgent(LOOKS_AHEAD, deep=True),
}
FEW: Final = (
    "earliest due date",
    "urgency of units",
    "urgency of jobs",
    "jobs by slack, long ways first",
    "short jobs, long ways first",
    "urgent jobs, long ways first",
    "very urgent jobs, long ways first",
    "urgent jobs, short ways first",
)


def _mixed(view: Outlook) -> list[list[float]]:
    """Return priorities that go by jobs, but mix: first steps and long rests sooner, or later.

    One job comes 1 / number of jobs after the other. Such mixes are the best start of all most
    often, and above 150 chains one of the three for each order of jobs will do (measured).
    """
    flat, rows = view.flat, []
    jobs = len(flat.dues)
    orders = (
        _short(view),
        _urgent(view, 0.5),
        _urgent(view, LOOKS_AHEAD),
        view.slack,
        _spare(view),
    )
    mixes = MIXES[: 1 if len(flat.first) > MANY_CHAINS else len(MIXES)]
    for figures in orders:
        order = sorted(range(jobs), key=lambda job: (figures[job], view.slack[job], job))
        place = {job: number for number, job in enumerate(order)}
        for way, pause in mixes:
            rows.append(
                [
                    (place[flat.job[chain]] - way * flat.ways[step] - pause * flat.pauses[step])
                    / jobs
                    for step, chain in enumerate(flat.chain)
                ]
            )
    return rows


def keys_by(problem: Problem, rule: str) -> Keys:
    """Return the priorities of a rule of RULES; KeyError for one it has not."""
    flat = flatten(problem)
    return gather(flat, RULES[rule](look_out(flat)))


def first_plan(problem: Problem, carried: Keys | None = None) -> Plan:
    """Return the best plan by rules, by mixes of them, and by carried priorities if there are any.

    Above 150 chains only eight rules are tried. Of plans that cost the same the first counts, and
    the carried one before all.
    """
    flat = flatten(problem)
    return plan_of(flat, ranked_starts(flat, carried)[0][1], {})


def ranked_starts(flat: Flat, carried: Keys | None = None) -> list[tuple[float, list[float]]]:
    """Return what plans of rules and mixes cost, and their priorities by step; the best first."""
    view = look_out(flat)
    names = FEW if len(flat.first) > MANY_CHAINS else RULES
    rows = [] if carried is None else [even(spread(flat, carried))]
    rows += [even(RULES[name](view)) for name in names]
    rows += _mixed(view)
    found = [(cost_of_run(run_of(flat, row, {})), row) for row in rows]
    return sorted(found, key=lambda one: one[0])
