"""What the screens of hanging say in an inch job: pounds beside kilograms, rounded down.

A pound is 0.45359237 kg exactly (international yard and pound agreement of 1959).
"""

from datetime import UTC

from kiosk.rules.hanging.hangviews import Checked
from kiosk.rules.lengths import System, from_mm
from kiosk.screens.hangsamples import sample_seen
from kiosk.screens.hangunit import lines_of
from kiosk.screens.hangwords import say_length, say_short, say_size, say_verdict

POUND = 0.45359237


def rated():
    units = sample_seen(system=System.INCH).view.units
    found = [one for one in units if one.checked is Checked.RATED]
    assert found
    return found


def test_the_verdict_and_the_list_say_both():
    for one in rated():
        both = f"{one.net_kg} kg ({int(one.net_kg / POUND)} lb)"
        assert say_short(one, System.INCH) == both
        assert say_verdict(one, UTC, system=System.INCH).words == f"{both}, evenly spread"
        assert say_short(one) == f"{one.net_kg} kg"


def test_what_is_expected_and_what_would_help_say_both():
    told = 0
    for one in rated():
        for line in lines_of(one, System.INCH):
            text = f"{line.words} {line.more}"
            assert ("kg" in text) == ("lb" in text), text
            told += "lb" in text
    assert told


def test_lengths_are_on_a_tape():
    assert say_length(from_mm(10), System.INCH) == '3/8"'
    assert say_length(from_mm(-10), System.INCH) == '−3/8"'
    assert say_length(from_mm(10), System.MM) == "10 mm"
    assert say_size(from_mm(2400), from_mm(2500), System.INCH) == '94 1/2" × 98 7/16"'
    assert say_size(from_mm(2400), from_mm(2500), System.MM) == "2400 × 2500 mm"
