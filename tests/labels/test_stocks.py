"""Label stocks: the ones that come along, and damaged ones."""

import re
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from labels.artwork import LabelText, LabelTooSmall, choose_design, draw, lay_out, unfit
from labels.artwork.readback import unread
from labels.stocks import Stock, merge_stocks, parse_stocks

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
        ("left_mm = 5", "left_mm = 5\noffset_x_mm = 10.5", "offset_x_mm = 10.5"),
        ("left_mm = 5", "left_mm = 5\noffset_y_mm = -11", "offset_y_mm = -11"),
        ("left_mm = 5", 'left_mm = 5\noffset_y_mm = "1"', "offset_y_mm is no number"),
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


def test_an_offset_moves_the_print_and_not_the_paper():
    moved = parse_stocks(SHEET + "offset_x_mm = -1.5\noffset_y_mm = 2\n")[0]["roll"]
    assert moved.corner_mm(3) == (57, 35)
    assert moved.printed_mm(3) == (55.5, 37)


def test_a_stock_may_leave_its_design_to_its_size():
    stock = parse_stocks("[own]\nwidth_mm = 36\nheight_mm = 22\n")[0]["own"]
    assert [spot.kind for spot in lay_out(stock, 203).spots] == ["qr", "bars"]


def test_own_stocks_come_after_the_shipped_ones_and_win_by_name():
    own = ROLL.replace("[roll]", "[mine]") + ROLL.replace("[roll]", "[38x21]")
    stocks, problems = merge_stocks(TEXT, own)
    assert problems == ()
    assert list(stocks)[-1] == "mine"
    assert (stocks["38x21"].width_mm, stocks["38x21"].design) == (50, "pair_and_bars")
    assert stocks["50x25"] == parse_stocks(TEXT)[0]["50x25"]


def test_an_offset_of_ones_own_keeps_the_rest_of_the_shipped_stock():
    stocks, problems = merge_stocks(TEXT, "[a4-21]\noffset_x_mm = 0.8\n")
    assert problems == ()
    assert (stocks["a4-21"].offset_x_mm, stocks["a4-21"].per_page) == (0.8, 21)
    assert stocks["a4-21"].title == parse_stocks(TEXT)[0]["a4-21"].title


def test_an_own_size_takes_nothing_from_the_shipped_stock_of_that_name():
    stock = merge_stocks(TEXT, "[a4-21]\nwidth_mm = 40\nheight_mm = 30\n")[0]["a4-21"]
    assert (stock.per_page, stock.page_mm, stock.design) == (1, (40, 30), "")


@pytest.mark.parametrize(
    "own", ["[a4-21]\noffset_x_mm = 99\n", "[a4-21]\nwidth_mm = 50\n", "a4-21 = 3", "[a4-21"]
)
def test_a_mistake_in_an_own_stock_leaves_the_shipped_one(own):
    stocks, problems = merge_stocks(TEXT, own)
    assert stocks == parse_stocks(TEXT)[0]
    assert problems
    assert all(problem.startswith("own stocks: ") for problem in problems)


def test_without_own_stocks_the_shipped_ones_stay():
    assert merge_stocks(TEXT, "") == parse_stocks(TEXT)


@pytest.mark.parametrize("dpi", [203, 300, 600])
def test_every_shipped_stock_can_be_printed_on_at_the_usual_resolutions(dpi):
    assert unfit(parse_stocks(TEXT)[0].values(), dpi) == ()


@pytest.mark.parametrize("dpi", [203, 300, 600])
@pytest.mark.parametrize(
    ("width", "height", "design"),
    [
        (50, 25, "pair_and_bars"),
        (62, 29, "pair_and_bars"),
        (100, 150, "pair_and_bars"),
        (38, 21, "one_and_bars"),
        (57, 20.5, "one_and_bars"),
        (25, 25, "pair"),
        (24, 60, "pair"),
    ],
)
def test_the_design_with_most_symbols_that_fits_is_chosen(width, height, design, dpi):
    assert choose_design(width, height, dpi) == design


@pytest.mark.parametrize("dpi", [203, 300, 600])
@pytest.mark.parametrize(("width", "height"), [(51, 18), (30, 15), (20, 60), (12, 12), (60, 10)])
def test_the_size_that_is_named_fits_and_half_a_millimetre_less_does_not(width, height, dpi):
    with pytest.raises(LabelTooSmall, match=f"at {dpi} dots per inch") as refusal:
        choose_design(width, height, dpi)
    words = str(refusal.value)
    sizes = [(float(mm), height) for mm in re.findall(r"([\d.]+) mm wide if", words)]
    sizes += [(width, float(mm)) for mm in re.findall(r"([\d.]+) mm high if", words)]
    sizes += [(float(one), float(two)) for one, two in re.findall(r"about ([\d.]+) × (\S+)", words)]
    assert sizes
    for wide, high in sizes:
        assert choose_design(wide, high, dpi)
        less = wide - 0.5 * (wide != width), high - 0.5 * (high != height)
        with pytest.raises(LabelTooSmall):
            choose_design(*less, dpi)


@pytest.mark.parametrize("dpi", [60, 0, -3])
def test_a_printer_too_coarse_for_any_label_is_said_so(dpi):
    with pytest.raises(LabelTooSmall, match="too coarse"):
        choose_design(50, 25, dpi)


def test_stocks_that_do_not_fit_a_printer_are_named_with_a_way_out():
    small = Stock("tag", "Tag", 20, 12, "")
    problems = unfit([small, parse_stocks(ROLL)[0]["roll"]], 203)
    assert len(problems) == 1
    assert problems[0].startswith("stock tag: A label of 20 × 12 mm is too small")


def test_a_wanted_design_that_does_not_fit_names_one_that_does():
    with pytest.raises(LabelTooSmall, match="leave design out: pair fits"):
        lay_out(Stock("tag", "Tag", 30, 25, "pair_and_bars"), 203)


@settings(max_examples=40, deadline=None)
@given(st.integers(20, 240), st.integers(20, 140), st.sampled_from([150, 203, 300, 600]))
def test_any_size_gets_a_label_that_reads_or_a_refusal_in_words(half_wide, half_high, dpi):
    stock = Stock("own", "Own", half_wide / 2, half_high / 2, "")
    refusals = unfit([stock], dpi)
    assert all("Use a larger label: " in refusal for refusal in refusals)
    if refusals:
        return
    plan = lay_out(stock, dpi)
    picture = draw(LabelText("K7F3Q97", "Panel face", "G01", "603 × 400 mm"), stock, dpi)
    assert unread(picture, plan.spots, "K7F3Q97") == []


@given(st.integers(0, len(SHEET)), st.sampled_from(["", "[", '"', "=", "\n", "nan", "[[1]]", "é"]))
def test_no_damage_to_own_stocks_loses_a_shipped_one(at, scrap):
    stocks, _problems = merge_stocks(TEXT, SHEET[:at] + scrap + SHEET[at + 1 :])
    assert set(parse_stocks(TEXT)[0]) <= set(stocks)
