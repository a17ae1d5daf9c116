"""A clock that was set back, or far ahead, is told of; one that drifts is not."""

from datetime import UTC, datetime, timedelta

import pytest

from kiosk.rules.clockcheck import check_clock

NOW = datetime(2026, 3, 9, 8, 0, tzinfo=UTC)


@pytest.mark.parametrize(
    "last", [None, NOW, NOW + timedelta(minutes=2), NOW - timedelta(days=400, seconds=-1)]
)
def test_a_clock_that_may_be_right_is_left_alone(last):
    assert check_clock(NOW, last=last, zone=UTC) is None


@pytest.mark.parametrize("last", [NOW + timedelta(seconds=121), NOW - timedelta(days=400)])
def test_a_clock_a_little_beyond_that_is_told_of(last):
    assert check_clock(NOW, last=last, zone=UTC) is not None


def test_a_clock_set_back_says_by_how_much():
    found = check_clock(NOW, last=NOW + timedelta(hours=3, minutes=10), zone=UTC)

    assert found is not None
    assert found.message == "This computer's clock is 3:10 h behind the last scan (11:10)."
    assert "Scans are kept" in found.remedy


def test_a_clock_years_ahead_says_when_the_last_scan_was():
    found = check_clock(NOW, last=NOW - timedelta(days=3653), zone=UTC)

    assert found is not None
    assert "may be ahead" in found.message
    assert "2016" in found.message
