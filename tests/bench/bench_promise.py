"""Promise each job that comes into a simulated shop a day, run on, and count what held.

python -m tests.bench.bench_promise [--quick]

Held means: finished no later than the promised minute, as days are too coarse to count by; the
share that was finished on the promised day or before is printed beside. The shop runs on with
chance times that no promise has seen, and with jobs that come in later.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from multiprocessing import Pool

from kiosk.rules.dayplan.model import Keys, Minute
from kiosk.rules.dayplan.present import Present
from kiosk.rules.dayplan.promise import CERTAINTIES, Promise, day_of, open_days, promise, rank
from kiosk.rules.dayplan.simulate import Arrival, simulate
from kiosk.rules.dayplan.spread import Spread
from tests.bench.shopdays import jobs, shop


@dataclass
class FirstCome:
    """A shop that works jobs off as they come, and promises each of them a day when it does."""

    runs: int
    seed: int
    people: int = 2
    spread: Spread = field(default_factory=Spread)
    made: dict[str, Promise] = field(default_factory=dict)

    def __call__(self, left: Present) -> Keys:
        for job, due in enumerate(left.problem.jobs):
            if due.job not in self.made and any(one.job == job for one in left.problem.chains):
                self.made[due.job] = self.promised(left, job)
        return [[float(old)] * len(_works(left, new)) for new, old in enumerate(left.chains)]

    def promised(self, left: Present, job: int) -> Promise:
        """Promise a job a day as it comes in, before those that came in with it are known."""
        problem = left.problem
        before = tuple(one for one in problem.chains if one.job < job)
        first = len(before)
        own = [one for one in problem.chains if one.job == job]
        assert problem.chains[: first + len(own)] == (*before, *own)
        chains = tuple(
            replace(
                chain,
                works=tuple(
                    replace(work, after=tuple(one - first for one in work.after))
                    for work in chain.works
                ),
            )
            for chain in own
        )
        base = replace(problem, chains=before, jobs=problem.jobs[:job])
        new = Arrival(problem.now, problem.jobs[job], chains)
        keys = [[float(index)] * len(chain.works) for index, chain in enumerate(before)]
        seed = self.seed + 1_000 * len(self.made)
        return promise(
            base,
            keys,
            new,
            runs=self.runs,
            seed=seed,
            spread=self.spread,
            resting=left.resting,
        )


def _works(left: Present, chain: int) -> tuple[object, ...]:
    return left.problem.chains[chain].works


@dataclass(frozen=True)
class Kept:
    """Of the jobs of one shop: how many were promised, and held by minute and by day, at 80, 95."""

    jobs: int
    by_minute: tuple[int, int]
    by_day: tuple[int, int]


def keep(seed: int, *, days: int, runs: int, load: float = 0.8, people: int = 2) -> Kept:
    """Run a shop for some days and count what of the promises held."""
    base = shop(days + 60, people=people)
    arrivals = jobs(days, seed=seed, load=load, people=people)
    policy = FirstCome(runs, seed=1_000_000 * (seed + 1), people=people)
    run = simulate(base, [], seed=seed, arrivals=arrivals, policy=policy)
    opens = open_days(base.people)
    by_minute, by_day = [0, 0], [0, 0]
    for due, finish in zip(run.problem.jobs, run.finishes, strict=True):
        for place, certainty in enumerate(CERTAINTIES):
            promised = _promised(policy.made[due.job], certainty)
            by_minute[place] += _is_by(finish, promised)
            by_day[place] += _is_by(_on(finish, opens), _on(promised, opens))
    return Kept(len(run.finishes), (by_minute[0], by_minute[1]), (by_day[0], by_day[1]))


def _promised(made: Promise, certainty: float) -> Minute | None:
    """Return the finish of the rank, also from fewer runs than people are told a day from."""
    place = rank(made.runs, certainty)
    return None if place is None else made.finishes[place - 1]


def _on(at: Minute | None, opens: tuple[Minute, ...]) -> Minute | None:
    return None if at is None else day_of(at, opens)


def _is_by(at: Minute | None, promised: Minute | None) -> bool:
    return at is not None and promised is not None and at <= promised


def _one(args: tuple[int, int, int, float]) -> Kept:
    seed, days, runs, load = args
    return keep(seed, days=days, runs=runs, load=load)


def run(*, seeds: int = 16, days: int = 20, runs: int = 59) -> Iterator[str]:
    """Yield a line for each load of the shop."""
    with Pool(2) as pool:
        for load in (0.7, 0.85):
            found = list(pool.imap_unordered(_one, [(s, days, runs, load) for s in range(seeds)]))
            count = sum(one.jobs for one in found)
            for place, certainty in enumerate((80, 95)):
                minute = 100 * sum(one.by_minute[place] for one in found) / count
                day = 100 * sum(one.by_day[place] for one in found) / count
                yield (
                    f"load {load:.2f}: {count} jobs promised at {certainty} % ({runs} runs each): "
                    f"{minute:.1f} % held by the minute, {day:.1f} % by the day"
                )


def main() -> None:
    """Print the measures."""
    quick = "--quick" in sys.argv
    for line in run(seeds=8, days=10, runs=19) if quick else run():
        print(line, flush=True)


if __name__ == "__main__":
    main()
