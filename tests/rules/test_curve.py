from dataclasses import replace
from datetime import UTC, datetime, timedelta
from itertools import pairwise
from math import pi, sin
from zoneinfo import ZoneInfo

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from kiosk.rules.air import Air, Reading
from kiosk.rules.clockwords import look_at
from kiosk.rules.curve import clock_curve
from kiosk.rules.curve.axes import MOST_TICKS, temperature_scale, time_ticks
from kiosk.rules.drying import Clock, Window, run_clock
from kiosk.rules.rates import Gate
from tests.builders import SETUP, ZONE, at

ENAMEL = SETUP.products["enamel"]  # touch 60 min, recoat 240, window 4320; not below 10 °C
HOUR_MS = 3_600_000
DAY_MS = 24 * HOUR_MS


def ms(when) -> float:
    return (at(when) if isinstance(when, str) else when).timestamp() * 1000


def readings(*given) -> Air:
    return Air(Reading(at(when), warm, damp) for when, warm, damp in given)


def steady(warm, damp=50.0, first="06:00", last="20:00") -> Air:
    return readings((first, warm, damp), (last, warm, damp))


def days_and_nights(mean, swing, *, last="Tue 16:00") -> Air:
    """Return hourly readings from Monday 00:00, warmest at 15:00."""
    hours = int((at(last) - at("00:00")) / timedelta(hours=1))
    start = at("00:00")
    warm = [mean + swing * sin((hour - 9) * 2 * pi / 24) for hour in range(hours + 1)]
    return Air(Reading(start + timedelta(hours=hour), c, 55) for hour, c in enumerate(warm))


def drawn(stage="touch", start="10:00", now="10:30", *, air=None, product=ENAMEL, **more):
    clock = run_clock(product, stage, at(start), air=air or steady(23))
    assert clock is not None
    return clock, clock_curve(clock, now=at(now), zone=ZONE, **more)


def point_at(curve, when):
    return next(point for point in curve.points if point.ms == ms(when))


# -- the span ------------------------------------------------------------------------------------


def test_the_span_runs_from_a_little_before_the_start_to_a_little_after_the_latest_end():
    # at the label's air 60 min expected, 80 at three quarters of the pace; 3 % free on both sides
    _, curve = drawn()
    free = 0.03 * 80 * 60_000
    assert curve.begins_ms == pytest.approx(ms("10:00") - free)
    assert curve.ends_ms == pytest.approx(ms("11:20") + free)


def test_the_span_reaches_beyond_a_window_that_closes_later():
    window = Window(at("14:00"), at("Thu 10:00"), "none")
    _, curve = drawn(window=[window])
    assert ms("Thu 10:00") < curve.ends_ms < ms("Thu 14:00")


def test_an_end_that_is_not_in_sight_shows_two_days_from_now():
    _, curve = drawn(air=steady(4), now="15:00")
    assert curve.expected_ms is None
    assert ms("Wed 15:00") <= curve.ends_ms < ms("Wed 17:00")


def test_a_latest_end_out_of_sight_still_leaves_room_after_the_expected_one():
    clock, _ = drawn()
    curve = clock_curve(replace(clock, latest=None), now=at("10:30"), zone=ZONE)
    assert curve.ends_ms > ms("11:20")
    assert curve.end_words == "dry to touch 11:00 or later"


def test_a_now_soon_after_the_end_is_shown_and_one_long_after_is_not():
    _, soon = drawn(now="12:30")
    _, late = drawn(now="Tue 12:30")
    assert soon.ends_ms > ms("12:30")
    assert late.ends_ms < ms("11:30")


# -- the progress --------------------------------------------------------------------------------


def test_the_expected_line_goes_through_the_progress_of_the_clock():
    clock, curve = drawn(air=days_and_nights(18, 5))
    for point in curve.points:
        when = datetime.fromtimestamp(point.ms / 1000, UTC)
        assert point.expected == pytest.approx(clock.progress(when), abs=1e-6)


