"""One label: whole dots, clear quiet zones, text that fits."""

from dataclasses import replace
from itertools import groupby
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from labels.artwork import LabelText, LabelTooSmall, PlaceText, UnitText, draw, lay_out
from labels.artwork.letters import blank, fit, plain, width_of, wrap, write
from labels.artwork.names import roomy
from labels.stocks import parse_stocks
from labels.symbols import SymbolError, code128_bars, qr_matrix

TEXT = (Path(__file__).parents[2] / "kiosk/data/stocks.toml").read_text("utf-8")
STOCKS = parse_stocks(TEXT)[0]
DPIS = (203, 300, 600)
LONG = LabelText(
    "KQQHB8S",
    "Überbrückungsboden Ąģ₍ links unten außen gyqj" * 2,
    "UNIT-WITH-A-LONG-NAME-12",
    '123 63/64" × 47 63/64"',
    "the assembly bench beside the window",
    "width",
    "GLAZE-STORE-2026",
)
USUAL = LabelText("K7F3Q97", "Panel face", "G01", "2000 × 1200 mm", "assemble", "length", "GLAZE")
UNIT = UnitText("K7F3Q97", "Wall panel", "G01", "GLAZE", "finish", "two coats on the edges")
PLACE = PlaceText("K7F3Q97", "Glaze rack", "3")
LONG_NAMES = [
    UnitText("KQQHB8S", LONG.title, LONG.unit * 3, LONG.job, LONG.next_station, LONG.title),
    PlaceText("KQQHB8S", LONG.title * 3, "the lowest shelf but one"),
]
EVERY = [(stock, dpi) for stock in STOCKS.values() for dpi in DPIS]
every_stock = pytest.mark.parametrize(
    ("stock", "dpi"), EVERY, ids=[f"{stock.key}-{dpi}" for stock, dpi in EVERY]
)


def _ink(picture, box=None):
    """Return where a picture, or a box of it, is black."""
    ink = ~np.asarray(picture, dtype=bool)
    return ink if box is None else ink[box.y : box.bottom, box.x : box.right]


def _of(plan, kind):
    return [spot for spot in plan.spots if spot.kind == kind]


@every_stock
def test_a_label_is_one_bit_and_as_large_as_its_stock(stock, dpi):
    picture = draw(USUAL, stock, dpi)
    assert picture.mode == "1"
    wanted = stock.width_mm * dpi / 25.4, stock.height_mm * dpi / 25.4
    assert picture.size == pytest.approx(wanted, abs=0.5)


@every_stock
def test_bars_are_whole_dots_and_nothing_else(stock, dpi):
    plan = lay_out(stock, dpi)
    for spot in _of(plan, "bars"):
        rows = _ink(draw(LONG, stock, dpi), spot.box)
        runs = [(dark, len(list(run))) for dark, run in groupby(rows[0])]
        modules = [(c == "1", len(list(r))) for c, r in groupby(code128_bars(LONG.code))]
        assert (rows == rows[0]).all()
        assert runs[0] == (False, 10 * spot.module)
        assert runs[1:-1] == [(dark, count * spot.module) for dark, count in modules]
        assert runs[-1][1] >= 10 * spot.module


@every_stock
def test_a_qr_code_is_whole_dots_in_four_modules_of_white(stock, dpi):
    for spot in _of(lay_out(stock, dpi), "qr"):
        ink = _ink(draw(LONG, stock, dpi), spot.box)
        matrix = np.pad(np.array(qr_matrix(LONG.code, version=spot.version)), 4)
        assert (ink == np.kron(matrix, np.ones((spot.module, spot.module), dtype=bool))).all()


# labels.md section 2: 0.375 or 0.5 mm modules, 0.25 mm bars or more; whole dots move them a little
@every_stock
def test_symbols_are_of_readable_size(stock, dpi):
    plan = lay_out(stock, dpi)
    sizes = {"qr": 0.333, "bars": 0.249}
    assert all(spot.module * 25.4 / dpi > sizes[spot.kind] for spot in plan.spots)
    assert {"pair_and_bars": (2, 1), "one_and_bars": (1, 1), "pair": (2, 0)}[stock.design] == (
        len(_of(plan, "qr")),
        len(_of(plan, "bars")),
    )


