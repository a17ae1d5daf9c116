"""What is said of a clock: the air, the pace, what holds it, and how sure it is."""

from datetime import timedelta

import pytest

from kiosk.rules.air import NO_AIR, Air, Reading
from kiosk.rules.clockwords import look_at, say_air, say_pace, say_readings
from kiosk.rules.drying import Clock, run_clock
from kiosk.rules.rates import Gate
from tests.builders import SETUP, at

CLEAR = SETUP.products["clear"]


def air(temperature, humidity=50.0, *, hours=24, surface=None, first="08:00"):
    return Air(
        Reading(at(first) + timedelta(hours=hour), temperature, humidity, surface)
        for hour in range(hours + 1)
    )


def look(stage, now, through, *, started="08:00", product=CLEAR, **more):
    clock = run_clock(product, stage, at(started), air=through)
    return look_at(clock, now=at(now), **more)


def test_the_sentence_names_the_air_and_the_pace():
    found = look("recoat", "09:00", air(18, 65))
    assert (found.state, found.words) == ("running", "18 °C and 65 %: about half speed")
    assert look("recoat", "09:00", air(18, 65), fahrenheit=True).words.startswith("64 °F and 65 %")


@pytest.mark.parametrize(
    ("pace", "words"),
    [
        (0.0, "hardly moves"),
        (0.25, "about a quarter of the label's speed"),
        (0.33, "about a third of the label's speed"),
        (0.5, "about half speed"),
        (0.66, "about two thirds of the label's speed"),
        (0.8, "a little slower than the label"),
        (1.0, "the label's speed"),
        (1.2, "a little faster than the label"),
        (1.5, "fast; at most half as fast again is counted"),
    ],
)
def test_every_pace_has_its_words(pace, words):
    assert say_pace(pace) == words


@pytest.mark.parametrize(
    ("through", "gate", "words"),
    [
        (air(8), Gate.COLD, "held: air 8 °C, it needs 10 °C"),
        (air(20, 40, surface=9.5), Gate.COLD, "held: panel 9.5 °C, it needs 10 °C"),
        (air(20, 81), Gate.DAMP, "held: 81 % humidity, at most 80 % will do"),
        (
            air(20, 60, surface=12),
            Gate.DEW,
            "held: panel only 0.0 °C above the dew point, 3 are needed",
        ),
    ],
)
def test_a_held_clock_says_what_holds_it_and_what_it_needs(through, gate, words):
    found = look("recoat", "09:00", through)
    assert (found.state, found.gate, found.words) == ("held", gate, words)


def test_what_will_hold_it_before_it_is_over_is_foreseen():
    cooling = Air([Reading(at("08:00"), 14, 50), Reading(at("12:00"), 6, 50)])
    found = look("hang", "08:30", cooling)
    assert (found.state, found.next_gate) == ("running", Gate.COLD)
    assert abs(found.held_from - at("10:00")) < timedelta(seconds=1)
    short = look("touch", "08:30", Air([Reading(at("08:00"), 23, 50)]))
    assert (short.next_gate, short.held_from) == (None, None)


def test_what_nobody_need_wait_for_is_ready_and_what_was_missed_is_closed():
    warm = air(23)
    assert look("recoat", "10:00", warm).state == "ready"
    assert look("window", "20:00", warm).state == "closed"
    assert look("window", "19:59", warm).state == "running"


def test_an_end_after_the_last_reading_is_an_estimate():
    assert look("recoat", "09:00", air(23, hours=1)).estimated
    assert not look("recoat", "10:30", air(23, hours=3)).estimated
    assert look("recoat", "09:00", air(5)).estimated  # not in sight


@pytest.mark.parametrize(
    ("now", "uncertain", "ends"),
    [
        ("12:00", False, "label's speed"),
        ("12:01", True, "last reading 3 h ago"),
        ("21:01", True, "last reading 12 h ago: read the air"),
    ],
)
def test_long_without_a_reading_it_says_so(now, uncertain, ends):
    found = look("hang", now, air(23, hours=1))
    assert (found.uncertain, found.words.endswith(ends)) == (uncertain, True)


def test_a_time_in_the_past_without_a_reading_is_said_and_cannot_be_mended_by_one():
    gap = Air([Reading(at("08:00"), 23, 50), Reading(at("15:00"), 23, 50)])
    found = look("hang", "15:30", gap)
    assert (found.uncertain, found.words) == (
        True,
        "23 °C and 50 %: the label's speed; air not read for 7 h of it",
    )


def test_what_is_over_does_not_grow_uncertain_again():
    assert not look("touch", "20:00", air(23, hours=1)).uncertain


def test_without_any_reading_the_labels_own_air_is_said_to_be_assumed():
    found = look("recoat", "09:00", NO_AIR)
    assert "the label's own air is assumed" in found.words
    assert (found.estimated, found.uncertain, found.gate) == (True, True, None)


def test_a_supposed_air_is_said_to_be_one():
    other = air(15, hours=2).supposing(22, 45, now=at("10:00"))
    assert look("hang", "12:00", other).words.startswith("if it is 22 °C and 45 %: ")


def test_a_clock_without_a_rate_says_only_that_no_air_was_read():
    moment = at("08:00")
    bare = Clock(moment, moment, at("09:00"), moment)
    assert look_at(bare, now=at("08:30")).state == "running"


def test_pace_of_what_closes_is_said_uncapped():
    assert say_air(18.4, 64.6) == "18 °C and 65 %"
    hot = air(35, 20)
    assert "at most half as fast again" in look("window", "08:30", hot).words


def test_readings_are_said_in_words():
    one = Reading(at("08:00"), 18, 65)
    assert say_readings([one]) == "air 18 °C and 65 %"
    assert say_readings([one], fahrenheit=True) == "air 64 °F and 65 %"
    assert say_readings([one, one]) == "2 readings of the air"


def test_what_must_not_be_missed_runs_on_by_the_label_whatever_holds_the_film():
    found = look("window", "09:00", air(8))
    assert (found.state, found.gate) == ("running", None)
    assert "held" not in found.words


def test_everything_that_holds_a_clock_is_said_and_what_is_over_is_over():
    words = look("recoat", "09:00", air(8, 90)).words
    assert "air 8 °C, it needs 10 °C" in words
    assert "90 % humidity, at most 80 % will do" in words
    cold = Air(
        [Reading(at("08:00"), 23, 50), Reading(at("11:00"), 23, 50), Reading(at("12:00"), 5, 50)]
    )
    over = look("recoat", "12:30", cold)
    assert (over.state, over.gate, over.words) == ("ready", None, "reached")
