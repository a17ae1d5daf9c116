"""What is left of a shop under way, as the problem that a planner finds."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kiosk.rules.dayplan.model import (
    Bench,
    Chain,
    Due,
    Frees,
    Hold,
    Lag,
    Pin,
    Problem,
    Span,
    Store,
    Work,
    Worker,
)
from kiosk.rules.dayplan.present import Course, Present, Under, present
from kiosk.rules.dayplan.simulate import simulate
from kiosk.rules.dayplan.spread import CERTAIN, Spread
from tests.shops import make_shop

CLAMPS = Hold("clamps", 2, Frees.END)
RACK = Hold("rack", 1, Frees.REST, 60)
WORKS = (
    Work("cut", "cut", 10),
    Work("glue", "assemble", 20, hold=CLAMPS),
    Work("coat", "finish", 10, waits=(Lag(1, 45), Lag(0, 70)), closes=(Lag(1, 90),), extra=5),
    Work("hang", "install", 15, waits=(Lag(2, 30),), earliest=400, closes=(Lag(2, 99),)),
)


def problem(*chains: Chain) -> Problem:
    return Problem(
        0,
        (Worker("Ada", (Span(0, 100), Span(120, 300), Span(400, 600))),),
        (Bench("cut"),),
        (Store("clamps", 4),),
        (Due("J1", 500), Due("J2", 600)),
        chains,
    )


def test_what_counted_from_a_step_done_becomes_a_time():
    chain = Chain(1, "u", WORKS, ends=(Lag(3, 20), Lag(0, 500)))
    course = Course((10, 30), held=CLAMPS, resting=30)
    left = present(
        problem(Chain(0, "done", WORKS), chain), {0: Course(finished=5), 1: course}, now=50
    )
    assert left.chains == (1,)
    assert left.firsts == (2,)
    assert left.resting == {0: 30}
    (rest,) = left.problem.chains
    assert rest.job == 0
    assert left.problem.jobs == (Due("J2", 600),)
    assert rest.held == CLAMPS
    assert rest.ends == (Lag(1, 20),)
    assert rest.works == (
        replace(WORKS[2], waits=(), closes=(), earliest=80, closes_at=120),
        replace(WORKS[3], waits=(Lag(0, 30),), closes=(Lag(0, 99),)),
    )


def test_people_have_the_hours_that_are_left():
    left = present(problem(Chain(0, "u", WORKS)), {0: Course()}, now=130)
    assert left.problem.people[0].spans == (Span(130, 300), Span(400, 600))
    assert left.problem.now == 130
    assert left.problem.chains == (Chain(0, "u", WORKS),)


def test_a_step_under_way_is_pinned_and_ends_no_earlier_than_the_next_minute():
    course = Course((10,), under=Under(20, (0,), 20))
    assert present(problem(Chain(0, "u", WORKS)), {0: course}, now=35).problem.pins == (
        Pin(0, 20, 40, (0,)),
    )
    assert present(problem(Chain(0, "u", WORKS)), {0: course}, now=70).problem.pins == (
        Pin(0, 20, 71, (0,)),
    )


def test_a_hold_that_ends_with_its_rest_has_the_minutes_that_are_left():
    at = problem(Chain(0, "u", WORKS))
    for until, minutes in ((100, 50), (40, 0), (None, 0)):
        left = present(at, {0: Course((10,), held=RACK, held_until=until)}, now=50)
        assert left.problem.chains[0].held == replace(RACK, minutes=minutes)


def test_a_chain_holds_what_its_course_says():
    at = problem(Chain(0, "u", WORKS, held=Hold("rack")))
    assert present(at, {0: Course()}, now=5).problem.chains[0].held is None
    assert present(at, {0: Course(held=Hold("rack"))}, now=5).problem.chains[0].held == Hold("rack")


def test_supports_that_are_up_become_a_time_and_others_stay():
    above = Chain(0, "c", (replace(WORKS[0], after=(0, 1)),))
    at = problem(Chain(0, "a", WORKS), Chain(0, "b", WORKS), above)
    left = present(at, {0: Course(finished=77), 1: Course(), 2: Course()}, now=60)
    (work,) = left.problem.chains[1].works
    assert work.after == (0,)
    assert work.earliest == 77


def test_a_chain_that_has_not_come_in_is_not_there():
    left = present(problem(Chain(0, "a", WORKS), Chain(1, "b", WORKS)), {0: Course()}, now=0)
    assert left.chains == (0,)
    assert [job.job for job in left.problem.jobs] == ["J1"]


@settings(max_examples=25, deadline=None)
@given(
    st.integers(0, 10**6),
    st.sets(st.sampled_from(("supports", "hangs", "away", "crews", "skills", "tight", "days"))),
    st.integers(0, 3),
)
def test_run_on_from_the_present_all_comes_as_it_would_have(seed, odds, which):
    whole = make_shop(seed, units=5, people=2, odds=sorted(odds))
    keys = [[float(number)] * len(chain.works) for number, chain in enumerate(whole.chains)]
    seen: list[Present] = []

    def policy(left: Present):
        seen.append(left)
        return [keys[old][first:] for old, first in zip(left.chains, left.firsts, strict=True)]

    done = simulate(whole, keys, seed=1, spread=CERTAIN, policy=policy)
    left = seen[which % len(seen)]
    again = simulate(left.problem, policy(left), seed=1, spread=CERTAIN)
    for old, ends in zip(left.chains, again.ends, strict=True):
        assert ends == pytest.approx(done.ends[old], abs=odds_slack(odds))


def odds_slack(odds) -> int:
    """Patience counts anew from the present on, and rests of finished steps are let go."""
    return 2 * 1440 if odds & {"crews", "hangs"} else 0


def test_people_know_of_a_rest_that_is_not_over_when_it_should_be():
    row = (Work("glue", "cut", 10), Work("sand", "cut", 10, waits=(Lag(0, 200),)))
    long = (Work("cut", "cut", 195),)  # fits at 400 only
    at = problem(Chain(0, "u", row), Chain(0, "v", long))
    seen: list[Present] = []
    policy = lambda left: seen.append(left) or [[0.0] * 9 for _one in left.chains]  # noqa: E731
    for seed in range(20):
        simulate(at, [[0.0, 0.0], [1.0]], seed=seed, spread=Spread(touch=0, day=0.6), policy=policy)
    later = [left for left in seen if left.problem.now > 0]
    assert any(left.resting == {0: 10} for left in later if left.problem.now == 400)
    assert any(left.resting == {} for left in later if left.problem.now == 400)
