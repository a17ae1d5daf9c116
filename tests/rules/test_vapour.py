"""The air's vapour and wood's moisture against psychrolib and the Wood Handbook's table."""

import psychrolib
import pytest

from kiosk.rules.vapour import (
    LEAST_HUMIDITY,
    deficit_pa,
    dew_point_c,
    root_dryness,
    saturation_pa,
    wood_moisture,
)

SEA_LEVEL = 101_325.0
psychrolib.SetUnitSystem(psychrolib.SI)

# psychrolib 2.5.0 (PyPI), a library after the ASHRAE Handbook of Fundamentals, SI, 101 325 Pa.
# Tolerances: es and deficit 0.35 %, ratio to 23 °C and 50 % 0.30 %, dew point 0.05 K. It turns to
# ice below 0.01 °C, so only air and dew points above 0.1 °C are compared.
AIRS = [
    (5, 90), (8, 75), (10, 80), (12, 60), (15, 70), (18, 65), (20, 50), (23, 50), (25, 40),
    (30, 35), (38, 25), (1, 98), (40, 10), (40, 98), (27.7, 50),
]  # fmt: skip


def their_deficit(temperature, humidity):
    ratio = psychrolib.GetHumRatioFromRelHum(temperature, humidity / 100, SEA_LEVEL)
    return psychrolib.GetVaporPressureDeficit(temperature, ratio, SEA_LEVEL)


@pytest.mark.parametrize(("temperature", "humidity"), AIRS)
def test_vapour_pressures_agree_with_psychrolib(temperature, humidity):
    theirs = psychrolib.GetSatVapPres(temperature)
    assert saturation_pa(temperature) == pytest.approx(theirs, rel=0.0035)
    deficit = their_deficit(temperature, humidity)
    assert deficit_pa(temperature, humidity) == pytest.approx(deficit, rel=0.0035)
    ratio = deficit_pa(temperature, humidity) / deficit_pa(23, 50)
    assert ratio == pytest.approx(deficit / their_deficit(23, 50), rel=0.003)


@pytest.mark.parametrize(("temperature", "humidity"), AIRS)
def test_dew_points_agree_with_psychrolib(temperature, humidity):
    theirs = psychrolib.GetTDewPointFromRelHum(temperature, humidity / 100)
    if theirs > 0.1:
        assert dew_point_c(temperature, humidity) == pytest.approx(theirs, abs=0.05)
    else:
        # over ice theirs is a frost point, which lies above the dew point over water
        assert dew_point_c(temperature, humidity) < theirs


@pytest.mark.parametrize(
    ("temperature", "humidity", "pascal", "dew"),
    [
        (1, 80, 656.95, -2.065), (5, 90, 871.74, 3.495), (8, 75, 1071.43, 3.835),
        (10, 80, 1226.03, 6.706), (12, 60, 1399.98, 4.468), (15, 70, 1701.67, 9.569),
        (18, 65, 2059.13, 11.319), (20, 50, 2332.60, 9.255), (23, 50, 2802.51, 12.014),
        (25, 40, 3160.06, 10.457), (30, 35, 4233.72, 12.866), (38, 25, 6615.58, 14.558),
    ],
)  # fmt: skip
def test_the_formula_is_that_of_the_wmo_guide(temperature, humidity, pascal, dew):
    # worked with the constants of WMO-No. 8, Annex 4.B, to the last digit given
    assert saturation_pa(temperature) == pytest.approx(pascal, abs=0.006)
    assert dew_point_c(temperature, humidity) == pytest.approx(dew, abs=0.0006)


@pytest.mark.parametrize("temperature", [-20, 0, 20, 60])
def test_saturated_air_has_no_deficit_and_its_dew_point_is_its_temperature(temperature):
    assert deficit_pa(temperature, 100) == 0
    assert dew_point_c(temperature, 100) == pytest.approx(temperature)


def test_air_of_no_humidity_has_the_dew_point_of_the_driest_counted():
    assert dew_point_c(20, 0) == dew_point_c(20, LEAST_HUMIDITY)


def test_a_panel_colder_than_the_dew_point_dries_nothing():
    assert deficit_pa(20, 60, surface_c=10) == 0
    assert deficit_pa(20, 50, surface_c=20) == deficit_pa(20, 50)


def test_air_drier_than_the_reference_counts_more_and_wet_air_nothing():
    assert root_dryness(50, 50) == 1
    assert root_dryness(100, 50) == root_dryness(120, 50) == 0


# USDA Wood Handbook (FPL-GTR-190), table 4-2, °F and %; the handbook worked it out by the same
# equation. The values are from memory.
TABLE = [
    (30, 50, 9.5), (40, 30, 6.3), (40, 80, 16.5), (50, 40, 7.9), (50, 65, 12.3), (50, 90, 20.9),
    (60, 50, 9.4), (60, 75, 14.6), (70, 25, 5.4), (70, 50, 9.2), (70, 65, 12.0), (70, 85, 17.9),
    (80, 35, 6.8), (80, 60, 10.8), (90, 80, 15.4), (100, 50, 8.7),
]  # fmt: skip


@pytest.mark.parametrize(("fahrenheit", "humidity", "percent"), TABLE)
def test_wood_settles_where_the_wood_handbook_says(fahrenheit, humidity, percent):
    celsius = (fahrenheit - 32) / 1.8
    assert wood_moisture(celsius, humidity) == pytest.approx(percent, abs=0.06)


@pytest.mark.parametrize(("fahrenheit", "humidity", "percent"), TABLE)
def test_the_form_in_celsius_agrees_with_the_one_in_fahrenheit(fahrenheit, humidity, percent):
    # Simpson 1973 in °F, constants from memory of public copies
    t, h = fahrenheit, humidity / 100
    w = 330 + 0.452 * t + 0.00415 * t**2
    k = 0.791 + 0.000463 * t - 0.000000844 * t**2
    k1 = 6.34 + 0.000775 * t - 0.0000935 * t**2
    k2 = 1.09 + 0.0284 * t - 0.0000904 * t**2
    kh = k * h
    top = k1 * kh + 2 * k1 * k2 * kh**2
    theirs = 1800 / w * (kh / (1 - kh) + top / (1 + k1 * kh + k1 * k2 * kh**2))
    assert wood_moisture((fahrenheit - 32) / 1.8, humidity) == pytest.approx(theirs, abs=0.013)


@pytest.mark.parametrize(
    ("celsius", "humidity", "percent"),
    [
        (20, 50, 9.271141),  # the example of the R package ConSciR
        (23, 50, 9.190), (20, 65, 11.996), (30, 80, 15.548),
    ],
)  # fmt: skip
def test_wood_moisture_to_the_last_digit_known(celsius, humidity, percent):
    assert wood_moisture(celsius, humidity) == pytest.approx(percent, abs=1e-3)
