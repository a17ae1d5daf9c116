"""A sheet is only shown where every check passes."""

import json
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kiosk.rules.entries import Kind
from kiosk.rules.lengths import Length
from kiosk.rules.sheets.checks import codes_on, find_faults, find_lost, say_fault
from kiosk.rules.sheets.lines import cut_lines
from kiosk.rules.sheets.planbody import as_body
from kiosk.rules.sheets.planread import parse_plan
from kiosk.rules.sheets.progress import progress
from tests.builders import an_entry
from tests.sheetbuild import a_part, a_plan, a_stock, an_offcut, laid_out, mm, wanted

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


@settings(max_examples=25)
@given(
    st.lists(
        st.tuples(
            st.integers(60, 1200),
            st.integers(60, 800),
            st.sampled_from(("", "length", "width")),
            st.sampled_from((0.0, 0.0, 30.0, 45.0)),
        ),
        min_size=1,
        max_size=14,
    ),
    st.booleans(),
)
def test_whatever_is_asked_for_every_sheet_of_it_is_sound(rows, has_offcut):
    pieces = [
        a_part(f"A{n}", length, width, grain=grain, bevel=bevel)
        for n, (length, width, grain, bevel) in enumerate(rows)
    ]
    stock = a_stock(offcuts=[an_offcut("K1", 900, 500)] if has_offcut else [])
    _of, sheets = laid_out(pieces, stock, tries=30)

    assert [find_faults(one, wanted(pieces)) for one in sheets] == [()] * len(sheets)
    assert find_lost(sheets, [], wanted(pieces)) == ()
    assert again(a_plan(sheets)).sheets == sheets


def again(plan):
    """Return a plan as another kiosk reads it from the log."""
    body = json.loads(json.dumps(as_body(plan)))
    return parse_plan(an_entry(Kind.SHEETS_PLANNED, body, id=plan.id))


def test_parts_that_got_lost_between_the_sheets_are_found():
    assert find_lost([SHEET], [], WANTED) == ()
    assert find_lost([SHEET], ["Z"], [*WANTED, "Z"]) == ()
    assert find_lost([SHEET], [], [*WANTED, "Z"]) == ("Z: it is cut 0 times",)
    assert find_lost([SHEET], ["A1"], WANTED) == ("A1: it is cut 2 times",)


def leaves(value, path=()):
    """Return the places of all that a body holds."""
    pairs = value.items() if isinstance(value, dict) else enumerate(value)
    found = []
    for key, one in pairs:
        found.append((*path, key))
        if isinstance(one, dict | list):
            found += leaves(one, (*path, key))
    return found


BODY = json.loads(json.dumps(as_body(a_plan([SHEET]))))
STRANGE = st.one_of(
    st.integers(-5, 10**9),
    st.sampled_from(["", "S1", "A1", "S1.1", "rip", None, True, [], {}, 0.5]),
)


@settings(max_examples=300)
@given(st.lists(st.tuples(st.sampled_from(leaves(BODY)), STRANGE), min_size=1, max_size=3))
def test_whatever_stands_in_the_log_nothing_raises(changes):
    body = json.loads(json.dumps(BODY))
    for path, value in changes:
        at_place = body
        for key in path[:-1]:
            at_place = at_place[key] if _has(at_place, key) else None
        if _has(at_place, path[-1]):
            at_place[path[-1]] = value
    plan = parse_plan(an_entry(Kind.SHEETS_PLANNED, body, id="P1"))

    for one in plan.sheets if plan else ():
        lines = cut_lines(one)
        if not find_faults(one, WANTED):
            assert set(codes_on(one)) <= {code for line in lines for code in line.frees} | {
                one.sheet.whole
            }
        progress(lines, cut=set(codes_on(one)), made={1})


def _has(value, key):
    if isinstance(value, dict):
        return key in value
    return isinstance(value, list) and isinstance(key, int) and key < len(value)
