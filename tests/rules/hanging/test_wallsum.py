"""What a wall's panels, floor and units ask of who installs them."""

from dataclasses import replace

from kiosk.rules.hanging.fitting import Fitting, How
from kiosk.rules.hanging.wall import FloorLevel, Stud
from kiosk.rules.lengths import from_mm
from tests.wallbuild import WALL, a_job, a_panel, a_shelf, braced, checked


def panel(x=None, y=20, width=1200, height=2000):
    return Fitting(
        x=None if x is None else from_mm(x),
        y=None if y is None else from_mm(y),
        width=None if width is None else from_mm(width),
        height=None if height is None else from_mm(height),
    )


def seen(wall=WALL, **panels):
    units = [a_panel(name) for name in panels]
    return checked(a_job(*units, wall=wall, **panels)).walls[0]


def notes(**panels):
    return {one.unit: list(one.notes) for one in seen(**panels).panels}


def test_a_seam_on_a_stud_is_fine_and_one_beside_it_is_told():
    # the stud at 1419.2 is 38.1 wide: a seam of 3 mm in its middle
    fits = notes(P=panel(217.7, width=1200), Q=panel(1420.7))
    assert fits == {"P": [], "Q": []}
    off = notes(P=panel(3), Q=panel(1206))
    assert off["P"] == ["Its seam with Q at 1204.5 mm lies on no stud."]
    assert off["Q"] == []


def test_too_little_clearance_is_told():
    near = notes(P=panel(217.7, width=1201), Q=panel(1420.7))
    assert near["P"] == ["Less than 3 mm is free between it and Q."]
    assert notes(P=panel(0))["P"] == ["Less than 3 mm is free at the wall's end."]
    assert notes(P=panel(1798))["P"] == ["Less than 3 mm is free at the wall's end."]
    assert notes(P=panel(1797))["P"] == []


def test_a_panel_over_another_shares_no_seam():
    assert notes(P=panel(3, height=500), Q=panel(600, y=900)) == {"P": [], "Q": []}
    unknown = notes(P=panel(3, y=None), Q=panel(1206))
    assert unknown["P"] == ["Its seam with Q at 1204.5 mm lies on no stud."]
    assert notes(P=panel(3), Q=panel(1400)) == {"P": [], "Q": []}


def test_a_seam_is_that_of_panels_at_one_height():
    # two panels one over the other, and one beside the upper one
    wall = seen(P=panel(3, height=900), Q=panel(3, y=1000), R=panel(1206, y=1000))
    assert [(one.left, one.right, one.gap) for one in wall.seams] == [("Q", "R", from_mm(3))]
    wall = seen(P=panel(3, height=900), Q=panel(3, y=1000), R=panel(1206, height=900))
    (seam,) = wall.seams
    assert (seam.left, seam.right, seam.at) == ("P", "R", from_mm(1204.5))
    assert wall.panels[0].notes == ("Its seam with R at 1204.5 mm lies on no stud.",)


def test_a_panel_whose_place_nobody_said_tells_so():
    (one,) = seen(P=panel()).panels
    assert one.notes == ("Nobody said where it goes: seams and studs were not looked at.",)
    assert (one.left_on, one.right_on, one.loads_kg) == (None, None, 0)
    (there,) = seen(P=panel(200, width=812.8)).panels
    assert (there.left_on, there.right_on) == (True, True)
    (past,) = seen(P=panel(250, width=812.8)).panels
    assert (past.left_on, past.right_on) == (False, False)


def test_cleat_rows_run_down_from_the_top_at_the_pitch():
    job = a_job(a_panel(), a_shelf(), S=braced(), P=panel(100))
    (one,) = checked(job).walls[0].panels
    # from 2020 down by the cleat's 100 and twice its thickness and 5, each 300 lower
    assert one.rows[:2] == (from_mm(1879), from_mm(1579))
    assert min(one.rows) >= from_mm(20)
    tall = a_job(a_panel(), a_shelf(), S=braced(cleat_height=from_mm(290)), P=panel(100))
    assert checked(tall).walls[0].panels[0].rows == ()
    assert seen(P=panel(100)).panels[0].rows == ()


def test_units_without_a_number_are_not_in_the_sums():
    job = a_job(a_panel(), a_shelf(), a_shelf("T"), S=braced(), T=braced(y=1500, drop=None))
    (wall,) = checked(job).walls
    assert wall.panels[0].loads_kg is None
    assert wall.notes == (
        "The floor was not measured at two places or more: no shims are known.",
        "What T would bring is not in the sums, as they have no number.",
    )
    assert sum(one.load_kg for one in wall.studs) > 48


def test_units_entered_in_one_place_are_told():
    job = a_job(a_panel(), a_shelf(), a_shelf("T"), S=braced(), T=braced(y=1150))
    told = checked(job).walls[0].notes
    assert "S and T are entered in one place: look at x, y and sizes." in told


def test_two_panels_nobody_placed_are_proposed_with_their_seam_on_a_stud():
    # worked: 2400 wide, studs 406.4 apart from 0: 1214.7 and 1176.3, the seam on 1219.2
    studs = tuple(Stud(x=from_mm(n * 406.4), width=from_mm(38.1)) for n in range(6))
    bay = replace(WALL, width=from_mm(2400), studs=studs)
    said = "Two panels fill it as 1214.7 mm and 1176.3 mm, their seam on the stud at 1219.2 mm."
    assert said in seen(bay, P=panel(width=1220), Q=panel(width=1220)).notes
    for panels in (
        {"P": panel(3, width=1220), "Q": panel(width=1220)},
        {"P": panel(width=1220)},
        {"P": panel(width=600), "Q": panel(width=600)},
        {"P": panel(width=1220), "Q": panel(width=None)},
    ):
        assert not any("Two panels" in one for one in seen(bay, **panels).notes)
    bare = replace(bay, studs=())
    assert not any("Two" in one for one in seen(bare, P=panel(), Q=panel()).notes)


def test_a_unit_beyond_the_wall_is_told():
    job = a_job(a_panel(), a_shelf(), S=braced(width=from_mm(2900)))
    told = "S reaches beyond the wall: look at x, y and sizes."
    assert told in checked(job).walls[0].notes
    high = a_job(a_panel(), a_shelf(), S=braced(height=from_mm(1800)))
    assert told in checked(high).walls[0].notes
    assert told not in checked(a_job(a_panel(), a_shelf(), S=braced())).walls[0].notes


def test_a_floor_too_far_out_is_scribed():
    floor = (FloorLevel(x=0, level=0), FloorLevel(x=from_mm(900), level=from_mm(21)))
    assert seen(replace(WALL, floor=floor), P=panel(100)).scribe


def test_only_panels_have_seams():
    screwed = replace(panel(100), how=How.SCREWED)
    assert [one.unit for one in seen(P=screwed).panels] == ["P"]
