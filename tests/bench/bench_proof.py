"""Measure the proof engine: classics, small shops beside the search, cold and from a hint.

.venv/bin/python -m tests.bench.bench_proof            a few minutes
.venv/bin/python -m tests.bench.bench_proof --quick    fewer shops
"""

from __future__ import annotations

import sys
import time
from collections.abc import Iterator
from dataclasses import replace
from random import Random

from kiosk import proof
from kiosk.proof import engine
from kiosk.rules.dayplan import gridcheck, sweepcheck
from kiosk.rules.dayplan.model import Aims, Plan, Problem
from kiosk.rules.dayplan.search import improve
from tests import jobshop
from tests.shops import make_shop

Line = tuple[str, float, str, str]
# published optima: tests/data/README.md; seconds as they are promised
CLASSICS = (
    ("ft06", None, 2),
    ("la01", None, 2),
    ("la06", None, 2),
    ("la01", 4, 10),
    ("la16", None, 30),
)
SEARCH_S = 2.0
PROOF_S = 20.0


def run(*, shops: int = 8) -> Iterator[Line]:
    """Yield each measure with what it is compared with."""
    yield from _classics()
    yield from _beside_the_search(shops)
    yield from _cold_and_hinted()
    yield from _checkers()


def _searched(problem: Problem, seconds: float) -> Plan:
    """Return what the search makes of a problem in so many seconds of one core's work."""
    ends = time.process_time() + seconds
    return improve(
        problem,
        (),
        draw=Random(1).random,
        evaluations=10**6,
        go_on=lambda: time.process_time() < ends,
    )


def _classics() -> Iterator[Line]:
    for name, operators, seconds in CLASSICS:
        problem = jobshop.load(name, operators)
        started = time.perf_counter()
        found = proof.prove(problem, _searched(problem, 0.2), seconds=seconds)
        took = time.perf_counter() - started
        title = name if operators is None else f"{name}, {operators} operators"
        reached = found.plan.cost if found.plan else float("inf")
        proved = "proved" if found.is_best else f"bound {found.bound:.0f}"
        best = jobshop.optimum(name, operators)
        yield title, reached, "minutes", f"published {best}; {proved} in {took:.1f} s of {seconds}"


def _small(seed: int) -> Problem:
    shop = make_shop(seed, units=8 + seed % 7)
    return replace(shop, aims=Aims(flow=0.0))


def _beside_the_search(shops: int) -> Iterator[Line]:
    """Compare the search with the proved optimum of lateness and finish."""
    gaps, proved = [], 0
    for seed in range(shops):
        problem = _small(seed)
        mine = _searched(problem, SEARCH_S)
        started = time.perf_counter()
        found = proof.prove(problem, mine, seconds=PROOF_S)
        took = time.perf_counter() - started
        gap = (mine.cost / found.bound - 1) * 100
        said = "the optimum, proved" if found.is_best else "a bound, not proved"
        if found.is_best:
            gaps.append(gap)
            proved += 1
        units = len(problem.chains)
        yield f"shop {seed}, {units} units, search 2 s", gap, "% over", f"{said} in {took:.1f} s"
    yield "worst of the proved shops", max(gaps, default=0.0), "% over", "promised: at most 1"
    yield "proved", proved, "shops", f"of {shops} in {PROOF_S:.0f} s each"


def _cold_and_hinted() -> Iterator[Line]:
    """Compare what the solver makes of a shop with and without being told a plan first."""
    for units, lots in ((10, 1), (20, 1), (30, 4)):
        problem = replace(make_shop(3, units=units, lots=lots), aims=Aims(flow=0.0))
        mine = _searched(problem, 0.5)
        for is_hinted in (False, True):
            cost, seconds = _solved(problem, mine, is_hinted=is_hinted)
            how = "from a hint" if is_hinted else "cold"
            title = f"{len(problem.chains)} chains, {seconds:.0f} s, {how}"
            yield title, cost / mine.cost, "x", "search 0.5 s is 1"


def _solved(
    problem: Problem, mine: Plan, *, is_hinted: bool, seconds: float = 5.0
) -> tuple[float, float]:
    from ortools.sat.python import cp_model

    search = engine._Search(cp_model, engine.WORKERS, is_repeatable=False)
    form = engine._formed(cp_model, problem, mine)
    form.model.minimize(form.cost())
    if not is_hinted:
        form.hinted.clear()
    if not search.solve(form, seconds):
        return float("inf"), seconds
    return search.solver.objective_value / form.scale, seconds


def _checkers() -> Iterator[Line]:
    for units in (60, 120, 300):
        problem = make_shop(1, units=units)
        plan = improve(problem, (), draw=Random(1).random, evaluations=1)
        for name, find in (("grid", gridcheck.find_faults), ("sweep", sweepcheck.find_faults)):
            times = []
            for _each in range(5):
                started = time.perf_counter()
                assert find(problem, plan) == ()
                times.append(time.perf_counter() - started)
            yield f"{name} check, {units} units", min(times) * 1000, "ms", "best of 5"


def main() -> None:
    """Print a line for each measure."""
    for name, value, unit, beside in run(shops=3 if "--quick" in sys.argv else 8):
        print(f"{name:36} {value:12,.2f} {unit:8} {beside}", flush=True)


if __name__ == "__main__":
    main()
