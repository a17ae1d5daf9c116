"""Readings, the air between them, what is foreseen after them, and the dose along both."""

from datetime import UTC, datetime, timedelta
from math import inf
from random import Random
from zoneinfo import ZoneInfo

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from kiosk.rules.air import NO_AIR, Ahead, Air, Reading, check_reading, in_order
from kiosk.rules.drying import CAP, run_clock
from kiosk.rules.products import Product
from kiosk.rules.rates import Gate, Law, Rate
from kiosk.rules.stages import STAGES
from tests.builders import SETUP

START = datetime(2026, 3, 2, 8, 0, tzinfo=UTC)
MS = START.timestamp() * 1000
MINUTE, HOUR, DAY = 60_000.0, 3_600_000.0, 86_400_000.0
COLD = Rate(Law.EVAP, least_c=10)


def read(minute, temperature=20.0, humidity=50.0, **more) -> Reading:
    return Reading(START + timedelta(minutes=minute), temperature, humidity, **more)


def hourly(hours, *, days=1):
    """Return readings of some days, each hour as warm as a day's course says."""
    return [
        read(60 * hour, 15 + (hour % 24) / 4, 70 - hour % 24) for hour in range(24 * days + hours)
    ]


# -- readings --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("reading", "columns"),
    [
        (read(0), []),
        (read(0, -20, 0.1, surface_c=60, speed_m_s=0), []),
        (read(0, 60, 100, speed_m_s=10), []),
        (read(0, -20.1), ["temperature"]),
        (read(0, 60.1), ["temperature"]),
        (read(0, surface_c=61), ["surface temperature"]),
        (read(0, humidity=0), ["humidity"]),
        (read(0, humidity=100.1), ["humidity"]),
        (read(0, humidity=float("nan")), ["humidity"]),
        (read(0, float("nan")), ["temperature"]),
        (read(0, speed_m_s=-0.1), ["air speed"]),
        (read(0, speed_m_s=11), ["air speed"]),
        (read(62, 70, 0), ["temperature", "humidity", "time"]),
        (read(-200 * 24 * 60), ["time"]),
    ],
)
def test_impossible_readings_are_refused_with_everything_wrong_named(reading, columns):
    found = check_reading(reading, now=START + timedelta(hours=1))
    assert [problem.column for problem in found] == columns
    assert all(problem.message and problem.remedy for problem in found)


def test_of_two_readings_for_a_moment_the_later_given_counts():
    assert in_order([read(5, 18), read(0, 17), read(5, 19)]) == (read(0, 17), read(5, 19))


def test_the_order_in_which_readings_arrive_does_not_matter():
    readings = hourly(7, days=2)
    shuffled = list(readings)
    Random(3).shuffle(shuffled)
    ends = [
        run_clock(SETUP.products["clear"], "hang", START, air=Air(rows)).expected
        for rows in (readings, shuffled)
    ]
    assert ends[0] == ends[1]


def test_a_late_reading_gives_the_same_as_if_it_had_been_there_from_the_start():
    readings = hourly(5, days=3)
    late = readings.pop(30)
    before = Air(readings)
    for rate in (Rate(Law.EVAP), COLD):
        before.course(rate, cap=CAP)
    together, anew = Air([*readings, late], before=before), Air([*readings, late])
    for hour in range(120):
        at = MS + hour * HOUR
        assert together.course(COLD, cap=CAP).at(at) == anew.course(COLD, cap=CAP).at(at)
    # the days that are the same are the same values, not worked out again
    kept = [stretch for stretch in together.stretches if stretch in before.stretches]
    assert len(kept) == 3


# -- between readings ------------------------------------------------------------------------


def test_between_readings_everything_runs_in_straight_lines():
    air = Air(
        [read(0, 10, 40, surface_c=8, speed_m_s=0), read(60, 20, 60, surface_c=18, speed_m_s=1)]
    )
    assert air.at(MS + 15 * MINUTE)[1:] == (12.5, 45, 10.5, 0.25)


def test_a_panels_temperature_and_the_airs_speed_stand_for_an_hour():
    sparse = Air([read(0, surface_c=15, speed_m_s=0.3), read(180)])
    often = Air([read(0, surface_c=15), *(read(n * 5) for n in range(1, 40))])
    only = Air([read(0, surface_c=15)])
    profile = Air([*hourly(0), read(60 * 25, surface_c=15)])
    for air, start in ((sparse, MS), (often, MS), (only, MS), (profile, MS + 25 * HOUR)):
        assert [air.at(start + n * MINUTE)[3] for n in (1, 59, 70)] == [15, 15, None]
    assert sparse.at(MS + MINUTE)[4] == 0.3
    assert sparse.at(MS + 90 * MINUTE)[1:] == (20, 50, None, None)


