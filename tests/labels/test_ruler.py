"""The ruler page and the preview: true to the millimetre, every mark in place."""

from dataclasses import replace
from itertools import groupby
from pathlib import Path

import numpy as np
import pypdfium2
import pytest
from PIL import Image

from labels.artwork import LabelTooSmall, PlaceText, draw, lay_out
from labels.artwork.preview import SAMPLE
from labels.pages import LabelsNotWritten
from labels.ruler import preview, ruler_page, write_preview, write_ruler
from labels.stocks import Stock, parse_stocks

TEXT = (Path(__file__).parents[2] / "kiosk/data/stocks.toml").read_text("utf-8")
STOCKS = parse_stocks(TEXT)[0]
EVERY = [(stock, dpi) for stock in STOCKS.values() for dpi in (203, 300, 600)]
every_stock = pytest.mark.parametrize(
    ("stock", "dpi"), EVERY, ids=[f"{stock.key}-{dpi}" for stock, dpi in EVERY]
)
USUAL = [(STOCKS[key], dpi) for key in ("50x25", "25x25", "a4-21") for dpi in (203, 300)]
usual_stock = pytest.mark.parametrize(
    ("stock", "dpi"), USUAL, ids=[f"{stock.key}-{dpi}" for stock, dpi in USUAL]
)


def _ink(page):
    return ~np.asarray(page, dtype=bool)


def _runs(line):
    """Return start, length and darkness of each stretch of a row."""
    at = 0
    for is_dark, run in groupby(line):
        length = len(list(run))
        yield at, length, bool(is_dark)
        at += length


@every_stock
def test_the_page_is_as_large_as_the_stock_and_one_bit(stock, dpi):
    page = ruler_page(stock, dpi)
    assert page.mode == "1"
    assert page.size == tuple(round(mm * dpi / 25.4) for mm in stock.page_mm)


@every_stock
def test_strokes_stand_on_whole_millimetres_from_all_four_edges(stock, dpi):
    ink, dot = _ink(ruler_page(stock, dpi)), 25.4 / dpi
    across, along = stock.page_mm
    sides = [(ink, across), (ink.T, along), (ink[::-1, ::-1], across), (ink[::-1, ::-1].T, along)]
    for side, length in sides:
        row = side[round(0.5 / dot)]  # through the shortest strokes
        strokes = [((at + (many - 1) / 2) * dot, many) for at, many, dark in _runs(row) if dark]
        inner = [mm for mm, _many in strokes if 3 < mm < length - 3]
        assert np.abs(np.array(inner) - np.round(inner)).max() <= dot
        assert {round(mm) for mm in inner} >= set(range(4, int(length) - 3))


@every_stock
def test_the_strokes_of_ten_reach_furthest(stock, dpi):
    ink, dot = _ink(ruler_page(stock, dpi)), 25.4 / dpi
    depth = {
        mm: next(_runs(ink[:, round(mm / dot)]))[1] * dot for mm in range(5, 11)
    }  # from the upper edge
    assert max(depth, key=depth.get) == 10
    assert depth[5] > max(depth[mm] for mm in (6, 7, 8, 9))


@every_stock
def test_every_place_has_a_mark_in_each_corner(stock, dpi):
    ink = _ink(ruler_page(stock, dpi))
    wide, high = (round(mm * dpi / 25.4) for mm in (stock.width_mm, stock.height_mm))
    arm = round(2.0 * dpi / 25.4)
    for place in range(stock.per_page):
        left, top = (round(mm * dpi / 25.4) for mm in stock.corner_mm(place))
        label = ink[top : top + high, left : left + wide]
        for corner in (label, label[:, ::-1], label[::-1], label[::-1, ::-1]):
            assert corner[0, :arm].all()
            assert corner[:arm, 0].all()


@pytest.mark.parametrize("dpi", [203, 300, 600])
@pytest.mark.parametrize("key", [key for key, stock in STOCKS.items() if stock.per_page > 1])
def test_neither_words_nor_numbers_touch_a_mark(key, dpi):
    stock, ink = STOCKS[key], _ink(ruler_page(STOCKS[key], dpi))
    near, far = round(0.4 * dpi / 25.4), round(0.9 * dpi / 25.4)
    wide, high = (round(mm * dpi / 25.4) for mm in (stock.width_mm, stock.height_mm))
    for place in range(stock.per_page):
        left, top = (round(mm * dpi / 25.4) for mm in stock.corner_mm(place))
        label = ink[top : top + high, left : left + wide]
        for corner in (label, label[:, ::-1], label[::-1], label[::-1, ::-1]):
            assert not corner[near:far, near:far].any()


@every_stock
def test_bars_of_one_two_and_three_dots_show_print_gain(stock, dpi):
    found = set()
    for row in _ink(ruler_page(stock, dpi)):
        lengths = [many for _at, many, _dark in _runs(row)]
        for dots in (1, 2, 3):
            pattern = [dots] * 9  # five black, four white
            if any(lengths[at : at + 9] == pattern for at in range(len(lengths))):
                found.add(dots)
    assert found == {1, 2, 3}


