"""A sheet is only shown where every check passes."""

from dataclasses import replace

import pytest

from kiosk.rules.lengths import Length
from kiosk.rules.sheets.checks import codes_on, find_faults, find_lost, say_fault
from tests.sheetbuild import a_part, laid_out, mm, wanted

PIECES = [a_part(f"A{n}", 700, 290) for n in range(6)] + [
    a_part("G", 500, 300, grain="width"),
    a_part("T", 1100, 250),
    *(a_part(f"C{n}", 700, 80, bevel=45.0, grain="length") for n in range(3)),
]
OF, (SHEET,) = laid_out(PIECES)
WANTED = wanted(PIECES)


def with_part(which, **fields):
    parts = tuple(replace(one, **fields) if one.code == which else one for one in SHEET.sheet.parts)
    return replace(SHEET, sheet=replace(SHEET.sheet, parts=parts))


def test_a_sound_sheet_has_no_faults():
    assert find_faults(SHEET, WANTED) == ()
    assert sorted(codes_on(SHEET)) == sorted(WANTED)


def test_a_part_that_no_list_asks_for_any_more_counts_in_the_size_it_has_there():
    for code in ("T", "A1", "C1"):
        fewer = {key: one for key, one in WANTED.items() if key != code}
        assert find_faults(SHEET, fewer) == ()
    turned = next(one for one in SHEET.sheet.parts if one.is_turned)
    fewer = {key: one for key, one in WANTED.items() if key != turned.code}
    assert find_faults(SHEET, fewer) == ()


@pytest.mark.parametrize(
    "broken",
    [
        pytest.param(with_part("A1", x=0), id="outside the trim"),
        pytest.param(with_part("A1", code="A2"), id="one part twice"),
        pytest.param(replace(SHEET, kerf=Length(SHEET.kerf + 1)), id="another kerf"),
        pytest.param(replace(SHEET, least_offcut=mm(10)), id="offcuts that are not kept"),
        pytest.param(replace(SHEET, strips=SHEET.strips[1:]), id="a strip nobody asked for"),
        pytest.param(replace(SHEET, levels=1), id="too many levels"),
        pytest.param(
            replace(SHEET, sheet=replace(SHEET.sheet, cuts=SHEET.sheet.cuts[:-1])), id="a cut less"
        ),
        pytest.param(
            replace(SHEET, strips=tuple(replace(one, setting=Length(one.setting + 99))
                                        for one in SHEET.strips)), id="a fence set wrong"
        ),
    ],
)  # fmt: skip
def test_what_is_wrong_is_found(broken):
    faults = find_faults(broken, WANTED)

    assert faults
    assert say_fault(broken, faults).startswith("Sheet S1 is not shown, as it failed a check: ")


@pytest.mark.parametrize(
    ("code", "fields"),
    [
        ("A1", {"length": mm(701)}),
        ("G", {"grain": "length"}),
        ("C1", {"bevel": 30.0}),
        ("C1", {"width": mm(81)}),
    ],
)
def test_a_list_that_asks_for_something_else_is_found(code, fields):
    other = WANTED | {code: replace(WANTED[code], **fields)}

    assert find_faults(SHEET, other)


def test_parts_that_got_lost_between_the_sheets_are_found():
    assert find_lost([SHEET], [], WANTED) == ()
    assert find_lost([SHEET], ["Z"], [*WANTED, "Z"]) == ()
    assert find_lost([SHEET], [], [*WANTED, "Z"]) == ("Z: it is cut 0 times",)
    assert find_lost([SHEET], ["A1"], WANTED) == ("A1: it is cut 2 times",)
