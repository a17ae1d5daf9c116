"""Pages: read back by independent decoders from the file itself, all or nothing on disk."""

import errno
import re
from dataclasses import replace
from pathlib import Path

import cv2
import numpy as np
import pypdfium2
import pytest
import zxingcpp
from PIL import Image, PdfParser

from labels import LabelError, pages
from labels.artwork import LabelText, PlaceText, UnitText, draw, lay_out
from labels.codes import code_for
from labels.pages import (
    LabelsNotWritten,
    LabelsOffPage,
    LabelUnreadable,
    NothingToPrint,
    write_pdf,
    write_png,
)
from labels.stocks import parse_stocks

TEXT = (Path(__file__).parents[2] / "kiosk/data/stocks.toml").read_text("utf-8")
STOCKS = parse_stocks(TEXT)[0]
SIDES = ("offset_x_mm", "offset_y_mm")
EVERY = [(stock, dpi) for stock in STOCKS.values() for dpi in (203, 300, 600)]
every_stock = pytest.mark.parametrize(
    ("stock", "dpi"), EVERY, ids=[f"{stock.key}-{dpi}" for stock, dpi in EVERY]
)


def _labels(count):
    return [
        LabelText(
            code_for("K", 4_000 + number), "Panel face", "G01", "603 × 400 mm", "assemble", "length"
        )
        for number in range(count)
    ]


def _raster(file, dpi):
    """Return the pages of a PDF as a renderer that is not ours sees them: True is black."""
    with pypdfium2.PdfDocument(file) as document:
        return [
            np.array(page.render(scale=dpi / 72, grayscale=True).to_pil()) < 128
            for page in document
        ]


def _crop(page, stock, dpi, position):
    left, top = (round(mm * dpi / 25.4) for mm in stock.corner_mm(position))
    plan = lay_out(stock, dpi)
    return page[top : top + plan.height, left : left + plan.width]


def _grey(ink):
    return np.where(ink, 0, 255).astype(np.uint8)


def _opencv(ink):
    """Return what OpenCV reads, with paper around the symbol and four to six pixels a module."""
    grey = cv2.copyMakeBorder(_grey(ink), 20, 20, 20, 20, cv2.BORDER_CONSTANT, value=255)
    for factor in (1, 2, 3):
        grown = cv2.resize(grey, None, fx=factor, fy=factor, interpolation=cv2.INTER_NEAREST)
        for detector in (cv2.QRCodeDetectorAruco(), cv2.QRCodeDetector()):
            text = detector.detectAndDecode(grown)[0]
            if text:
                return text
    return ""


@every_stock
def test_every_symbol_reads_back_from_the_pdf_by_two_decoders(stock, dpi, tmp_path):
    labels = _labels(2)
    write_pdf(labels, stock, dpi=dpi, out=tmp_path / "a.pdf")
    rastered = _raster(tmp_path / "a.pdf", dpi)
    for number, label in enumerate(labels):
        page, position = divmod(number, stock.per_page)
        ink = _crop(rastered[page], stock, dpi, position)
        found = zxingcpp.read_barcodes(np.ascontiguousarray(_grey(ink)))
        plan = lay_out(stock, dpi)
        kinds = sorted("]Q1" if spot.kind == "qr" else "]C0" for spot in plan.spots)
        assert sorted(one.symbology_identifier for one in found) == kinds
        assert {one.text for one in found} == {label.code}
        assert {one.ec_level for one in found if one.symbology_identifier == "]Q1"} == {"H"}
        for spot in plan.spots:
            if spot.kind == "qr":
                box = spot.box
                assert _opencv(ink[box.y : box.bottom, box.x : box.right]) == label.code


@every_stock
def test_the_page_has_the_dots_that_were_drawn_and_no_other(stock, dpi, tmp_path):
    labels = _labels(2)
    write_pdf(labels, stock, dpi=dpi, out=tmp_path / "a.pdf")
    rastered = _raster(tmp_path / "a.pdf", dpi)
    for number, label in enumerate(labels):
        page, position = divmod(number, stock.per_page)
        ink = _crop(rastered[page], stock, dpi, position)
        assert (ink == ~np.asarray(draw(label, stock, dpi), dtype=bool)).all()


