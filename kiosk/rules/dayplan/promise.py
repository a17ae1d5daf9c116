"""Say which hang day a new job can be promised, and how sure the days of the present jobs are.

Both come from running the shop forward many times, each time with other chance times. The jobs
that are present keep their priorities; a new one goes behind them, so that it takes what is left.
Behind it another job of the same kind follows: a shop goes on taking work in, and who is at that
finishes the step at hand before the promised job gets its turn. Without it promises of 80 % were
kept at 73 % (measured).
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from math import ceil, comb, log

from kiosk.rules.dayplan.model import Due, Keys, Minute, Problem, Worker
from kiosk.rules.dayplan.simulate import Arrival, Run, simulate
from kiosk.rules.dayplan.spread import Spread

CERTAINTIES = (0.80, 0.95)  # choice: four of five days, and nineteen of twenty
# minutes without anybody that part one open day from the next: longer than any noon break, shorter
# than any night; choice
NIGHT = 5 * 60
RANGE = 0.90  # how sure the range of a certainty itself is; choice
DOUBT = 0.05  # how often a claim of a certainty may be made in vain; choice, as is usual


@dataclass(frozen=True, slots=True)
class Sure:
    """What can be promised with a certainty: to be finished by a minute, and so on a day.

    day is the minute at which the shop opens on it. Both are None where the runs are too few for
    this certainty, or ended first. least and most are what the certainty may be in truth, as far as
    so many runs can tell. held counts the runs in which it was finished on that day or before;
    needs is how many runs the certainty takes where these are too few, else 0.
    """

    certainty: float
    finish: Minute | None
    day: Minute | None
    least: float
    most: float
    held: int = 0
    needs: int = 0


@dataclass(frozen=True, slots=True)
class Effect:
    """What a new job does to one that is present: its chance to hold its day, before and after.

    The new job alone, without the one that follows it.
    """

    job: str
    before: float
    after: float


@dataclass(frozen=True, slots=True)
class Promise:
    """What can be promised for a new job; finishes are those of the runs, in order.

    A run in which it was not finished has None, at the end. effects are of the jobs with a day.
    """

    runs: int
    sure: tuple[Sure, ...]
    finishes: tuple[Minute | None, ...]
    effects: tuple[Effect, ...] = ()


def promise(
    problem: Problem,
    keys: Keys,
    new: Arrival,
    *,
    runs: int,
    seed: int,
    spread: Spread | None = None,
    resting: Mapping[int, Minute] | None = None,
) -> Promise:
    """Return which day a new job can be promised.

    Args:
        problem: the present load.
        keys: the priorities it is worked off by, as a plan has them.
        new: the new job, of a code that no present job has; without keys it goes behind all else.
        runs: how often the shop is run forward: 14 or more for 80 %, 59 or more for 95 %, see
            `runs_needed`; 200 leave a certainty of 80 % somewhere from 75 to 84 %.
        seed: of the first run; the others follow it.
        spread: how far times scatter; None: the defaults.
        resting: since when chains rest, as `simulate` takes it.
    """
    seeds = range(seed, seed + runs)
    go = partial(simulate, problem, keys, spread=spread, resting=resting)
    next_one = Arrival(new.at, Due(f"{new.due.job} next"), new.chains)
    with_it = [go(seed=one, arrivals=(new, next_one)) for one in seeds]
    late = [run.finishes[len(problem.jobs)] for run in with_it]
    finishes = tuple(sorted(late, key=lambda one: (one is None, one or 0)))
    days = open_days(problem.people)
    sure = tuple(_sure(finishes, certainty, days=days) for certainty in CERTAINTIES)
    dues = [index for index, job in enumerate(problem.jobs) if job.due is not None]
    without = [go(seed=one) for one in seeds] if dues else []
    alone = [go(seed=one, arrivals=(new,)) for one in seeds] if dues else []
    effects = tuple(
        Effect(problem.jobs[one].job, share_in_time(without, one), share_in_time(alone, one))
        for one in dues
    )
    return Promise(runs, sure, finishes, effects)


def promise_present(
    problem: Problem,
    keys: Keys,
    job: int,
    *,
    runs: int,
    seed: int,
    spread: Spread | None = None,
    resting: Mapping[int, Minute] | None = None,
) -> Promise:
    """Return which day a job that is in the shop can be promised; it does nothing to the others.

    Args as for `promise`; job is its number in the problem.
    """
    go = partial(simulate, problem, keys, spread=spread, resting=resting)
    found = [go(seed=seed + one).finishes[job] for one in range(runs)]
    finishes = tuple(sorted(found, key=lambda one: (one is None, one or 0)))
    days = open_days(problem.people)
    sure = tuple(_sure(finishes, certainty, days=days) for certainty in CERTAINTIES)
    return Promise(runs, sure, finishes)


def chances(
    problem: Problem,
    keys: Keys,
    *,
    runs: int,
    seed: int,
    spread: Spread | None = None,
    resting: Mapping[int, Minute] | None = None,
) -> tuple[float | None, ...]:
    """Return for each job the share of runs in which it holds its day; None for one without.

    Args as for `promise`. Of n runs a share s is good to about 1.6 sqrt(s (1 - s) / n): 6 of 100
    for one half of 200 runs.
    """
    go = partial(simulate, problem, keys, spread=spread, resting=resting)
    done = [go(seed=seed + one) for one in range(runs)]
    return tuple(
        None if job.due is None else share_in_time(done, index)
        for index, job in enumerate(problem.jobs)
    )


def share_in_time(runs: Sequence[Run], job: int) -> float:
    """Return the share of runs in which a job with a due minute was finished by it, 0..1."""
    held = 0
    for run in runs:
        finish, due = run.finishes[job], run.problem.jobs[job].due
        held += finish is not None and due is not None and finish <= due
    return held / len(runs) if runs else 0.0


def open_days(people: Sequence[Worker]) -> tuple[Minute, ...]:
    """Return the minute at which each day begins that somebody is there."""
    spans = sorted(span for one in people for span in one.spans)
    found: list[Minute] = []
    closed: Minute | None = None
    for span in spans:
        if closed is None or span.starts - closed >= NIGHT:
            found.append(span.starts)
        closed = span.ends if closed is None else max(closed, span.ends)
    return tuple(found)


def day_of(finish: Minute, days: Sequence[Minute]) -> Minute | None:
    """Return the beginning of the open day a minute falls on; after closing it is still that day.

    None before the first day.
    """
    place = bisect_right(days, finish) - 1
    return days[place] if place >= 0 else None


def rank(runs: int, certainty: float) -> int | None:
    """Return which of the finishes in order holds with a certainty; None where runs are too few.

    It is the smallest k with k / (n + 1) at or above the certainty: one more finish of the same
    kind is no later than the k-th of n with chance k / (n + 1), whatever the times are like
    (Wilks, Annals of Mathematical Statistics 12 (1941) 91-96). A plain quantile of few runs would
    promise too much.
    """
    place = ceil(certainty * (runs + 1) - 1e-9)
    return place if place <= runs else None


def runs_needed(certainty: float) -> int:
    """Return the fewest runs that can bear the claim that something holds with a certainty, 0..1.

    Where it held in truth with less, n runs would all hold with a chance below certainty ** n; that
    must be 5 of 100 at most, which is the one-sided exact bound of Clopper and Pearson, Biometrika
    26 (1934) 404-413, for n of n: 14 runs for 80 %, 59 for 95 %. Wilson's bound (J. Am. Stat.
    Assoc. 22 (1927) 209-212) would ask for 11 and 52, the rule of succession for 3 and 18.
    """
    return ceil(log(DOUBT) / log(certainty))


def sure_range(runs: int, place: int) -> tuple[float, float]:
    """Return between what the certainty of the finish of a rank lies, in 90 of 100 cases.

    That certainty scatters as the beta distribution of k and n + 1 - k (Wilks, as above), which is
    reached through the binomial: it is at most x where k or more of n fall below x.
    """
    tail = (1 - RANGE) / 2
    return _beta_place(runs, place, tail), _beta_place(runs, place, 1 - tail)


def _beta_place(runs: int, place: int, share: float) -> float:
    low, high = 0.0, 1.0
    for _halving in range(40):
        middle = (low + high) / 2
        above = sum(
            comb(runs, one) * middle**one * (1 - middle) ** (runs - one)
            for one in range(place, runs + 1)
        )
        low, high = (middle, high) if above < share else (low, middle)
    return (low + high) / 2


def _sure(finishes: Sequence[Minute | None], certainty: float, *, days: Sequence[Minute]) -> Sure:
    runs, needs = len(finishes), runs_needed(certainty)
    place = rank(runs, certainty)
    if place is None or runs < needs:
        return Sure(certainty, None, None, 0.0, 1.0, needs=needs)
    finish = finishes[place - 1]
    least, most = sure_range(runs, place)
    if finish is None:
        return Sure(certainty, None, None, least, most)
    day = day_of(finish, days)
    ends = [one for one in finishes if one is not None]
    held = sum(one <= finish or day_of(one, days) == day for one in ends)
    return Sure(certainty, finish, day, least, most, held)
