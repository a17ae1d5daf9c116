"""QR and Code 128 against published words and values, and against independent decoders."""

import pytest
import zxingcpp
from barcode.codex import Code128
from PIL import Image
from qrcode import util
from qrcode.base import rs_blocks
from qrcode.constants import ERROR_CORRECT_H, ERROR_CORRECT_L, ERROR_CORRECT_M, ERROR_CORRECT_Q
from qrcode.main import QRCode

from labels import LabelError
from labels.codes import ALPHABET, code_for
from labels.symbols import BARS_LONGEST, SymbolError, code128_bars, qr_matrix, qr_size


def _codewords(text, level, *, version=1):
    symbol = QRCode(version=version, error_correction=level)
    symbol.add_data(text)
    words = util.create_data(version, level, symbol.data_list)
    count = sum(block.data_count for block in rs_blocks(version, level))
    as_text = [f"{word:02X}" for word in words]
    return " ".join(as_text[:count]), " ".join(as_text[count:])


# ISO/IEC 18004 Annex I; HELLO WORLD as in public worked examples; K7F3Q9X worked apart
@pytest.mark.parametrize(
    ("text", "level", "data", "correction"),
    [
        (
            "01234567",
            ERROR_CORRECT_M,
            "10 20 0C 56 61 80 EC 11 EC 11 EC 11 EC 11 EC 11",
            "A5 24 D4 C1 ED 36 C7 87 2C 55",
        ),
        (
            "HELLO WORLD",
            ERROR_CORRECT_Q,
            "20 5B 0B 78 D1 72 DC 4D 43 40 EC 11 EC",
            "A8 48 16 52 D9 36 9C 00 2E 0F B4 7A 10",
        ),
        (
            "K7F3Q9X",
            ERROR_CORRECT_H,
            "20 3B 8B 54 D2 6E 10 EC 11",
            "C2 23 E6 98 08 1D D7 AA 42 D4 BF 57 E4 60 0F 3C AB",
        ),
    ],
)
def test_codewords_are_the_published_ones(text, level, data, correction):
    assert _codewords(text, level) == (data, correction)


# ISO/IEC 18004: BCH(15,5) of level and mask, and the worked value of version 7
@pytest.mark.parametrize(
    ("level", "mask", "bits"),
    [
        (ERROR_CORRECT_M, 5, "100000011001110"),
        (ERROR_CORRECT_M, 2, "101111001111100"),
        (ERROR_CORRECT_H, 0, "001011010001001"),
        (ERROR_CORRECT_L, 0, "111011111000100"),
    ],
)
def test_format_bits_are_the_published_ones(level, mask, bits):
    assert f"{util.BCH_type_info(level << 3 | mask):015b}" == bits


def test_version_bits_are_the_published_ones():
    assert f"{util.BCH_type_number(7):018b}" == "000111110010010100"


@pytest.mark.parametrize("mask", range(8))
def test_our_matrix_carries_level_h_and_the_mask_asked_for(mask):
    rows = qr_matrix("K7F3Q97", mask=mask)
    # the format bits left of the upper finder, most significant first (ISO/IEC 18004, figure 25)
    cells = [rows[8][x] for x in (0, 1, 2, 3, 4, 5, 7, 8)] + [
        rows[y][8] for y in (7, 5, 4, 3, 2, 1, 0)
    ]
    bits = "".join("1" if dark else "0" for dark in cells)
    assert bits == f"{util.BCH_type_info(ERROR_CORRECT_H << 3 | mask):015b}"


@pytest.mark.parametrize(("version", "side"), [(1, 21), (3, 29)])
def test_a_version_is_kept(version, side):
    rows = qr_matrix("K7F3Q97", version=version)
    assert (len(rows), {len(row) for row in rows}) == (side, {side})
    assert qr_size(version) == side


def test_ten_letters_fit_and_eleven_are_refused_not_grown():
    assert len(qr_matrix("A234567890")) == 21
    with pytest.raises(SymbolError, match="too long"):
        qr_matrix("A2345678901")


@pytest.mark.parametrize("make", [qr_matrix, code128_bars])
@pytest.mark.parametrize("text", ["", "k7f3q97", "K7F-3Q97", "É", "A\n"])
def test_what_is_no_bare_code_is_refused(make, text):
    with pytest.raises(LabelError, match="capitals and digits"):
        make(text)


@pytest.mark.parametrize("version", [1, 3])
def test_every_letter_of_a_code_reads_back_from_qr(version):
    for at in range(0, 28, 7):
        text = (ALPHABET + ALPHABET)[at : at + 7]
        found = _read([list(row) for row in qr_matrix(text, version=version)], quiet=4, module=3)
        assert (found.text, found.symbology_identifier, found.ec_level) == (text, "]Q1", "H")


# check symbols: textbook values for starts A and B, recomputed for the encoder's start B or C
@pytest.mark.parametrize(
    ("text", "check"),
    [
        ("PJJ123C", 55),
        ("HI345678", 68),
        ("ABCDEF", 43),
        ("abcdef", 97),
        ("345678", 73),
        ("AIM1234", 87),
        ("K7F3Q9", 57),
        ("K7F3Q9X", 37),
    ],
)
def test_check_symbols_of_code_128_are_the_published_ones(text, check):
    symbol = Code128(text)
    values = symbol.encoded
    assert symbol._calculate_checksum(values) == check
    assert (values[0] + sum(at * value for at, value in enumerate(values[1:], 1))) % 103 == check


def test_a_mixed_code_switches_to_digit_pairs():
    assert Code128("AIM1234").encoded == [104, 33, 41, 45, 99, 12, 34]


def test_no_code_is_longer_than_the_place_kept_for_it():
    lengths = {len(code128_bars(code_for("2", n))) for n in range(3_000)}
    assert max(lengths) == BARS_LONGEST == len(code128_bars("K7F3Q9X"))
    assert all(length % 11 == 2 for length in lengths)  # symbols of 11, and a stop of 13


def test_bars_read_back():
    for number in range(60):
        text = code_for("K", number)
        bars = [module == "1" for module in code128_bars(text)]
        found = _read([bars] * 30, quiet=10, module=2)
        assert (found.text, found.symbology_identifier) == (text, "]C0")


def _read(rows, *, quiet, module):
    width, height = len(rows[0]) + 2 * quiet, len(rows) + 2 * quiet
    picture = Image.new("L", (width, height), 255)
    for y, row in enumerate(rows):
        for x, dark in enumerate(row):
            if dark:
                picture.putpixel((x + quiet, y + quiet), 0)
    size = width * module, height * module
    return zxingcpp.read_barcode(picture.resize(size, Image.Resampling.NEAREST))
