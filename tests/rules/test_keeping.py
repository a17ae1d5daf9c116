"""Which nightly copies are kept, and when the next is due."""

from collections import Counter
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kiosk.rules.keeping import due_since, is_due, is_too_old, night_name, read_night, to_drop

DUBLIN = ZoneInfo("Europe/Dublin")
FIRST = datetime.fromisoformat("2026-01-01T02:30")
moments = st.datetimes(
    min_value=datetime.fromisoformat("2025-01-01"), max_value=datetime.fromisoformat("2032-01-01")
)


def kept(made):
    return sorted(set(made) - to_drop(made))


def nights(count):
    return [FIRST + timedelta(days=day) for day in range(count)]


def test_a_year_of_nights_leaves_seven_days_five_weeks_and_twelve_months():
    left = kept(nights(365))

    assert left[-7:] == nights(365)[-7:]
    weeks = sorted({one.isocalendar()[:2] for one in nights(365)})[-5:]
    months = sorted({(one.year, one.month) for one in nights(365)})[-12:]
    last_of_week = {max(n for n in nights(365) if n.isocalendar()[:2] == week) for week in weeks}
    last_of_month = {max(n for n in nights(365) if (n.year, n.month) == m) for m in months}
    assert set(left) == set(nights(365)[-7:]) | last_of_week | last_of_month
    assert len(last_of_week) == 5
    assert len(last_of_month) == 12


def test_the_first_nights_are_all_kept():
    assert kept(nights(7)) == nights(7)


def test_a_shop_that_was_closed_for_weeks_keeps_its_older_nights():
    before = nights(7)
    after = [before[-1] + timedelta(days=40)]

    # the oldest of seven days gives way; months and weeks go on standing
    assert kept([*before, *after]) == [*before[1:], *after]


def test_of_two_copies_of_a_day_the_later_stands_for_it():
    early, late = FIRST, FIRST + timedelta(hours=9)

    assert kept([early, late]) == [late]


@settings(deadline=None)
@given(st.lists(moments, min_size=1, max_size=80))
def test_the_newest_is_never_dropped_and_never_more_than_24_stay(made):
    left = kept(made)

    assert max(made) in left
    assert 1 <= len(left) <= 24
    assert to_drop(made) <= set(made)
    assert to_drop(left) == frozenset()


@settings(deadline=None)
@given(st.lists(moments, min_size=1, max_size=80))
def test_no_day_week_or_month_goes_before_its_turn(made):
    left = kept(made)

    for most, period in ((7, "%Y-%m-%d"), (5, "%G-%V"), (12, "%Y-%m")):
        wanted = sorted({one.strftime(period) for one in made})[-most:]
        assert set(wanted) <= {one.strftime(period) for one in left}


@settings(deadline=None)
@given(st.lists(st.integers(0, 900), min_size=1, max_size=60, unique=True))
def test_dropping_each_night_leaves_what_dropping_once_would(days):
    made = [FIRST + timedelta(days=day) for day in sorted(days)]
    standing = []
    for one in made:
        standing = kept([*standing, one])

    assert standing == kept(made)


def test_no_copies_are_no_trouble():
    assert to_drop([]) == frozenset()


@settings(deadline=None)
@given(st.sampled_from(["shop", "glaze store", "a-b", "x-K-night-2026-01-01-0230", "Ü"]), moments)
def test_a_name_is_read_back_for_its_own_file_and_kiosk_only(stem, at):
    name = night_name(stem, "K", at)

    assert read_night(name, stem, "K") == at.replace(second=0, microsecond=0)
    assert read_night(name, stem, "M") is None
    assert read_night(name, f"{stem}2", "K") is None


@pytest.mark.parametrize(
    "name",
    [
        "shop-2026-03-11-0230.db",
        "shop-K-night-2026-13-11-0230.db",
        "shop-K-night-2026-03-11-0230.db.part",
        "shop.db",
        "",
    ],
)
def test_other_files_are_no_nightly_copies(name):
    assert read_night(name, "shop", "K") is None


# -- when --------------------------------------------------------------------------------------


def at(day, hour, minute=0):
    return datetime(2026, 3, day, hour, minute, tzinfo=UTC)


def test_a_copy_is_due_from_its_time_on_until_it_is_made():
    since = due_since(at(11, 2, 30), "02:30", UTC)

    assert since == at(11, 2, 30)
    assert is_due(at(11, 2, 30), since=since, last=at(10, 2, 30), tried=None)
    assert not is_due(at(11, 2, 31), since=since, last=at(11, 2, 30), tried=None)


def test_before_its_time_last_nights_copy_is_enough_and_a_missed_one_is_made_up_for():
    since = due_since(at(11, 1), "02:30", UTC)

    assert since == at(10, 2, 30)
    assert not is_due(at(11, 1), since=since, last=at(10, 2, 31), tried=None)
    assert is_due(at(11, 1), since=since, last=at(9, 2, 31), tried=None)
    assert is_due(at(11, 1), since=since, last=None, tried=None)


def test_one_that_failed_waits_an_hour():
    since = due_since(at(11, 3), "02:30", UTC)

    assert not is_due(at(11, 3), since=since, last=None, tried=at(11, 2, 30))
    assert is_due(at(11, 3, 30), since=since, last=None, tried=at(11, 2, 30))
    # a try of a time still to come: the clock was wrong then
    assert is_due(at(11, 3), since=since, last=None, tried=at(12, 3))


def test_a_copy_of_a_time_still_to_come_counts_for_nothing():
    since = due_since(at(11, 3), "02:30", UTC)

    assert is_due(at(11, 3), since=since, last=at(20, 3), tried=None)


def test_the_time_is_the_shops_and_the_clocks_jump_skips_no_night():
    # on 29 March 2026 clocks in Dublin go from 01:00 to 02:00
    assert due_since(at(29, 3), "01:30", DUBLIN) == at(29, 1, 30)
    assert due_since(at(28, 12), "01:30", DUBLIN) == at(28, 1, 30)
    assert due_since(at(30, 12), "01:30", DUBLIN) == at(30, 0, 30)


@settings(deadline=None)
@given(moments, st.integers(0, 23))
def test_there_is_always_one_due_within_the_last_25_hours(now, hour):
    now = now.replace(tzinfo=UTC)
    since = due_since(now, f"{hour:02}:15", DUBLIN)

    assert timedelta() <= now - since <= timedelta(hours=25)


def test_a_copy_is_too_old_after_two_days():
    assert not is_too_old(at(13, 2), at(11, 2))
    assert is_too_old(at(13, 3), at(11, 2))


def test_over_three_years_the_count_stays_steady():
    standing, counts = [], Counter()
    for night in nights(3 * 365):
        standing = kept([*standing, night])
        counts[len(standing)] += 1

    assert max(counts) <= 24
    assert standing == kept(nights(3 * 365))
