import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kiosk.rules.floor import MAX_NAMES, Rack, due_list, lay_out, name_units
from kiosk.rules.route import State
from tests.builders import ZONE, a_standing, a_step, at, history, standing_at

NOW = at("12:00")
BENCH, RACK, DOOR = Rack("Bench", 2, "glue"), Rack("Rack", 3, "coat"), Rack("Door", 2, "ready")
HANG = a_step("hang", "hang", "install", State.READY_TO_HANG)


def board(standings, *racks, seats=None, now=NOW):
    return lay_out(standings, now=now, zone=ZONE, racks=racks, seats=seats)


def resting(unit, ends="14:00", state=State.COAT_DRYING, **fields):
    return a_standing(unit, state, hands_at=at(ends), started=at("11:00"), **fields)


def units(place):
    return [tile.unit if tile else None for tile in place.slots]


def tile(standing, now=NOW):
    """Return how the board shows one unit, wherever it would rest."""
    floor, _ = board(
        [standing], *(Rack(role, 1, role) for role in ("glue", "coat", "ready")), now=now
    )
    (found,) = [slot for place in floor.places for slot in place.slots if slot]
    return found


# -- tiles ------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("standing", "state", "word"),
    [
        (resting("S1", "12:35"), "resting", "35 min"),
        (a_standing(state=State.HARDENING), "resting", "held"),
        (a_standing(state=State.COAT_DUE), "coat", "coat 1"),
        (a_standing(step=a_step("scuff-2", "scuff before coat 2")), "coat", "coat 2"),
        (a_standing(step=None), "coat", ""),
        (a_standing(window_closes_at=at("12:31")), "coat", "coat 1"),
        (a_standing(window_closes_at=at("12:30")), "late", "coat 1 now"),
        (a_standing(state=State.SCUFF_FIRST), "late", "scuff first"),
        (a_standing(state=State.READY_TO_HANG, step=HANG), "hang", "hang"),
        (a_standing(state=State.READY_TO_HANG, step=HANG, missing=("P1",)), "other", "after P1"),
        (a_standing(state=State.ON_HOLD, coats_done=1), "other", "on hold"),
        (a_standing(state=State.TO_PREPARE, step=a_step("sand", "sand to 220")), "other", "sand"),
        (
            a_standing(
                state=State.TO_PREPARE,
                step=a_step("unmask", "take the tape off"),
                window_closes_at=at("12:30"),
            ),
            "late",
            "tape off now",
        ),
    ],
)
def test_a_tile_says_in_a_word_what_the_unit_needs(standing, state, word):
    assert (tile(standing).state, tile(standing).word) == (state, word)


def test_a_tile_carries_the_share_of_its_rest_and_the_sentence_why():
    found = tile(resting("S1", "13:00", why="coat 1 dries until 13:00"))
    assert (found.share, found.detail, found.unit) == (0.5, "coat 1 dries until 13:00", "S1")


# -- places -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("standing", "place"),
    [
        (resting("S1", state=State.GLUE_CURING), "Bench"),
        (a_standing(state=State.TO_PREPARE), "Bench"),
        (a_standing(state=State.TO_PREPARE, coats_done=2), "Rack"),
        (a_standing(state=State.TO_PREPARE, kind="door"), "Rack"),
        (a_standing(state=State.COAT_DUE), "Rack"),
        (a_standing(state=State.ON_HOLD, coats_done=1), "Rack"),
        (a_standing(state=State.READY_TO_HANG, step=HANG), "Door"),
        (a_standing(state=State.ON_HOLD), None),
        (a_standing(state=State.TO_CUT), None),
        (a_standing(state=State.TO_ASSEMBLE), None),
        (a_standing(state=State.COAT_DUE, kind="wall"), None),
        (a_standing(state=State.HUNG, step=None), None),
    ],
)
def test_a_unit_rests_where_its_standing_puts_it(standing, place):
    floor, seats = board([standing], BENCH, RACK, DOOR)
    assert [one.name for one in floor.places if any(one.slots)] == ([place] if place else [])
    assert [name for name, _ in seats.values()] == ([place] if place else [])


def test_hands_needed_get_a_slot_before_what_rests():
    coat, late = a_standing("S2", hands_at=at("09:00")), a_standing("S3", State.SCUFF_FIRST)
    floor, _ = board([resting("S1", "12:10"), resting("S4", "13:00"), coat, late], RACK)
    assert units(floor.places[0]) == ["S3", "S2", "S1"]
    assert floor.places[0].more == "+1 resting"


