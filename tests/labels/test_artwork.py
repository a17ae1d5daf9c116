"""One label: whole dots, clear quiet zones, text that fits."""

from dataclasses import replace
from itertools import groupby
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from labels.artwork import LabelText, LabelTooSmall, draw, lay_out
from labels.artwork.letters import blank, fit, plain, width_of, write
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
    plan = lay_out(stock, dpi)
    ink = _ink(draw(LONG, stock, dpi))
    for box in [*plan.codes, plan.words, *(spot.box for spot in plan.spots)]:
        ink[box.y : box.bottom, box.x : box.right] = False
    assert not ink.any()


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
    picture = draw(USUAL, stock, dpi)
    lines = 2 if plan.tall_code else 1
    for box in plan.codes:
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