@every_stock
def test_text_stays_in_its_boxes(stock, dpi):
    for label in [LONG, *LONG_NAMES]:
        plan = lay_out(stock, dpi) if label is LONG else roomy(lay_out(stock, dpi))
        ink = _ink(draw(label, stock, dpi))
        for box in [*plan.codes, plan.words, *(spot.box for spot in plan.spots)]:
            ink[box.y : box.bottom, box.x : box.right] = False
        assert not ink.any()


@every_stock
def test_a_unit_and_a_place_carry_the_symbols_of_a_part(stock, dpi):
    part = draw(USUAL, stock, dpi)
    for label in (UNIT, PLACE):
        picture = draw(label, stock, dpi)
        for spot in lay_out(stock, dpi).spots:
            assert (_ink(picture, spot.box) == _ink(part, spot.box)).all()


def _trimmed(ink):
    """Return ink without the white around it."""
    rows, columns = np.flatnonzero(ink.any(axis=1)), np.flatnonzero(ink.any(axis=0))
    return ink[rows[0] : rows[-1] + 1, columns[0] : columns[-1] + 1]


def _is_uncut(ink, line):
    """Tell whether ink is a line as it looks in some size on paper without end."""
    for size in range(10, 90):
        paper = blank(width_of(line, size) + 20, size * 2)
        write(paper, (5, size * 1.5), line, size=size)
        if np.array_equal(_trimmed(~np.asarray(paper)), ink):
            return True
    return False


@pytest.mark.parametrize("key", STOCKS)
@pytest.mark.parametrize("code", ["KQQHB8S", "WWWWWWW", "QQQQQQQ", "J2J2J2J"])
def test_no_letter_of_a_code_is_cut(key, code):
    plan = lay_out(STOCKS[key], 203)
    picture = draw(replace(USUAL, code=code), STOCKS[key], 203)
    lines = [f"{code[:3]}-", code[3:]] if plan.tall_code else [f"{code[:3]}-{code[3:]}"]
    for box in plan.codes:
        height = box.height // len(lines)
        for at, line in enumerate(lines):
            ink = _ink(picture, box)[at * height : (at + 1) * height]
            assert _is_uncut(_trimmed(ink), line)


@every_stock
def test_code_letters_are_at_least_two_millimetres_high(stock, dpi):
    plan = lay_out(stock, dpi)
    lines = 2 if plan.tall_code else 1
    for label, boxes in (
        (USUAL, plan.codes),
        (UNIT, roomy(plan).codes),
        (PLACE, roomy(plan).codes),
    ):
        picture = draw(label, stock, dpi)
        assert boxes
        for box in boxes:
            ink = _ink(picture, box).any(axis=1)
            assert ink.sum() / lines * 25.4 / dpi > 2.0


def test_a_usual_label_says_everything_on_the_usual_stock():
    stock, words = STOCKS["50x25"], {}
    full = draw(USUAL, stock, 203)
    for field in ("title", "unit", "size", "next_station", "grain"):
        words[field] = draw(replace(USUAL, **{field: "" if field != "grain" else None}), stock, 203)
    assert all(other.tobytes() != full.tobytes() for other in words.values())


@pytest.mark.parametrize("key", ["50x25", "38x21", "63x38", "25x25"])
def test_the_job_gives_way_before_the_next_station(key):
    there = [
        draw(replace(USUAL, next_station=name), STOCKS[key], 203).tobytes()
        for name in ("assemble", "finish")
    ]
    assert there[0] != there[1]


def _says(field, label, stock):
    """Tell whether a label on a stock changes with a field."""
    empty = draw(replace(label, **{field: ""}), stock, 203)
    return draw(label, stock, 203).tobytes() != empty.tobytes()


