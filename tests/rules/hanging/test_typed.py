"""Places, levels and studs as people type them: 0 may be, below 0 of a level only."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.rules.hanging.typed import STUD_WIDTH, read_level, read_place, studs_apart
from kiosk.rules.hanging.wall import MeasuredWall, Stud
from kiosk.rules.hanging.wallcheck import wrong_studs
from kiosk.rules.lengths import System, from_mm, mm

FIRST = Stud(x=from_mm(19.05), width=from_mm(38.1), species="SPF")


@pytest.mark.parametrize(
    ("text", "system", "wanted"),
    [
        ("0", System.MM, 0),
        (" 00 ", System.MM, 0),
        ("0.0", System.INCH, 0),
        ("0,", System.MM, 0),
        ("1215.75", System.MM, 1215.75),
        ("23 3/4", System.INCH, 603.25),
    ],
)
def test_a_place_is_read_as_typed(text, system, wanted):
    assert read_place(text, system=system) == (from_mm(wanted), "")


@pytest.mark.parametrize("text", ["", "-5", "abc", "30000", "0.0.0"])
def test_what_is_no_place_is_said_in_words(text):
    found, why = read_place(text)
    assert found is None
    assert why


@pytest.mark.parametrize(
    ("text", "system", "wanted"),
    [
        ("-6.5", System.MM, -6.5),
        ("3", System.MM, 3),
        ("-1/8", System.INCH, -3.175),
        ("-0", System.MM, 0),
    ],
)
def test_a_level_may_lie_below_the_line(text, system, wanted):
    assert read_level(text, system=system) == (from_mm(wanted), "")


@pytest.mark.parametrize("text", ["-", "--3", "3-"])
def test_a_minus_in_the_wrong_place_is_no_level(text):
    found, why = read_level(text)
    assert found is None
    assert why


def test_studs_16_inches_apart_go_to_the_right_end():
    # 19.05 + n * 406.4 up to 2400: six studs, the last at 2051.05
    studs, why = studs_apart(FIRST, from_mm(406.4), wall=from_mm(2400))
    assert why == ""
    assert [mm(one.x) for one in studs] == [19.05, 425.45, 831.85, 1238.25, 1644.65, 2051.05]
    assert {(one.width, one.species) for one in studs} == {(FIRST.width, "SPF")}


def test_the_proposed_width_is_that_of_a_common_stud():
    assert mm(STUD_WIDTH) == 38.1


@pytest.mark.parametrize("pitch", [0, 16, 99.99])
def test_studs_nearer_than_one_measured_twice_are_refused(pitch):
    studs, why = studs_apart(FIRST, from_mm(pitch), wall=from_mm(2400))
    assert studs == ()
    assert "so near" in why


def test_a_first_stud_beside_the_wall_is_refused():
    studs, why = studs_apart(FIRST, from_mm(400), wall=from_mm(19))
    assert studs == ()
    assert "beside the wall" in why


@given(
    st.integers(0, 20_000 * 1600),
    st.integers(100 * 1600, 2000 * 1600),
    st.integers(0, 20_000 * 1600),
)
def test_all_proposed_studs_are_on_the_wall_and_none_is_measured_twice(first, pitch, wall):
    studs, why = studs_apart(Stud(x=first, width=FIRST.width), pitch, wall=wall)
    assert bool(why) is (first > wall)
    assert all(0 <= one.x <= wall for one in studs)
    measured = MeasuredWall(wall="W1", width=wall, height=wall, studs=studs)
    assert list(wrong_studs(measured, System.MM)) == []
    if studs:
        assert studs[-1].x + pitch > wall, "none is left out at the right end"