def test_a_later_panel_temperature_takes_the_place_of_the_one_before():
    air = Air([read(0, surface_c=15), read(30, surface_c=17), read(80), read(100)])
    assert [air.at(MS + n * MINUTE)[3] for n in (15, 30, 85, 95)] == [16, 17, 17, None]


def test_what_is_read_days_apart_is_not_cut_into_more_steps_than_a_day_has():
    air = Air([read(0), read(60 * 24 * 3650)])
    table = air.stretches[0].table(Rate(Law.EVAP))
    assert len(table.times) == 289


def test_before_the_first_reading_the_air_was_as_it_was_then():
    air = Air([read(0, 5), read(60, 5)])
    assert air.at(MS - DAY)[1] == 5
    assert air.held(COLD, MS - HOUR, MS)[0] == (MS - HOUR, MS, Gate.COLD)
    assert Air([read(0, 15)]).held(COLD, MS - HOUR, MS + HOUR) == []
    course = Air([read(0, 15, 50)]).course(Rate(Law.EVAP), cap=CAP)
    assert course.at(MS) - course.at(MS - HOUR) == pytest.approx(60 * 0.607195, abs=1e-3)
    assert course.when(course.at(MS - HOUR)) == pytest.approx(MS - HOUR)


def test_a_dose_of_nothing_in_air_that_was_held_is_reached_at_the_first_reading():
    course = Air([read(0, 5), read(60, 5)]).course(COLD, cap=CAP)
    assert course.at(MS - HOUR) == course.when(0) - MS == 0


@given(st.lists(st.floats(5, 30), min_size=2, max_size=6), st.integers(1, 5))
@settings(deadline=None)
def test_cutting_a_stretch_that_stays_the_same_changes_nothing(temperatures, parts):
    rows = [read(60 * at, value) for at, value in enumerate(temperatures)]
    steady = [*rows, read(60 * len(rows) + 300, rows[-1].temperature_c)]
    cut = [
        *rows,
        *(
            read(60 * len(rows) + 300 * n / parts, rows[-1].temperature_c)
            for n in range(1, parts + 1)
        ),
    ]
    for rate in (Rate(Law.EVAP), COLD):
        one, other = (Air(found).course(rate, cap=CAP) for found in (steady, cut))
        at = MS + 400 * MINUTE
        assert one.at(at) == pytest.approx(other.at(at), abs=1e-3)


AIRS = st.lists(
    st.tuples(st.integers(0, 3000), st.floats(-5, 40), st.floats(5, 100)), max_size=12
).map(lambda rows: Air(read(*row) for row in rows))


@given(AIRS, st.sampled_from(list(Law)), st.integers(-2000, 9000), st.integers(0, 3000))
@settings(deadline=None)
def test_the_dose_never_falls(air, law, minute, later):
    course = air.course(Rate(law, least_c=8, most_humidity=85, dew_margin_c=3), cap=CAP)
    assert course.at(MS + minute * MINUTE) <= course.at(MS + (minute + later) * MINUTE) + 1e-9


@given(AIRS, st.integers(-500, 4000), st.floats(0.1, 5000))
@settings(deadline=None)
def test_a_dose_is_reached_when_it_is_reached_and_not_before(air, minute, dose):
    course = air.course(Rate(Law.EVAP, least_c=8), cap=CAP)
    target = course.at(MS + minute * MINUTE) + dose
    end = course.when(target)
    assume(end < inf)
    assert course.at(end) == pytest.approx(target, abs=1e-4)
    assert course.at(end - 1000) < target + 1e-4


@given(
    AIRS, st.integers(0, 2000), st.floats(0, 10), st.floats(0, 40),
    st.sampled_from(["touch", "recoat"]),
)  # fmt: skip
@settings(deadline=None)
def test_warmer_or_drier_air_never_delays_an_evaporation_clock(air, minute, warmer, drier, stage):
    assume(air.readings)
    better = Air(
        Reading(one.at, one.temperature_c + warmer, max(5, one.humidity - drier))
        for one in air.readings
    )
    # without the dew point's gate, which warmer air of the same wetness may not open later either
    product = Product("x", "X", "coat", {"touch": 45, "recoat": 120}, least_c=8, most_humidity=85)
    at = START + timedelta(minutes=minute)
    ends = [run_clock(product, stage, at, air=one).expected for one in (air, better)]
    assert ends[0] is None or (ends[1] is not None and ends[1] <= ends[0])


