from datetime import date, timedelta

import pytest

from kiosk.rules.hangday import read_day, say_day, say_left, say_near

TODAY = date(2026, 3, 11)


def test_a_day_is_said_with_its_weekday():
    assert say_day(date(2026, 3, 20)) == "Fri 20 Mar 2026"


@pytest.mark.parametrize(
    ("days", "words"),
    [(0, "Wed"), (6, "Tue"), (7, "Wed 18 Mar"), (-1, "Tue 10 Mar"), (180, "Mon 7 Sep 2026")],
)
def test_a_day_more_than_six_days_off_has_its_date(days, words):
    assert say_near(TODAY + timedelta(days=days), TODAY) == words


def test_only_iso_days_are_read():
    assert read_day("2026-03-20") == date(2026, 3, 20)
    assert read_day("20.3.2026") is read_day("") is None


@pytest.mark.parametrize(
    ("days", "words"),
    [(0, "today"), (1, "tomorrow"), (9, "in 9 days"), (-1, "1 day ago"), (-2, "2 days ago")],
)
def test_how_far_off_a_day_is(days, words):
    assert say_left(TODAY + timedelta(days=days), TODAY) == words