def test_the_band_is_the_pace_a_quarter_faster_and_a_quarter_slower():
    # half an hour at the label's own air is half of 60 min
    _, curve = drawn()
    point = point_at(curve, "10:30")
    shares = (point.slow, point.expected, point.fast)
    assert shares == pytest.approx((0.375, 0.5, 0.625))


@pytest.mark.parametrize("stage", ["touch", "recoat", "window"])
def test_the_line_and_both_edges_of_the_band_are_whole_at_their_ends_and_not_before(stage):
    clock, curve = drawn(stage, air=days_and_nights(16, 5))
    for end, name in ((clock.earliest, "fast"), (clock.expected, "expected"),
                      (clock.latest, "slow")):  # fmt: skip
        shares = [(point.ms, getattr(point, name)) for point in curve.points]
        assert all(share == 1 for moment, share in shares if moment >= ms(end))
        assert all(share < 1 for moment, share in shares if moment < ms(end) - 1)


@given(st.floats(5, 35), st.floats(0, 8), st.sampled_from(["touch", "recoat", "load", "window"]))
def test_progress_never_falls_and_the_expected_line_stays_in_the_band(mean, swing, stage):
    _, curve = drawn(stage, air=days_and_nights(mean, swing), now="Tue 16:30")
    tiny = 1e-9  # sums of days round in the last digit
    for name in ("fast", "expected", "slow"):
        shares = [getattr(point, name) for point in curve.points]
        assert all(after >= before - tiny for before, after in pairwise(shares))
    for point in curve.points:
        assert 0 <= point.slow <= point.expected + tiny <= point.fast + 2 * tiny <= 1 + 3 * tiny


def test_points_are_in_order_inside_the_span_and_include_now_and_the_last_reading():
    _, curve = drawn(air=steady(20, last="10:20"))
    moments = [point.ms for point in curve.points]
    assert moments == sorted(set(moments))
    assert (moments[0], moments[-1]) == (curve.begins_ms, curve.ends_ms)
    assert {ms("10:20"), ms("10:30")} <= set(moments)


def test_a_long_clock_has_a_point_every_two_hours_at_least():
    _, curve = drawn("load", air=days_and_nights(18, 4), now="Tue 16:30")
    gaps = [b.ms - a.ms for a, b in pairwise(curve.points)]
    assert curve.ends_ms - curve.begins_ms > 20 * DAY_MS
    assert max(gaps) <= 2 * HOUR_MS * 1.01


def test_a_clock_without_a_law_runs_by_time_alone():
    clock = Clock(at("10:00"), at("10:48"), at("11:00"), at("11:20"), target=60.0)
    curve = clock_curve(clock, now=at("10:30"), zone=ZONE)
    assert point_at(curve, "10:30").expected == pytest.approx(0.5)
    assert curve.held == ()
    assert curve.title == "Rest"


def test_a_rest_of_no_length_is_whole_from_its_start():
    clock = Clock(at("10:00"), at("10:00"), at("10:00"), at("10:00"))
    curve = clock_curve(clock, now=at("10:00"), zone=ZONE)
    assert next(point.expected for point in curve.points if point.ms >= ms("10:00")) == 1
    assert curve.points[0].expected == 0
    assert curve.end_words == "rest 10:00"


# -- what holds it -------------------------------------------------------------------------------


def test_a_cold_night_is_a_held_stretch_with_its_reason():
    # 15 °C at 16:00 falls to 5 °C at 02:00 in a straight line: 10 °C is passed at 21:00
    air = readings(("16:00", 15, 50), ("Tue 02:00", 5, 50), ("Tue 12:00", 15, 50))
    _, curve = drawn("recoat", "16:00", "20:00", air=air)
    (held,) = curve.held
    assert (held.gate, held.words) == (Gate.COLD, "too cold")
    assert held.begins_ms == pytest.approx(ms("21:00"), abs=1)
    assert held.ends_ms == pytest.approx(ms("Tue 07:00"), abs=1)


