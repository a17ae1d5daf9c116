"""How long nobody may try a PIN: worked by hand, with clocks that go back, and over many tries."""

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.rules.lockout import (
    FREE_TRIES,
    LONGEST_WAIT,
    Tries,
    begin_try,
    free_tries,
    left_of,
    say_wait,
    wait_of,
)

NOW = datetime(2026, 3, 9, 10, 0, tzinfo=UTC)
SECOND = timedelta(seconds=1)


@pytest.mark.parametrize(
    ("wrong", "seconds"),
    [(0, 0), (4, 0), (5, 30), (6, 60), (7, 120), (8, 240), (9, 480), (10, 960), (11, 1920),
     (12, 3600), (13, 3600), (1000, 3600)],
)  # fmt: skip
def test_the_wait_doubles_from_the_fifth_wrong_try_up_to_an_hour(wrong, seconds):
    assert wait_of(wrong) == timedelta(seconds=seconds)


def test_five_tries_are_free_and_the_sixth_waits():
    tries = Tries()
    for number in range(1, FREE_TRIES + 1):
        assert left_of(tries, NOW) == timedelta()
        tries = begin_try(tries, NOW)
        assert (tries.wrong, free_tries(tries.wrong)) == (number, FREE_TRIES - number)
    assert left_of(tries, NOW) == 30 * SECOND
    assert free_tries(6) == 0


def test_a_try_during_the_wait_is_not_counted_and_does_not_prolong_it():
    locked = Tries(5, NOW)
    tried = begin_try(locked, NOW + 20 * SECOND)
    assert tried == Tries(5, NOW, told=True)
    assert left_of(tried, NOW + 20 * SECOND) == 10 * SECOND


def test_after_the_wait_one_try_is_free_and_the_next_wait_is_twice_as_long():
    over = NOW + 30 * SECOND
    assert left_of(Tries(5, NOW, told=True), over) == timedelta()
    tried = begin_try(Tries(5, NOW, told=True), over)
    assert tried == Tries(6, over)
    assert left_of(tried, over) == 60 * SECOND


@pytest.mark.parametrize("back", [SECOND, timedelta(hours=3), timedelta(days=400)])
def test_a_clock_set_back_leaves_the_whole_wait_and_no_more(back):
    locked, then = Tries(7, NOW), NOW - back
    assert left_of(locked, then) == 120 * SECOND
    asked = begin_try(locked, then)
    assert asked == Tries(7, then, told=True)
    assert left_of(asked, then + 119 * SECOND) == SECOND
    assert left_of(asked, then + 120 * SECOND) == timedelta()


def test_a_clock_set_back_while_tries_are_free_locks_nobody():
    assert begin_try(Tries(2, NOW), NOW - timedelta(days=1)).wrong == 3


@given(st.lists(st.integers(min_value=0, max_value=7200), max_size=60))
def test_whoever_guesses_at_any_pace_gets_few_tries(pauses):
    """However tries are spread, each counted one beyond the fifth has cost its whole wait."""
    tries, now, counted = Tries(), NOW, []
    for pause in pauses:
        now += timedelta(seconds=pause)
        before, tries = tries, begin_try(tries, now)
        if tries.wrong > before.wrong:
            counted.append(now)
    for place in range(FREE_TRIES, len(counted)):
        assert counted[place] - counted[place - 1] >= wait_of(place)
    hours = (now - NOW) / LONGEST_WAIT
    assert len(counted) <= FREE_TRIES + 7 + hours + 1


@given(st.integers(min_value=0, max_value=40), st.integers(min_value=-(10**7), max_value=10**7))
def test_nobody_waits_longer_than_the_wait_itself_whatever_the_clock_does(wrong, seconds):
    left = left_of(Tries(wrong, NOW), NOW + timedelta(seconds=seconds))
    assert timedelta() <= left <= wait_of(wrong) <= LONGEST_WAIT


def test_a_wait_is_said_in_seconds_as_long_as_they_are_few():
    assert say_wait(29.2 * SECOND) == "30 seconds"
    assert say_wait(SECOND) == "1 second"
    assert say_wait(90 * SECOND) == "90 seconds"
    assert say_wait(91 * SECOND) == "2 min"
    assert say_wait(timedelta(hours=1)) == "60 min"
