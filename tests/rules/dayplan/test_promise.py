"""What can be promised: order statistics against scipy, and days worked out by hand."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from kiosk.rules.dayplan.model import Bench, Chain, Due, Lag, Problem, Span, Work, Worker
from kiosk.rules.dayplan.promise import (
    CERTAINTIES,
    chances,
    day_of,
    open_days,
    promise,
    promise_present,
    rank,
    runs_needed,
    share_in_time,
    sure_range,
)
from kiosk.rules.dayplan.simulate import Arrival
from kiosk.rules.dayplan.spread import CERTAIN, Spread

DAY = 1440
HOURS = tuple(
    Span(day * DAY + first, day * DAY + last)
    for day in (0, 1, 4)
    for first, last in ((480, 720), (780, 1020))
)
CUT = (Work("cut", "cut", 100),)


def shop(*dues: Due, hours=HOURS) -> Problem:
    chains = tuple(Chain(job, f"u{job}", CUT) for job in range(len(dues)))
    return Problem(480, (Worker("Ada", hours),), (Bench("cut"),), (), dues, chains)


NEW = Arrival(480, Due("new"), (Chain(0, "x", CUT), Chain(0, "y", CUT)))


def test_open_days_begin_after_a_night_and_not_after_noon():
    assert open_days(shop().people) == (480, DAY + 480, 4 * DAY + 480)
    late = Worker("Bo", (Span(700, 900), Span(DAY + 400, DAY + 500)))
    assert open_days((*shop().people, late)) == (480, DAY + 400, 4 * DAY + 480)
    assert open_days(()) == ()


def test_what_ends_after_closing_is_still_of_that_day():
    days = open_days(shop().people)
    assert day_of(1_100, days) == 480
    assert day_of(DAY + 480, days) == DAY + 480
    assert day_of(3 * DAY, days) == DAY + 480
    assert day_of(100, days) is None


@given(st.integers(1, 400), st.sampled_from([0.5, 0.8, 0.95]))
def test_the_rank_is_the_first_whose_mean_certainty_is_enough(runs, certainty):
    place = rank(runs, certainty)
    # the share of a continuous distribution below the k-th of n is beta distributed
    if place is None:
        assert stats.beta(runs, 1).mean() < certainty
        return
    assert stats.beta(place, runs + 1 - place).mean() >= certainty - 1e-9
    assert place == 1 or stats.beta(place - 1, runs + 2 - place).mean() < certainty


@pytest.mark.parametrize(("runs", "place"), [(19, 19), (39, 32), (200, 161), (200, 191)])
def test_the_range_of_a_certainty_is_that_of_the_beta_distribution(runs, place):
    known = stats.beta(place, runs + 1 - place)
    assert sure_range(runs, place) == pytest.approx((known.ppf(0.05), known.ppf(0.95)), abs=1e-6)


def test_without_scatter_a_promise_is_worked_out_by_hand():
    # 100 + 100 before noon; the third and fourth cut in the afternoon, so the new job is done today
    found = promise(
        shop(Due("J1", 600), Due("J2", 650)), [[0.0], [1.0]], NEW, runs=59, seed=1, spread=CERTAIN
    )
    assert [one.finish for one in found.sure] == [980, 980]
    assert [one.day for one in found.sure] == [480, 480]
    assert [(one.held, one.needs) for one in found.sure] == [(59, 0), (59, 0)]
    assert found.finishes == (980,) * 59
    assert found.runs == 59
    assert [(one.job, one.before, one.after) for one in found.effects] == [
        ("J1", 1.0, 1.0),
        ("J2", 0.0, 0.0),
    ]


def test_a_new_job_that_goes_first_shows_whose_day_it_breaks():
    first = Arrival(480, Due("new"), NEW.chains, keys=((-2.0,), (-1.0,)))
    base = shop(Due("J1", 680), Due("J2", None))
    found = promise(base, [[0.0], [1.0]], first, runs=19, seed=1, spread=CERTAIN)
    assert found.sure[0].finish == 680
    assert [(one.job, one.before, one.after) for one in found.effects] == [("J1", 1.0, 0.0)]


def test_what_follows_the_new_job_counts_in_the_promise_and_not_in_its_effect():
    # what comes in at 8:00 stands behind the present job's second step, which waits till 9:55;
    # the new job is through by then and only another one of its kind would be at the saw
    works = (Work("cut", "cut", 10), Work("fill", "cut", 10, waits=(Lag(0, 105),)))
    base = Problem(
        480,
        (Worker("Ada", HOURS),),
        (Bench("cut"),),
        (),
        (Due("J1", 620),),
        (Chain(0, "u", works),),
    )
    new = Arrival(480, Due("new"), (Chain(0, "x", (Work("cut", "cut", 100),)),))
    found = promise(base, [[0.0, 0.0]], new, runs=5, seed=1, spread=CERTAIN)
    assert [(one.before, one.after) for one in found.effects] == [(1.0, 1.0)]


def test_too_few_runs_promise_nothing():
    found = promise(shop(), [], NEW, runs=58, seed=1)
    sure, surer = found.sure
    assert sure.finish is not None
    assert (surer.finish, surer.day, surer.least, surer.most) == (None, None, 0.0, 1.0)
    assert (sure.needs, surer.needs, surer.held) == (0, 59, 0)
    sure = promise(shop(), [], NEW, runs=13, seed=1).sure[0]
    assert (sure.finish, sure.needs) == (None, 14)
    assert rank(3, 0.8) is None
    assert rank(4, 0.8) == 4


@pytest.mark.parametrize("certainty", [0.5, 0.8, 0.9, 0.95, 0.99])
def test_a_claim_takes_as_many_runs_as_the_exact_binomial_bound_asks_for(certainty):
    # Clopper and Pearson, one-sided with 95 %, as scipy works it out for n of n
    def least(runs, method="exact"):
        test = stats.binomtest(runs, runs, alternative="greater")
        return test.proportion_ci(confidence_level=0.95, method=method).low

    needed = runs_needed(certainty)
    assert least(needed) >= certainty > least(needed - 1)
    assert least(needed, "wilson") >= certainty  # Wilson's bound asks for fewer
    assert rank(needed, certainty) is not None


def test_eighty_takes_14_runs_and_ninety_five_59():
    assert [runs_needed(one) for one in CERTAINTIES] == [14, 59]


def test_the_runs_that_held_are_those_up_on_the_day_or_before():
    found = promise(shop(), [], NEW, runs=60, seed=3, spread=Spread(touch=0.5))
    opens = open_days(shop().people)
    for one in found.sure:
        on = [day_of(end, opens) for end in found.finishes if end is not None]
        assert one.held == sum(day <= one.day for day in on)
        assert one.held >= rank(60, one.certainty)


def test_days_that_run_out_promise_nothing():
    found = promise(
        shop(hours=HOURS[:1]), [], Arrival(480, Due("new"), NEW.chains * 2), runs=19, seed=1
    )
    assert found.finishes == (None,) * 19
    assert found.sure[0].finish is None
    assert found.sure[0].day is None
    assert found.sure[0].least > 0.5


def test_the_more_certain_day_is_no_earlier():
    found = promise(shop(Due("J1", 600)), [[0.0]], NEW, runs=60, seed=3, spread=Spread(touch=0.5))
    assert found.sure[0].finish < found.sure[1].finish
    assert list(found.finishes) == sorted(found.finishes)
    assert found.sure[0].finish == found.finishes[48]


def test_a_chance_is_the_share_of_a_lognormal_below_the_due():
    sigma = 0.4
    one = shop(Due("J1", 480 + 120), Due("J2"))
    first, second = chances(one, [[0.0], [1.0]], runs=800, seed=1, spread=Spread(touch=sigma))
    assert first == pytest.approx(stats.lognorm.cdf(1.2, sigma), abs=0.05)
    assert second is None
    assert share_in_time([], 0) == 0.0


def test_a_job_in_the_shop_goes_by_its_place_in_the_plan():
    problem = shop(Due("first"), Due("second"), Due("third"))
    keys = ((1.0,), (3.0,), (2.0,))
    found = [
        promise_present(problem, keys, job, runs=19, seed=1, spread=CERTAIN) for job in (0, 2, 1)
    ]
    # 100 minutes each from 480 on, and what does not fit before noon at 720 begins at 780
    assert [one.sure[0].finish for one in found] == [580, 680, 880]
    assert {one.sure[0].day for one in found} == {480}
    assert (found[0].effects, found[0].runs) == ((), 19)
    late = promise_present(shop(Due("a")), ((1.0,),), 0, runs=2, seed=1, spread=CERTAIN)
    assert late.sure[1].finish is None  # two runs tell nothing of 95 %
