"""The whole order of cuts: square ones first, bevels together, then cleats to length."""

from dataclasses import replace
from datetime import UTC, datetime
from itertools import pairwise

from hypothesis import given, settings
from hypothesis import strategies as st

from kiosk.rules.breakdown.model import Cut, Direction, Placed, Sheet, Stock
from kiosk.rules.lengths import Length, System
from kiosk.rules.sheets.bevelcheck import find_faults
from kiosk.rules.sheets.lines import (
    GUARDED,
    LEANS,
    ON_A_RAIL,
    bevel_words,
    count_settings,
    cut_lines,
    freeing,
    label_order,
    setting_of,
    strip_at,
)
from kiosk.rules.sheets.model import CutLine, PlannedSheet, SheetPlan, Strip
from tests.cleats import FULL, KERF, MM, PLY, board, cleat, plan

CALM = settings(max_examples=25, deadline=None, derandomize=True)
RIP, CROSSCUT = Direction.RIP, Direction.CROSSCUT


def rows(planned: PlannedSheet) -> list[tuple[object, ...]]:
    return [
        (one.number, one.piece_in, one.direction, one.measure / MM, one.piece_out, one.rest,
         one.frees, one.tilt)
        for one in cut_lines(planned)
    ]  # fmt: skip


def strip(code: str, *lanes, length: int = 900, tilt: float = 45.0, face: int = 80) -> Strip:
    """Return a strip by hand; each lane is a list of codes with lengths in mm."""
    two = len(lanes) == 2
    return Strip(
        code=code,
        length=length * MM,
        # 18 mm at 45 degrees, a kerf of 3.2: 4.5255 mm of slot are 7241 units
        width=2 * face * MM - 18 * MM + 7241 if two else face * MM,
        thickness=18 * MM,
        tilt=tilt,
        long_faces=(face * MM, face * MM if two else 0),
        setting=(face - 18) * MM,
        lanes=tuple(tuple((code, size * MM) for code, size in lane) for lane in lanes),
    )


def lone(*strips: Strip, whole: str = "", cuts: tuple[Cut, ...] = (), **more) -> PlannedSheet:
    """Return a sheet of one piece of stock, by hand."""
    first = strips[0]
    stock = Stock(code="rest", length=first.length, width=first.width)
    parts = (Placed(code=first.code, x=0, y=0, length=first.length, width=first.width),)
    fields = {"name": "S1", "stock": stock, "parts": parts, "offcuts": (), **more}
    return PlannedSheet(
        origin="P1",
        material=PLY,
        kerf=KERF,
        sheet=Sheet(cuts=cuts, whole=whole, **fields),
        strips=strips,
    )


def test_a_strip_that_is_its_sheet_is_parted_by_one_bevel():
    planned = lone(strip("A/B", [("A", 900)], [("B", 900)]), whole="A/B")

    assert rows(planned) == [(1, "S1", RIP, 62.0, "S1.1", "S1.2", ("A", "B"), 45.0)]
    (line,) = cut_lines(planned)
    assert (line.rest_length, line.rest_width) == (900 * MM, 80 * MM)
    assert find_faults(planned) == ()
    assert freeing(planned) == {"A": 1, "B": 1}


def test_a_single_lane_loses_a_wedge_and_nothing_remains():
    planned = lone(strip("A/", [("A", 900)]), whole="A/")

    assert rows(planned) == [(1, "S1", RIP, 62.0, "S1.1", "", ("A",), 45.0)]
    assert find_faults(planned) == ()


def test_lanes_are_cut_to_length_after_the_bevel_the_longest_first():
    # 500 + 300 and two blades of 3.2: 93.6 remain
    planned = lone(strip("A/B", [("A", 900)], [("C", 300), ("B", 500)]), whole="A/B")

    assert rows(planned) == [
        (1, "S1", RIP, 62.0, "S1.1", "S1.2", ("A",), 45.0),
        (2, "S1.2", CROSSCUT, 500.0, "S1.2.1", "S1.2", ("B",), 0.0),
        (3, "S1.2", CROSSCUT, 300.0, "S1.2.2", "S1.2.3", ("C",), 0.0),
    ]
    last = cut_lines(planned)[-1]
    assert (last.rest_length, last.rest_width) == (round(93.6 * MM), 80 * MM)
    assert not last.keeps_offcut
    assert find_faults(planned) == ()


def test_the_last_cleat_of_an_exact_fit_is_what_remains():
    base = strip("A/B", [("A", 900)], [("B", 500)])
    lane = (("B", 500 * MM), ("C", 400 * MM - KERF))
    planned = lone(replace(base, lanes=(base.lanes[0], lane)), whole="A/B")

    assert rows(planned)[1:] == [
        (2, "S1.2", CROSSCUT, 500.0, "S1.2.1", "S1.2.2", ("B", "C"), 0.0),
    ]
    assert find_faults(planned) == ()


