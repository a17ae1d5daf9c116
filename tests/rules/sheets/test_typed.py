"""Sizes as people type them; every slip is said at once."""

import pytest

from kiosk.rules.sheets.model import Material
from kiosk.rules.sheets.typed import Typed, read_size
from tests.sheetbuild import BIRCH, a_size, mm


def read(unit="mm", **texts):
    usual = {"material": "birch ply", "thickness": "18", "length": "2440", "width": "1220"}
    return read_size(Typed(**usual | texts), unit=unit, trim=mm(5))


def test_a_size_is_read_as_typed():
    assert read() == (a_size(), ())
    assert read(material="  birch   ply ", count=" 7 ")[0] == a_size(count=7)
    assert read(trim="0")[0] == a_size(trim=0)
    assert read(trim="10", count="0")[0] == a_size(count=0, trim=10)


def test_inches_and_no_thickness():
    size, problems = read("inch", thickness="", length="96", width="48")

    assert problems == ()
    assert (size.length, size.width) == (mm(2438.4), mm(1219.2))
    assert size.material == Material(BIRCH.name, None)


@pytest.mark.parametrize(
    ("texts", "columns"),
    [
        ({"material": " "}, ["Material"]),
        ({"material": "x" * 81}, ["Material"]),
        ({"thickness": "thick"}, ["Thickness"]),
        ({"length": "", "width": "-5"}, ["Length", "Width"]),
        ({"count": "1.5"}, ["Count"]),
        ({"count": "10000"}, ["Count"]),
        ({"count": "٣" * 12}, ["Count"]),
        ({"trim": "x"}, ["Trim"]),
        ({"trim": "610"}, ["Trim"]),
        ({"material": "", "thickness": "?", "length": "?", "width": "?", "count": "?",
          "trim": "?"}, ["Material", "Thickness", "Length", "Width", "Count", "Trim"]),
    ],
)  # fmt: skip
def test_every_slip_is_said(texts, columns):
    size, problems = read(**texts)

    assert size is None
    assert [one.column for one in problems] == columns
    assert all(one.message and one.remedy for one in problems)