@pytest.mark.parametrize("dpi", [203, 300, 600])
def test_a_page_is_as_large_as_its_dots(dpi, tmp_path):
    write_pdf(_labels(1), STOCKS["50x25"], dpi=dpi, out=tmp_path / "a.pdf")
    with pypdfium2.PdfDocument(tmp_path / "a.pdf") as document:
        width, height = document[0].get_size()
    plan = lay_out(STOCKS["50x25"], dpi)
    assert (width, height) == pytest.approx(
        (plan.width * 72 / dpi, plan.height * 72 / dpi), rel=2e-6
    )


def test_the_picture_in_the_pdf_is_one_bit_and_losslessly_packed(tmp_path):
    write_pdf(_labels(1), STOCKS["50x25"], dpi=203, out=tmp_path / "a.pdf")
    raw = (tmp_path / "a.pdf").read_bytes()
    assert b"/CCITTFaxDecode" in raw
    assert b"/BitsPerComponent 1" in raw


def test_labels_keep_their_order_over_many_pages(tmp_path):
    labels = _labels(8)
    made = write_pdf(labels, STOCKS["25x25"], dpi=203, out=tmp_path / "a.pdf")
    read = [zxingcpp.read_barcode(_grey(page)).text for page in _raster(made.files[0], 203)]
    assert read == [label.code for label in labels]
    assert (made.pages, made.count) == (8, 8)


def test_a_begun_sheet_is_filled_from_where_it_was_left(tmp_path):
    stock = STOCKS["a4-65"]
    labels = _labels(10)
    made = write_pdf(labels, stock, dpi=203, skip=60, out=tmp_path / "a.pdf")
    rastered = _raster(tmp_path / "a.pdf", 203)
    assert (made.pages, len(rastered)) == (2, 2)
    assert not _crop(rastered[0], stock, 203, 59).any()
    for number, label in enumerate(labels):
        page, position = divmod(number + 60, 65)
        ink = _grey(_crop(rastered[page], stock, 203, position))
        assert zxingcpp.read_barcode(np.ascontiguousarray(ink)).text == label.code
    assert not _crop(rastered[1], stock, 203, 5).any()


def test_a_long_run_takes_no_more_bytes_a_label_than_a_short_one(tmp_path):
    sizes = {}
    for count in (30, 450):
        write_pdf(_labels(count), STOCKS["25x25"], dpi=203, out=tmp_path / "a.pdf")
        sizes[count] = (tmp_path / "a.pdf").stat().st_size / count
    assert sizes[450] < 1.05 * sizes[30]


def test_only_one_page_is_drawn_ahead_of_the_file(tmp_path, monkeypatch):
    drawn, ahead = [], []
    real_draw, real_write = pages.draw, PdfParser.PdfParser.write_page
    monkeypatch.setattr(pages, "draw", lambda *label: drawn.append(1) or real_draw(*label))

    def write_page(self, *args, **kwargs):
        ahead.append(len(drawn) - len(ahead))
        return real_write(self, *args, **kwargs)

    monkeypatch.setattr(PdfParser.PdfParser, "write_page", write_page)
    write_pdf(_labels(6), STOCKS["25x25"], dpi=203, out=tmp_path / "a.pdf")
    assert ahead == [1] * 6


@pytest.mark.parametrize("count", [1, 5])
def test_the_same_labels_give_the_same_bytes(count, tmp_path):
    for name in ("one", "two"):
        write_pdf(_labels(count), STOCKS["38x21"], dpi=203, out=tmp_path / f"{name}.pdf")
    raw = (tmp_path / "one.pdf").read_bytes()
    assert raw == (tmp_path / "two.pdf").read_bytes()
    assert b"Date" not in raw


def test_png_pages_are_numbered_and_a_single_one_is_not(tmp_path):
    labels = _labels(3)
    many = write_png(labels, STOCKS["50x25"], dpi=203, out=tmp_path / "job.png")
    single = write_png(labels, STOCKS["a4-21"], dpi=203, out=tmp_path / "sheet.png")
    assert [file.name for file in many.files] == ["job-1.png", "job-2.png", "job-3.png"]
    assert [file.name for file in single.files] == ["sheet.png"]
    assert sorted(tmp_path.iterdir()) == sorted([*many.files, *single.files])
    for file, label in zip(many.files, labels, strict=True):
        with Image.open(file) as picture:
            assert picture.mode == "1"
            assert picture.info["dpi"] == pytest.approx((203, 203), abs=0.1)
            assert picture.tobytes() == draw(label, STOCKS["50x25"], 203).tobytes()