def test_an_end_thinner_than_the_blade_is_dust():
    planned = lone(strip("A/B", [("A", 900)], [("B", 897)]), whole="A/B")

    assert rows(planned)[1:] == [(2, "S1.2", CROSSCUT, 897.0, "S1.2.1", "", ("B",), 0.0)]
    assert find_faults(planned) == ()


def test_square_cuts_keep_their_order_and_free_no_strip():
    pieces = [board("X", 700, 300), *(cleat(code) for code in "ABC")]
    (planned,) = plan(pieces)
    square = [line for line in cut_lines(planned) if not line.tilt]

    assert [one.number for one in cut_lines(planned)] == list(range(1, len(cut_lines(planned)) + 1))
    assert [
        (one.number, one.piece_in, one.direction, one.measure, one.piece_out, one.rest)
        for one in square
    ] == [
        (one.number, one.piece_in, one.direction, one.measure, one.piece_out, one.rest)
        for one in planned.sheet.cuts
    ]
    assert [one.is_trim for one in square] == [True] * 4 + [False] * (len(square) - 4)
    assert {code for one in square for code in one.frees} == {"X"}
    assert set(freeing(planned)) == set("XABC")


def test_bevels_come_by_tilt_then_by_setting_and_lengths_come_last():
    pieces = [
        *(cleat(f"A{n}", 900, 80) for n in range(4)),
        *(cleat(f"B{n}", 900, 120) for n in range(4)),
        *(cleat(f"C{n}", 900, 80, bevel=30.0) for n in range(4)),
        cleat("D1", 500, 80),
        cleat("D2", 396, 80),
        cleat("D3", 910, 80),
        board("X", 700, 300),
    ]
    (planned,) = plan(pieces)
    lines = cut_lines(planned)
    bevels = [one for one in lines if one.tilt]
    first = lines.index(bevels[0])

    assert lines[first : first + len(bevels)] == tuple(bevels)
    assert [(one.tilt, round(one.measure / MM, 1)) for one in bevels] == [
        (30.0, 69.6), (30.0, 69.6), (45.0, 102.0), (45.0, 102.0), (45.0, 62.0), (45.0, 62.0),
        (45.0, 62.0),
    ]  # fmt: skip
    assert [one.frees for one in lines[first + len(bevels) :]] == [("D1",), ("D2",)]
    assert find_faults(planned, pieces) == ()


def test_what_remains_and_is_an_offcut_is_kept():
    (planned,) = plan([board("X", 700, 300)])
    kept = {one.rest for one in cut_lines(planned) if one.keeps_offcut}

    assert kept == {one.piece for one in planned.sheet.offcuts}
    assert len(kept) == 2


def test_a_bevel_follows_a_strip_that_was_freed_as_what_remained():
    pair = strip("A/B", [("A", 900)], [("B", 900)])
    stock = Stock(code="rest", length=900 * MM, width=300 * MM + KERF + pair.width)
    cut = Cut(
        number=1, piece_in="S1", direction=RIP, measure=300 * MM, piece_out="S1.1", rest="S1.2",
        rest_length=900 * MM, rest_width=pair.width, part="X", rest_part="A/B",
    )  # fmt: skip
    planned = lone(
        pair,
        cuts=(cut,),
        stock=stock,
        parts=(
            Placed(code="X", x=0, y=0, length=900 * MM, width=300 * MM),
            Placed(code="A/B", x=0, y=300 * MM + KERF, length=900 * MM, width=pair.width),
        ),
    )

    assert [row[1] for row in rows(planned)] == ["S1", "S1.2"]
    assert [row[6] for row in rows(planned)] == [("X",), ("A", "B")]
    assert find_faults(planned) == ()


def test_a_part_that_is_its_sheet_has_no_line_and_its_label_first():
    single = strip("A/", [("A", 900)])
    sheet = Sheet(
        name="S2",
        stock=Stock(code="rest", length=400 * MM, width=300 * MM),
        parts=(Placed(code="X", x=0, y=0, length=400 * MM, width=300 * MM),),
        cuts=(),
        offcuts=(),
        whole="X",
    )
    uncut = PlannedSheet(origin="P1", material=PLY, kerf=KERF, sheet=sheet)

    assert cut_lines(uncut) == ()
    assert freeing(uncut) == {"X": 0}
    assert find_faults(uncut) == ()
    made = datetime(2026, 3, 2, 8, tzinfo=UTC)
    both = SheetPlan(id="P1", job="J1", made=made, sheets=(uncut, lone(single, whole="A/")))
    assert label_order(both) == ("X", "A")


