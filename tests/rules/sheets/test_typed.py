"""Sizes as people type them; every slip is said at once."""

import pytest

from kiosk.rules.sheets.model import Material
from kiosk.rules.sheets.typed import Typed, as_listed, check_sheet, read_size
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


def listed(material, thickness, *rows):
    size, _ = read(material=material, thickness=thickness)
    found, problems = as_listed(size, [Material(name, mm(thick)) for name, thick in rows])
    return (found.material.name, found.material.thickness) if found else problems[0].column


def test_a_material_is_meant_as_lists_write_it():
    rows = ("Birch Ply", 18), ("Birch Ply", 12), ("Oak", 20)

    assert listed("birch ply", "12", *rows) == ("Birch Ply", mm(12))
    assert listed("birch ply", "9", *rows) == ("Birch Ply", mm(9))
    assert listed("OAK", "", *rows) == ("Oak", mm(20))
    assert listed("Ash", "", *rows) == ("Ash", None)
    assert listed("birch ply", "", *rows) == "Thickness"


def test_a_whole_sheet_without_its_unit_is_asked_about():
    assert check_sheet(a_size()) == check_sheet(None) == ()
    size, _ = read(length="96", width="48", trim="0")
    (problem,) = check_sheet(size)
    assert "unit" in problem.message
    size, _ = read("inch", length="96", width="48", trim="0")
    assert check_sheet(size) == ()


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
