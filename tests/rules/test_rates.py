"""The five rate laws and the gates, against values worked out with the formulas by hand."""

from math import exp

import psychrolib
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.rules.rates import Gate, Law, Rate

TEMPERATURES = st.floats(-5, 40)
HUMIDITIES = st.floats(5, 95)


@pytest.mark.parametrize(
    ("rate", "air", "pace"),
    [
        (Rate(Law.EVAP), (18, 65), 0.514321),
        (Rate(Law.EVAP), (12, 70), 0.299726),
        (Rate(Law.EVAP), (10, 80), 0.174990),
        (Rate(Law.EVAP), (15, 50), 0.607195),
        (Rate(Law.EVAP), (30, 30), 2.114965),
        (Rate(Law.BOND), (18, 65), 0.614731),
        (Rate(Law.BOND), (12, 70), 0.386945),
        (Rate(Law.ARRHENIUS, energy_kj=50), (15, 50), 0.569064),
        (Rate(Law.ARRHENIUS, energy_kj=50), (28, 50), 1.400936),
        (Rate(Law.ARRHENIUS, energy_kj=55), (12, 50), 0.4225),
        (Rate(Law.ARRHENIUS, energy_kj=55), (30, 50), 1.6749),
        (Rate(Law.MOIST, energy_kj=50), (20, 30), 0.629256),
        (Rate(Law.MOIST, energy_kj=50), (20, 65), 0.926239),
        (Rate(Law.OXID, energy_kj=50), (15, 75), 0.455252),
    ],
)
def test_each_law_gives_the_pace_worked_out_by_hand(rate, air, pace):
    digits = 1e-4 if pace in (0.4225, 1.6749) else 1e-6
    assert rate.speed(*air) == pytest.approx(pace, abs=digits)


@pytest.mark.parametrize(
    ("air", "pace"), [((21, 50), 0.885), ((21, 70), 0.531), ((20, 65), 0.583), ((25, 50), 1.128)]
)
def test_labels_read_at_another_air_differ_as_their_vapour_does(air, pace):
    # relative to 23 °C and 50 %
    assert Rate(Law.EVAP).speed(*air) == pytest.approx(pace, abs=5e-4)


@given(TEMPERATURES, HUMIDITIES, st.sampled_from(list(Law)))
def test_every_law_is_one_at_its_own_reference_air(temperature, humidity, law):
    rate = Rate(law, temperature, humidity)
    assert rate.speed(temperature, humidity) == pytest.approx(
        1 if law != Law.MOIST or 20 <= humidity <= 90 else rate.speed(temperature, humidity)
    )


def test_a_pace_doubles_in_ten_kelvin_at_about_fifty_kilojoules():
    # trade rule Q10 = 2: 49.5 kJ/mol between 15 and 25 °C, 50.5 between 18 and 28 °C
    ratio = {
        kj: Rate(Law.ARRHENIUS, energy_kj=kj).speed(low + 10, 50)
        / Rate(Law.ARRHENIUS, energy_kj=kj).speed(low, 50)
        for kj, low in ((49.5, 15), (50.5, 18))
    }
    assert list(ratio.values()) == pytest.approx([2, 2], rel=2e-3)


@given(TEMPERATURES, HUMIDITIES, st.floats(0, 10), st.floats(0, 40))
def test_warmer_or_drier_air_never_slows_evaporation(temperature, humidity, warmer, drier):
    rate = Rate(Law.EVAP)
    better = rate.speed(temperature + warmer, max(1, humidity - drier))
    assert better >= rate.speed(temperature, humidity)


def test_a_measured_panel_sets_the_pace_of_evaporation():
    # panel 14 °C in 20 °C and 50 %: 0.306 where the air alone would give 0.832
    assert Rate(Law.EVAP).speed(20, 50, 14) == pytest.approx(0.306, abs=5e-4)
    assert Rate(Law.EVAP).speed(20, 50) == pytest.approx(0.832, abs=5e-4)


@pytest.mark.parametrize(
    ("wind", "factor"), [(0, 0.92), (0.1, 1.0), (0.25, 1.12), (0.5, 1.32), (1.0, 1.73)]
)
def test_moving_air_counts_for_evaporation_only(wind, factor):
    assert Rate(Law.EVAP).speed(23, 50, None, wind) == pytest.approx(factor, abs=5e-3)
    for law in set(Law) - {Law.EVAP}:
        assert Rate(law).speed(23, 50, None, wind) == pytest.approx(1)


def test_damp_slows_oils_from_sixty_five_percent_on_and_never_below_half():
    rate = Rate(Law.OXID)
    paces = [rate.speed(23, humidity) for humidity in (20, 65, 77.5, 90, 99)]
    assert paces == pytest.approx([1, 1, 0.75, 0.5, 0.5])
    damp_label = Rate(Law.OXID, 23, 90)
    assert damp_label.speed(23, 50) == pytest.approx(2)


def test_moisture_cure_counts_no_air_drier_than_twenty_or_damper_than_ninety():
    rate = Rate(Law.MOIST)
    assert rate.speed(23, 5) == rate.speed(23, 20)
    assert rate.speed(23, 98) == rate.speed(23, 90) == pytest.approx((90 / 50) ** 0.5)


def test_arrhenius_is_the_textbook_formula():
    by_hand = exp(50_000 / 8.314462618 * (1 / 296.15 - 1 / 283.15))
    assert Rate(Law.ARRHENIUS).speed(10, 50) == pytest.approx(by_hand)


# -- gates -----------------------------------------------------------------------------------

LIMITS = Rate(Law.EVAP, least_c=10, most_humidity=85, dew_margin_c=3)


@pytest.mark.parametrize(
    ("air", "surface", "gate"),
    [
        ((10, 50), None, None),
        ((9.99, 50), None, Gate.COLD),
        ((20, 50), 9.9, Gate.COLD),
        ((9, 50), 12, None),
        ((30, 85.1), None, Gate.DAMP),
        # the dew point of 18 °C and 80 % is 14.496: a panel of 16.5 °C is 2.004 above it
        ((18, 80), 16.5, Gate.DEW),
        # and of 18 °C and 75 % is 13.500: 3.00004 above
        ((18, 75), 16.5, None),
        ((20, 50), 14, None),
    ],
)
def test_cold_damp_and_the_dew_point_hold_a_clock(air, surface, gate):
    assert LIMITS.held(*air, surface) == gate


@pytest.mark.parametrize(("celsius", "percent"), [(10, 81.6), (20, 82.9), (30, 84.0)])
def test_three_kelvin_above_the_dew_point_is_a_limit_of_humidity(celsius, percent):
    rate = Rate(Law.EVAP, dew_margin_c=3)
    assert rate.held(celsius, percent - 0.1, None) is None
    assert rate.held(celsius, percent + 0.1, None) == Gate.DEW


def test_a_panel_brought_in_cold_is_wet_on_contact_says_psychrolib_too():
    # 12 °C panel in 20 °C and 60 %: margin 0.0
    psychrolib.SetUnitSystem(psychrolib.SI)
    assert psychrolib.GetTDewPointFromRelHum(20, 0.6) == pytest.approx(12, abs=0.05)
    assert LIMITS.held(20, 60, 12) == Gate.DEW


def test_without_limits_nothing_holds():
    assert Rate(Law.EVAP).held(-10, 100, -15) is None
