import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.rules import air
from kiosk.rules.airwords import (
    HIGHEST_C,
    LOWEST_C,
    read_air,
    read_humidity,
    read_number,
    read_temperature,
    show_temperature,
)


@pytest.mark.parametrize(
    ("text", "degrees"),
    [
        ("18C", 18),
        ("18 °C", 18),
        (" 18,5 ", 18.5),
        ("18.5 ºC", 18.5),
        ("18\u00a0°C", 18),
        ("18 ℃", 18),
        ("18 Grad", 18),
        ("18°", 18),
        ("18 degrees", 18),
        ("18 Celsius", 18),
        ("−3,5", -3.5),
        ("+4 deg C", 4),
        ("64.4F", 18),
        ("64,4 °F", 18),
        ("64.4 ℉", 18),
        ("64.4 Fahrenheit", 18),
        ("-40 F", -40),  # the one temperature with the same number in both
    ],
)
def test_a_temperature_is_read_as_people_write_it(text, degrees):
    assert read_temperature(text, fahrenheit=False) == (degrees, "")


@pytest.mark.parametrize("text", ["64.4", "64,4°", "64.4 F", "18 C", "18 °C", "18 ℃", "18 celsius"])
def test_a_plain_number_is_in_the_shops_own_unit(text):
    assert read_temperature(text, fahrenheit=True) == (18, "")


@pytest.mark.parametrize(
    "text", ["warm", "18.5.1", "18 K", "1 8", "18 C C", "nan", "inf", "0x1", "٣"]
)
def test_what_is_no_temperature_is_said(text):
    assert read_temperature(text, fahrenheit=False) == (None, f"“{text}” is no temperature.")


@pytest.mark.parametrize(
    ("text", "percent"),
    [("65", 65), ("65%", 65), ("65 %", 65), ("65,5 % RH", 65.5), ("65 %rH", 65), ("65 r.F.", 65),
     ("0", 0), ("1", 1), ("1.5", 1.5), ("100", 100)],
)  # fmt: skip
def test_a_humidity_is_read_as_people_write_it(text, percent):
    assert read_humidity(text) == (percent, "")


@pytest.mark.parametrize(("text", "percent"), [("0.65", "65"), ("0,07 %", "7"), (".5", None)])
def test_a_share_of_one_is_asked_about(text, percent):
    value, wrong = read_humidity(text)

    assert value is None
    assert (f"is it {percent} %?" in wrong) == (percent is not None)


@pytest.mark.parametrize("text", ["damp", "65 °C", "65%%", "6 5"])
def test_what_is_no_humidity_is_said(text):
    assert read_humidity(text) == (None, f"“{text}” is no relative humidity.")


def test_what_is_missing_is_called_missing():
    assert read_temperature(" ", fahrenheit=True) == (None, "The temperature is missing.")
    assert read_humidity("") == (None, "The humidity is missing.")


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("22 °C, 45 %", (22, 45)),
        ("22C 45%", (22, 45)),
        ("71.6F/45", (22, 45)),
        ("22,5 °C; 45,5 %", (22.5, 45.5)),
        ("22C,45%", (22, 45)),
        ("22 45", (22, 45)),
        ("22 °C and 45 % RH", (22, 45)),
        ("-20 100", (-20, 100)),
        ("60C 1%", (60, 1)),
    ],
)
def test_an_air_is_read_from_one_text(text, found):
    assert read_air(text, fahrenheit=False) == (found, ())


def test_an_air_without_a_unit_is_in_the_shops_own():
    assert read_air("71.6 45", fahrenheit=True) == ((22, 45), ())


@pytest.mark.parametrize(
    "text", ["", "22", "22C", "45%", "22,45", "22,5", "2245", "cold 45%", "22C 45% 3"]
)
def test_a_text_that_does_not_name_both_is_refused(text):
    found, (problem,) = read_air(text, fahrenheit=False)

    assert found is None
    assert problem.column == "air"
    assert "22C 45%" in problem.remedy


@pytest.mark.parametrize(
    ("text", "columns"),
    [
        ("60.1C 45%", ["temperature"]),
        ("-20.1C 45%", ["temperature"]),
        ("22C 0%", ["humidity"]),
        ("22C 100.1%", ["humidity"]),
        ("22C 0.45", ["humidity"]),
        ("72 0.45", ["temperature", "humidity"]),
    ],
)
def test_an_air_no_shop_can_have_is_refused(text, columns):
    found, problems = read_air(text, fahrenheit=False)

    assert found is None
    assert [problem.column for problem in problems] == columns
    assert all(problem.value == text and problem.remedy for problem in problems)


def test_an_air_may_be_asked_about_where_it_may_be_read():
    assert (LOWEST_C, HIGHEST_C) == (air.LOWEST_C, air.HIGHEST_C)


def test_a_temperature_is_shown_in_the_shops_own_unit():
    assert show_temperature(18.0, fahrenheit=False) == "18 °C"
    assert show_temperature(18.54, fahrenheit=False) == "18.5 °C"
    assert show_temperature(-0.04, fahrenheit=False) == "0 °C"
    assert show_temperature(100.0, fahrenheit=True) == "212 °F"


@given(st.integers(-200, 600).map(lambda tenths: tenths / 10))
def test_what_is_shown_is_read_back_the_same(degrees):
    shown = show_temperature(degrees, fahrenheit=False)
    in_f = show_temperature(degrees, fahrenheit=True)

    assert read_temperature(shown, fahrenheit=True) == (degrees, "")
    # a tenth of a °F, rounded, is at most 1/36 °C off
    back, wrong = read_temperature(in_f, fahrenheit=False)
    assert wrong == ""
    assert back == pytest.approx(degrees, abs=1 / 36 + 0.001)


@given(st.text(max_size=30), st.booleans())
def test_no_text_is_too_odd_to_answer(text, fahrenheit):
    for value, wrong in (read_temperature(text, fahrenheit=fahrenheit), read_humidity(text)):
        assert (value is None) == bool(wrong)
    found, problems = read_air(text, fahrenheit=fahrenheit)
    assert (found is None) == bool(problems)


def test_a_number_may_have_a_comma_or_a_typographic_minus():
    assert [read_number(text) for text in ("1,5", "−1.5", "+2")] == [1.5, -1.5, 2]