def test_the_line_is_level_while_the_clock_is_held():
    air = readings(("16:00", 15, 50), ("Tue 02:00", 5, 50), ("Tue 12:00", 15, 50))
    _, curve = drawn("recoat", "16:00", "20:00", air=air)
    inside = [p for p in curve.points if ms("21:01") < p.ms < ms("Tue 06:59")]
    assert inside
    assert max(p.expected for p in inside) == pytest.approx(min(p.expected for p in inside))


def test_nothing_is_held_after_the_latest_end():
    air = readings(("09:00", 23, 50), ("11:00", 23, 50), ("14:00", 5, 50))
    clock, curve = drawn(now="14:00", air=air)
    assert clock.latest < at("12:00")
    assert curve.held == ()


# -- the air -------------------------------------------------------------------------------------


def test_the_air_at_each_point_is_the_one_that_was_read():
    _, curve = drawn(air=readings(("10:00", 20, 40), ("11:00", 24, 60)))
    point = point_at(curve, "10:30")
    assert (point.temperature, point.humidity) == pytest.approx((22, 50))
    assert curve.temperature is not None
    assert curve.temperature.unit == "°C"


def test_a_shop_that_reads_fahrenheit_gets_it_everywhere():
    _, curve = drawn(air=steady(20), fahrenheit=True)
    assert curve.points[0].temperature == pytest.approx(68)
    assert curve.temperature is not None
    assert curve.temperature.unit == "°F"
    assert curve.temperature.low < 68 < curve.temperature.high
    assert "68 °F" in curve.why


def test_without_readings_there_is_no_air_and_all_is_an_estimate():
    _, curve = drawn(air=Air())
    assert curve.temperature is None
    assert {point.temperature for point in curve.points} == {None}
    assert curve.last_ms is None
    assert curve.estimate_ms == curve.started_ms


@pytest.mark.parametrize(("last", "since"), [("10:20", "10:20"), ("09:00", "10:00")])
def test_after_the_last_reading_and_never_before_the_start_all_is_an_estimate(last, since):
    _, curve = drawn(air=steady(20, last=last))
    assert curve.estimate_ms == ms(since)


@given(st.lists(st.floats(-60, 160), min_size=1, max_size=20))
@example([6.0, -5e-324])
def test_a_scale_of_temperatures_holds_all_of_them_with_few_ticks(values):
    scale = temperature_scale(values, fahrenheit=False)
    assert scale is not None
    assert scale.low <= min(values)
    assert scale.high >= max(values)
    assert scale.high - scale.low >= 4
    assert 2 <= len(scale.ticks) <= 7
    assert (scale.ticks[0].value, scale.ticks[-1].value) == (scale.low, scale.high)


def test_a_scale_of_nothing_is_none():
    assert temperature_scale([], fahrenheit=True) is None


# -- windows and words ---------------------------------------------------------------------------


def test_windows_say_what_may_be_done_and_from_when_to_when():
    window = [Window(at("14:00"), at("Thu 10:00"), "none"), Window(at("Thu 10:00"), None, "scuff")]
    _, curve = drawn(window=window)
    assert [one.words for one in curve.windows] == [
        "coat again 14:00 to Thu 10:00",
        "coat again after scuffing from Thu 10:00",
    ]
    assert [one.closes_ms for one in curve.windows] == [ms("Thu 10:00"), None]


def test_a_window_that_never_opens_or_closes_first_is_not_shown():
    window = [Window(None, None, "none"), Window(at("14:00"), at("13:00"), "none")]
    _, curve = drawn(window=window)
    assert curve.windows == ()


def test_the_title_leads_with_whose_clock_it_is():
    assert drawn(subject="Shelf S1")[1].title == "Shelf S1: dry to touch"
    assert drawn()[1].title == "Dry to touch"