def test_material_and_note_stand_where_there_is_room():
    label = replace(USUAL, material="Birch plywood 18 mm", note="face side up")
    assert all(_says(field, label, STOCKS["63x38"]) for field in ("material", "note"))
    assert all(_says(field, label, STOCKS["letter-10"]) for field in ("material", "note", "job"))


def test_a_material_never_costs_the_size_or_the_next_station():
    label = replace(USUAL, material="Birch plywood 18 mm")
    for stock in STOCKS.values():
        assert all(_says(name, label, stock) for name in ("title", "unit", "size", "next_station"))


def test_a_note_is_worth_the_smallest_letters_and_a_material_is_not():
    stock = STOCKS["50x25"]
    assert _says("note", replace(USUAL, note="face side up"), stock)
    assert not _says("material", replace(USUAL, material="Birch plywood 18 mm"), stock)


def _lines_of(label, stock, dpi=203):
    """Return the heights in millimetres of the stretches of ink in the words' box."""
    box = roomy(lay_out(stock, dpi)).words
    rows = _ink(draw(label, stock, dpi), box).any(axis=1)
    return [len(list(run)) * 25.4 / dpi for is_ink, run in groupby(rows) if is_ink]


@pytest.mark.parametrize("stock", STOCKS.values(), ids=STOCKS)
def test_the_name_of_a_unit_is_the_largest_of_its_words(stock):
    name, *others = _lines_of(replace(UNIT, next_station="", note=""), stock)
    assert others
    assert name > 1.5 * max(others)


@pytest.mark.parametrize("stock", STOCKS.values(), ids=STOCKS)
def test_a_unit_says_what_it_is_and_for_which_job(stock):
    assert all(_says(field, UNIT, stock) for field in ("unit", "title", "job"))


# Letters of 10 minutes of arc, twice what normal sight needs (Snellen: 5'): 5.8 mm at 2 m.
@pytest.mark.parametrize("stock", STOCKS.values(), ids=STOCKS)
def test_a_short_name_of_a_place_is_read_from_two_metres(stock):
    assert _lines_of(PlaceText("K7F3Q97", "R2"), stock)[0] > 5.8


@pytest.mark.parametrize("stock", STOCKS.values(), ids=STOCKS)
def test_a_place_says_its_name_and_slot(stock):
    assert all(_says(field, PLACE, stock) for field in ("title", "slot"))
    assert _says("slot", PlaceText("K7F3Q97", "", "12"), stock)


def test_a_name_breaks_at_a_hyphen_only_where_that_makes_it_much_larger():
    label = UnitText("K7F3Q97", "", "KILN-ROOM-12", "")
    assert len(_lines_of(label, STOCKS["50x25"])) == 1
    assert len(_lines_of(label, STOCKS["25x25"])) > 1


@pytest.mark.parametrize("size", [(25.0, 25.0), (24.0, 40.0)])
def test_a_long_name_stays_larger_than_a_short_job_below_it(size):
    stock = replace(STOCKS["25x25"], width_mm=size[0], height_mm=size[1])
    lines = _lines_of(UnitText("K7F3Q97", "Wall panel", "KILN-ROOM-12", "GLAZE"), stock)
    assert lines[0] > 1.1 * lines[-1]


def test_names_that_are_missing_leave_white_paper():
    stock = STOCKS["50x25"]
    for label in (PlaceText("K7F3Q97", ""), UnitText("K7F3Q97", "", "", "")):
        assert not _ink(draw(label, stock, 203), roomy(lay_out(stock, 203)).words).any()


def test_a_size_is_whole_or_left_off():
    stock, long = STOCKS["25x25"], "1234567 63/64 inches × 1234567 63/64 inches"
    with_size = draw(replace(USUAL, size=long), stock, 203)
    without = draw(replace(USUAL, size="", grain=None), stock, 203)
    assert with_size.tobytes() == without.tobytes()


@pytest.mark.parametrize("key", ["50x25", "25x25"])
def test_grain_shows_by_an_arrow(key):
    pictures = [
        draw(replace(USUAL, grain=grain), STOCKS[key], 203).tobytes()
        for grain in (None, "length", "width")
    ]
    assert len(set(pictures)) == 3


