"""How a kiosk stands to the others, in words."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from kiosk.rules.exchanging import (
    BRIEF,
    SHAPES,
    Exchanged,
    Standing,
    say_alarm,
    say_clock,
    say_mark,
    say_skew,
)

AT = datetime(2026, 3, 11, 10, 12, tzinfo=UTC)
NOW = AT + timedelta(hours=2)


def mark(standing, **more):
    return say_mark(Exchanged(standing, AT, **more), now=NOW, zone=UTC)


def test_apart_says_since_when_and_what_waits():
    assert mark(Standing.APART, waiting=14) == "apart since 10:12, 14 to send"
    assert mark(Standing.APART) == "apart since 10:12"


def test_all_else_is_one_word():
    assert mark(Standing.TOGETHER, waiting=2) == "together"
    assert mark(Standing.REFUSED) == "held up"
    assert mark(Standing.JOINING) == "joining"


def test_every_standing_has_a_shape_and_a_word_of_its_own():
    assert set(SHAPES) == set(BRIEF) == set(Standing)
    assert len(set(SHAPES.values())) == len(set(BRIEF.values())) == len(Standing)


@pytest.mark.parametrize("ahead", [-2_000, 0, 2_000])
def test_a_clock_off_by_two_seconds_is_no_matter(ahead):
    assert say_skew(ahead) == ""


def test_a_clock_further_off_is_said_with_its_direction():
    assert say_skew(95_400) == "This clock is 95 s ahead of the server's; set it"
    assert say_skew(-2_600) == "This clock is 3 s behind the server's; set it"


def test_a_clock_in_figures():
    assert say_clock(40) == "as the server's"
    assert say_clock(340) == "0.3 s ahead"
    assert say_clock(-1_200) == "1.2 s behind"
    assert say_clock(95_000) == "95 s ahead"


def test_what_is_told_across_the_screen():
    together = Exchanged(Standing.TOGETHER, AT)
    assert say_alarm(None) == ""
    assert say_alarm(together) == ""
    assert say_alarm(replace(together, standing=Standing.APART)) == ""
    assert "95 s ahead" in say_alarm(replace(together, ahead_ms=95_000))
    assert "Shop, Exchange" in say_alarm(replace(together, standing=Standing.REFUSED))