def test_the_end_is_said_with_its_band():
    assert drawn()[1].end_words == "dry to touch 11:00 (10:48 to 11:20)"


def test_glue_may_be_closed_until_its_end():
    _, curve = drawn("open", now="10:01", product=SETUP.products["pva-interior"])
    assert curve.end_words.startswith("glue may still be closed until 10:05")


def test_an_end_that_is_not_in_sight_is_said_to_be_so():
    assert drawn(air=steady(4))[1].end_words == "dry to touch: the end is not in sight"


def test_the_sentence_why_and_the_state_are_those_of_the_clock():
    clock, curve = drawn(air=steady(4))
    look = look_at(clock, now=at("10:30"))
    assert curve.state == look.state == "held"
    assert curve.why.lower() == look.words.lower()


# -- the time axis -------------------------------------------------------------------------------


def ticks_of(first: datetime, last: datetime, zone=ZONE):
    return time_ticks(ms(first), ms(last), now=first, zone=zone)


@pytest.mark.parametrize(
    ("first", "last", "words"),
    [
        ("10:00", "10:05", ["10:00", "10:01", "10:02", "10:03", "10:04", "10:05"]),
        ("09:58", "11:22", ["10:00", "10:15", "10:30", "10:45", "11:00", "11:15"]),
        ("21:30", "Tue 03:00", ["22:00", "23:00", *(f"Tue 0{hour}:00" for hour in range(4))]),
        ("20:00", "Sat 01:00", ["3 Mar", "4 Mar", "5 Mar", "6 Mar", "7 Mar"]),
    ],
)
def test_ticks_stand_at_round_times_of_the_shop(first, last, words):
    assert [tick.words for tick in ticks_of(at(first), at(last))] == words


def test_ticks_of_weeks_stand_on_mondays():
    found = ticks_of(at("Wed 10:00"), at("Wed 10:00") + timedelta(days=40))
    assert [tick.words for tick in found] == [
        "9 Mar",
        "16 Mar",
        "23 Mar",
        "30 Mar",
        "6 Apr",
        "13 Apr",
    ]


def test_the_hour_that_spring_leaves_out_has_no_tick_and_the_others_keep_their_times():
    # Europe/Berlin, 29 March 2026: 02:00 becomes 03:00 (tz database)
    found = ticks_of(
        datetime(2026, 3, 28, 23, 30, tzinfo=UTC), datetime(2026, 3, 29, 4, tzinfo=UTC)
    )
    assert [tick.words for tick in found] == ["01:00", "03:00", "04:00", "05:00", "06:00"]
    assert {b.value - a.value for a, b in pairwise(found)} == {HOUR_MS}


def test_the_hour_that_autumn_repeats_has_its_ticks_twice():
    # Europe/Berlin, 25 October 2026: 03:00 becomes 02:00 (tz database)
    found = ticks_of(datetime(2026, 10, 24, 23, tzinfo=UTC), datetime(2026, 10, 25, 3, tzinfo=UTC))
    words = [tick.words for tick in found]
    assert words.count("02:00") == 2
    assert [tick.value for tick in found] == sorted(tick.value for tick in found)


@given(
    st.integers(0, 60 * 24 * 1000),
    st.floats(5, 4e6),
    st.sampled_from(["Europe/Berlin", "America/New_York", "Asia/Kathmandu", "America/Havana"]),
)
def test_an_axis_has_between_one_and_eight_ticks_in_order_and_inside(start, minutes, name):
    first = datetime(2025, 1, 1, tzinfo=UTC) + timedelta(minutes=start)
    last = first + timedelta(minutes=minutes)
    found = ticks_of(first, last, ZoneInfo(name))
    values = [tick.value for tick in found]
    assert 1 <= len(values) <= MOST_TICKS
    assert values == sorted(set(values))
    assert ms(first) <= values[0]
    assert values[-1] <= ms(last)
