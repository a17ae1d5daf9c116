"""Forms of a sheet: the same dots in each, read back by other people's readers."""

import contextlib
import ctypes
import ctypes.util
import io
import os
import struct

import numpy as np
import pypdfium2
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from labels.pages import write_png
from labels.printing import PDF, PNG, PWG_RASTER, Sheet
from labels.printing.raster import WrongForm, convert, read_pages, write_raster
from tests.labels.printers import APT, STOCKS, labels_of, read_raster, sheet_of


def _sheet(folder, key, dpi, count=3):
    return sheet_of(folder, labels_of(count), key=key, dpi=dpi)


def _drawn(folder, key, dpi, count=3):
    """Return the pages as drawn: True is black."""
    written = write_png(labels_of(count), STOCKS[key], dpi=dpi, out=folder / "drawn.png")
    return [~np.array(Image.open(file)) for file in written.files]


@pytest.mark.parametrize("kind", ["black_1", "sgray_8", "srgb_8"])
@pytest.mark.parametrize(("key", "dpi"), [("50x25", 203), ("25x25", 203), ("63x38", 300)])
def test_raster_has_the_very_dots_of_the_pages(tmp_path, key, dpi, kind):
    raster = convert(_sheet(tmp_path, key, dpi), PWG_RASTER, kinds=(kind,))

    pages = read_raster(raster)
    drawn = _drawn(tmp_path, key, dpi)
    assert len(pages) == len(drawn)
    assert all(np.array_equal(*pair) for pair in zip(pages, drawn, strict=True))


def test_a_full_sheet_of_labels_is_taken_out_of_its_pdf_dot_for_dot(tmp_path):
    pages = read_pages(_sheet(tmp_path, "a4-21", 300, count=4))

    (drawn,) = _drawn(tmp_path, "a4-21", 300, count=4)
    assert len(pages) == 1
    assert np.array_equal(~np.array(pages[0]), drawn)


def test_a_picture_made_a_pdf_has_the_same_dots_when_others_draw_it(tmp_path):
    file = write_png(labels_of(1), STOCKS["50x25"], dpi=203, out=tmp_path / "one.png").files[0]
    pdf = convert(Sheet(file.read_bytes(), PNG, 50.0, 25.0, 203), PDF)

    with pypdfium2.PdfDocument(pdf) as document:
        seen = np.array(document[0].render(scale=203 / 72, grayscale=True).to_pil()) < 128
    assert np.array_equal(seen, ~np.array(Image.open(file)))


def test_a_pdf_of_one_label_made_a_picture_is_the_picture(tmp_path):
    png = convert(_sheet(tmp_path, "50x25", 203, count=1), PNG)

    with Image.open(io.BytesIO(png)) as picture:
        assert np.array_equal(~np.array(picture), _drawn(tmp_path, "50x25", 203, count=1)[0])


@settings(max_examples=60, deadline=None)
@given(
    st.integers(1, 300),
    st.integers(1, 12),
    st.binary(min_size=1, max_size=64),
    st.sampled_from(["black_1", "sgray_8", "srgb_8"]),
)
def test_any_picture_comes_back_from_raster(width, height, pattern, kind):
    bits = np.resize(np.unpackbits(np.frombuffer(pattern, np.uint8)), (height, width)).astype(bool)
    sheet = Sheet(b"", PNG, 50.0, 25.0, 203)

    raster = write_raster([Image.fromarray(~bits)], sheet, kinds=(kind,))

    (page,) = read_raster(raster)
    assert np.array_equal(page, bits)


def test_the_page_header_says_size_and_kind_where_the_standard_puts_them(tmp_path):
    raster = convert(_sheet(tmp_path, "50x25", 203), PWG_RASTER)

    # PWG 5102.4-2012 section 4.3; 50 × 25 mm is 142 × 71 points
    head = raster[4:1800]
    assert raster[:4] == b"RaS2"
    assert head[:10] == b"PwgRaster\0"
    for at, values in {276: (203, 203), 352: (142, 71), 372: (400, 200), 452: (3,)}.items():
        assert struct.unpack_from(f">{len(values)}I", head, at) == values
    assert struct.unpack_from(">5I", head, 384) == (1, 1, 50, 0, 3)
    assert head[1732:].rstrip(b"\0") == b"custom_50x25mm_50x25mm"


