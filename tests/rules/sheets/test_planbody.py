"""A plan comes back from its entry as it was; anything else is passed over."""

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.rules.breakdown.model import LEAST_OFFCUT, Cut, Direction, Offcut, Placed, Sheet, Stock
from kiosk.rules.entries import Kind
from kiosk.rules.lengths import LONGEST
from kiosk.rules.sheets.model import Material, PlannedSheet, SheetPlan, Strip
from kiosk.rules.sheets.planbody import as_body
from kiosk.rules.sheets.planread import parse_plan
from tests.builders import an_entry, at
from tests.sheetbuild import a_part, a_plan, a_stock, an_offcut, laid_out

LENGTHS = st.integers(0, LONGEST)
NAMES = st.text(max_size=6)


def read(body, **fields):
    return parse_plan(an_entry(Kind.SHEETS_PLANNED, body, id="P1", **fields))


def again(plan):
    """Return a plan as another kiosk reads it."""
    return read(json.loads(json.dumps(as_body(plan))))


def a_real_plan():
    pieces = [a_part(f"A{n}") for n in range(9)]
    pieces += [a_part(f"C{n}", 700, 80, bevel=45.0, grain="length") for n in range(3)]
    _of, sheets = laid_out(pieces, a_stock(offcuts=[an_offcut("K1")]))
    return a_plan(sheets, bounds=((sheets[0].material, 1),), left_out=("A99",))


def test_a_plan_with_strips_and_an_offcut_comes_back():
    plan = a_real_plan()

    assert {bool(one.offcut) for one in plan.sheets} == {True, False}
    assert any(one.strips for one in plan.sheets)
    assert again(plan) == plan


def test_it_takes_about_ninety_bytes_for_each_cut():
    plan = a_real_plan()
    cuts = sum(len(one.sheet.cuts) for one in plan.sheets)

    assert len(json.dumps(as_body(plan))) < 400 + 110 * cuts + 60 * 12


PLACED = st.builds(
    Placed, code=NAMES, x=LENGTHS, y=LENGTHS, length=LENGTHS, width=LENGTHS, is_turned=st.booleans()
)
CUTS = st.builds(
    Cut,
    number=st.just(0),
    piece_in=NAMES,
    direction=st.sampled_from(Direction),
    measure=LENGTHS,
    piece_out=NAMES,
    rest=NAMES,
    rest_length=LENGTHS,
    rest_width=LENGTHS,
    part=NAMES,
    rest_part=NAMES,
    is_trim=st.booleans(),
)
OFFCUTS = st.builds(Offcut, piece=NAMES, x=LENGTHS, y=LENGTHS, length=LENGTHS, width=LENGTHS)
STRIPS = st.builds(
    Strip,
    code=NAMES,
    length=LENGTHS,
    width=LENGTHS,
    thickness=LENGTHS,
    tilt=st.floats(-90, 90),
    long_faces=st.tuples(LENGTHS, LENGTHS),
    setting=LENGTHS,
    lanes=st.lists(st.lists(st.tuples(NAMES, LENGTHS), max_size=3).map(tuple), max_size=2).map(
        tuple
    ),
)
MATERIALS = st.builds(Material, NAMES, st.none() | LENGTHS)


@st.composite
def planned(draw):
    offcut = draw(NAMES)
    cuts = draw(st.lists(CUTS, max_size=3))
    stock = Stock(
        code=draw(NAMES),
        length=draw(LENGTHS),
        width=draw(LENGTHS),
        count=1,
        trim=draw(LENGTHS),
        is_offcut=bool(offcut),
    )
    sheet = Sheet(
        name=draw(NAMES),
        stock=stock,
        parts=tuple(draw(st.lists(PLACED, max_size=2))),
        cuts=tuple(
            Cut(**{name: getattr(cut, name) for name in cut.__slots__} | {"number": number})
            for number, cut in enumerate(cuts, 1)
        ),
        offcuts=tuple(draw(st.lists(OFFCUTS, max_size=2))),
        whole=draw(NAMES),
    )
    return PlannedSheet(
        origin=draw(NAMES),
        material=draw(MATERIALS),
        kerf=draw(LENGTHS),
        sheet=sheet,
        strips=tuple(draw(st.lists(STRIPS, max_size=1))),
        offcut=offcut,
        levels=draw(st.none() | st.integers(0, 9)),
        least_offcut=draw(st.just(LEAST_OFFCUT) | LENGTHS),
    )


@given(
    st.lists(planned(), max_size=3),
    st.lists(st.tuples(MATERIALS, st.integers(0, 99)), max_size=2),
    st.lists(NAMES, max_size=3),
)
def test_any_plan_comes_back_as_it_was(sheets, bounds, left_out):
    plan = SheetPlan(
        id="P1",
        job="GLAZE",
        made=at("08:00"),
        sheets=tuple(sheets),
        bounds=tuple(bounds),
        left_out=tuple(left_out),
    )

    assert again(plan) == plan


def changed(path, value):
    """Return a plan's body with something else at one place."""
    body = json.loads(json.dumps(as_body(a_real_plan())))
    at_place = body
    for key in path[:-1]:
        at_place = at_place[key]
    at_place[path[-1]] = value
    return body


@pytest.mark.parametrize(
    ("path", "value"),
    [
        (("version",), 2),
        (("sheets",), None),
        (("sheets", 0), 5),
        (("sheets", 0, "stock"), ["K1", 5]),
        (("sheets", 0, "kerf"), -1),
        (("sheets", 0, "kerf"), LONGEST + 1),
        (("sheets", 0, "kerf"), True),
        (("sheets", 0, "material"), 7),
        (("sheets", 0, "name"), 7),
        (("sheets", 0, "cuts"), [["S1", "across", 5, "S1.1"]]),
        (("sheets", 0, "cuts"), [["S1", "rip", 5, "S1.1", "", 0, 0, "", "", 0, 0]]),
        (("sheets", 0, "strips"), [["s", 1, 1, 1, True, 1, 1, 1]]),
        (("sheets", 0, "strips"), [["s", 1, 1, 1, "45", 1, 1, 1]]),
        (("sheets", 0, "strips"), [["s", 1, 1, 1, 45.0, 1, 1, 1, ["C1"]]]),
        (("sheets", 0, "strips"), [["s", 1, 1, 1, float("inf"), 1, 1, 1]]),
        (("sheets", 0, "strips"), [["s", 1, 1, 1, 10**400, 1, 1, 1]]),
        (("bounds",), [[0]]),
        (("left_out",), [5]),
    ],
)
def test_a_body_that_is_not_understood_is_passed_over(path, value):
    assert read(changed(path, value)) is None


def test_an_empty_body_is_no_plan():
    assert read({}) is None
