"""Cleats in strips: nothing lost, equal ones in pairs, left-overs beside each other."""

from collections import Counter
from dataclasses import replace
from math import ceil, cos, radians, tan

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kiosk.rules.breakdown.model import Part
from kiosk.rules.lengths import Length, from_mm, mm
from kiosk.rules.sheets.model import Strip
from kiosk.rules.sheets.strips import as_part, pair_cleats, plain
from tests.cleats import KERF, MM, board, cleat

CALM = settings(max_examples=150, deadline=None, derandomize=True)
LONGEST = Length(2430 * MM)


def strips_of(*pieces, **more) -> tuple[Strip, ...]:
    strips, problems = pair_cleats(pieces, kerf=KERF, longest=LONGEST, **more)
    assert problems == ()
    return strips


def codes(strips) -> list[list[str]]:
    return [["+".join(code for code, _length in lane) for lane in one.lanes] for one in strips]


def test_two_cleats_are_one_strip_worked_by_hand():
    # t 18, a 45, k 3.2: 2 x 80 - 18 + 4.52548 = 146.52548, the fence at 80 - 18
    (strip,) = strips_of(cleat("A"), cleat("B"))

    assert (strip.length, strip.thickness, strip.tilt) == (900 * MM, 18 * MM, 45.0)
    assert mm(strip.width) == pytest.approx(146.5255, abs=0.0013)
    assert strip.setting == 62 * MM
    assert strip.long_faces == (80 * MM, 80 * MM)
    assert strip.lanes == ((("A", 900 * MM),), (("B", 900 * MM),))
    assert as_part(strip) == Part(
        code=strip.code, length=900 * MM, width=strip.width, is_locked=True
    )


def test_an_odd_cleat_is_a_strip_of_its_own_as_wide_as_its_long_face():
    pair, single = strips_of(cleat("A"), cleat("B"), cleat("C"))

    assert codes([pair, single]) == [["A", "B"], ["C"]]
    assert (single.width, single.long_faces) == (80 * MM, (80 * MM, 0))
    assert single.setting == 62 * MM


def test_cleats_of_one_width_pair_before_unequal_mates():
    strips = strips_of(cleat("A", width=90), cleat("B", width=60), cleat("C", width=60))

    assert codes(strips) == [["A"], ["B", "C"]] or codes(strips) == [["B", "C"], ["A"]]


def test_unequal_mates_of_one_length_share_a_strip_the_wider_at_the_fence():
    (strip,) = strips_of(cleat("hung", width=60), cleat("wall", width=90))

    assert codes([strip]) == [["wall", "hung"]]
    assert strip.long_faces == (90 * MM, 60 * MM)
    assert strip.setting == 72 * MM
    assert mm(strip.width) == pytest.approx(136.5255, abs=0.0013)


def test_left_overs_of_other_lengths_fill_the_lane_beside_the_longest():
    # 500 + 396 + 3.2 is 899.2: beside 900 it leaves nothing worth a strip
    (strip,) = strips_of(cleat("A", 396), cleat("B", 900), cleat("C", 500))

    assert codes([strip]) == [["B", "C+A"]]
    assert strip.length == 900 * MM


def test_a_lane_that_would_be_a_blade_too_long_is_not_made():
    # 500 + 397 + 3.2 = 900.2; 900 beside 500 takes 903.2 x 149.73, apart 1406.4 x 83.2: less
    assert codes(strips_of(cleat("A", 397), cleat("B", 900), cleat("C", 500))) == [
        ["B"],
        ["C"],
        ["A"],
    ]


def test_a_left_over_nearly_as_long_as_another_lies_beside_it():
    # 503.2 x 149.73 = 75342; apart 500 + 401: 907.4 x 83.2 = 75496, with 399 75329
    assert codes(strips_of(cleat("A", 401), cleat("C", 500))) == [["C", "A"]]
    assert codes(strips_of(cleat("A", 399), cleat("C", 500))) == [["C"], ["A"]]


def test_a_lane_may_fit_to_the_unit_each_blade_counted():
    # 396.8 + 500 + 3.2 = 900; 193.6 + 300 + 400 + 2 x 3.2 = 900
    two = strips_of(cleat("A", 396.8), cleat("B", 900), cleat("C", 500))
    three = [cleat("B", 900), cleat("C", 400), cleat("D", 300)]

    assert codes(two) == [["B", "C+A"]]
    assert codes(strips_of(*three, cleat("A", 193.6))) == [["B", "C+D+A"]]
    assert "C+D+A" not in str(codes(strips_of(*three, cleat("A", 193.7))))


def test_the_fullest_lane_is_taken_not_the_longest_first():
    strips = strips_of(*(cleat(str(n), n) for n in (1120, 700, 570, 545)))

    assert codes(strips) == [["1120", "570+545"], ["700"]]


def test_cleats_of_two_widths_do_not_share_a_lane():
    strips = strips_of(cleat("A", 900), cleat("B", 500), cleat("C", 390, 70))

    assert sorted(codes(strips)) == [["A"], ["B", "C"]]


def test_different_tilts_and_thicknesses_share_no_strip():
    strips = strips_of(
        cleat("A"), cleat("B", bevel=30.0), cleat("C", thickness=from_mm(12)), cleat("D")
    )

    assert sorted(codes(strips)) == [["A", "D"], ["B"], ["C"]]


def test_no_pair_is_wider_than_a_sheet():
    pieces = [cleat("A", width=90), cleat("B", width=90), cleat("C", width=60), cleat("D", 850, 90)]
    # two of 90 need 166.5, 90 and 60 need 136.5
    strips = strips_of(*pieces, widest=from_mm(150))

    assert codes(strips) == [["A", "C"], ["B"], ["D"]]
    (pair,) = strips_of(*pieces[:2])
    assert codes(strips_of(*pieces[:2], widest=pair.width)) == [["A", "B"]]
    assert codes(strips_of(*pieces[:2], widest=Length(pair.width - 1))) == [["A"], ["B"]]


