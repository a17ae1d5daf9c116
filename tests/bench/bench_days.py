"""Run the same days by plan and by simple rules, and count what is late: does planning pay?

python -m tests.bench.bench_days [--quick] [--seeds N] [--days N] [--load 0.85]

Every way of working meets the same jobs and the same chance times. The plan is the best of the
portfolio, bettered by a search of 120 evaluations, at the start of every stretch of work. The
ratios are those of the sums over all seeds; the interval is a bootstrap over seeds, in pairs.
"""

from __future__ import annotations

import argparse
import random
import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from multiprocessing import Pool

import numpy as np
from scipy import stats

from kiosk.rules.dayplan.decode import decode
from kiosk.rules.dayplan.follow import ByPlan, ByRule
from kiosk.rules.dayplan.model import Keys, Minute, Plan, Problem
from kiosk.rules.dayplan.portfolio import first_plan
from kiosk.rules.dayplan.promise import open_days
from kiosk.rules.dayplan.search import improve
from kiosk.rules.dayplan.simulate import Arrival, Policy, Run, simulate
from tests.bench.shopdays import jobs, shop
from tests.bench.unplanned import UNPLANNED

EVALUATIONS = 120
PLANS = ("portfolio", "plan")
DAY = 1440


@dataclass(frozen=True)
class Days:
    """What came of one seed's days under one way of working."""

    seed: int
    way: str
    jobs: int
    late: int
    lateness: float  # days, times the weight, summed over jobs
    lead: float  # days, summed over jobs
    scuffs: int
    overnight: int  # rests that run while the shop is closed, summed over nights
    nights: int
    overtime: int
    units: int
    kept: float  # of the next ten steps, the share a new plan kept
    seconds: float


def work(seed: int, way: str, *, days: int, load: float, evaluations: int = EVALUATIONS) -> Days:
    """Run one seed's days; jobs come in for some days, and the shop goes on until all is done."""
    base = shop(days + 60)
    arrivals = jobs(days, seed=seed, load=load)
    policy: Policy
    planned = None
    if way in UNPLANNED:
        policy = ByRule(UNPLANNED[way])
    else:
        policy = planned = ByPlan(_Planner(seed, evaluations if way == "plan" else 0))
    begun = time.perf_counter()
    run = simulate(base, [], seed=seed, arrivals=arrivals, policy=policy)
    seconds = time.perf_counter() - begun
    kept = float(np.mean(planned.kept)) if planned and planned.kept else float("nan")
    return _counted(run, arrivals, seed=seed, way=way, kept=kept, seconds=seconds)


class _Planner:
    """Plans with chance numbers of its own, which no other way of working uses up."""

    def __init__(self, seed: int, evaluations: int) -> None:
        self.source = random.Random(seed)
        self.evaluations = evaluations

    def __call__(self, problem: Problem, carried: Keys | None) -> Plan:
        if not self.evaluations:
            return first_plan(problem, carried)
        starts = [] if carried is None else [decode(problem, carried)]
        return improve(problem, starts, draw=self.source.random, evaluations=self.evaluations)


def _counted(
    run: Run, arrivals: Sequence[Arrival], *, seed: int, way: str, kept: float, seconds: float
) -> Days:
    came = [one.at for one in sorted(arrivals, key=lambda one: one.at)]
    late, lateness, lead = 0, 0.0, 0.0
    for job, finish, at in zip(run.problem.jobs, run.finishes, came, strict=True):
        if finish is None or job.due is None:
            raise RuntimeError(f"seed {seed}, {way}: a job was not finished in the days there were")
        late += finish > job.due
        lateness += job.weight * max(0, finish - job.due) / DAY
        lead += (finish - at) / DAY
    last = max(one for one in run.finishes if one is not None)
    opens = [one for one in open_days(run.problem.people) if one <= last]
    return Days(
        seed=seed,
        way=way,
        jobs=len(came),
        late=late,
        lateness=lateness,
        lead=lead,
        scuffs=sum(1 for one in run.steps if one.extra),
        overnight=sum(_running(run, at) for at in opens[1:]),
        nights=len(opens) - 1,
        overtime=run.overtime,
        units=len(run.problem.chains),
        kept=kept,
        seconds=seconds,
    )


