"""Loads and weights in both systems: what may be put on is never rounded up, a weight never down.

Pounds are checked against the international yard and pound agreement of 1959 (1 lb is
0.45359237 kg) and NIST SP 811, appendix B.8, which gives 100 lb as 45.359 kg.
"""

import pytest

from kiosk.rules.lengths import System
from kiosk.rules.weights import POUND_KG, pounds_down, say_gross, say_most, say_weight


@pytest.mark.parametrize(
    ("kg", "pounds"),
    [(45.359, 99), (100 * POUND_KG, 100), (45.4, 100), (19, 41), (0, 0), (0.45, 0)],
)
def test_pounds_of_a_load_are_rounded_down(kg, pounds):
    assert pounds_down(kg) == pounds


@pytest.mark.parametrize("kg", range(1, 200))
def test_no_load_is_more_in_pounds_than_in_kilograms(kg):
    assert pounds_down(kg) * POUND_KG <= kg < (pounds_down(kg) + 1) * POUND_KG


def test_a_load_is_said_in_whole_kilograms_and_pounds_rounded_down():
    assert say_most(17.99, System.MM) == "17 kg"
    assert say_most(5.6, System.INCH) == "5 kg (11 lb)"  # 5.6 kg would be 12 lb
    assert say_most(17.0, System.INCH) == "17 kg (37 lb)"  # 37.48 lb


def test_a_weight_is_said_rounded_up():
    assert say_weight(10.75, System.MM) == "10.8 kg"
    assert say_weight(10.8, System.INCH) == "10.8 kg (24 lb)"  # 23.81 lb
    assert say_weight(18.0, System.MM) == "18.0 kg"


def test_what_a_cleat_holds_is_said_rounded_down():
    assert say_gross(30.19, System.MM) == "30.1 kg"
    assert say_gross(27.89, System.INCH) == "27.8 kg (61 lb)"  # 61.3 lb