@usual_stock
@pytest.mark.parametrize(("right", "down"), [(1.5, -1.0), (-0.7, 2.0)])
def test_the_page_is_printed_with_the_present_offset(stock, dpi, right, down):
    moved = _ink(ruler_page(replace(stock, offset_x_mm=right, offset_y_mm=down), dpi))
    across, below = round(right * dpi / 25.4), round(down * dpi / 25.4)
    shifted = np.roll(_ink(ruler_page(stock, dpi)), (below, across), axis=(0, 1))
    strip = round(1.0 * dpi / 25.4)  # the upper edge's strokes below the shift, words aside
    top, left = max(0, below), max(0, across)
    here, there = (
        ink[top : top + strip, left : left - abs(across) - 1] for ink in (moved, shifted)
    )
    assert here.any()
    assert (here == there).all()


@usual_stock
@pytest.mark.parametrize("change", [{"offset_x_mm": 0.001}, {"offset_y_mm": 0.002}])
def test_the_present_offset_is_written_on_the_page(stock, dpi, change):
    said = ruler_page(replace(stock, **change), dpi)
    assert said.tobytes() != ruler_page(stock, dpi).tobytes()


def test_the_words_name_the_stock():
    sheet, roll = STOCKS["a4-21"], STOCKS["25x25"]
    for stock, other in ((sheet, {"title": "Another sheet"}), (roll, {"key": "27x27"})):
        pages = [ruler_page(one, 203).tobytes() for one in (stock, replace(stock, **other))]
        assert pages[0] != pages[1]


@pytest.mark.parametrize("dpi", [60, 203, 600])
@pytest.mark.parametrize(("width", "height"), [(10, 10), (10, 100), (200, 10)])
def test_a_stock_too_small_for_words_still_has_its_rulers(width, height, dpi):
    page = ruler_page(Stock("a-name-without-end" * 3, "Tiny", width, height, ""), dpi)
    assert _ink(page)[0].any()


def test_the_ruler_page_goes_to_pdf_and_to_png(tmp_path):
    stock = STOCKS["a4-21"]
    page = ruler_page(stock, 203)
    pdf = write_ruler(stock, dpi=203, out=tmp_path / "ruler.pdf")
    png = write_ruler(stock, dpi=203, out=tmp_path / "ruler.png")
    with pypdfium2.PdfDocument(pdf) as document:
        assert len(document) == 1
        drawn = np.array(document[0].render(scale=203 / 72, grayscale=True).to_pil()) < 128
    assert (drawn == _ink(page)).all()
    with Image.open(png) as picture:
        assert picture.tobytes() == page.tobytes()


def test_a_folder_that_is_not_there_is_said_in_words(tmp_path):
    for write in (write_ruler, write_preview):
        with pytest.raises(LabelsNotWritten, match="Choose another folder"):
            write(STOCKS["50x25"], dpi=203, out=tmp_path / "none" / "a.png")


@usual_stock
def test_the_preview_shows_the_label_enlarged_by_whole_dots(stock, dpi):
    plan = lay_out(stock, dpi)
    factor = 900 // max(plan.width, plan.height)
    label = np.asarray(preview(stock, dpi))[
        60 : 60 + plan.height * factor, 60 : 60 + plan.width * factor
    ]
    black = (label == 0).all(axis=2)
    wanted = np.kron(_ink(draw(SAMPLE, stock, dpi)), np.ones((factor, factor), dtype=bool))
    assert (black == wanted).all()


@usual_stock
def test_the_preview_tints_margins_and_quiet_zones_lightly(stock, dpi):
    plan = lay_out(stock, dpi)
    picture, factor = preview(stock, dpi), 900 // max(plan.width, plan.height)
    spot = plan.spots[0].box
    margin = picture.getpixel((60 + factor, 60 + factor))
    quiet = picture.getpixel((60 + spot.x * factor + 1, 60 + spot.y * factor + 1))
    assert len({margin, quiet, (255, 255, 255)}) == 3
    assert min(*margin, *quiet) > 180


def test_the_preview_shows_the_label_that_is_asked_for():
    stock = STOCKS["50x25"]
    place = PlaceText("K7F3Q97", "Glaze rack", "3")
    assert preview(stock, 203, label=place).tobytes() != preview(stock, 203).tobytes()


def test_the_preview_says_what_is_particular_to_a_stock():
    stock = STOCKS["a4-21"]
    moved = preview(replace(stock, offset_x_mm=1), 203)
    assert moved.height > preview(stock, 203).height > preview(STOCKS["63x38"], 203).height


def test_the_preview_is_written_as_a_picture(tmp_path):
    file = write_preview(STOCKS["25x25"], dpi=300, out=tmp_path / "a.png")
    with Image.open(file) as picture:
        assert picture.convert("RGB").tobytes() == preview(STOCKS["25x25"], 300).tobytes()


def test_a_stock_too_small_for_a_label_has_no_preview():
    with pytest.raises(LabelTooSmall, match="larger label"):
        preview(Stock("tag", "Tag", 20, 10, ""), 203)