def test_who_sits_keeps_the_seat_though_others_come_and_go():
    first = [resting("S1", "13:00"), resting("S2", "13:10"), resting("S3", "13:20")]
    before, seats = board(first, RACK)
    after, seats = board([resting("S0", "12:30"), *first[1:]], RACK, seats=seats)
    assert units(before.places[0]) == ["S1", "S2", "S3"]
    assert units(after.places[0]) == ["S0", "S2", "S3"]
    last, _ = board(first[2:], RACK, seats=seats)
    assert units(last.places[0]) == [None, None, "S3"]


def test_a_unit_that_moves_to_another_place_gives_up_its_seat():
    _, seats = board([resting("S1"), resting("S2", "15:00")], BENCH, RACK)
    moved = a_standing("S1", State.READY_TO_HANG, step=HANG)
    floor, seats = board([moved, resting("S2", "15:00")], BENCH, RACK, DOOR, seats=seats)
    assert [units(place) for place in floor.places] == [
        [None] * 2,
        [None, "S2", None],
        ["S1", None],
    ]
    assert seats[("GLAZE", "S1")] == ("Door", 0)


def test_a_unit_without_a_slot_gets_one_as_soon_as_one_is_free():
    many = [resting(f"S{n}", f"13:0{n}") for n in range(4)]
    floor, seats = board(many, RACK)
    assert (units(floor.places[0]), floor.places[0].more) == (["S0", "S1", "S2"], "+1 resting")
    floor, _ = board(many[1:], RACK, seats=seats)
    assert (units(floor.places[0]), floor.places[0].more) == (["S3", "S1", "S2"], "")


def test_a_place_made_smaller_seats_its_units_anew():
    three = [resting(f"S{n}", f"13:0{n}") for n in range(3)]
    _, seats = board(three[::-1], RACK)
    floor, _ = board(three[2:], Rack("Rack", 1, "coat"), seats=seats)
    assert units(floor.places[0]) == ["S2"]


@pytest.mark.parametrize(
    ("rest", "wait", "words"),
    [(0, 3, ""), (2, 3, "+2 resting"), (0, 5, "+2 waiting"), (1, 5, "+1 resting, +2 waiting")],
)
def test_what_found_no_slot_is_told_in_words(rest, wait, words):
    standings = [resting(f"R{n}") for n in range(rest)] + [a_standing(f"W{n}") for n in range(wait)]
    floor, _ = board(standings, RACK)
    assert floor.places[0].more == words
    over = rest + wait - RACK.slots
    assert floor.places[0].brief == (f"+{over} more" if over > 0 else "")


def test_two_places_of_one_role_share_the_units_and_each_unit_has_one_seat():
    left, right = Rack("Left", 2, "coat"), Rack("Right", 2, "coat")
    many = [resting(f"S{n}", f"13:0{n}") for n in range(5)]
    floor, seats = board(many, left, right)
    assert [units(place) for place in floor.places] == [["S0", "S1"], ["S2", "S3"]]
    assert [place.more for place in floor.places] == ["", "+1 resting"]
    floor, _ = board(many[1:], left, right, seats=seats)
    assert [units(place) for place in floor.places] == [["S4", "S1"], ["S2", "S3"]]


def test_without_places_the_board_has_counts_and_next_hands_only():
    floor, seats = board([resting("S1", "12:35")])
    assert (floor.places, dict(seats), floor.clock, floor.at) == ((), {}, "12:00", NOW)
    assert floor.next_hands == "next hands: S1 in 35 min"


# -- counts and next hands --------------------------------------------------------------------


def test_the_three_counts_name_first_what_needs_hands_first():
    standings = [
        resting("S1", "14:00"),
        resting("S2", "13:00"),
        a_standing("S3"),
        a_standing("S4", State.SCUFF_FIRST, hands_at=at("09:00")),
        a_standing("S5", State.READY_TO_HANG, step=HANG),
        a_standing("S6", State.READY_TO_HANG, step=HANG, missing=("P1",)),
        a_standing("S7", State.HUNG, step=None),
    ]
    floor, _ = board(standings)
    assert floor.bands[1].words == ("scuff first", "coat 1")
    assert [(band.title, band.count, band.names) for band in floor.bands] == [
        ("resting", 2, ("S2", "S1")),
        ("to coat", 2, ("S4", "S3")),
        ("to hang", 1, ("S5",)),
    ]


