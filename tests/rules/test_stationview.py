"""The panel of each station, worked by hand from short histories."""

from dataclasses import replace

import pytest

from kiosk.rules.floor import Place, Rack, Tile
from kiosk.rules.lengths import Length
from kiosk.rules.route import State, Wait
from kiosk.rules.scene import Scene, lacking_at
from kiosk.rules.stationview import see_station
from kiosk.rules.steps import supports_of
from kiosk.rules.viewlines import StationView
from tests.builders import (
    PER_MM,
    SETUP,
    a_piece,
    a_standing,
    a_step,
    a_unit,
    a_wall,
    at,
    folded,
    history,
    standing_at,
)

CLAMPS = Rack("Clamp bench", 4, "glue")
RACK = Rack("Rack", 3, "coat")
COAT_2 = a_step("coat-2", "coat 2")
HANG = a_step("hang", "hang", "install", State.READY_TO_HANG)
TAPE = replace(a_step("unmask", "take the tape off"), closes=(Wait("stripe-2", "score"),))


def thick(code, mm, material="Birch"):
    return a_piece(code, f"part {code}", thickness=Length(mm * PER_MM), material=material)


def scene(*histories, when="12:00", about="", standings=None, **fields):
    """Return the scene of units given by their entries; about is a unit of job GLAZE."""
    states = [folded(entries) for entries in histories]
    keyed = {(one.spec.job, one.spec.unit): one for one in states}
    found = [standing_at(when, entries) for entries in histories]
    key = ("GLAZE", about) if about else ("", "")
    return Scene(
        keyed, found if standings is None else standings, SETUP, at(when), about=key, **fields
    )


def lines(view: StationView) -> list[tuple[str, str]]:
    return [(str(line.words), str(line.more)) for line in view.lines]


def words(view: StationView) -> list[str]:
    return [str(line.words) for line in view.lines]


# -- cut ---------------------------------------------------------------------------------------


def test_cut_counts_the_parts_left_by_material_and_thickness_most_first():
    one = replace(a_unit("S1"), pieces=(thick("A", 18), thick("B", 18), thick("C", 12)))
    two = replace(a_unit("S2"), pieces=(thick("D", 18), thick("E", 6, "")))

    view = see_station("cut", scene(history("cut A", unit=one), history(unit=two)))

    assert view.title == "Left to cut: 4 parts"
    assert lines(view) == [
        ("Birch, 18 mm: 2 parts", "S1, S2"),
        ("no material named, 6 mm: 1 part", "S2"),
        ("Birch, 12 mm: 1 part", "S1"),
    ]