@given(AIRS, st.sampled_from(sorted(SETUP.products)), st.integers(-500, 4000))
@settings(deadline=None)
def test_what_must_not_be_missed_is_never_told_later_than_the_label(air, key, minute):
    product, at = SETUP.products[key], START + timedelta(minutes=minute)
    for stage in product.minutes:
        clock = run_clock(product, stage, at, air=air)
        label = at + timedelta(minutes=product.minutes[stage])
        if STAGES[stage].closes:
            assert clock.earliest <= clock.expected <= clock.latest <= label
        else:
            # nor is anybody promised more than a third off the label
            third = at + timedelta(minutes=product.minutes[stage] / CAP)
            for end in (clock.earliest, clock.expected, clock.latest):
                assert end is None or end >= third - timedelta(milliseconds=1)


@pytest.mark.parametrize(("month", "day"), [(3, 29), (10, 25)])
def test_a_change_of_the_clocks_moves_no_rest(month, day):
    zone = ZoneInfo("Europe/Berlin")
    started = datetime(2026, month, day, 0, 30, tzinfo=zone)
    readings = [
        Reading(started.astimezone(UTC) + timedelta(hours=hour), 15 + hour / 4, 60)
        for hour in range(30)
    ]
    plain = [
        Reading(one.at.astimezone(zone), *(one.temperature_c, one.humidity)) for one in readings
    ]
    ends = {
        run_clock(SETUP.products["clear"], "hang", start, air=Air(rows)).expected
        for start in (started, started.astimezone(UTC))
        for rows in (readings, plain)
    }
    assert len(ends) == 1
    shifted = timedelta(days=7)
    moved = Air(Reading(one.at + shifted, one.temperature_c, one.humidity) for one in readings)
    week_on = run_clock(
        SETUP.products["clear"], "hang", started.astimezone(UTC) + shifted, air=moved
    )
    assert week_on.expected - shifted == ends.pop()


# -- after the last reading ------------------------------------------------------------------


def test_without_a_reading_every_clock_runs_on_its_labels_own_air():
    assert (NO_AIR.ahead, NO_AIR.at(MS), NO_AIR.last_ms) == (Ahead.LABEL, None, None)
    assert NO_AIR.held(COLD, MS, MS + DAY) == []
    for rate in (Rate(Law.EVAP, 21, 70), Rate(Law.MOIST, 15, 40, least_c=20)):
        course = NO_AIR.course(rate, cap=CAP)
        assert course.at(MS + 90 * MINUTE) - course.at(MS) == pytest.approx(90)


def test_with_less_than_a_day_of_readings_the_last_one_is_held():
    air = Air(hourly(-1))
    assert air.ahead == Ahead.LAST
    assert air.at(MS + 10 * DAY)[1:3] == (air.readings[-1].temperature_c, air.readings[-1].humidity)


def test_after_a_whole_day_each_hour_is_the_mean_of_that_hour():
    warm = [read(60 * hour + 24 * 60, 17 + (hour % 24) / 4, 60 - hour % 24) for hour in range(25)]
    air = Air([*hourly(0), *warm])
    assert air.ahead == Ahead.PROFILE
    # 20 hours after the last reading: 20.0 and 22.0 °C, 50 and 40 %
    assert air.at(MS + 48 * HOUR + 20 * HOUR)[1:3] == pytest.approx((21.0, 45.0))
    # and the day after again
    assert air.at(MS + 72 * HOUR + 20 * HOUR)[1:3] == pytest.approx((21.0, 45.0))
    # from the last reading to the first hour it runs in a straight line
    last = air.readings[-1].temperature_c
    half, whole = air.at(MS + 48.5 * HOUR)[1], air.at(MS + 49 * HOUR)[1]
    assert half == pytest.approx((last + whole) / 2)


def test_hours_without_a_reading_near_them_make_no_profile():
    gappy = [
        one
        for one in hourly(1, days=2)
        if (one.at - START) % timedelta(days=1) < timedelta(hours=18)
    ]
    assert Air(gappy).ahead == Ahead.LAST


def test_the_profile_looks_back_a_week_and_no_further():
    old = [read(60 * hour, 0, 50) for hour in range(48)]
    week = [read(60 * hour + 48 * 60, 20, 50) for hour in range(24 * 8)]
    assert Air([*old, *week]).at(week[-1].at.timestamp() * 1000 + 5 * HOUR)[1] == 20