def test_what_is_to_be_hung_is_named_with_its_place():
    ready = [a_standing(f"S{n}", State.READY_TO_HANG, step=HANG) for n in range(2)]
    assert board(ready, DOOR)[0].bands[2].words == ("Door", "Door")
    assert board(ready)[0].bands[2].words == ("", "")


def test_a_count_is_whole_even_where_the_names_do_not_fit():
    floor, _ = board([a_standing(f"S{n:02}") for n in range(MAX_NAMES + 3)])
    assert (floor.bands[1].count, len(floor.bands[1].names)) == (MAX_NAMES + 3, MAX_NAMES)


def test_next_hands_names_two_units_with_their_places():
    standings = [
        resting("S1", "14:05"),
        resting("S2", "12:35", state=State.GLUE_CURING),
        resting("S3"),
    ]
    floor, _ = board(standings, BENCH)
    assert floor.next_hands == "next hands: S2 Bench in 35 min, then S3 in 2:00 h"
    assert floor.hands == (
        floor.next_hands,
        "next hands: S2 Bench in 35 min",
        "next hands: S2 in 35 min",
        "S2 in 35 min",
    )


def test_where_nothing_rests_nobody_is_promised_anything():
    assert board([])[0].next_hands == "nothing rests"
    assert board([a_standing("S1", State.ON_HOLD)])[0].next_hands == "nothing rests"
    held = [a_standing("S2", State.HARDENING)]
    assert board(held)[0].next_hands == "all that rests is held"


def test_where_no_clock_will_call_anybody_the_hands_needed_now_are_named():
    floor, _ = board([a_standing("S2", State.HARDENING), a_standing("S1")])
    assert floor.hands == ("next hands: S1 coat 1, now", "S1 coat 1, now")
    # what is late goes before what is due, and that before what is to be hung
    hang = a_standing("S0", State.READY_TO_HANG, step=HANG)
    late = a_standing("S3", State.SCUFF_FIRST)
    assert board([hang, a_standing("S1"), late])[0].next_hands == "next hands: S3 scuff first, now"
    assert board([hang, a_standing("S1")])[0].next_hands == "next hands: S1 coat 1, now"
    floor, _ = board([hang], DOOR)
    assert floor.hands[:2] == ("next hands: S0 Door: hang, now", "next hands: S0 hang, now")


def test_a_unit_whose_support_is_not_up_yet_needs_no_hands_now():
    waits = a_standing("S0", State.READY_TO_HANG, step=HANG, missing=("S9",))
    assert board([waits])[0].next_hands == "nothing rests"


def test_the_clock_is_that_of_the_shop():
    assert board([], now=at("23:30"))[0].clock == "23:30"


# -- names ------------------------------------------------------------------------------------


def test_a_name_used_by_two_jobs_carries_the_job():
    standings = [a_standing("S1"), a_standing("S1", job="KILN"), a_standing("S2", job="KILN")]
    assert name_units(standings) == {
        ("GLAZE", "S1"): "GLAZE S1",
        ("KILN", "S1"): "KILN S1",
        ("KILN", "S2"): "S2",
    }


# -- the list of a station --------------------------------------------------------------------


def test_the_list_of_a_station_is_ordered_by_what_presses_most():
    standings = [
        resting("rests-long", "15:00"),
        resting("rests-short", "13:00"),
        a_standing("due-late", hands_at=at("11:00")),
        a_standing("due-old", hands_at=at("08:00")),
        a_standing("due-undated"),
        a_standing("after", State.READY_TO_HANG, hands_at=at("07:00"), missing=("P1",)),
        a_standing("closing-later", window_closes_at=at("18:00")),
        a_standing("closing-soon", window_closes_at=at("13:00")),
        a_standing("closed-later", State.SCUFF_FIRST, window_closes_at=at("11:00")),
        a_standing("closed-first", State.SCUFF_FIRST, window_closes_at=at("09:00")),
        a_standing("closed-undated", State.SCUFF_FIRST),
        a_standing("rests-undated", State.HARDENING),
        a_standing("held", State.ON_HOLD),
        a_standing("elsewhere", step=HANG),
    ]
    random.Random(3).shuffle(standings)
    assert [due.unit for due in due_list(standings, "finish", now=NOW, zone=ZONE)] == [
        "closed-first",
        "closed-later",
        "closed-undated",
        "closing-soon",
        "closing-later",
        "due-old",
        "due-late",
        "due-undated",
        "after",
        "rests-short",
        "rests-long",
        "rests-undated",
    ]