def test_square_pieces_are_passed_over_and_laid_out_as_they_are():
    pieces = [board("X", 700, 300), cleat("A"), cleat("B")]
    strips = strips_of(*pieces)

    assert codes(strips) == [["A", "B"]]
    assert plain(pieces, strips) == (pieces[0],)


def test_a_piece_that_says_no_thickness_has_that_of_its_sheet():
    (strip,) = strips_of(cleat("A", thickness=None), cleat("B"), thickness=from_mm(18))

    assert strip.thickness == 18 * MM


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ({"thickness": None}, "thickness is not known"),
        ({"bevel": 61.0}, "no blade tilts by 61 degrees"),
        ({"bevel": -45.0}, "no blade tilts by -45 degrees"),
        ({"width": 18}, "leaves no short face"),
        ({"grain": "width"}, "grain runs across"),
        ({"length": 2430.1}, "longer than any sheet"),
        ({"width": 1210.1}, "wider than any sheet"),
    ],
)
def test_a_cleat_that_cannot_be_is_named_and_stays_a_plain_part(more, said):
    pieces = [cleat("A", **more), cleat("B")]
    strips, (problem,) = pair_cleats(pieces, kerf=KERF, longest=LONGEST, widest=from_mm(1210))

    assert "Part A" in problem.message
    assert said in problem.message
    assert problem.remedy.endswith("laid out square, as wide as its long face.")
    assert len(problem.remedy) > 70
    assert codes(strips) == [["B"]]
    assert plain(pieces, strips) == (pieces[0],)


def test_the_largest_that_can_be_is_made():
    pieces = [cleat("A", bevel=60.0), cleat("B", 2430, 1210)]
    pieces += [replace(cleat("C"), width=Length(18 * MM + 1))]
    strips, problems = pair_cleats(pieces, kerf=KERF, longest=LONGEST, widest=from_mm(1210))

    assert problems == ()
    assert len(strips) == 3


PIECES = st.lists(
    st.tuples(
        st.sampled_from([300, 450, 613, 900, 1120, 2400]),
        st.sampled_from([15, 60, 70, 89.5, 120]),
        st.sampled_from([0, 22.5, 30, 45, 45, 45, 80]),
        st.sampled_from([None, 12, 18]),
    ),
    max_size=24,
).map(
    lambda rows: [
        cleat(f"P{n}", length, width, bevel=float(tilt), thickness=thick and from_mm(thick))
        for n, (length, width, tilt, thick) in enumerate(rows)
    ]
)


@CALM
@given(pieces=PIECES)
def test_every_bevelled_piece_is_in_one_lane_or_named(pieces):
    strips, problems = pair_cleats(pieces, kerf=KERF, longest=Length(2000 * MM))
    held = Counter(code for one in strips for lane in one.lanes for code, _length in lane)
    named = Counter(problem.message.split()[1].rstrip(":") for problem in problems)
    bevelled = Counter(piece.code for piece in pieces if piece.bevel)

    assert held + named == bevelled
    assert {piece.code for piece in plain(pieces, strips)} == (
        {piece.code for piece in pieces} - held.keys()
    )
    assert len({one.code for one in strips} | {piece.code for piece in pieces}) == len(
        strips
    ) + len(pieces)


@CALM
@given(pieces=PIECES)
def test_every_strip_gives_its_cleats_their_faces_and_their_lengths(pieces):
    sizes = {piece.code: piece for piece in pieces}
    strips, _problems = pair_cleats(pieces, kerf=KERF, longest=LONGEST)
    for one in strips:
        lean = one.thickness * tan(radians(one.tilt))
        gap = KERF / cos(radians(one.tilt))
        rebuilt = [one.setting + lean, one.width - one.setting - gap]
        for lane, face in zip(one.lanes, rebuilt, strict=False):
            for code, length in lane:
                piece = sizes[code]
                assert (piece.bevel, piece.length) == (one.tilt, length)
                assert piece.thickness == one.thickness
                assert -1e-4 < face - piece.width < 2.01
            total = sum(length for _code, length in lane) + KERF * (len(lane) - 1)
            assert total <= one.length <= LONGEST


@CALM
@given(pieces=PIECES)
def test_strips_take_less_of_a_sheet_than_square_ones(pieces):
    sizes = {piece.code: piece for piece in pieces}
    strips, _problems = pair_cleats(pieces, kerf=KERF, longest=LONGEST)
    for one in strips:
        held = [sizes[code] for lane in one.lanes for code, _length in lane]
        square = sum((piece.length + KERF) * (piece.width + KERF) for piece in held)
        taken = (one.length + KERF) * (one.width + KERF)
        assert taken < square if len(one.lanes) == 2 else taken == square


@CALM
@given(widths=st.lists(st.sampled_from([60, 75, 90, 120]), min_size=1, max_size=30))
def test_cleats_of_one_length_take_half_as_many_strips(widths):
    strips = strips_of(*(cleat(f"P{n}", width=width) for n, width in enumerate(widths)))

    assert len(strips) == ceil(len(widths) / 2)


@CALM
@given(pieces=PIECES)
def test_the_same_pieces_give_the_same_strips(pieces):
    first = pair_cleats(pieces, kerf=KERF, longest=LONGEST)
    again = pair_cleats([replace(piece) for piece in pieces], kerf=KERF, longest=LONGEST)

    assert first == again
