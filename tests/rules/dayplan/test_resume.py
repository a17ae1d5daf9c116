"""Going on from a copy of a run gives what running all of it again gives."""

from dataclasses import replace
from random import Random

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from kiosk.rules.dayplan.decode import cost_of_run, run_again, run_of
from kiosk.rules.dayplan.flat import flatten
from kiosk.rules.dayplan.model import Chain, Problem
from kiosk.rules.dayplan.moves import MOVES, Spot, lateness
from kiosk.rules.dayplan.running import Run
from tests.shops import make_shop, small_shops

CALM = settings(
    max_examples=60,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)


def done(run: Run) -> tuple[object, ...]:
    return run.starts, run.ends, run.crews, run.extras, run.over


def spot_of(run: Run, row: list[float], delays: dict[int, int]) -> Spot:
    return Spot(row, delays, cost_of_run(run), run, lateness(run))


def walk(problem: Problem, seed: int, moves: int) -> None:
    """Go from change to change, and run each both ways."""
    flat, draw = flatten(problem), Random(seed).random
    row = [draw() for _step in flat.chain]
    spot = spot_of(run_of(flat, row, {}, keeps=True), row, {})
    for _move in range(moves if row else 0):
        if (change := MOVES[int(draw() * len(MOVES))](spot, draw)) is None:
            continue
        whole = run_of(flat, change.row, change.delays)
        again = run_again(spot.run, change.row, change.delays, changed=change.steps)
        assert done(again) == done(whole)
        cost = cost_of_run(whole)
        assert cost_of_run(again) == cost
        # what is sure to cost more is given up, and nothing else
        for cutoff in (cost, cost * 0.9):
            cut = run_again(
                spot.run, change.row, change.delays, changed=change.steps, cutoff=cutoff
            )
            assert cost_of_run(cut) in ((cost,) if cutoff == cost else (cost, float("inf")))
        spot = spot_of(again, change.row, change.delays)


@pytest.mark.no_cover
@CALM
@given(small_shops(), st.integers(0, 10**6))
def test_going_on_from_a_copy_is_the_same_as_running_all_again(problem: Problem, seed: int) -> None:
    walk(problem, seed, 12)


@pytest.mark.no_cover
def test_it_is_so_in_larger_shops_too() -> None:
    walk(make_shop(4, units=25), 1, 80)
    walk(make_shop(5, units=25, odds=["crews", "tight", "pins", "hangs"]), 2, 80)


def test_it_is_so_where_there_are_units_with_nothing_left_to_do() -> None:
    shop = make_shop(3, units=6)
    empty = tuple(Chain(job, f"done {job}", ()) for job in [0] * 6)
    walk(replace(shop, chains=(*shop.chains, *empty)), 3, 150)


def test_what_cannot_differ_is_not_run_again() -> None:
    problem = make_shop(1, units=6)
    flat = flatten(problem)
    row = [float(step) for step in range(len(flat.chain))]
    run = run_of(flat, row, {}, keeps=True)
    assert run_again(run, row, {}, changed=[]) is run


def test_a_run_that_is_sure_to_cost_more_ends_early() -> None:
    problem = make_shop(2, units=12)
    flat = flatten(problem)
    row = [float(step) for step in range(len(flat.chain))]
    run = run_of(flat, row, {}, keeps=True)
    back = row[::-1]
    cut = run_again(run, back, {}, changed=range(len(row)), cutoff=cost_of_run(run) / 10)
    assert 0 < cut.left < len(row)
