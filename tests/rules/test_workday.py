"""Hours become minutes: breaks, weekends, days away and the change of the clocks."""

from datetime import UTC, date, datetime, time, timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.rules.entries import Kind
from kiosk.rules.workday import (
    Away,
    Hours,
    closing,
    hours_said,
    minute_of,
    opening,
    read_away,
    read_clock,
    read_days,
    read_hours,
    spans_of,
    time_of,
)
from tests.builders import ZONE, an_entry, at

USUAL = Hours(time(7, 30), time(17), time(12), 45, (0, 1, 2, 3, 4))
STATIONS = ("cut", "assemble")


def shown(spans, zone=ZONE):
    """Spans as a person reads them."""
    ends = [[time_of(minute).astimezone(zone) for minute in span] for span in spans]
    return [f"{start:%a %H:%M}-{end:%H:%M}" for start, end in ends]


def test_a_day_is_two_stretches_with_the_break_between_them():
    assert shown(spans_of(USUAL, now=at("07:00"), days=1, zone=ZONE)) == [
        "Mon 07:30-12:00",
        "Mon 12:45-17:00",
    ]


def test_a_stretch_under_way_is_cut_and_the_weekend_is_free():
    assert shown(spans_of(USUAL, now=at("Fri 14:00"), days=4, zone=ZONE)) == [
        "Fri 14:00-17:00",
        "Mon 07:30-12:00",
        "Mon 12:45-17:00",
    ]


@pytest.mark.parametrize(
    ("pause", "minutes", "spans"),
    [
        (time(12), 0, ["Mon 07:30-17:00"]),
        (time(17), 45, ["Mon 07:30-17:00"]),
        (time(6), 45, ["Mon 07:30-17:00"]),
        (time(7, 15), 45, ["Mon 08:00-17:00"]),
        (time(16, 30), 60, ["Mon 07:30-16:30"]),
    ],
)
def test_a_break_at_an_end_of_the_day_or_outside_it_leaves_one_stretch(pause, minutes, spans):
    hours = Hours(time(7, 30), time(17), pause, minutes, (0,))
    assert shown(spans_of(hours, now=at("00:00"), days=1, zone=ZONE)) == spans


def test_days_away_are_left_out_with_their_ends():
    hours = Hours(
        time(8),
        time(9),
        time(12),
        0,
        tuple(range(7)),
        away=(Away(date(2026, 3, 3), date(2026, 3, 5)),),
    )
    assert shown(spans_of(hours, now=at("00:00"), days=6, zone=ZONE)) == [
        "Mon 08:00-09:00",
        "Fri 08:00-09:00",
        "Sat 08:00-09:00",
    ]


def test_the_shop_opens_by_the_clock_on_the_wall_on_both_sides_of_summer_time():
    # Ireland's clocks went forward on Sunday 29 March 2026 at 01:00 UTC (EU directive 2000/84/EC)
    dublin = ZoneInfo("Europe/Dublin")
    now = datetime(2026, 3, 27, 0, 0, tzinfo=UTC)
    spans = spans_of(USUAL, now=now, days=4, zone=dublin)
    assert [time_of(start).hour * 60 + time_of(start).minute for start, _end in spans[::2]] == [
        7 * 60 + 30,
        6 * 60 + 30,
    ]
    assert all(end - start in (270, 255) for start, end in spans)


@given(
    start=st.integers(0, 330 * 24 * 60),
    opens=st.times(time(0), time(11, 59)),
    closes=st.times(time(12), time(23, 59)),
    pause=st.times(),
    minutes=st.integers(0, 240),
    days=st.sets(st.integers(0, 6)),
)
def test_stretches_are_in_order_apart_and_never_before_now(
    start, opens, closes, pause, minutes, days
):
    now = datetime(2026, 1, 1, tzinfo=UTC) + timedelta(minutes=start)
    opens, closes, pause = (one.replace(second=0, microsecond=0) for one in (opens, closes, pause))
    hours = Hours(opens, closes, pause, minutes, tuple(sorted(days)))
    spans = spans_of(hours, now=now, days=14, zone=ZONE)
    assert all(a < b for a, b in spans)
    assert all(first[1] <= second[0] for first, second in pairwise(spans))
    assert all(span[0] >= minute_of(now) for span in spans)