def test_a_forecast_that_is_cold_every_night_holds_every_night():
    nights = [read(60 * hour, 5 if hour % 24 < 6 else 15) for hour in range(49)]
    air = Air(nights)
    last = air.last_ms
    spans = air.held(COLD, last + HOUR, last + HOUR + 3 * DAY)
    assert len(spans) == 3 or len(spans) == 4
    assert all(gate == Gate.COLD for *_, gate in spans)
    course = air.course(COLD, cap=CAP)
    a_day = course.at(last + 5 * DAY) - course.at(last + 4 * DAY)
    assert a_day == pytest.approx(course.at(last + 9 * DAY) - course.at(last + 8 * DAY))


def test_air_that_stays_too_cold_has_no_end_in_sight():
    clock = run_clock(SETUP.products["clear"], "recoat", START, air=Air([read(0, 5, 50)]))
    assert (clock.earliest, clock.expected, clock.latest) == (None, None, None)
    assert clock.progress(START + timedelta(days=300)) == 0
    assert not clock.is_over(START + timedelta(days=300))


def test_an_end_farther_off_than_anything_dries_is_not_in_sight():
    # at 99.9 % it evaporates five hundred times slower: 90 days become many years
    product = Product("x", "X", "coat", {"recoat": 90 * 1440})
    assert run_clock(product, "recoat", START, air=Air([read(0, 23, 99.9)])).expected is None


# -- supposing -------------------------------------------------------------------------------


def test_another_air_counts_from_now_on_and_leaves_what_was_read():
    air = Air(hourly(3, days=2))
    now = START + timedelta(hours=60)  # nine hours after the last reading
    other = air.supposing(22, 45, now=now)
    assert other.ahead == Ahead.SUPPOSED
    at = now.timestamp() * 1000
    for before in (at - 20 * HOUR, at - 4.5 * HOUR, at):
        assert other.at(before)[1:3] == pytest.approx(air.at(before)[1:3], abs=1e-6)
    for after in (at + 2 * MINUTE, at + 3 * DAY):
        assert other.at(after)[1:3] == (22, 45)
    rate = Rate(Law.EVAP)
    mine, theirs = (one.course(rate, cap=CAP) for one in (other, air))
    assert mine.at(at) == pytest.approx(theirs.at(at), abs=0.01)
    gained = mine.at(at + DAY) - mine.at(at)
    assert gained == pytest.approx(1440 * min(CAP, rate.speed(22, 45)), rel=0.01)


def test_another_air_asked_for_in_the_midst_of_readings_forgets_the_later_ones():
    air = Air(hourly(3, days=2))
    now = START + timedelta(hours=30, minutes=20)
    other = air.supposing(22, 45, now=now)
    assert other.readings[-1].at == START + timedelta(hours=30)
    assert other.at((now + timedelta(hours=5)).timestamp() * 1000)[1] == 22


def test_another_air_at_the_very_moment_of_the_last_reading():
    air = Air([read(0, 15)])
    assert air.supposing(22, 45, now=START).at(MS + HOUR)[1:3] == (22, 45)


def test_another_air_without_any_reading_is_taken_to_have_been_so_all_along():
    other = NO_AIR.supposing(22, 45, now=START)
    assert other.at(MS - DAY)[1:3] == other.at(MS + DAY)[1:3] == (22, 45)
    course = other.course(Rate(Law.EVAP), cap=CAP)
    pace = Rate(Law.EVAP).speed(22, 45)
    assert course.at(MS + HOUR) - course.at(MS - HOUR) == pytest.approx(120 * pace)


# -- gaps ------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("start", "end", "hours"),
    [
        (0, 3, 0),
        (0, 24, 20),
        (10, 12, 2),
        (22, 30, 4),
        (30, 31, 1),
        (-5, 1, 5),
        (5, 5, 0),
        (6, 4, 0),
    ],
)
def test_the_longest_time_without_a_reading_is_known(start, end, hours):
    air = Air([read(60 * hour) for hour in (0, 1, 2, 3, 23, 24, 25, 26)])
    begin, finish = START + timedelta(hours=start), START + timedelta(hours=end)
    assert air.without_reading(begin, finish) == timedelta(hours=hours)


def test_without_a_reading_all_of_the_time_is_without_one():
    assert NO_AIR.without_reading(START, START + timedelta(hours=5)) == timedelta(hours=5)
