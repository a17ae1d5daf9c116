"""The check of bevels refuses what it should: seeded faults in settings, lanes, tilts and lines."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kiosk.rules.breakdown.model import Direction, Stock
from kiosk.rules.lengths import Length, from_mm
from kiosk.rules.sheets.bevelcheck import ALLOWED, find_faults
from kiosk.rules.sheets.lines import cut_lines
from kiosk.rules.sheets.model import CutLine, PlannedSheet
from kiosk.rules.sheets.strips import pair_cleats
from tests.cleats import KERF, MM, board, cleat, plan

PIECES = [
    board("X", 700, 300),
    board("Y", 600, 200),
    cleat("A", width=90),
    cleat("B", width=60),
    cleat("C"),
    cleat("D"),
    cleat("E", 500),
    cleat("F", 396),
    cleat("G", 910),
    cleat("H", 300, 70, bevel=30.0),
]
(SHEET,) = plan(PIECES)
LINES = cut_lines(SHEET)
BEVELS = [number for number, line in enumerate(LINES) if line.tilt]


def said(planned: PlannedSheet = SHEET, lines=None, pieces=()) -> str:
    return " / ".join(find_faults(planned, pieces, lines=lines))


def with_line(index: int, **more) -> list[CutLine]:
    return [*LINES[:index], replace(LINES[index], **more), *LINES[index + 1 :]]


def strip_named(code: str, planned: PlannedSheet = SHEET):
    return next(
        one for one in planned.strips if any(code == c for lane in one.lanes for c, _ in lane)
    )


def changed(cleat_code: str, planned: PlannedSheet = SHEET, **more) -> PlannedSheet:
    """Change the strip that holds a cleat."""
    strip = strip_named(cleat_code, planned)
    return replace(
        planned,
        strips=tuple(replace(one, **more) if one is strip else one for one in planned.strips),
    )


def test_a_sound_sheet_passes():
    assert len(SHEET.strips) == 4
    assert find_faults(SHEET) == ()
    assert find_faults(SHEET, PIECES) == ()
    assert find_faults(SHEET, PIECES, lines=LINES) == ()


@pytest.mark.parametrize("index", BEVELS)
@pytest.mark.parametrize("by", [-2 * ALLOWED, 2 * ALLOWED, 5 * MM])
def test_a_moved_setting_of_a_bevel_is_refused(index, by):
    moved = with_line(index, measure=Length(LINES[index].measure + by))

    assert "cleat gets other faces" in said(lines=moved)


@pytest.mark.parametrize("index", [n for n in range(len(LINES)) if n not in BEVELS])
@pytest.mark.parametrize("by", [-1, 1])
def test_a_moved_fence_of_a_square_cut_is_refused_to_the_unit(index, by):
    moved = with_line(index, measure=Length(LINES[index].measure + by))

    assert said(lines=moved)


@pytest.mark.parametrize("index", range(len(LINES)))
def test_a_dropped_line_is_refused(index):
    left = [
        replace(one, number=n) for n, one in enumerate([*LINES[:index], *LINES[index + 1 :]], 1)
    ]

    assert said(lines=left)


@pytest.mark.parametrize("index", range(len(LINES)))
def test_a_line_told_twice_is_refused(index):
    twice = [*LINES[: index + 1], *LINES[index:]]

    assert said(lines=[replace(one, number=n) for n, one in enumerate(twice, 1)])


@pytest.mark.parametrize("index", BEVELS)
def test_another_tilt_is_refused(index):
    for tilt in (LINES[index].tilt - 0.5, LINES[index].tilt + 0.5):
        assert "tilted otherwise" in said(lines=with_line(index, tilt=tilt))
    assert said(lines=with_line(index, tilt=0.0))


def test_a_strip_of_another_tilt_is_refused():
    assert "not its section" in said(changed("C", tilt=44.0))
    assert "first cleat gets other faces" in said(changed("H", tilt=31.0))
    for tilt in (0.0, -45.0, 90.0, float("nan"), float("inf")):
        assert "no blade is tilted so" in said(changed("H", tilt=tilt))


def test_swapped_lanes_are_refused_where_the_mates_are_unequal():
    strip = strip_named("A")
    swapped = changed("A", lanes=strip.lanes[::-1])

    assert "A: it comes out in another size" in said(swapped, pieces=PIECES)
    index = next(n for n in BEVELS if LINES[n].frees == ("A", "B"))
    assert "comes out in another size" in said(lines=with_line(index, frees=("B", "A")))
    faces = changed("A", long_faces=strip.long_faces[::-1])
    assert "first cleat gets other faces" in said(faces)


def test_a_strip_set_for_its_other_lane_is_refused():
    strip = strip_named("A")

    assert "first cleat gets other faces" in said(changed("A", setting=from_mm(60 - 18)))
    # too wide by as much as the setting is: the first cleat is right, the second is not
    assert "not its section" in said(changed("A", long_faces=(strip.long_faces[0], from_mm(61))))


def test_a_second_cleat_that_the_blade_reaches_into_is_refused():
    # a strip and a line that agree with each other, but for half the allowed each way
    index = next(n for n in BEVELS if LINES[n].frees == ("C", "D"))
    strip = strip_named("C")
    faces = (strip.long_faces[0] + ALLOWED - 2, strip.long_faces[1] + 1)
    planned = changed("C", long_faces=faces)
    measure = Length(LINES[index].measure + 2 * ALLOWED - 2)
    lines = with_line(index, measure=measure, rest_width=faces[1])

    assert "second cleat gets other faces" in said(planned, lines=lines)


def test_a_cleat_freed_twice_or_never_is_refused():
    last = len(LINES) - 1
    index = next(n for n in BEVELS if LINES[n].frees == ("C", "D"))

    assert "C: it is freed 2 times" in said(lines=with_line(index, frees=("C", "C")))
    assert "D: it is freed 0 times" in said(lines=with_line(index, frees=("C",)))
    assert "comes out in another size" in said(lines=with_line(last, frees=("C", "F")))
    assert "nobody asked for a part Z" in said(lines=with_line(last, frees=("Z",)))
    assert "comes out in another size" in said(lines=with_line(index, frees=("C", "D", "C")))


def test_each_fault_of_a_line_is_named():
    last = len(LINES) - 1
    bevel = BEVELS[0]
    pair = next(n for n in BEVELS if LINES[n].frees == ("C", "D"))
    split = next(n for n, one in enumerate(LINES) if one.rest and not one.is_trim)

    assert "no piece S9 to cut" in said(lines=with_line(last, piece_in="S9"))
    freed = next(n for n, one in enumerate(LINES) if one.frees and not one.tilt)
    assert said(lines=with_line(last, piece_in=LINES[freed].piece_out))
    assert "edges are not trimmed" in said(lines=with_line(0, measure=Length(LINES[0].measure - 1)))
    assert "cut 1: the fence stands outside" in said(lines=with_line(0, measure=Length(0)))
    assert "fence stands outside" in said(lines=with_line(0, measure=Length(1220 * MM)))
    assert "out of order" in said(lines=with_line(last, number=1))
    assert "what remains has another size" in said(lines=with_line(split, rest_length=Length(1)))
    assert "what remains has another size" in said(lines=with_line(split, rest=""))
    assert "what remains has another size" in said(lines=with_line(pair, rest_width=Length(1)))
    assert "two pieces of one name" in said(lines=with_line(split, rest=LINES[split].piece_out))
    assert "two pieces of one name" in said(lines=with_line(pair, piece_out=LINES[bevel].piece_out))
    assert "has no bevel" in said(lines=with_line(split, tilt=45.0))
    assert "has no bevel" in said(lines=with_line(bevel, direction=Direction.CROSSCUT))


def test_each_fault_of_an_offcut_is_named():
    offcuts = SHEET.sheet.offcuts
    assert len(offcuts) >= 2
    fewer = replace(SHEET, sheet=replace(SHEET.sheet, offcuts=offcuts[1:]))
    larger = replace(offcuts[0], length=offcuts[0].length + 1)
    other = replace(SHEET, sheet=replace(SHEET.sheet, offcuts=(larger, *offcuts[1:])))

    assert "other offcuts are kept" in said(fewer, lines=LINES)
    assert "is not there" in said(other)
    keeps = next(n for n, one in enumerate(LINES) if one.keeps_offcut)
    assert "other offcuts are kept" in said(lines=with_line(keeps, keeps_offcut=False))
    freed = next(one for one in LINES if one.frees == ("X",))
    taken = replace(offcuts[0], piece=freed.piece_out, length=700 * MM, width=300 * MM)
    assert f"offcut {freed.piece_out} is not there" in said(
        replace(SHEET, sheet=replace(SHEET.sheet, offcuts=(*offcuts, taken)))
    )


def test_each_fault_of_a_strip_is_named():
    strip = strip_named("E")
    lanes = strip.lanes

    assert "lie there once" in said(changed("E", code="Z"))
    assert "lie there once" in said(changed("E", length=Length(strip.length + 1)))
    assert "another thickness" in said(changed("E", thickness=from_mm(17)))
    assert "not one lane or two" in said(changed("E", lanes=()))
    assert "not one lane or two" in said(changed("E", lanes=(*lanes, lanes[0])))
    assert "not one lane or two" in said(changed("E", lanes=lanes[:1]))
    assert "empty or too full" in said(changed("E", lanes=(lanes[0], ())))
    full = (*lanes[1][:1], (lanes[1][1][0], from_mm(406.9)))
    assert "empty or too full" in said(changed("E", lanes=(lanes[0], full)))
    assert "has no short face" in said(changed("C", long_faces=(from_mm(142.02), from_mm(17.99))))
    assert "not its section" in said(changed("H", long_faces=(from_mm(71), 0)))


def test_a_lane_that_just_fits_its_strip_passes():
    lanes = strip_named("E").lanes
    just = (*lanes[1][:1], (lanes[1][1][0], from_mm(910 - 500 - 3.2)))

    assert said(changed("E", lanes=(lanes[0], just))) == ""


def test_a_sheet_whose_thickness_nobody_said_is_checked_by_that_of_its_strips():
    bare = replace(SHEET, material=replace(SHEET.material, thickness=None))

    assert find_faults(bare) == ()
    assert "not its section" in said(changed("C", bare, thickness=from_mm(17)))


def test_what_lies_there_is_compared_with_the_pieces():
    def but(code, **more):
        return [replace(one, **more) if one.code == code else one for one in PIECES]

    assert "nobody asked for a part G" in said(pieces=[one for one in PIECES if one.code != "G"])
    assert "G: its bevel is another" in said(pieces=but("G", bevel=30.0))
    assert "G: it comes out in another size" in said(pieces=but("G", width=from_mm(81)))
    assert "X: it comes out in another size" in said(pieces=but("X", width=from_mm(301)))
    turned = but("X", width=from_mm(700), length=from_mm(300))
    assert said(pieces=turned) == ""
    across = but("G", width=from_mm(910), length=from_mm(80))
    assert "G: it comes out in another size" in said(pieces=across)


def test_a_kerf_that_was_not_reckoned_with_is_refused():
    assert "not its section" in said(replace(SHEET, kerf=Length(KERF + from_mm(0.2))))


def test_a_sheet_trimmed_to_one_part_is_followed():
    stock = Stock(code="rest", length=720 * MM, width=320 * MM, trim=10 * MM)
    pieces = [board("X", 700, 300)]
    (planned,) = plan(pieces, stock=stock)

    assert [one.frees for one in cut_lines(planned)] == [(), (), (), ("X",)]
    assert find_faults(planned, pieces) == ()


def test_a_sheet_trimmed_to_one_strip_is_followed():
    pieces = [cleat("A"), cleat("B")]
    ((strip,), _none) = pair_cleats(pieces, kerf=KERF, longest=Length(900 * MM))
    stock = Stock(code="rest", length=920 * MM, width=strip.width + 20 * MM, trim=10 * MM)
    (planned,) = plan(pieces, stock=stock)

    assert [one.frees for one in cut_lines(planned)] == [(), (), (), (), ("A", "B")]
    assert find_faults(planned, pieces) == ()


ODD = st.one_of(
    st.integers(-3, 3),
    st.sampled_from([0.0, 45.0, -1.0, 90.0, float("nan"), float("inf")]),
    st.sampled_from(["", "S1", "S1.1", "S1.2.1", "A", "Z"]),
    st.just(()),
)
NUMBERS = ("number", "measure", "rest_length", "rest_width", "tilt")
NAMES = ("piece_in", "piece_out", "rest")


@settings(max_examples=200, deadline=None, derandomize=True)
@given(
    index=st.integers(0, len(LINES) - 1),
    field=st.sampled_from([*NUMBERS, *NAMES, "frees", "is_trim", "keeps_offcut"]),
    odd=ODD,
)
def test_no_line_makes_the_check_fail_by_itself(index, field, odd):
    if field in NUMBERS and not isinstance(odd, int | float):
        odd = -1
    if field in NAMES and not isinstance(odd, str):
        odd = "S1.9"
    if field == "frees":
        odd = (str(odd),)
    told = find_faults(SHEET, PIECES, lines=with_line(index, **{field: odd}))

    assert told == () if getattr(LINES[index], field) == odd else isinstance(told, tuple)


@settings(max_examples=200, deadline=None, derandomize=True)
@given(
    number=st.integers(0, 3),
    field=st.sampled_from(["length", "width", "thickness", "tilt", "setting"]),
    odd=st.one_of(st.integers(-9, 9), st.floats()),
)
def test_no_strip_makes_the_check_fail_by_itself(number, field, odd):
    strips = list(SHEET.strips)
    strips[number] = replace(strips[number], **{field: odd})

    assert find_faults(replace(SHEET, strips=tuple(strips)))
