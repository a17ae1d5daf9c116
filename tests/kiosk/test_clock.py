from datetime import UTC, datetime, timedelta, timezone

from kiosk.clock import FixedClock, SystemClock


def test_a_fixed_clock_says_what_it_was_set_to_in_utc():
    clock = FixedClock(datetime(2026, 3, 2, 10, tzinfo=timezone(timedelta(hours=1))))

    assert clock.now() == datetime(2026, 3, 2, 9, tzinfo=UTC)
    assert clock.now().tzinfo is UTC
    clock.set(datetime(2026, 3, 3, tzinfo=UTC))
    assert clock.now() == datetime(2026, 3, 3, tzinfo=UTC)


def test_the_machines_clock_is_aware_and_in_utc():
    assert SystemClock().now().utcoffset() == timedelta(0)
