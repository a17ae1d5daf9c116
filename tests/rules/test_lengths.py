from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.rules.lengths import LONGEST, System, from_mm, mm, parse, show

INCH = Fraction(254, 10) * 1600  # international yard and pound agreement of 1959: 25.4 mm exactly


@pytest.mark.parametrize(
    ("text", "inches"),
    [
        ("23 3/4", "23.75"),
        ('23-3/4"', "23.75"),
        ("23 - 3/4 in", "23.75"),
        ("1' 11 3/4\"", "23.75"),
        ("1'-11 3/4\"", "23.75"),
        ("1’ 11¾″", "23.75"),
        ("1 ft 11.75 in.", "23.75"),
        ("23.75 in", "23.75"),
        ("23,75 Zoll", "23.75"),
        ("23 ¾″", "23.75"),
        ("23¾", "23.75"),
        ("23³⁄₄ in", "23.75"),
        ("23 3⁄4\u00a0in", "23.75"),
        ("23''", "23"),
        ("3/4", "0.75"),
        ('5/8"', "0.625"),
        ("1'", "12"),
        ("1.5 ft", "18"),
        ("0' 6\"", "6"),
        ("1,250 in", "1.25"),
    ],
)
def test_inches_are_read_as_people_write_them(text, inches):
    length, why = parse(text)
    assert (length, why) == (Fraction(inches) * INCH, "")


@pytest.mark.parametrize(
    ("text", "millimetres"),
    [
        ("603", "603"),
        ("603 MM", "603"),
        ("603mm", "603"),
        ("603,5 mm", "603.5"),
        ("603.", "603"),
        (".5", "0.5"),
        ("60,3 cm", "603"),
        ("0.603 m", "603"),
        ("0,603 m", "603"),
        ("1,250 m", "1250"),
        ("1 250", "1250"),
        ("1\u202f250,5 mm", "1250.5"),
        ("1,250.5", "1250.5"),
        ("1.250,5", "1250.5"),
        ("12,50", "12.5"),
        ("23 3/4 mm", "23.75"),
        ("\uff16\uff10\uff13", "603"),
    ],
)
def test_metric_lengths_are_read_as_people_write_them(text, millimetres):
    assert parse(text) == (Fraction(millimetres) * 1600, "")


@pytest.mark.parametrize(
    ("text", "unit", "millimetres"),
    [
        ("60.3", "cm", "603"),
        ("2", "m", "2000"),
        ("2", "inch", "50.8"),
        ("2", "in", "50.8"),
        ("1 1/2", "ft", "457.2"),
        ("18 mm", "in", "18"),
        ('1/2"', "m", "12.7"),
    ],
)
def test_the_column_gives_the_unit_where_the_text_names_none(text, unit, millimetres):
    assert parse(text, unit) == (Fraction(millimetres) * 1600, "")


@pytest.mark.parametrize(
    ("text", "part"),
    [
        ("", "missing"),
        ("  ", "missing"),
        ("-5", "less than nothing"),
        ("− 5", "less than nothing"),
        ("0", "is nothing"),
        ("0.0001", "is nothing"),
        ("20.001 m", "longer than 20 m"),
        ("1,250,000", "longer than 20 m"),
        ("1.250.000", "longer than 20 m"),
        ("9" * 50, "longer than 20 m"),
        ("9" * 61, "too much text"),
        ("1,250 mm", "1250 mm or 1.25 mm"),
        ("2,440", "2440 mm or 2.44 mm"),
        ("23 5/4", "one or more"),
        ("23 4/0", "not a fraction"),
        ("1' 12\"", "12 inches or more"),
        ("1'250", "12 inches or more"),
        ("1' 1/0\"", "not a fraction"),
        ("1' x\"", "not a number"),
        ("1 2 3", "not a number"),
        ("5.5.5", "not a number"),
        ("about 5", "not a length"),
        ("5 furlong", "not a length"),
        ("mm", "not a length"),
        ('"', "not a length"),
        ("٦٠٣", "not a length"),
    ],
)
def test_what_is_no_length_is_refused_in_words(text, part):
    length, why = parse(text)
    assert length is None
    assert part in why


def test_an_unknown_unit_is_refused_in_words():
    assert parse("5", "ell") == (None, "The unit “ell” is not known; use mm, cm, m, in or ft.")


def test_the_nearest_unit_is_taken_where_a_length_is_not_exact():
    third, _ = parse('1/3"')
    assert third == 13547  # 40640 / 3 = 13546.67


def test_twenty_metres_are_the_last_length_taken():
    assert parse("20 m") == (LONGEST, "")


@given(st.integers(1, LONGEST // 16))
def test_every_hundredth_of_a_millimetre_is_read_back_from_what_is_shown(hundredths):
    length = hundredths * 16
    assert parse(show(length, System.MM)) == (length, "")
    assert parse(show(length, System.MM, unit_mark=False).replace(".", ","), "mm") == (length, "")


@given(st.integers(1, LONGEST // 635))
def test_every_64th_of_an_inch_is_read_back_from_what_is_shown(sixty_fourths):
    length = sixty_fourths * 635
    assert parse(show(length, System.INCH)) == (length, "")
    assert parse(show(length, System.INCH, unit_mark=False), "in") == (length, "")


@given(st.integers(21, LONGEST - 21))
def test_any_length_comes_back_within_half_a_rounding_step(length):
    inches, _ = parse(show(length, System.INCH))
    millimetres, _ = parse(show(length, System.MM))
    assert inches is not None
    assert millimetres is not None
    assert abs(inches - length) <= 21  # 0.0005 in is 20.3 units, and a unit's half for rounding
    assert abs(millimetres - length) <= 8


@given(st.integers(1, LONGEST))
def test_millimetres_for_json_are_exact(length):
    assert from_mm(mm(length)) == length


@given(st.text(max_size=70))
def test_any_text_gives_a_length_in_range_or_a_reason(text):
    length, why = parse(text)
    assert (length is None) == bool(why)
    assert length is None or 0 < length <= LONGEST


@given(st.text("0123456789.,/'\" -½¾⅝mcinft′″", max_size=16), st.sampled_from(["mm", "in", "m"]))
def test_any_marks_in_any_order_give_a_length_in_range_or_a_reason(text, unit):
    length, why = parse(text, unit)
    assert (length is None) == bool(why)
    assert length is None or 0 < length <= LONGEST


def test_lengths_are_shown_without_needless_digits():
    shown = [
        show(parse(text)[0], system)
        for text, system in [
            ("603", System.MM),
            ("603.5", System.MM),
            ('23 48/64"', System.INCH),
            ('24"', System.INCH),
            ('3/4"', System.INCH),
            ("603", System.INCH),
        ]
    ]
    assert shown == ["603 mm", "603.5 mm", '23 3/4"', '24"', '3/4"', '23.74"']


def test_from_mm_takes_decimals_and_rounds_halves_up():
    assert from_mm(Decimal("0.01")) == 16
    assert from_mm(Decimal("0.0003125")) == 1  # half a unit


@pytest.mark.parametrize("value", [float("nan"), float("inf"), Decimal("NaN")])
def test_from_mm_refuses_what_is_no_number(value):
    with pytest.raises(ValueError, match="not a number of millimetres"):
        from_mm(value)
