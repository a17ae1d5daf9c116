from datetime import timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.rules.drying import Clock, risk_of, run_clock
from kiosk.rules.stages import STAGES
from tests.builders import SETUP, at

PVA = SETUP.products["pva-interior"]


def test_a_clock_runs_from_its_start_with_a_band_around_the_expected_end():
    clock = run_clock(PVA, "clamp", at("10:10"))
    # 60 min; at 1.25 times the rate 48 min, at 0.75 times 80 min
    ends = (clock.started, clock.earliest, clock.expected, clock.latest)
    assert ends == (at("10:10"), at("10:58"), at("11:10"), at("11:30"))


def test_a_stage_the_product_does_not_have_gives_no_clock():
    assert run_clock(PVA, "recoat", at("10:10")) is None


@pytest.mark.parametrize(
    ("when", "share"), [("10:00", 0), ("10:10", 0), ("10:25", 0.25), ("11:10", 1), ("12:00", 1)]
)
def test_progress_stays_between_nothing_and_all(when, share):
    clock = run_clock(PVA, "clamp", at("10:10"))
    assert clock is not None
    assert clock.progress(at(when)) == share


def test_a_rest_of_no_length_is_over():
    moment = at("10:10")
    assert Clock(moment, moment, moment, moment).progress(moment) == 1


@given(st.sampled_from(sorted(SETUP.products)), st.integers(0, 10**6))
def test_every_stage_ends_in_the_order_earliest_expected_latest(key, minutes):
    product, start = SETUP.products[key], at("08:00") + timedelta(minutes=minutes)
    for stage in product.minutes:
        clock = run_clock(product, stage, start)
        assert clock is not None
        assert start < clock.earliest < clock.expected <= clock.latest
        # what must not be missed is never put off: its latest end is the label's own time
        assert (clock.expected == clock.latest) == STAGES[stage].closes


def test_a_clock_without_air_runs_by_the_wall():
    start = at("10:00")
    clock = Clock(start, at("11:00"), at("11:00"), at("11:00"), target=60)
    assert clock.progress(at("10:15")) == 0.25


def test_where_no_air_was_read_nothing_is_said_to_be_at_risk():
    assert risk_of(SETUP.products["clear"], at("10:00"), now=at("20:00")) is None