def test_another_reader_reads_our_raster(tmp_path):
    library = ctypes.util.find_library("cups")
    if library is None:
        words = f"the print system's library is not on this machine; install it: {APT}"
        (pytest.fail if os.environ.get("CI") == "true" else pytest.skip)(words)
    cups = ctypes.CDLL(library)
    cups.cupsRasterOpen.restype = ctypes.c_void_p
    cups.cupsRasterOpen.argtypes = [ctypes.c_int, ctypes.c_int]
    cups.cupsRasterReadHeader2.argtypes = [ctypes.c_void_p, ctypes.c_char_p]
    cups.cupsRasterReadPixels.argtypes = [ctypes.c_void_p, ctypes.c_char_p, ctypes.c_uint]
    cups.cupsRasterClose.argtypes = [ctypes.c_void_p]
    file = tmp_path / "sheet.pwg"
    file.write_bytes(convert(_sheet(tmp_path, "50x25", 203), PWG_RASTER))

    pages = []
    with file.open("rb") as opened:
        raster = cups.cupsRasterOpen(opened.fileno(), 0)
        head = ctypes.create_string_buffer(1796)
        while cups.cupsRasterReadHeader2(raster, head):
            width, height = struct.unpack_from("=2I", head.raw, 372)
            line = struct.unpack_from("=I", head.raw, 392)[0]
            dots = ctypes.create_string_buffer(line * height)
            assert cups.cupsRasterReadPixels(raster, dots, line * height) == line * height
            raw = np.frombuffer(dots.raw, np.uint8).reshape(height, line)
            pages.append(np.unpackbits(raw, axis=1)[:, :width].astype(bool))
        cups.cupsRasterClose(raster)

    drawn = _drawn(tmp_path, "50x25", 203)
    assert all(np.array_equal(*pair) for pair in zip(pages, drawn, strict=True))


@pytest.mark.parametrize(
    "data",
    [b"", b"%PDF-1.4 nothing", b"hello", b"%PDF-1.4\n1 0 obj<<>>endobj\nstartxref\n9\n%%EOF"],
)
@pytest.mark.parametrize("mime", [PDF, PNG])
def test_what_is_no_sheet_is_refused_in_words(data, mime):
    with pytest.raises(WrongForm, match=r"write the labels anew|no page"):
        convert(Sheet(data, mime, 50.0, 25.0, 203), PWG_RASTER)


@settings(max_examples=60, deadline=None)
@given(st.data())
def test_a_damaged_pdf_is_read_or_refused(data):
    out = io.BytesIO()
    Image.new("1", (64, 32)).save(out, "PDF", resolution=203)
    raw = bytearray(out.getvalue())
    for _ in range(data.draw(st.integers(1, 4))):
        raw[data.draw(st.integers(0, len(raw) - 1))] = data.draw(st.integers(0, 255))

    with contextlib.suppress(WrongForm):
        assert convert(Sheet(bytes(raw), PDF, 50.0, 25.0, 203), PWG_RASTER)[:4] == b"RaS2"


def test_a_foreign_pdf_is_not_taken_apart(tmp_path):
    Image.new("RGB", (40, 20)).save(tmp_path / "photo.pdf")

    with pytest.raises(WrongForm, match="no labels of ours"):
        convert(Sheet((tmp_path / "photo.pdf").read_bytes(), PDF, 50.0, 25.0, 203), PWG_RASTER)


def test_pages_that_make_no_picture_are_refused(tmp_path):
    with pytest.raises(WrongForm, match="one page"):
        convert(_sheet(tmp_path, "50x25", 203), PNG)


def test_a_printer_of_unknown_colours_is_refused(tmp_path):
    with pytest.raises(WrongForm, match="as PDF"):
        convert(_sheet(tmp_path, "50x25", 203), PWG_RASTER, kinds=("cmyk_16",))