def test_a_moment_within_a_minute_counts_as_the_next_one():
    whole = at("08:00")
    assert minute_of(whole + timedelta(seconds=1)) == minute_of(whole) + 1
    assert time_of(minute_of(whole)) == whole


def test_opening_and_closing_are_told_of_any_day():
    saturday = date(2026, 3, 7)
    assert time_of(opening(USUAL, saturday, ZONE)) == at("Sat 07:30")
    assert time_of(closing(USUAL, saturday, ZONE)) == at("Sat 17:00")


@pytest.mark.parametrize(
    ("text", "days"),
    [
        ("Mon-Fri", (0, 1, 2, 3, 4)),
        ("mon-thu, saturday", (0, 1, 2, 3, 5)),
        ("Sat-Mon", (0, 5, 6)),
        ("", ()),
        ("Mon-Wed-Fri", None),
        ("workdays", None),
    ],
)
def test_days_of_the_week_are_read(text, days):
    assert read_days(text) == days


@pytest.mark.parametrize(
    "text", ["soon", "2026-05-01..", "2026-05-02..2026-05-01", "2026-01-01..2028-01-01", "1..2..3"]
)
def test_days_away_that_are_none_are_not_understood(text):
    assert read_away(text) is None


def test_three_days_away_in_a_row_are_no_stretch():
    assert read_away("2026-05-01..2026-05-02..2026-05-03") is None


def test_times_of_day_are_read():
    assert (read_clock("7:05"), read_clock("24:00"), read_clock("noon")) == (time(7, 5), None, None)


def test_hours_that_differ_are_laid_over_the_usual_ones():
    texts = {
        "opens": "09:00",
        "closes": "",
        "days": "Tue-Thu",
        "stations": "Cut, assemble",
        "away": "2026-03-04",
        "break_minutes": "30",
    }
    hours, problems = read_hours(texts, USUAL, stations=STATIONS)
    assert problems == ()
    assert hours == Hours(
        time(9),
        time(17),
        time(12),
        30,
        (1, 2, 3),
        STATIONS,
        (Away(date(2026, 3, 4), date(2026, 3, 4)),),
    )
    assert read_hours({"stations": "all"}, hours, stations=STATIONS)[0].stations == ()


def test_every_problem_is_named_with_whose_hours_and_the_way_out():
    texts = {
        "opens": "early",
        "break_starts": "12",
        "break_minutes": "300",
        "days": "x",
        "stations": "saw",
        "away": "never",
    }
    _hours, problems = read_hours(texts, USUAL, stations=STATIONS, where="Mara")
    assert [problem.column for problem in problems] == [
        "opens", "break_starts", "break_minutes", "days", "stations", "away",
    ]  # fmt: skip
    assert all(problem.message.startswith("Mara: ") and problem.remedy for problem in problems)


def test_a_day_that_ends_before_it_begins_is_refused():
    (problem,) = read_hours({"opens": "17:30"}, USUAL, stations=STATIONS)[1]
    assert (problem.column, problem.value) == ("closes", "17:00")


def test_the_last_word_on_a_badge_counts_and_old_entries_stay_readable():
    entries = [
        an_entry(Kind.HOURS_SET, {"code": "P1", "opens": "08:00", "days": "Mon"}),
        an_entry(Kind.HOURS_SET, {"code": "P1", "opens": "09:00", "closes": 17, "later": "x"}),
        an_entry(Kind.HOURS_SET, {"opens": "10:00"}),
        an_entry(Kind.PERSON_SET, {"code": "P2", "name": "Ivo"}),
    ]
    assert hours_said(entries) == {"P1": {"opens": "09:00"}}
