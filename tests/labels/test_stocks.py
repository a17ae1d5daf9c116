"""Label stocks: the ones that come along, and damaged ones."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from labels.stocks import parse_stocks

TEXT = (Path(__file__).parents[2] / "kiosk/data/stocks.toml").read_text("utf-8")
ROLL = '[roll]\ntitle = "Roll"\nwidth_mm = 50\nheight_mm = 25\ndesign = "pair_and_bars"\n'
SHEET = (
    ROLL + "rows = 2\ncolumns = 2\npage_width_mm = 210\npage_height_mm = 297\n"
    "left_mm = 5\ntop_mm = 10\npitch_x_mm = 52\npitch_y_mm = 25\n"
)


def test_the_stocks_that_come_along_are_sound():
    stocks, problems = parse_stocks(TEXT)
    assert problems == ()
    assert {"50x25", "38x21", "25x25", "63x38", "a4-21", "a4-65", "letter-30"} <= set(stocks)
    assert {key: one.per_page for key, one in stocks.items() if one.per_page > 1} == {
        "a4-21": 21,
        "a4-65": 65,
        "letter-30": 30,
        "letter-10": 10,
    }


def test_a_roll_is_a_page_of_one_label():
    stock = parse_stocks(ROLL)[0]["roll"]
    assert (stock.per_page, stock.page_mm, stock.corner_mm(0)) == (1, (50, 25), (0, 0))


def test_a_sheet_is_filled_along_its_rows():
    stock = parse_stocks(SHEET)[0]["roll"]
    corners = [stock.corner_mm(place) for place in range(4)]
    assert corners == [(5, 10), (57, 10), (5, 35), (57, 35)]
    assert stock.page_mm == (210, 297)


@pytest.mark.parametrize(
    ("before", "after", "says"),
    [
        ("width_mm = 50", 'width_mm = "50"', "width_mm is no number"),
        ("width_mm = 50", "width_mm = true", "width_mm is no number"),
        ("width_mm = 50", "width_mm = nan", "width_mm = nan"),
        ("height_mm = 25", "", "height_mm is no number"),
        ("height_mm = 25", "height_mm = 2500", "height_mm = 2500"),
        ("pair_and_bars", "trio", "design is none"),
        ('"pair_and_bars"', "[1]", "design is none"),
        ('"Roll"', "3", "title is no text"),
        ("rows = 2", "rows = 2.5", "rows is no whole number"),
        ("rows = 2", "rows = true", "rows is no whole number"),
        ("columns = 2", "columns = 0", "columns is no whole number"),
        ("rows = 2", "rows = 2\ncolour = 1", "colour is not known"),
        ("pitch_x_mm = 52", "pitch_x_mm = 40", "pitch_x_mm is less"),
        ("pitch_y_mm = 25", "pitch_y_mm = 24", "pitch_y_mm is less"),
        ("columns = 2", "columns = 5", "hangs over"),
        ("rows = 2", "rows = 12", "hangs over"),
    ],
)
def test_a_mistake_is_named_and_the_stock_left_out(before, after, says):
    stocks, problems = parse_stocks(SHEET.replace(before, after))
    assert stocks == {}
    assert any(says in problem and "roll" in problem for problem in problems)


def test_all_mistakes_are_named_at_once_and_sound_stocks_kept():
    bad = ROLL.replace("[roll]", "[bad]").replace("50", "-1").replace("pair_and_bars", "trio")
    stocks, problems = parse_stocks("loose = 1\n" + ROLL + bad)
    assert list(stocks) == ["roll"]
    assert len(problems) == 3


@pytest.mark.parametrize("text", ["[roll", "x = " + "9" * 5_000, "x = " + "[" * 5_000])
def test_a_text_that_is_no_toml_is_a_problem_not_a_failure(text):
    stocks, problems = parse_stocks(text)
    assert (stocks, len(problems)) == ({}, 1)


@given(st.integers(0, len(SHEET)), st.sampled_from(["", "[", '"', "=", "\n", "nan", "[[1]]", "é"]))
def test_no_damage_breaks_the_reader(at, scrap):
    stocks, problems = parse_stocks(SHEET[:at] + scrap + SHEET[at + 1 :])
    assert stocks or problems