def test_a_label_needs_no_more_than_a_code():
    for stock, dpi in EVERY:
        plan = lay_out(stock, dpi)
        assert not _ink(draw(LabelText("K7F3Q97"), stock, dpi), plan.words).any()


def test_the_same_label_is_drawn_the_same():
    one, two = (draw(LONG, STOCKS["50x25"], 300).tobytes() for _ in range(2))
    assert one == two


@settings(max_examples=60, deadline=None)
@given(st.text(max_size=60), st.text(max_size=20), st.text(max_size=30), st.text(max_size=20))
def test_no_words_reach_a_symbol(title, unit, size, station):
    stock = STOCKS["25x25"]
    plan = lay_out(stock, 203)
    picture = draw(LabelText("K7F3Q97", title, unit, size, station, "length"), stock, 203)
    bare = draw(LabelText("K7F3Q97"), stock, 203)
    for spot in plan.spots:
        assert (_ink(picture, spot.box) == _ink(bare, spot.box)).all()


@settings(max_examples=40, deadline=None)
@given(st.text(max_size=60), st.text(max_size=30), st.text(max_size=30), st.sampled_from("ab"))
def test_no_name_reaches_a_symbol(name, more, job, kind):
    stock = STOCKS["25x25"]
    unit, place = UnitText("K7F3Q97", more, name, job, more, job), PlaceText("K7F3Q97", name, more)
    picture = draw(unit if kind == "a" else place, stock, 203)
    bare = draw(LabelText("K7F3Q97"), stock, 203)
    for spot in lay_out(stock, 203).spots:
        assert (_ink(picture, spot.box) == _ink(bare, spot.box)).all()


@given(st.text(max_size=60), st.integers(20, 200), st.booleans())
def test_wrapped_text_keeps_every_letter_in_order(text, room, at_hyphens):
    lines = wrap(plain(text), room, 16, at_hyphens=at_hyphens)
    assert "".join(lines).replace(" ", "") == plain(text).replace(" ", "")
    for line in lines:
        has_break = " " in line or (at_hyphens and "-" in line[:-1].rstrip("-"))
        assert width_of(line, 16) <= room or not has_break


@given(st.text(max_size=60), st.integers(20, 200))
def test_fitted_text_is_no_wider_than_its_room(text, room):
    fitted, size = fit(plain(text), room, largest=30, least=14)
    assert 14 <= size <= 30
    assert width_of(fitted, size) <= room


def test_text_shrinks_before_it_is_cut():
    whole, size = fit("Panel face", width_of("Panel face", 20), largest=30, least=14)
    cut, _size = fit("Panel face", width_of("Panel", 14), largest=30, least=14)
    assert (whole, size) == ("Panel face", 20)
    assert cut.endswith("…")
    assert cut.startswith("P")


@pytest.mark.parametrize("letter", '×″→…′½°–·ÄÖÜßéèñŁžğΩЖ’"')
def test_the_face_has_what_part_lists_say(letter):
    shapes = [draw(LabelText("K7F3Q97", text), STOCKS["50x25"], 203) for text in (letter, "漢", "")]
    assert len({shape.tobytes() for shape in shapes}) == 3


def test_line_breaks_and_controls_become_one_line():
    assert plain(" a\n\tb\x00\u200bc ") == "a bc"


def test_a_design_that_does_not_fit_is_refused_with_a_way_out():
    small = replace(STOCKS["50x25"], width_mm=30.0)
    with pytest.raises(LabelTooSmall, match="larger label"):
        draw(USUAL, small, 203)


@pytest.mark.parametrize("dpi", [0, -1, 60])
def test_dots_too_coarse_are_refused(dpi):
    with pytest.raises(LabelTooSmall):
        lay_out(STOCKS["50x25"], dpi)


def test_a_code_that_goes_in_no_symbol_is_refused():
    with pytest.raises(SymbolError):
        draw(replace(USUAL, code="k7f-3q97"), STOCKS["50x25"], 203)