def _spoil_nth(monkeypatch, nth, spot_number):
    """Let the nth drawn label have a blot on one symbol."""
    drawn = []

    def spoiled(label, stock, dpi):
        picture = draw(label, stock, dpi)
        drawn.append(label.code)
        if len(drawn) == nth:
            box = lay_out(stock, dpi).spots[spot_number].box
            picture.paste(0, (box.x, box.y, box.x + box.width * 2 // 3, box.bottom))
        return picture

    monkeypatch.setattr(pages, "draw", spoiled)


@pytest.mark.parametrize(
    ("spot", "word"), [(0, "QR code"), (1, "QR code"), (2, "bar code")], ids=["qr", "qr2", "bars"]
)
@pytest.mark.parametrize("write", [write_pdf, write_png])
def test_one_unreadable_symbol_keeps_every_page_from_disk(write, spot, word, tmp_path, monkeypatch):
    _spoil_nth(monkeypatch, 3, spot)
    labels = _labels(4)
    with pytest.raises(LabelUnreadable, match=f"{word} of {labels[2].code}"):
        write(labels, STOCKS["50x25"], dpi=203, out=tmp_path / "a.out")
    assert list(tmp_path.iterdir()) == []


def test_a_symbol_with_another_code_is_not_taken_for_read(tmp_path, monkeypatch):
    other = LabelText(code_for("K", 1))
    monkeypatch.setattr(pages, "draw", lambda label, stock, dpi: draw(other, stock, dpi))
    with pytest.raises(LabelUnreadable):
        write_pdf(_labels(1), STOCKS["50x25"], dpi=203, out=tmp_path / "a.pdf")


def test_an_older_file_outlives_a_failed_run(tmp_path, monkeypatch):
    out = tmp_path / "a.pdf"
    out.write_bytes(b"older")
    _spoil_nth(monkeypatch, 1, 0)
    with pytest.raises(LabelUnreadable):
        write_pdf(_labels(1), STOCKS["50x25"], dpi=203, out=out)
    assert out.read_bytes() == b"older"


def test_an_older_file_is_replaced(tmp_path):
    out = tmp_path / "a.pdf"
    out.write_bytes(b"older")
    write_pdf(_labels(1), STOCKS["50x25"], dpi=203, out=out)
    assert out.read_bytes().startswith(b"%PDF")


@pytest.mark.parametrize("write", [write_pdf, write_png])
def test_a_folder_that_is_not_there_is_said_in_words(write, tmp_path):
    with pytest.raises(LabelsNotWritten, match="Choose another folder"):
        write(_labels(1), STOCKS["50x25"], dpi=203, out=tmp_path / "none" / "a.pdf")


def test_a_full_disk_leaves_nothing_behind(tmp_path, monkeypatch):
    def full(*args, **kwargs):
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(Image.Image, "save", full)
    with pytest.raises(LabelsNotWritten, match="No space left"):
        write_pdf(_labels(1), STOCKS["50x25"], dpi=203, out=tmp_path / "a.pdf")
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    ("count", "key", "skip"), [(0, "50x25", 0), (1, "50x25", 1), (1, "a4-21", 21), (1, "a4-21", -1)]
)
def test_nothing_to_print_or_no_such_place_is_refused(count, key, skip, tmp_path):
    with pytest.raises(NothingToPrint):
        write_pdf(_labels(count), STOCKS[key], dpi=203, skip=skip, out=tmp_path / "a.pdf")
    assert list(tmp_path.iterdir()) == []


def test_all_failures_are_label_errors(tmp_path):
    for bad in (LabelText("k7f"), LabelText("")):
        with pytest.raises(LabelError):
            write_pdf([bad], STOCKS["50x25"], dpi=203, out=tmp_path / "a.pdf")


def test_labels_of_parts_units_and_places_go_on_one_run(tmp_path):
    mixed = [
        LabelText(code_for("K", 1), "Panel face"),
        UnitText(code_for("K", 2), "Wall panel", "G01", "GLAZE"),
        PlaceText(code_for("K", 3), "Glaze rack", "3"),
    ]
    for write, name in ((write_pdf, "a.pdf"), (write_png, "a.png")):
        made = write(mixed, STOCKS["a4-21"], dpi=203, out=tmp_path / name)
        assert made.count == 3
    page = _raster(tmp_path / "a.pdf", 203)[0]
    found = zxingcpp.read_barcodes(np.ascontiguousarray(_grey(page)))
    assert {one.text for one in found} == {label.code for label in mixed}
    assert len(found) == 9


@pytest.mark.parametrize("key", ["50x25", "25x25", "a4-21", "letter-30"])
@pytest.mark.parametrize(("right", "down"), [(0.8, -0.6), (-0.5, 0.9)])
def test_an_offset_moves_every_dot_of_the_page(key, right, down, tmp_path):
    stock, moved = STOCKS[key], replace(STOCKS[key], offset_x_mm=right, offset_y_mm=down)
    pictures = []
    for number, one in enumerate((stock, moved)):
        out = tmp_path / f"{number}.png"
        write_png(_labels(1), one, dpi=203, out=out)
        with Image.open(out) as picture:
            pictures.append(~np.asarray(picture, dtype=bool))
    places = [[np.flatnonzero(ink.any(axis=axis)) for axis in (0, 1)] for ink in pictures]
    steps = [int(after[0] - before[0]) for before, after in zip(*places, strict=True)]
    assert steps == pytest.approx([right * 203 / 25.4, down * 203 / 25.4], abs=1)
    assert (np.roll(pictures[0], (steps[1], steps[0]), axis=(0, 1)) == pictures[1]).all()


@pytest.mark.parametrize("dpi", [203, 300])
@pytest.mark.parametrize(
    ("key", "side"),
    [
        *((key, side) for key in ("50x25", "38x21", "25x25") for side in SIDES),
        *((key, "offset_x_mm") for key in ("a4-21", "a4-65", "letter-10")),
    ],
)
def test_the_offset_that_is_named_fits_where_a_larger_one_is_refused(key, side, dpi, tmp_path):
    out = tmp_path / "a.pdf"
    for far in (-10.0, 10.0):
        with pytest.raises(LabelsOffPage) as refusal:
            write_pdf(_labels(1), replace(STOCKS[key], **{side: far}), dpi=dpi, out=out)
        named = re.search(rf"{side} (?:may be )?(\S+) to ([\d.]*\d)", str(refusal.value))
        for mm in named.groups():
            inside = replace(STOCKS[key], **{side: float(mm)})
            assert write_pdf(_labels(1), inside, dpi=dpi, out=out).count == 1
        for mm, step in zip(named.groups(), (-0.3, 0.3), strict=True):
            outside = replace(STOCKS[key], **{side: float(mm) + step})
            with pytest.raises(LabelsOffPage):
                write_pdf(_labels(1), outside, dpi=dpi, out=out)


@pytest.mark.parametrize(
    ("before", "after", "stay"), [(5, 3, [1, 2, 3]), (4, 1, []), (3, 3, [1, 2, 3])]
)
def test_pages_left_over_from_a_longer_run_are_deleted(before, after, stay, tmp_path):
    stock, out = STOCKS["25x25"], tmp_path / "job.png"
    write_png(_labels(before), stock, dpi=203, out=out)
    made = write_png(_labels(after), stock, dpi=203, out=out)
    names = {f"job-{number}.png" for number in stay} or {"job.png"}
    assert {file.name for file in tmp_path.iterdir()} == names
    assert made.left_over == ()


def test_no_other_name_is_taken_for_a_left_over_page(tmp_path):
    names = ["job-03.png", "job-4.pdf", "job-5.png", "job-2026.png", "job-x.png", "jobs-3.png"]
    for name in [*names, "job-3.png"]:
        (tmp_path / name).write_bytes(b"mine")
    write_png(_labels(2), STOCKS["25x25"], dpi=203, out=tmp_path / "job.png")
    kept = {file.name for file in tmp_path.iterdir() if file.read_bytes() == b"mine"}
    assert kept == set(names)
    assert not (tmp_path / "job-3.png").exists()


def test_a_run_that_fails_deletes_nothing(tmp_path, monkeypatch):
    write_png(_labels(3), STOCKS["50x25"], dpi=203, out=tmp_path / "job.png")
    _spoil_nth(monkeypatch, 2, 0)
    with pytest.raises(LabelUnreadable):
        write_png(_labels(2), STOCKS["50x25"], dpi=203, out=tmp_path / "job.png")
    assert len(list(tmp_path.iterdir())) == 3


def test_a_page_that_cannot_be_deleted_is_told(tmp_path, monkeypatch):
    write_png(_labels(3), STOCKS["25x25"], dpi=203, out=tmp_path / "job.png")

    def refuse(*args, **kwargs):
        raise PermissionError(errno.EACCES, "Permission denied")

    monkeypatch.setattr(Path, "unlink", refuse)
    made = write_png(_labels(2), STOCKS["25x25"], dpi=203, out=tmp_path / "job.png")
    assert [file.name for file in made.left_over] == ["job-3.png"]
