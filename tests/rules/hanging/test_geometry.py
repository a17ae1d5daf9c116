"""Panels, studs, rows, screws and floors, against hand-worked bays and brute force."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kiosk.rules.hanging.levelling import Reading, level
from kiosk.rules.hanging.panels import bears, two_panels
from kiosk.rules.hanging.rows import clear_above, cleat_rows, lift
from kiosk.rules.hanging.screws import SIZES
from kiosk.rules.hanging.studs import (
    Point,
    Zone,
    clashes,
    reached,
    screw_points,
    window,
)
from kiosk.rules.lengths import Length, from_mm, mm

CALM = settings(max_examples=200, deadline=None, derandomize=True)
BAY = [from_mm(406.4 * one) for one in range(7)]
SHEET = from_mm(1220)


def some(*values):
    return tuple(map(from_mm, values))


def test_the_worked_bay_moves_its_seam_to_a_stud():
    # W 2400, clearance 3, studs 406.4 apart: 1214.7 + 1176.3 + 9
    found = two_panels(from_mm(2400), BAY, widest=SHEET)
    assert (mm(found.left), mm(found.right), mm(found.seam)) == (1214.7, 1176.3, 1219.2)
    assert mm(found.stud) == 1219.2
    assert bears(found.seam, found.stud, stud_width=from_mm(38.1))


def test_without_a_stud_the_panels_are_equal_and_the_seam_hangs_beside():
    found = two_panels(from_mm(2400), [], widest=SHEET)
    assert (mm(found.left), mm(found.right), mm(found.seam)) == (1195.5, 1195.5, 1200.0)
    assert found.stud is None
    # by 0.15 mm
    assert not bears(found.seam, from_mm(1219.2), stud_width=from_mm(38.1))
    assert bears(found.seam, from_mm(1219.2), stud_width=from_mm(38.5))


def test_a_stud_that_would_make_a_panel_too_wide_is_passed_over():
    assert two_panels(from_mm(2400), BAY, widest=from_mm(1200)).stud is None
    # the left panel would be 1225.5 wide, then 1165.5 with 1225.5 to the right; then both fit
    near, far = from_mm(1230), from_mm(1165)
    assert two_panels(from_mm(2400), [near, far], widest=from_mm(1225)).stud is None
    assert two_panels(from_mm(2400), [near, far], widest=from_mm(1226)).stud == near


def test_the_seam_lies_on_the_stud_nearest_to_the_middle():
    # 812.8 lies 187.2 from the middle of 2000, 1219.2 lies 219.2 from it
    assert mm(two_panels(from_mm(2000), BAY, widest=SHEET).stud) == 812.8


@pytest.mark.parametrize(("width", "widest"), [(9, 1220), (2450, 1220)])
def test_no_two_panels_fill_it(width, widest):
    assert two_panels(from_mm(width), BAY, widest=from_mm(widest)) is None


@CALM
@given(
    st.integers(200 * 1600, 2400 * 1600),
    st.integers(0, 10 * 1600),
    st.lists(st.integers(0, 2400 * 1600), max_size=6),
)
def test_panels_fill_the_bay_to_the_last_unit(width, clearance, studs):
    found = two_panels(
        Length(width), [Length(one) for one in studs], widest=SHEET, clearance=Length(clearance)
    )
    if found is None:
        assert width - 3 * clearance > 2 * SHEET
        return
    assert found.left + found.right + 3 * clearance == width
    assert 0 < found.left <= SHEET
    assert 0 < found.right <= SHEET
    assert found.seam == found.left + clearance + clearance // 2
    if found.stud is not None:
        assert found.seam == found.stud


# 38.1 mm stud, 2.5 diameters to its edge (NDS commentary, from memory), no finder's error
@pytest.mark.parametrize(("gauge", "room"), [(8, 8.6), (10, 7.0), (12, 5.3), (14, 3.7)])
def test_how_exactly_a_screw_must_meet_a_stud(gauge, room):
    assert window(38.1, shank=SIZES[gauge].shank, error=0) == pytest.approx(room, abs=0.05)
    assert window(38.1, shank=SIZES[gauge].shank) == pytest.approx(room - 3, abs=0.05)


def test_a_thick_screw_has_no_room_at_all():
    assert window(15, shank=6.15) == 0


def test_the_studs_a_cleat_reaches():
    # by hand: from 100 + 15 to 980 - 15
    found = reached(from_mm(100), from_mm(880), studs=BAY, end=from_mm(15))
    assert [mm(one) for one in found] == [406.4, 812.8]
    assert reached(from_mm(400), from_mm(880), studs=some(406.4, 900), end=from_mm(15)) == some(900)
    edge = reached(from_mm(391.4), from_mm(436.4), studs=BAY, end=from_mm(15))
    assert [mm(one) for one in edge] == [406.4, 812.8]


def test_screws_go_row_by_row_from_below():
    found = screw_points(from_mm(1000), some(67, 15), studs=some(812.8, 406.4))
    assert [(mm(one.x), mm(one.y)) for one in found] == [
        (406.4, 1015), (812.8, 1015), (406.4, 1067), (812.8, 1067),
    ]  # fmt: skip
    assert [one.stud for one in found] == [one.x for one in found]


def test_screws_keep_out_of_zones():
    here = Point(x=from_mm(406.4), y=from_mm(1015), stud=from_mm(406.4))
    there = Point(x=from_mm(812.8), y=from_mm(1015), stud=from_mm(812.8))
    cable = Zone(
        name="cable", left=from_mm(420), right=from_mm(470), low=Length(0), high=from_mm(2400)
    )
    turned = Zone(
        name="pipe", left=from_mm(900), right=from_mm(830), low=from_mm(900), high=from_mm(1100)
    )
    low = Zone(name="outlet", left=Length(0), right=from_mm(900), low=Length(0), high=from_mm(300))
    points, zones = [here, there], [cable, turned, low]
    assert clashes(points, zones, margin=from_mm(13)) == ()
    # 13.6 mm from the cable: on the line is a clash
    assert clashes(points, zones, margin=from_mm(13.6)) == ((here, cable),)
    assert clashes(points, zones, margin=from_mm(20)) == ((here, cable), (there, turned))


def test_rows_lie_a_pitch_apart_from_the_top():
    found = cleat_rows(from_mm(2000), from_mm(1200), pitch=from_mm(300))
    assert [mm(one) for one in found] == [2000, 1700, 1400]
    assert cleat_rows(from_mm(1000), from_mm(1200), pitch=from_mm(300)) == ()
    with pytest.raises(ValueError, match="pitch"):
        cleat_rows(from_mm(2000), from_mm(1200), pitch=Length(0))


def test_a_unit_needs_room_to_be_lifted_on():
    # by hand: cleat 100 high, 18 thick; hook 18 deep and 5 free, and 18 for the strip
    assert mm(lift(from_mm(18))) == 23
    sizes = {"height": from_mm(100), "thickness": from_mm(18)}
    assert clear_above(some(1000, 1141), **sizes)
    assert not clear_above(some(1140.9, 1000), **sizes)
    assert clear_above([], **sizes)


def readings(*pairs):
    return [Reading(at=from_mm(x), height=from_mm(y)) for x, y in pairs]


def test_spacer_and_shims_from_floor_readings():
    found = level(readings((2400, -4), (0, 0), (1200, 3)))
    assert mm(found.out) == 7
    assert [(mm(x), mm(y)) for x, y in found.under] == [(0, 13), (1200, 10), (2400, 17)]
    assert not found.scribe
    # the tops of all shims lie on one level
    assert {mm(y) + h for (_x, y), h in zip(found.under, (0, 3, -4), strict=True)} == {13}


def test_a_floor_too_far_out_is_scribed():
    assert not level(readings((0, 0), (900, 20))).scribe
    assert level(readings((0, 0), (900, 20.01))).scribe
    assert level(readings((0, 5))) is None