def _running(run: Run, opens: Minute) -> int:
    """Return how many rests ran at some time of the closed hours before a day opened."""
    closed = max(span.ends for one in run.problem.people for span in one.spans if span.ends < opens)
    return sum(1 for began, over in run.rests if began <= closed and over > closed)


def _one(args: tuple[int, str, int, float]) -> Days:
    seed, way, days, load = args
    return work(seed, way, days=days, load=load)


def ratio(ours: Sequence[float], theirs: Sequence[float]) -> tuple[float, float, float]:
    """Return the ratio of two sums over the same seeds, and its 95 % interval.

    A bootstrap of percentiles, in pairs: scipy.stats.bootstrap. Nothing to nothing is 1.
    """
    pair = (np.array(ours, float), np.array(theirs, float))

    def of(first: np.ndarray, second: np.ndarray, axis: int = -1) -> np.ndarray:
        top, below = first.sum(axis=axis), second.sum(axis=axis)
        bare = np.where(top > 0, np.inf, 1.0)
        return np.where(below > 0, top / np.where(below > 0, below, 1.0), bare)

    with np.errstate(invalid="ignore"):  # a resample in which the other is never late
        found = stats.bootstrap(
            pair, of, paired=True, vectorized=True, n_resamples=9_999, method="percentile",
            rng=np.random.default_rng(1),
        ).confidence_interval  # fmt: skip
    return float(of(*pair)), float(found.low), float(found.high)


def table(found: Sequence[Days]) -> Iterator[str]:
    """Yield a line for each way of working, and the plan's ratios to the ones that matter."""
    ways = list(dict.fromkeys(one.way for one in found))
    rows = {way: sorted((o for o in found if o.way == way), key=lambda o: o.seed) for way in ways}
    yield (
        f"{'way of working':34} {'late':>5} {'%':>6} {'w.late':>7} {'lead':>6} "
        f"{'scuffs':>7} {'nights':>7} {'over':>6} {'kept':>5} {'s':>6}"
    )
    for way, own in rows.items():
        count = sum(one.jobs for one in own)
        yield (
            f"{way:34} {sum(o.late for o in own):5} {100 * sum(o.late for o in own) / count:6.1f} "
            f"{sum(o.lateness for o in own) / count:7.3f} {sum(o.lead for o in own) / count:6.2f} "
            f"{100 * sum(o.scuffs for o in own) / sum(o.units for o in own):7.1f} "
            f"{sum(o.overnight for o in own) / sum(o.nights for o in own):7.1f} "
            f"{sum(o.overtime for o in own) / sum(o.nights for o in own):6.2f} "
            f"{np.mean([o.kept for o in own]):5.2f} {np.mean([o.seconds for o in own]):6.1f}"
        )
    simple = [way for way in ways if way in UNPLANNED]
    for measure in ("late", "lateness", "lead"):
        best = min(simple, key=lambda way: sum(getattr(one, measure) for one in rows[way]))
        against = ["earliest due date", "first come", best]
        for way in dict.fromkeys(against):
            for plan in (one for one in PLANS if one in rows):
                ours = [getattr(one, measure) for one in rows[plan]]
                theirs = [getattr(one, measure) for one in rows[way]]
                value, low, high = ratio(ours, theirs)
                mark = " (best simple rule)" if way == best else ""
                yield f"{measure:9} {plan} / {way}{mark}: {value:.2f} ({low:.2f} to {high:.2f})"


def run(*, seeds: int, days: int, load: float) -> Iterator[str]:
    """Yield the lines of the comparison."""
    wanted = [(seed, way, days, load) for seed in range(seeds) for way in (*PLANS, *UNPLANNED)]
    with Pool(2) as pool:
        found = list(pool.imap_unordered(_one, wanted))
    count = sum(one.jobs for one in found if one.way == PLANS[0])
    units = sum(one.units for one in found if one.way == PLANS[0])
    yield f"{seeds} x {days} days, load {load}: {count} jobs, {units} units"
    yield from table(found)


def main() -> None:
    """Print the comparison."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--quick", action="store_true")
    parser.add_argument("--seeds", type=int, default=20)
    parser.add_argument("--days", type=int, default=50)
    parser.add_argument("--load", type=float, default=0.85)
    given = parser.parse_args()
    seeds, days = (3, 15) if given.quick else (given.seeds, given.days)
    for line in run(seeds=seeds, days=days, load=given.load):
        print(line, flush=True)


if __name__ == "__main__":
    main()