def test_a_strip_that_does_not_lie_there_has_no_line():
    assert cut_lines(lone(strip("A/", [("A", 900)]))) == ()


def test_a_lane_too_full_or_empty_still_has_lines():
    too_full = strip("A/B", [("A", 900)], [("B", 700), ("C", 700)])
    empty = strip("A/B", [], [("B", 900)])

    assert len(cut_lines(lone(too_full, whole="A/B"))) == 3
    assert len(cut_lines(lone(empty, whole="A/B"))) == 1


def test_labels_are_due_in_the_order_of_the_lines_both_of_a_strip_together():
    pieces = [board("X", 700, 300), *(cleat(code) for code in "ABCD"), cleat("E", 300)]
    sheets = plan(pieces)
    made = datetime(2026, 3, 2, 8, tzinfo=UTC)
    order = label_order(SheetPlan(id="P1", job="J1", made=made, sheets=sheets))

    assert sorted(order) == sorted(piece.code for piece in pieces)
    assert order == tuple(
        code for planned in sheets for line in cut_lines(planned) for code in line.frees
    )
    assert order.index("B") == order.index("A") + 1
    assert order.index("D") == order.index("C") + 1


def test_equal_measures_in_a_row_are_one_setting_and_trims_are_none():
    def line(number, measure, tilt=0.0, *, is_trim=False):
        return CutLine(
            number=number, piece_in="S1", piece_out=f"S1.{number}", direction=Direction.RIP,
            measure=Length(measure), tilt=tilt, is_trim=is_trim,
        )  # fmt: skip

    trim = line(1, 900, is_trim=True)
    lines = [trim, line(2, 300), line(3, 300), line(4, 200), line(5, 200, 45.0), line(6, 300)]

    assert setting_of(trim) is None
    assert setting_of(lines[4]) == (Direction.RIP, 200, 45.0)
    assert count_settings(lines) == 4
    assert count_settings([trim]) == count_settings([]) == 0


def test_a_bevel_says_how_far_the_blade_must_reach():
    planned = lone(strip("A/B", [("A", 900)], [("B", 900)]), whole="A/B")

    assert bevel_words(planned, system=System.MM) == (
        "Tilt the blade to 45°; so tilted it must reach 25.46 mm.",
        LEANS,
        GUARDED,
        ON_A_RAIL,
    )
    assert "must reach 1.002" in bevel_words(planned, system=System.INCH)[0]


def test_each_tilt_is_said_once_and_square_sheets_say_nothing():
    pieces = [cleat("A"), cleat("B", 800), cleat("C", bevel=30.0)]
    (planned,) = plan(pieces)

    assert [words[:22] for words in bevel_words(planned, system=System.MM)[:-3]] == [
        "Tilt the blade to 30°;",
        "Tilt the blade to 45°;",
    ]
    assert bevel_words(plan([board("X", 700, 300)])[0], system=System.MM) == ()


def test_a_bevel_line_tells_its_strip_and_no_other_line_does():
    pieces = [cleat("A"), cleat("B"), cleat("C", 700, 90)]
    (planned,) = plan(pieces)
    told = {one.frees: strip_at(planned, one) for one in cut_lines(planned) if one.tilt}

    assert {codes: found and found.long_faces[0] for codes, found in told.items()} == {
        ("A", "B"): 80 * MM,
        ("C",): 90 * MM,
    }
    assert {strip_at(planned, one) for one in cut_lines(planned) if not one.tilt} == {None}


PIECES = st.lists(
    st.tuples(
        st.sampled_from([300, 450, 613, 900, 1120]),
        st.sampled_from([60, 70, 89.5]),
        st.sampled_from([0, 30, 45, 45, 45]),
    ),
    min_size=1,
    max_size=20,
).map(
    lambda rows: [
        cleat(f"P{n}", length, width, bevel=float(tilt))
        for n, (length, width, tilt) in enumerate(rows)
    ]
)


@CALM
@given(pieces=PIECES)
def test_every_part_is_freed_by_one_line_and_cuts_again(pieces):
    sheets = plan(pieces, tries=0)
    freed = [code for planned in sheets for line in cut_lines(planned) for code in line.frees]

    assert sorted(freed) == sorted(piece.code for piece in pieces)
    for planned in sheets:
        assert find_faults(planned, pieces) == ()
        bevels = [one for one in cut_lines(planned) if one.tilt]
        for one, other in pairwise(bevels):
            assert (one.tilt, -one.measure) <= (other.tilt, -other.measure)
    assert all(planned.sheet.stock == FULL for planned in sheets)
