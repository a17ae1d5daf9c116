import re
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.rules.times import (
    midnight_after,
    read_minutes,
    say_minutes,
    say_short_span,
    say_span,
    say_time,
)
from tests.builders import ZONE, at


@pytest.mark.parametrize(
    ("when", "said"),
    [
        ("Wed 23:59", "23:59"),
        ("Thu 08:20", "Thu 08:20"),
        ("w2 Tue 08:20", "Tue 08:20"),
        ("w2 Wed 08:20", "11 Mar 08:20"),
        ("Mon 08:20", "Mon 08:20"),
    ],
)
def test_a_time_is_said_as_short_as_it_can_be_understood(when, said):
    assert say_time(at(when), now=at("Wed 12:00"), zone=ZONE) == said


@pytest.mark.parametrize(
    ("days", "said"),
    [(179, "7 Sep 12:00"), (180, "8 Sep 2026 12:00"), (741, "22 Mar 2028 12:00"),
     (-180, "13 Sep 2025 12:00")],
)  # fmt: skip
def test_a_date_months_away_has_its_year(days, said):
    now = datetime(2026, 3, 12, 12, tzinfo=UTC)
    assert say_time(now + timedelta(days=days), now=now, zone=UTC) == said


def test_today_is_the_shops_today_and_not_that_of_london():
    late_evening, after_midnight = at("Mon 23:50"), at("Tue 00:10")  # both Monday in UTC
    assert say_time(after_midnight, now=late_evening, zone=ZONE) == "Tue 00:10"


@pytest.mark.parametrize(
    ("minutes", "said"),
    [
        (-5, "0 min"),
        (0, "0 min"),
        (0.1, "1 min"),
        (35, "35 min"),
        (89, "89 min"),
        (90, "1:30 h"),
        (125, "2:05 h"),
        (24 * 60 - 1, "23:59 h"),
        (24 * 60, "1 day"),
        (24 * 60 + 1, "1 day 1 h"),
        (48 * 60 - 1, "2 days"),
        (55 * 60, "2 days 7 h"),
        (55 * 60 + 1, "2 days 8 h"),
    ],
)
def test_a_span_is_rounded_up_so_that_nobody_comes_too_early(minutes, said):
    assert say_span(timedelta(minutes=minutes)) == said


@given(st.integers(min_value=24 * 60, max_value=400 * 24 * 60))
def test_from_a_day_on_a_span_is_at_most_an_hour_too_long(minutes):
    days, hours = re.fullmatch(
        r"(\d+) days?(?: (\d+) h)?", say_span(timedelta(minutes=minutes))
    ).groups()
    assert 0 <= int(days) * 24 * 60 + int(hours or 0) * 60 - minutes < 60


@pytest.mark.parametrize(
    ("minutes", "said"),
    [(35, "35 min"), (125, "2:05 h"), (24 * 60, "1 d 0 h"), (55 * 60, "2 d 7 h")],
)
def test_a_span_on_the_board_is_as_short_from_a_day_on(minutes, said):
    assert say_short_span(timedelta(minutes=minutes)) == said


def test_midnight_comes_an_hour_sooner_on_the_night_the_clocks_go_forward():
    # EU directive 2000/84/EC: summer time starts on the last Sunday of March at 01:00 UTC
    start = at("w4 Sun 00:00")
    assert midnight_after(start, ZONE) - start == timedelta(hours=23)


def test_midnight_at_midnight_is_the_next_one():
    midnight = at("Tue 00:00")
    assert midnight_after(midnight, ZONE) == at("Wed 00:00")
    assert midnight_after(midnight, ZoneInfo("UTC")) == at("Tue 01:00")


@pytest.mark.parametrize(
    ("text", "minutes", "said"),
    [
        ("90", 90, "90 min"),
        ("45 min", 45, "45 min"),
        ("2h", 120, "2 h"),
        ("1,5 h", 90, "90 min"),
        ("1.25 hours", 75, "75 min"),
        ("36 h", 2160, "36 h"),
        ("3 Days", 4320, "3 d"),
        (" 14 d ", 20160, "14 d"),
    ],
)
def test_spans_are_read_and_said_as_labels_have_them(text, minutes, said):
    assert read_minutes(text) == minutes
    assert say_minutes(minutes) == said
    assert read_minutes(said) == minutes


@pytest.mark.parametrize("text", ["", "soon", "2 weeks", "-5", "1 h 30", "nan", "9999999"])
def test_what_is_no_span_is_not_guessed(text):
    assert read_minutes(text) is None