def test_units_that_press_alike_go_by_hang_day_then_by_job_and_a_job_is_not_torn():
    units = [("GLAZE", "S10"), ("KILN", "S1"), ("LATER", "S3"), ("GLAZE", "S2"), ("ATTIC", "S4")]
    standings = [a_standing(unit, job=job) for job, unit in units]
    pressing = a_standing("S9", job="ATTIC", window_closes_at=at("18:00"))
    days = {"KILN": "2026-03-13", "LATER": "2026-04-02", "GLAZE": ""}
    listed = due_list([*standings, pressing], "finish", now=NOW, zone=ZONE, hang_days=days)
    assert [due.unit for due in listed] == ["S9", "S1", "S3", "S4", "S2", "S10"]


def test_a_unit_has_the_same_name_on_the_list_of_a_station_as_on_the_board():
    hanging = a_standing("S1", State.READY_TO_HANG, job="KILN", step=HANG)
    hung = a_standing("S2", State.HUNG, job="KILN", step=None)
    standings = [a_standing("S1"), a_standing("S2"), hanging, hung]
    listed = {due.unit for due in due_list(iter(standings), "finish", now=NOW, zone=ZONE)}
    assert listed == set(board(standings)[0].bands[1].names) == {"GLAZE S1", "S2"}


def test_a_line_says_which_step_and_for_a_rest_from_when():
    lines = due_list([a_standing("S1"), resting("S2", "Tue 08:00")], "finish", now=NOW, zone=ZONE)
    assert [(due.unit, due.step, due.words, due.state) for due in lines] == [
        ("S1", "coat-1", "coat 1", "coat"),
        ("S2", "coat-1", "coat 1 from Tue 08:00", "resting"),
    ]
    assert (lines[1].hands_at, lines[1].why, lines[1].name) == (
        at("Tue 08:00"),
        "because",
        "shelf S2",
    )


def test_a_wall_that_dries_with_nothing_left_has_a_line_without_a_step():
    wall = resting("W1", "15:00", state=State.HARDENING, kind="wall", step=None)
    (line,) = due_list([wall], "", now=NOW, zone=ZONE)
    assert (line.step, line.words) == ("", " from 15:00")


def test_a_real_unit_goes_from_the_bench_to_the_rack():
    glued = standing_at("10:20", history("glue-up 10:10"))
    floor, seats = board([glued], BENCH, RACK, now=at("10:20"))
    assert (units(floor.places[0]), floor.places[0].slots[0].word) == (["S1", None], "50 min")
    coated = standing_at("13:30", history("glue-up 10:10", "coat-1 13:00"))
    floor, _ = board([coated], BENCH, RACK, seats=seats, now=at("13:30"))
    assert [units(place) for place in floor.places] == [[None, None], ["S1", None, None]]


# -- whatever stands --------------------------------------------------------------------------

_standings = st.builds(
    a_standing,
    st.sampled_from([f"S{n}" for n in range(9)]),
    st.sampled_from(State),
    job=st.sampled_from(("GLAZE", "KILN")),
    hands_at=st.sampled_from((None, at("11:00"), at("13:00"), at("Tue 08:00"))),
)
_boards = st.lists(_standings, max_size=12, unique_by=lambda one: (one.job, one.unit))
_racks = st.lists(
    st.builds(Rack, st.just(""), st.integers(1, 3), st.sampled_from(("glue", "coat", "ready"))),
    max_size=4,
).map(lambda racks: [Rack(f"R{n}", rack.slots, rack.role) for n, rack in enumerate(racks)])


@settings(derandomize=True, deadline=None, max_examples=200)
@given(_boards, _boards, _racks)
def test_no_unit_sits_twice_and_nobody_moves_for_nothing(before, after, racks):
    first, seats = board(before, *racks)
    second, again = board(after, *racks, seats=seats)
    for floor in (first, second):
        shown = [name for place in floor.places for name in units(place) if name]
        assert len(shown) == len(set(shown))
        assert [len(place.slots) for place in floor.places] == [rack.slots for rack in racks]
    third, _ = board(after, *racks, seats=again)
    assert third == second