def test_cut_says_thickness_in_inches_for_a_job_in_inches():
    unit = replace(a_unit("S1"), pieces=(a_piece("A", thickness=Length(19050 * 16 // 10)),))
    view = see_station("cut", scene(history(unit=unit), inch=("GLAZE",)))
    assert words(view) == ['no material named, 3/4": 1 part']


def test_cut_says_no_thickness_twice():
    unit = replace(a_unit("S1"), pieces=(thick("A", 18, "Birch plywood 18"),))
    assert words(see_station("cut", scene(history(unit=unit)))) == ["Birch plywood 18: 1 part"]


def test_cut_without_a_thickness_names_the_material_alone():
    unit = replace(a_unit("S1"), pieces=(a_piece("A", material="Birch"),))
    assert words(see_station("cut", scene(history(unit=unit)))) == ["Birch: 1 part"]


def test_cut_says_first_what_is_left_of_the_unit_scanned_last():
    unit = replace(a_unit("S1"), pieces=tuple(thick(code, 18) for code in "ABCD"))
    view = see_station("cut", scene(history("cut A", unit=unit), about="S1"))
    assert lines(view)[0] == ("S1: 3 of 4 parts left", "part B B, part C C and 1 more")


def test_cut_says_when_all_is_cut():
    view = see_station("cut", scene(history("cut A", "cut B"), about="S1"))
    assert view.title == "All is cut"
    assert lines(view) == [("S1: all is cut", "shelf S1")]


def test_a_wall_has_no_parts_and_no_line():
    view = see_station("cut", scene(history(unit=a_wall()), about="W1"))
    assert view.lines == ()
    assert words(see_station("assemble", scene(history(unit=a_wall()), about="W1"))) == [
        "0 units in clamps"
    ]


def test_parts_lack_nothing_at_a_station_that_has_no_step_for_parts():
    state = folded(history())
    assert len(lacking_at(state, SETUP, "cut")) == 2
    assert lacking_at(state, SETUP, "install") == ()


def test_units_with_parts_left_to_cut_are_named_in_the_order_people_count_in():
    names = ("S16", "S14", "S2", "S5", "S1")
    units = [history(unit=a_unit(name, parts=name[1:])) for name in names]
    assert lines(see_station("cut", scene(*units)))[0][1] == "S1, S2, S5, S14 and 1 more"


# -- assemble ----------------------------------------------------------------------------------


def test_assemble_names_what_is_missing_what_is_cut_and_what_is_here():
    unit = a_unit("S1", parts="ABCD")
    past = history("cut A", "cut B", "cut C", "gather A", unit=unit)

    view = see_station("assemble", scene(past, about="S1", racks=(CLAMPS,)))

    assert view.title == "Parts and clamps"
    assert lines(view) == [
        ("S1: 1 not cut yet", "part D D"),
        ("S1: 2 cut, to be fetched", "part B B, part C C"),
        ("S1: 1 here", "part A A"),
        ("Clamps: 0 of 4 in use", "all are free"),
    ]


def test_a_spoiled_part_is_not_here_and_its_recut_is_missing():
    past = history("cut A", "gather A", "spoil A A2", "cut B", "gather B")
    view = see_station("assemble", scene(past, about="S1"))
    assert words(view)[:2] == ["S1: 1 not cut yet", "S1: 1 here"]


def test_only_what_there_is_has_a_line():
    none = see_station("assemble", scene(history(), about="S1"))
    all_here = scene(history("cut A", "cut B", "gather A", "gather B"), about="S1")
    assert words(none)[:-1] == ["S1: 2 not cut yet"]
    assert words(see_station("assemble", all_here))[:-1] == ["S1: 2 here"]


GLUED = ("cut A", "cut B", "gather A", "gather B", "glue-up 11:40")


def test_clamps_in_use_and_which_is_free_next():
    first = history(*GLUED)
    second = history(*GLUED[:-1], "glue-up 11:55", unit=a_unit("S2"))

    view = see_station("assemble", scene(first, second, racks=(CLAMPS, RACK)))

    ends = standing_at("12:00", first).hands_at  # the next step waits for the clamps alone
    left = int((ends - at("12:00")).total_seconds() // 60)
    assert view.title == "Clamps"
    assert words(view) == ["Clamps: 2 of 4 in use"]
    assert lines(view)[0][1].startswith(f"next free: S1 in {left} min, ")


def test_a_unit_is_out_of_its_clamps_once_they_may_come_off_or_it_went_on():
    cured = see_station("assemble", scene(history(*GLUED), when="Tue 08:00", racks=(CLAMPS,)))
    ahead = scene(history(*GLUED, "fill 11:50"), racks=(CLAMPS,))
    assert words(cured) == ["Clamps: 0 of 4 in use"]
    assert words(see_station("assemble", ahead)) == ["Clamps: 0 of 4 in use"]


def test_without_places_for_clamps_the_units_in_them_are_counted():
    assert words(see_station("assemble", scene(history(*GLUED)))) == ["1 unit in clamps"]


def test_glue_that_does_not_cure_frees_no_clamp():
    from kiosk.rules.air import Air, Reading

    cold = replace(SETUP, airs={"": Air([Reading(at("11:30"), -5.0, 50.0)])})
    here = replace(scene(history(*GLUED), racks=(CLAMPS,)), setup=cold)
    assert lines(see_station("assemble", here)) == [
        ("Clamps: 1 of 4 in use", "none frees by itself: the glue does not cure")
    ]


# -- finish ------------------------------------------------------------------------------------


def coat_due(unit, closes=None, **fields):
    when = at(closes) if closes else None
    return a_standing(unit, step=COAT_2, window_closes_at=when, hands_at=at("11:00"), **fields)


def finish(*standings, about="", **fields):
    return see_station("finish", scene(standings=standings, about=about, **fields))


def test_coats_stand_in_the_order_of_their_closing_windows_with_the_time_left():
    late = coat_due("S3", "11:30", state=State.SCUFF_FIRST)
    view = finish(coat_due("S1"), coat_due("S2", "14:05"), late, coat_due("S4", "12:35"))
    assert view.title == "4 coats due, by closing window"
    assert lines(view) == [
        ("S3  coat 2", "window closed 11:30: scuff first"),
        ("S4  coat 2", "35 min left, window closes 12:35"),
        ("S2  coat 2", "2:05 h left, window closes 14:05"),
        ("S1  coat 2", "no window closes"),
    ]
    assert [line.state for line in view.lines] == ["late", "coat", "coat", "coat"]


def test_what_rests_is_on_hold_or_goes_elsewhere_is_no_coat_due():
    resting = coat_due("S1", state=State.COAT_DRYING)
    held = coat_due("S2", state=State.ON_HOLD)
    hanging = a_standing("S3", state=State.READY_TO_HANG, step=HANG)
    view = finish(resting, held, hanging)
    assert (view.title, view.lines) == ("No coat is due", ())


def test_a_coat_without_a_name_is_shown_by_its_unit():
    view = finish(replace(coat_due("S1"), step=None))
    assert (view.title, view.lines) == ("No coat is due", ())


def test_the_rack_says_how_many_slots_are_free():
    tile = Tile("S1", "35 min", "resting", 0.5, "dries")
    rack = Place("Rack", (tile, None, tile), "")
    full = Place("Rack", (tile, tile, tile), "+2 waiting")
    bench = Place("Clamp bench", (tile,), "")

    some = finish(racks=(RACK, CLAMPS), places=(rack, bench))
    none = finish(racks=(RACK,), places=(full,))

    assert lines(some) == [("Rack: 2 of 3 slots used", "1 is free")]
    assert lines(none) == [("Rack: 3 of 3 slots used", "none is free, +2 waiting")]


def tape_off(unit, closes=None, **fields):
    when = at(closes) if closes else None
    given = {"state": State.TO_PREPARE, "step": TAPE, "window_closes_at": when} | fields
    return a_standing(unit, **given)


def test_tape_due_off_is_named_with_the_time_left_for_the_first():
    view = finish(tape_off("S2"), tape_off("S1", "12:20"))
    assert lines(view) == [("Tape off: S1, S2", "20 min left for the first, 12:20")]
    assert view.lines[0].state == "other"


def test_tape_that_is_late_must_be_scored():
    view = finish(tape_off("S1", "11:20"))
    assert lines(view) == [("Tape off: S1", "late since 11:20: score the edge first")]
    assert view.lines[0].state == "late"


def test_tape_without_a_figure_for_being_late_has_no_time_and_tape_on_hold_waits():
    assert lines(finish(tape_off("S1"))) == [("Tape off: S1", "")]
    assert finish(tape_off("S1", state=State.ON_HOLD)).lines == ()


def test_rack_and_tape_stand_after_the_most_pressing_coat():
    coats = [coat_due(f"S{at}", f"13:0{at}") for at in range(4)]
    rack = Place("Rack", (None,), "")
    view = finish(*coats, tape_off("T1"), racks=(RACK,), places=(rack,))
    assert words(view)[:3] == ["S0  coat 2", "Tape off: T1", "Rack: 0 of 1 slots used"]


def test_the_unit_scanned_last_says_how_many_coats_are_on():
    view = finish(coat_due("S1", coats_done=1, coats_wanted=2), about="S1")
    assert lines(view)[0] == ("S1: 1 of 2 coats on", "shelf S1")
    assert words(finish(coat_due("S1"), about="S1")) == ["S1  coat 2"]


# -- install -----------------------------------------------------------------------------------


def test_supports_go_up_first_and_what_is_not_ready_says_why():
    panel = a_unit("P1", kind="panel")
    shelf = a_unit("S1", hangs_on="P1")
    box = a_unit("B1", kind="box", hangs_on="S1")
    states = [history(unit=one) for one in (box, shelf, panel)]
    standings = [
        a_standing("S1", state=State.READY_TO_HANG, step=HANG, missing=("P1",)),
        a_standing("P1", state=State.READY_TO_HANG, step=HANG, kind="panel"),
        a_standing("B1", state=State.COAT_DRYING, step=COAT_2, why="coat 1 dries until 14:00"),
        a_standing("H1", state=State.ON_HOLD, step=HANG, why="on hold: coat failed"),
    ]

    view = see_station("install", scene(*states, standings=standings))

    assert view.title == "Order of hanging: 1 ready, 3 not ready"
    assert lines(view) == [
        ("1.  P1  hang", "panel P1"),
        ("2.  S1  hang", "after P1"),
        ("H1  not ready: hang at install", "On hold: coat failed"),
        ("B1  not ready: coat 2 at finish", "Coat 1 dries until 14:00"),
    ]
    assert [line.state for line in view.lines] == ["hang", "other", "", "resting"]


def test_a_unit_that_may_come_to_harm_says_so_before_it_is_hung():
    one = a_standing("P1", state=State.READY_TO_HANG, step=HANG, risk="at_risk", why="damp: test")
    view = see_station("install", scene(standings=[one]))
    assert lines(view) == [("1.  P1  hang", "shelf P1, damp: test")]


def test_hardening_after_the_last_step_is_not_ready_and_has_no_step():
    one = a_standing("P1", state=State.HARDENING, step=None, why="hardens until 14:00")
    view = see_station("install", scene(standings=[one]))
    assert lines(view) == [("P1", "Hardens until 14:00")]


def test_the_unit_scanned_last_says_what_hangs_on_it_and_its_job_comes_first():
    panel, shelf = a_unit("P1", kind="panel"), a_unit("S1", hangs_on="P1")
    other = a_unit("A1", kind="panel", job="KILN")
    states = [history(unit=one) for one in (panel, shelf, other)]
    standings = [
        a_standing("A1", state=State.READY_TO_HANG, step=HANG, job="KILN"),
        a_standing("S1", state=State.READY_TO_HANG, step=HANG),
    ]
    here = scene(*states, standings=standings, about="P1")
    assert words(see_station("install", here)) == ["On P1 hang: S1", "1.  S1  hang", "2.  A1  hang"]


def test_units_that_hang_on_each_other_end_the_search():
    one, two = a_unit("A1", hangs_on="B1"), a_unit("B1", hangs_on="A1")
    assert supports_of(one, {"B1"}) == ("B1",)
    here = scene(history(unit=one), history(unit=two))
    assert len(see_station("install", here).lines) == 2


def test_what_is_up_is_not_listed():
    up = a_standing("P1", state=State.HUNG, step=None)
    view = see_station("install", scene(standings=[up]))
    assert (view.title, view.lines) == ("All is up", ())


# -- all ---------------------------------------------------------------------------------------


def test_a_station_of_no_known_name_has_no_panel():
    assert see_station("paint", scene()) == StationView()


@pytest.mark.parametrize("station", ["cut", "assemble", "finish", "install"])
def test_a_shop_with_nothing_open_has_a_title_and_no_fault(station):
    assert see_station(station, scene()).title


def test_two_jobs_with_one_unit_name_are_told_apart():
    one, two = history(unit=a_unit("S1")), history(unit=a_unit("S1", job="KILN"))
    view = see_station("cut", scene(one, two))
    assert lines(view) == [("no material named: 4 parts", "GLAZE S1, KILN S1")]
