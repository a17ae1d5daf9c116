"""Chance times: checked against scipy, and the same for the same seed for ever."""

import math

import pytest
from scipy import stats

from kiosk.rules.dayplan.spread import (
    CERTAIN,
    Spread,
    beyond,
    even,
    factor,
    learned_spread,
    place,
    scatter,
)
from kiosk.rules.touchtimes import TouchTime


@pytest.mark.parametrize("sigma", [0.05, 0.22, 0.6])
@pytest.mark.parametrize("at", [0.01, 0.2, 0.5, 0.8, 0.99])
def test_factors_are_the_quantiles_of_a_lognormal_with_median_1(sigma, at):
    assert factor(sigma, at) == pytest.approx(stats.lognorm.ppf(at, sigma), rel=1e-9)
    assert place(sigma, factor(sigma, at)) == pytest.approx(at, rel=1e-9)


@pytest.mark.parametrize("sigma", [0.1, 0.22, 0.5])
def test_scatter_comes_back_from_median_and_80th_percentile(sigma):
    known = stats.lognorm(sigma, scale=24)
    assert scatter(known.median(), known.ppf(0.8)) == pytest.approx(sigma, rel=1e-6)


def test_an_80th_percentile_below_the_median_scatters_nothing():
    assert scatter(20, 15) == 0
    assert scatter(20, 20) == 0


def test_even_numbers_are_even_and_do_not_depend_on_each_other():
    found = [even(7, "J1", chain, step) for chain in range(60) for step in range(50)]
    assert stats.kstest(found, "uniform").pvalue > 0.01
    assert abs(stats.spearmanr(found[:-1], found[1:]).statistic) < 0.05
    other = [even(8, "J1", chain, step) for chain in range(60) for step in range(50)]
    assert abs(stats.spearmanr(found, other).statistic) < 0.05


def test_even_numbers_are_the_same_on_every_machine():
    # printf '1\x1fJ1\x1f0' | b2sum -l 64 gives 9e2b3e456418963f; its first 53 bits
    assert even(1, "J1", 0) == pytest.approx(0.6178473395740147, abs=1e-12)
    assert even(1, "J1", 0) != even(1, "J", 10)


def test_what_has_lasted_longer_is_drawn_from_the_rest_of_the_lognormal():
    least = 1.2
    known = stats.lognorm(0.22)
    for at in (0.1, 0.5, 0.9):
        wanted = known.ppf(known.cdf(least) + at * known.sf(least))
        assert beyond(0.22, at, least=least) == pytest.approx(wanted, rel=1e-6)


def test_what_has_lasted_beyond_all_expectation_ends_now():
    assert beyond(0.1, 0.5, least=50.0) == 50.0


def test_without_scatter_all_lasts_as_expected_or_as_long_as_it_has():
    assert beyond(0.0, 0.9, least=0.4) == 1.0
    assert beyond(0.0, 0.9, least=1.4) == 1.4
    assert beyond(0.2, 0.5, least=0.0) == pytest.approx(1.0)
    assert place(0.0, 3.0) == 0.5
    assert factor(0.0, 0.9) == 1.0


def test_a_step_scatters_as_the_shop_has_learnt():
    assert Spread(steps={"glue": 0.4}).of("glue") == 0.4
    assert Spread(steps={"glue": 0.4}).of("sand") == 0.22
    assert CERTAIN.of("glue") == 0
    # 90 of 100 steps, as the class says
    assert math.exp(-1.645 * 0.22) == pytest.approx(0.70, abs=0.005)
    assert math.exp(1.645 * 0.22) == pytest.approx(1.44, abs=0.005)


def test_the_shop_s_own_scatter_counts_by_its_samples():
    def took(kind, step, learned, eighty, count):
        known = {"learned": learned, "eighty": eighty, "count": count}
        return TouchTime(kind, step, step, False, 10.0, **known)

    found = learned_spread(
        [
            took("shelf", "sand", 10.0, 14.0, 8),
            took("box", "sand", 20.0, 20.0, 24),
            took("shelf", "glue", 10.0, 14.0, 2),
            took("shelf", "fill", None, None, 0),
            took("shelf", "cut", 10.0, None, 3),
        ]
    )
    own = math.log(1.4) / stats.norm.ppf(0.8)
    assert found.steps == {
        "sand": pytest.approx((8 * own + 24 * 0) / 32),
        "glue": pytest.approx(0.25 * own + 0.75 * 0.22),
    }
    assert found.of("fill") == 0.22
