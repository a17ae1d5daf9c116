"""A day plan's problem is the shop as it stands: hand-worked shops, and nobody is forgotten."""

from dataclasses import replace
from datetime import date, time, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kiosk.rules.air import Air, Reading
from kiosk.rules.dayplan import gridcheck, sweepcheck
from kiosk.rules.dayplan.means import Site
from kiosk.rules.dayplan.model import Frees, Hold, Lag, Work
from kiosk.rules.dayplan.portfolio import first_plan
from kiosk.rules.dayplan.works import cut_up
from kiosk.rules.floor import Rack
from kiosk.rules.route import State
from kiosk.rules.touchtimes import touch_times
from kiosk.rules.workday import minute_of
from tests.builders import PRODUCTS_TEXT, ROUTES_TEXT, SETUP, a_unit, a_wall, at, setup
from tests.rules.dayplan.built_shop import (
    HOURS,
    RACKS,
    TWO,
    built_of,
    chain_of,
    shop_of,
    standings_of,
    steps,
    ways_of,
)

CUT = ("cut A 07:10", "cut B 07:20")
GLUED = (*CUT, "gather A", "gather B", "glue-up 07:40")
COATED = (*GLUED, "fill 09:00", "sand 10:00", "coat-1 10:20")
DONE = (*COATED, "scuff-2 15:00", "coat-2 15:10")
CLEAR = SETUP.products["clear"].minutes
GLUE = SETUP.products["pva-interior"].minutes
PAINT = SETUP.products[SETUP.uses["wall_paint"]].minutes


def test_a_new_shelf_goes_through_the_shop_then_to_the_site():
    built = built_of((a_unit(),))
    shop, site = chain_of(built, "S1", role="shop"), chain_of(built, "S1")
    assert steps(shop) == [
        *("cut", "gather", "glue-up", "fill", "sand"),
        *("coat-1", "scuff-2", "coat-2"),
    ]
    assert steps(site) == ["hang"]
    (load, *_l), (drive, *_d), (back, *_b) = ways_of(built)
    assert [step for _n, step, _chain in ways_of(built)] == ["load", "drive", "drive-back"]
    first = {n: chain.works[0].after for n, chain in enumerate(built.problem.chains)}
    assert (first[load], first[drive], site.works[0].after) == ((0,), (load,), (0, drive))
    assert first[back] == (1,)
    assert built.notes == ()


def test_the_order_units_are_handed_over_in_changes_nothing():
    units = [(a_unit(name), *COATED[:n]) for name, n in (("S1", 4), ("S2", 5), ("S10", 0))]
    assert built_of(*units) == built_of(*reversed(units))
    chains = [names.key[1] for names in built_of(*reversed(units)).names]
    assert chains.index("S1") < chains.index("S2") < chains.index("S10")


def test_parts_are_counted_and_said():
    built = built_of((a_unit(parts="ABCD"), "cut A 07:10"))
    cut, gather = chain_of(built, "S1", role="shop").works[:2]
    assert (cut.minutes, gather.minutes) == (9, 4)  # three to cut at 3 min, four to gather at 1
    assert built.names[0].titles[:2] == ("cut, 3 parts", "gather, 4 parts")


def test_rests_to_come_are_the_products_and_hold_a_place():
    glue, fill, sand, coat, scuff, last = chain_of(
        built_of((a_unit(), *CUT, "gather A", "gather B")), "S1", role="shop"
    ).works
    assert fill.waits == (Lag(0, int(GLUE["clamp"])),)
    assert coat.waits == ()
    assert scuff.waits[0].work == 3
    assert last.waits == (Lag(3, int(CLEAR["recoat"])),)
    assert (glue.hold, fill.hold) == (Hold("Clamps"), Hold("Rack"))
    assert sand.hold == coat.hold == scuff.hold == Hold("Rack")
    assert (last.hold.place, last.hold.frees) == ("Rack", Frees.REST)
    assert last.hold.minutes == CLEAR["recoat"]  # then it may stand elsewhere


def test_the_shop_part_is_finished_when_glue_and_coat_may_hang():
    chain = chain_of(built_of((a_unit(),)), "S1", role="shop")
    assert {lag.work for lag in chain.ends} == {2, 7}
    assert chain.ends[0] == Lag(2, int(GLUE["full"]))


def test_a_running_rest_ends_when_its_clock_does():
    built = built_of((a_unit(), *COATED), when="11:00")
    state = shop_of((a_unit(), *COATED))
    standing = standings_of(state, at("11:00"))["GLAZE", "S1"]
    scuff, coat = chain_of(built, "S1", role="shop").works
    assert standing.state == State.COAT_DRYING
    assert scuff.earliest == minute_of(standing.hands_at)
    assert coat.earliest == minute_of(at("10:20")) + CLEAR["recoat"]
    assert scuff.closes_at == minute_of(at("10:20")) + CLEAR["window"]


def test_a_missed_window_costs_a_harder_scuff():
    scuff = chain_of(built_of((a_unit(), *COATED), when="Tue 11:00"), "S1", role="shop").works[0]
    assert scuff.closes_at < minute_of(at("Tue 11:00"))
    assert scuff.extra == 2  # half of 4 min


def test_a_window_to_come_counts_from_the_coat():
    works = chain_of(built_of((a_unit(),)), "S1", role="shop").works
    assert works[6].closes == (Lag(5, int(CLEAR["window"])),)


def test_a_coat_without_a_scuff_in_the_route_takes_one_where_its_window_is_missed():
    coat = chain_of(built_of((a_wall(),)), "W1").works[-1]
    assert coat.closes
    assert coat.extra == 5  # minutes of a scuff no route gives a figure for


def test_a_late_tape_is_scored_first():
    lines = (*DONE, "mask Tue 16:00", "stripe-1 Tue 16:20", "stripe-2 Wed 08:00")
    unit = a_unit(accent=True)
    (unmask,) = chain_of(built_of((unit, *lines), when="Wed 08:30"), "S1", role="shop").works
    assert (unmask.step, unmask.extra) == ("unmask", 5)
    assert unmask.closes_at is not None
    to_come = chain_of(built_of((unit, *DONE), when="Tue 08:00"), "S1", role="shop").works
    assert to_come[-1].closes[0].work == 2


def test_a_coat_that_was_scuffed_closes_no_more():
    wall = (a_wall(), "patch 08:00", "sand-1 09:00", "skim 09:30", "sand-2 12:00", "coat-1 13:00")
    open_coat = chain_of(built_of(wall, when="Tue 08:00"), "W1").works[0]
    scuffed = chain_of(built_of((*wall, "scuff-2 Tue 07:45"), when="Tue 08:00"), "W1").works[0]
    assert open_coat.closes_at is not None
    assert scuffed.closes_at is None


def test_hanging_waits_for_the_hang_day_and_for_hardening():
    built = built_of((a_unit(), *DONE), when="Tue 08:00")
    hang = chain_of(built, "S1").works[0]
    load = chain_of(built, "", role="load").works[0]
    assert load.earliest == minute_of(at("Fri 07:30"))
    assert hang.earliest is not None
    assert built.problem.jobs[0].due == minute_of(at("Fri 17:00"))


def test_a_job_without_a_hang_day_is_loaded_once_all_may_hang():
    built = built_of((a_unit(), *DONE), when="Tue 08:00", hang_days={})
    hang, load = chain_of(built, "S1").works[0], chain_of(built, "", role="load").works[0]
    assert built.problem.jobs[0].due is None
    assert load.earliest == hang.earliest


def test_supports_go_up_before_what_hangs_on_them():
    top = a_unit("S2", hangs_on="S1")
    built = built_of((a_unit("S1", wall="W1"),), (top,), (a_wall(),))
    numbers = {(names.key[1], steps(chain)[0]): n for n, (names, chain) in enumerate(
        zip(built.names, built.problem.chains, strict=True))}  # fmt: skip
    after = {key: built.problem.chains[n].works[0].after for key, n in numbers.items()}
    assert numbers["S1", "hang"] in after["S2", "hang"]
    assert numbers["W1", "patch"] in after["S1", "hang"]
    assert numbers["W1", "patch"] not in after["", "load"]
    assert numbers["W1", "patch"] in after["", "drive"]


def test_the_way_is_part_of_each_visit_to_a_wall():
    built = built_of((a_wall(),), site=Site(drive=5, load=10))
    works = {work.step: work for work in chain_of(built, "W1").works}
    assert works["patch"].minutes == 30 + 10
    assert works["sand-1"].minutes == 15 + 45 + 10  # and the skim right after the sanding
    assert works["coat-2"].minutes == 40 + 10  # a coat's rest is not waited out there
    assert works["coat-2"].fits == 48 + 10
    # the filler rests 30 min, of which the way back and there again take 10
    assert works["sand-1"].waits == (Lag(0, 20),)
    assert works["coat-2"].waits == (Lag(2, int(PAINT["recoat"]) - 10),)
    assert works["coat-2"].closes == (Lag(2, int(PAINT["window"]) - 10),)
    assert chain_of(built, "W1").ends == (Lag(3, int(PAINT["hang"]) - 5),)


def test_a_rest_shorter_than_the_way_is_waited_out_at_the_wall():
    built = built_of((a_wall(),), site=Site(drive=20, load=10))
    visit, *coats = chain_of(built, "W1").works
    assert built.names[0].titles[0] == "patch, sand the patches, skim, sand the skim"
    assert visit.minutes == 30 + 30 + 15 + 45 + 30 + 25 + 40
    assert visit.room == visit.minutes + 9  # the skim may last longer
    assert steps(chain_of(built, "W1"))[1:] == ["coat-1", "coat-2"]  # no room for more in a stretch
    assert [work.minutes for work in coats] == [80, 80]


def test_who_works_at_the_wall_has_made_the_way_there():
    wall = (a_wall(), "patch 08:00")
    there = chain_of(built_of(wall, when="09:00", site=Site(5)), "W1").works[0]
    back = chain_of(built_of(wall, when="11:00", site=Site(5)), "W1").works[0]
    assert (there.minutes, back.minutes) == (15 + 45 + 5, 15 + 45 + 10)
    assert there.earliest == minute_of(at("08:30"))


def test_one_leaves_so_as_to_be_there_when_the_paint_is_dry():
    lines = ("patch 08:00", "sand-1 09:00", "skim 09:30", "sand-2 12:00", "coat-1 13:00")
    coat = chain_of(built_of((a_wall(), *lines), when="16:00", site=Site(20)), "W1").works[0]
    assert coat.earliest == minute_of(at("13:00")) + PAINT["recoat"] - 20
    assert coat.closes_at == minute_of(at("13:00")) + PAINT["window"] - 20


def test_where_hanging_goes_on_nobody_drives_again_until_it_has_ended():
    hung = (a_unit("S1"), *DONE, "hang Fri 08:00")
    built = built_of(hung, (a_unit("S2"), *DONE), when="Fri 10:00")
    assert [step for _n, step, _chain in ways_of(built)] == ["drive-back"]
    later = built_of(hung, (a_unit("S2"), *DONE), when="Fri 10:01")
    assert [step for _n, step, _chain in ways_of(later)] == ["load", "drive", "drive-back"]


def test_a_job_with_no_way_and_no_load_has_no_trip():
    built = built_of((a_unit(),), site=Site(0, 0))
    assert [names.key[1] for names in built.names] == ["S1", "S1"]
    built = built_of((a_unit(),), site=Site(0, 20))
    assert [step for _n, step, _chain in ways_of(built)] == ["load"]


def test_where_nothing_is_loaded_the_way_waits_for_the_hang_day():
    built = built_of((a_unit(), *DONE), when="Tue 08:00", site=Site(20, 0))
    (drive, _back) = ways_of(built)
    assert (drive[1], drive[2].works[0].earliest) == ("drive", minute_of(at("Fri 07:30")))


def test_what_rests_now_holds_its_place_and_never_more_than_there_is():
    units = [(a_unit(f"S{n}"), *GLUED) for n in range(4)]
    built = built_of(*units, when="08:00")
    held = [chain.held for chain in built.problem.chains if chain.held is not None]
    assert held == [Hold("Clamps")] * 2


def test_who_came_to_a_place_first_keeps_the_slot_when_the_rest_is_over():
    coated = {"S1": "11:30", "S2": "11:10", "S9": "10:20"}
    units = [
        (a_unit(name), *CUT, "gather A", "gather B", "glue-up 07:40", f"fill {start}",
         f"sand {start}", f"coat-1 {start}")
        for name, start in coated.items()
    ]  # fmt: skip
    rack = Rack("Rack", 2, "coat")

    def held(when):
        built = built_of(*units, when=when, racks=(rack,))
        return {chain.unit for chain in built.problem.chains if chain.held is not None}

    assert held("12:00") == {"S2", "S9"}
    # S9 waits for hands by now, and S1 still rests: nobody has moved
    assert timedelta(minutes=CLEAR["recoat"]) == at("12:20") - at("10:20")
    assert held("12:30") == {"S2", "S9"}


def test_a_unit_is_on_the_rack_from_its_first_step_at_the_finish_bench():
    units = [
        (a_unit(name), *CUT, "gather A", "gather B", "glue-up 07:40", f"fill {fill}",
         f"sand {coat}", f"coat-1 {coat}")
        for name, fill, coat in (("S1", "09:50", "11:30"), ("S2", "10:10", "11:20"))
    ]  # fmt: skip
    built = built_of(*units, when="12:00", racks=(Rack("Rack", 1, "coat"),))
    assert [chain.unit for chain in built.problem.chains if chain.held is not None] == ["S1"]


def test_what_hardens_holds_its_place_until_it_would_bear_another_coat():
    built = built_of((a_unit(), *DONE), when="16:00")
    held = chain_of(built, "S1").held
    assert (held.place, held.frees) == ("Rack", Frees.REST)
    assert held.minutes == CLEAR["recoat"] - 50  # coated at 15:10
    assert chain_of(built_of((a_unit(), *DONE), when="Tue 08:00"), "S1").held is None


def test_a_joint_holds_its_clamps_until_the_unit_may_be_moved():
    bare = a_unit(finish="")
    glue = chain_of(built_of((bare,)), "S1", role="shop").works[-1]
    assert (glue.hold.frees, glue.hold.minutes) == (Frees.REST, GLUE["handling"])
    held = chain_of(built_of((bare, *GLUED), when="08:00"), "S1").held
    assert held.minutes == GLUE["handling"] - 20


def test_without_such_a_figure_a_joint_holds_its_clamps_for_the_next_or_not_at_all():
    def minutes(*stages):
        shop = lacking(*stages, product="pva-interior")
        return chain_of(built_of((a_unit(finish=""),), shop=shop), "S1", role="shop").works[-1].hold

    assert minutes("handling").minutes == GLUE["clamp"]
    assert minutes("handling", "clamp").minutes == 0


def test_what_is_ready_holds_no_place_and_a_shop_may_have_none():
    ready = built_of((a_unit(), *DONE), when="w3 Mon 08:00")
    assert chain_of(ready, "S1").held is None
    bare = built_of((a_unit(), *GLUED), when="08:00", racks=())
    assert bare.problem.stores == ()
    assert all(work.hold is None for chain in bare.problem.chains for work in chain.works)


def test_places_of_one_role_count_as_one():
    built = built_of((a_unit(),), racks=(*RACKS, Rack("Loft", 5, "coat")))
    assert [(store.place, store.slots) for store in built.problem.stores] == [
        ("Clamps", 2),
        ("Rack, Loft", 8),
    ]


def test_a_unit_on_hold_is_left_out_and_so_is_the_hanging_of_what_it_carries():
    built = built_of((a_unit("S1"), "hold waits for the client"), (a_unit("S2", hangs_on="S1"),))
    assert [names.key[1] for names in built.names] == ["S2"]
    assert steps(built.problem.chains[0])[-1] == "coat-2"
    assert any("S1" in note and "on hold" in note for note in built.notes)
    assert any("S2" in note and "S1" in note for note in built.notes)


def lacking(*stages, product="clear"):
    """A shop whose product has no figure for some stages."""
    head, table, rest = PRODUCTS_TEXT.partition(f"[{product}]")
    line = next(line for line in rest.splitlines() if line.startswith("minutes"))
    kept = ", ".join(
        part
        for part in line[line.index("{") + 1 : -1].split(",")
        if not any(stage in part for stage in stages)
    )
    return setup(products=head + table + rest.replace(line, f"minutes = {{ {kept} }}", 1))


def test_a_figure_that_lacks_stops_the_unit_there_with_a_note():
    built = built_of((a_unit(),), shop=lacking("recoat"))
    assert [steps(chain)[-1] for chain in built.problem.chains] == ["scuff-2"]
    assert "no figure" in built.notes[0]
    built = built_of((a_unit(),), shop=lacking("hang"))
    assert [steps(chain)[-1] for chain in built.problem.chains] == ["coat-2"]
    assert "no figure" in built.notes[0]


def test_a_figure_that_lacks_where_a_rest_runs_is_told_by_the_standing():
    built = built_of((a_unit(), *DONE), shop=lacking("hang"), when="16:00")
    assert built.problem.chains == ()
    assert "no figure" in built.notes[0]


def cold(degrees=2.0):
    """A shop too cold for anything to dry."""
    readings = [Reading(at(f"{day} {hour:02}:00"), degrees, 50.0)
                for day in ("Mon", "Tue") for hour in range(0, 24, 2)]  # fmt: skip
    return replace(SETUP, airs={"": Air(readings)})


def test_a_rest_that_does_not_go_on_in_this_air_leaves_the_unit_out_from_there():
    built = built_of((a_unit(), *COATED), shop=cold(), when="Tue 12:00")
    assert chain_of_units(built) == []
    assert any("S1" in note for note in built.notes)


def chain_of_units(built):
    return [names.key[1] for names in built.names if names.key[1]]


def test_a_rest_to_come_in_such_air_is_planned_as_on_the_label():
    built = built_of((a_unit(),), shop=cold(), when="Tue 12:00")
    works = chain_of(built, "S1", role="shop").works
    assert works[3].waits == (Lag(2, int(GLUE["clamp"])),)
    assert any("as on the label" in note for note in built.notes)


def test_what_is_longer_than_a_stretch_is_cut_in_pieces():
    built = built_of((a_unit(parts="".join(chr(65 + n) for n in range(150))),))
    works = chain_of(built, "S1", role="shop").works
    pieces = [work for work in works if work.step == "cut"]
    assert [piece.minutes for piece in pieces] == [225, 225]
    assert built.names[0].titles[:2] == ("cut, 150 parts, 1 of 2", "cut, 150 parts, 2 of 2")
    glue = next(n for n, work in enumerate(works) if work.step == "glue-up")
    assert works[glue + 1].waits[0].work == glue


def test_stations_nobody_is_set_down_for_are_done_by_everybody_with_a_note():
    only_cut = replace(HOURS, stations=("cut", "install"))
    built = built_of((a_unit(),), people=(("Ida", only_cut), ("Ole", replace(only_cut, days=()))))
    assert [worker.name for worker in built.problem.people] == ["Ida"]
    assert set(built.problem.people[0].stations) == {"cut", "install", "assemble", "finish"}
    assert len(built.notes) == 2
    mixed = built_of((a_unit(),), people=(("Ida", only_cut), ("Ole", HOURS)))
    assert mixed.notes == ()


def test_nobody_at_work_is_said():
    built = built_of((a_unit(),), people=())
    assert (built.problem.chains, len(built.notes)) == ((), 1)


def test_a_crew_larger_than_the_shop_is_cut_to_it():
    routes = ROUTES_TEXT.replace('name = "hang"', 'name = "hang"\ncrew = 3', 1)
    built = built_of((a_unit(),), shop=setup(routes))
    assert chain_of(built, "S1").works[0].crew == 2
    assert [chain.works[0].crew for _n, _step, chain in ways_of(built)] == [2, 2, 2]


def test_people_who_never_meet_do_alone_what_wants_two():
    early, late = replace(HOURS, closes=time(12)), replace(HOURS, opens=time(12, 45))
    routes = ROUTES_TEXT.replace('name = "hang"', 'name = "hang"\ncrew = 2', 1)
    built = built_of((a_unit(),), shop=setup(routes), people=(("Ida", early), ("Ole", late)))
    assert chain_of(built, "S1").works[0].crew == 1
    words = "hang wants 2 people: planned with 1, as no more meet long enough."
    assert built.notes == (words,)


def test_people_who_meet_for_minutes_share_what_fits_and_do_alone_what_is_longer():
    early = replace(HOURS, closes=time(12, 10), break_minutes=0)
    # two minutes need three before a break
    for opens, long, pieces, crew in ((7, 400, [200, 200], 1), (7, 2, [2], 2), (8, 2, [2], 1)):
        late = replace(HOURS, opens=time(12, opens), break_minutes=0)
        people = (("Ida", early), ("Ole", late))
        routes = ROUTES_TEXT.replace('name = "glue-up"', 'name = "glue-up"\ncrew = 2', 1)
        times = touch_times(setup(routes).routes, {}, {("shelf", "glue-up"): long})
        built = built_of(
            (a_unit(), *CUT), (a_unit("S2"), *CUT), shop=setup(routes), people=people, times=times
        )
        works = chain_of(built, "S1", role="shop").works
        glued = [work for work in works if work.step == "glue-up"]
        assert [work.minutes for work in glued] == pieces
        assert {work.crew for work in glued} == {crew}
        wants = [note for note in built.notes if "wants 2 people: planned with 1" in note]
        assert len(wants) == (crew == 1)  # once for both units


def test_a_step_left_half_done_all_the_same_is_said_once():
    times = touch_times(SETUP.routes, {}, {("shelf", "coat-1"): 500})
    built = built_of((a_unit(), *CUT), (a_unit("S2"), *CUT), times=times)
    said = [note for note in built.notes if "left half done" in note]
    assert said == ["coat 1 is longer than people are there at a stretch: it is left half done."]


def test_a_wall_that_dries_is_waited_for():
    wall = ("patch 08:00", "sand-1 09:00", "skim 09:30", "sand-2 12:00", "coat-1 13:00",
            "coat-2 Tue 10:00")  # fmt: skip
    built = built_of((a_wall(), *wall), (a_unit("S1", wall="W1"), *DONE), when="Tue 11:00")
    state = shop_of((a_wall(), *wall))
    standing = standings_of(state, at("Tue 11:00"))["GLAZE", "W1"]
    assert chain_of(built, "S1").works[0].earliest >= minute_of(standing.hands_at)
    assert any("W1 needs no hands" in note for note in built.notes)


def test_a_door_stands_on_the_rack_from_its_masking_on():
    works = chain_of(built_of((a_unit("D1", kind="door", parts=""),)), "D1", role="shop").works
    assert [work.hold.place if work.hold else "" for work in works[:3]] == ["Rack"] * 3


LINES = (*CUT, "gather A", "gather B", "glue-up 07:40", "fill 09:00", "sand 10:00", "coat-1 10:20",
         "scuff-2 15:00", "coat-2 15:10", "hang Fri 08:00")  # fmt: skip


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.tuples(st.integers(0, 11), st.booleans(), st.sampled_from(("", "S0"))), max_size=6),
    st.sampled_from(("16:00", "Tue 09:00", "Fri 10:00", "Sat 11:00")),
)
def test_every_open_unit_is_planned_or_named(units, when):
    given_units = [
        (a_unit(f"S{n}", hangs_on="" if n == 0 else on), *LINES[:done], *(["hold wet"] * is_held))
        for n, (done, is_held, on) in enumerate(units)
    ]
    built = built_of(*given_units, when=when)
    standings = standings_of(shop_of(*given_units), at(when))
    for (_job, unit), one in standings.items():
        if one.state != State.HUNG:
            said = any(note.startswith((f"{unit} ", f"{unit}:")) for note in built.notes)
            assert said or unit in chain_of_units(built)
    for chain in built.problem.chains:
        assert all(lag.work < len(chain.works) for lag in chain.ends)
        for place, work in enumerate(chain.works):
            assert work.minutes >= 1
            assert all(lag.work < place for lag in (*work.waits, *work.closes))
            assert all(number < len(built.problem.chains) for number in work.after)
            assert work.room + work.extra <= 270


@settings(max_examples=25, deadline=None)
@given(
    st.lists(
        st.tuples(st.integers(0, 10), st.sampled_from(("", "S0", "W1"))), min_size=1, max_size=6
    ),
    st.sampled_from(("16:00", "Tue 09:00", "Sat 11:00")),
    st.sampled_from((TWO[:1], TWO)),
)
def test_both_checkers_accept_a_plan_of_whatever_stands_in_the_shop(units, when, people):
    given_units = [
        (a_unit(f"S{n}", hangs_on="S0" if n and on == "S0" else "",
                wall="W1" if on == "W1" else ""), *LINES[:done])
        for n, (done, on) in enumerate(units)
    ]  # fmt: skip
    built = built_of(*given_units, (a_wall(),), when=when, people=people)
    plan = first_plan(built.problem)
    assert gridcheck.find_faults(built.problem, plan) == ()
    assert sweepcheck.find_faults(built.problem, plan) == ()


def test_the_day_a_job_goes_up_may_be_a_day_off():
    built = built_of((a_unit(),), hang_days={"GLAZE": date(2026, 3, 7)})
    assert built.problem.jobs[0].due == minute_of(at("Sat 17:00"))


def test_two_jobs_with_units_of_one_name_are_told_apart():
    built = built_of((a_unit("S1"),), (a_unit("S1", job="KILN"),))
    assert {names.unit for names in built.names} >= {"GLAZE S1", "KILN S1"}
    assert [job.job for job in built.problem.jobs] == ["GLAZE", "KILN"]


@pytest.mark.parametrize("people", [TWO[:1], TWO])
def test_the_people_are_there_in_their_hours(people):
    built = built_of((a_unit(),), people=people, when="Mon 08:00")
    assert [worker.name for worker in built.problem.people] == [name for name, _hours in people]
    assert built.problem.people[0].spans[0].starts == minute_of(at("Mon 08:00"))


def test_a_figure_that_lacks_behind_a_coat_that_is_on_stops_the_unit_there():
    built = built_of((a_unit(), *COATED), shop=lacking("recoat"), when="16:00")
    assert [steps(chain) for chain in built.problem.chains] == [["scuff-2"]]
    assert "no figure" in built.notes[0]


def test_a_coat_whose_label_names_no_window_is_never_too_late():
    shop = lacking("window")
    to_come = chain_of(built_of((a_unit(),), shop=shop), "S1", role="shop").works[6]
    on = chain_of(built_of((a_unit(), *COATED), shop=shop, when="16:00"), "S1", role="shop").works
    assert (to_come.step, to_come.closes, to_come.extra) == ("scuff-2", (), 0)
    assert (on[0].step, on[0].closes_at) == ("scuff-2", None)


def test_a_window_of_what_no_product_is_known_for_is_not_counted():
    routes = ROUTES_TEXT.replace('waits = [["stripe-2", "touch"]]\n', "")
    shop = setup(routes, stripe="unknown")
    lines = (*DONE, "mask Tue 16:00", "stripe-1 Tue 16:20", "stripe-2 Wed 08:00")
    built = built_of((a_unit(accent=True), *lines), shop=shop, when="Wed 08:30")
    (unmask,) = chain_of(built, "S1", role="shop").works
    assert (unmask.step, unmask.closes_at, unmask.extra) == ("unmask", None, 0)


def test_a_coat_too_old_and_too_soft_with_no_end_in_sight_leaves_the_unit_out():
    windows = """
windows = [{ opens = 120, closes = 300, action = "none" }, { opens = 4320, action = "scuff" }]
"""
    head, _table, rest = PRODUCTS_TEXT.partition("[clear]\n")
    shop = setup(products=f"{head}[clear]\n{windows.strip()}\n{rest}")
    readings = [Reading(at(f"Mon {hour:02}:00"), 23.0, 50.0) for hour in range(0, 20, 2)]
    readings += [
        Reading(at(f"{day} {hour:02}:00"), 1.0, 50.0)
        for day in ("Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
        for hour in range(0, 24, 2)
    ]
    shop = replace(shop, airs={"": Air(readings)})
    built = built_of((a_unit(), *COATED), shop=shop, when="Sun 23:00")
    assert built.problem.chains == ()
    assert any("no end is in sight" in note for note in built.notes)


def test_what_hangs_in_a_ring_is_said_and_planned_through_the_shop():
    built = built_of((a_unit("S1", hangs_on="S2"),), (a_unit("S2", hangs_on="S1"),))
    assert [steps(chain)[-1] for chain in built.problem.chains] == ["coat-2", "coat-2"]
    assert len([note for note in built.notes if "cannot be hung yet" in note]) == 2


def test_hanging_that_waits_for_what_does_not_harden_is_left_out():
    built = built_of((a_unit(), *DONE), shop=cold(), when="Tue 12:00")
    assert built.problem.chains == ()
    assert any(note.startswith("S1 is left out") for note in built.notes)


def test_a_step_that_cannot_be_left_half_done_begins_where_there_is_most_room():
    whole = Work("coat-1", "finish", 200, fits=300)
    assert cut_up(whole, 270) == (replace(whole, fits=270),)
    assert cut_up(whole, 300) == (whole,)
    halves = cut_up(replace(whole, hold=Hold("Rack"), earliest=5), 150)
    assert [(one.minutes, one.fits, one.earliest) for one in halves] == [
        (100, 0, 5),
        (100, 0, None),
    ]
    assert [one.hold for one in halves] == [None, Hold("Rack")]
    assert sum(one.minutes for one in cut_up(replace(whole, minutes=301), 100)) == 301


@pytest.mark.parametrize(
    ("minutes", "extra", "longest", "pieces", "first_extra"),
    [
        (480, 240, 240, [30, 225, 225], 210),  # half as long again leaves no room in a stretch
        (480, 40, 240, [160, 160, 160], 40),
        (480, 120, 240, [120, 180, 180], 120),
        (200, 60, 240, [100, 100], 60),
        (20, 300, 240, [20], 210),
        (5, 3, 2, [2, 2, 1], 0),
    ],
)
def test_only_the_first_piece_leaves_room_for_the_scuffing(
    minutes, extra, longest, pieces, first_extra
):
    work = Work("scuff-2", "finish", minutes, extra=extra, closes_at=9)
    found = cut_up(work, longest)
    assert [one.minutes for one in found] == pieces
    assert found[0].extra == first_extra
    assert all(not one.extra for one in found[1:])
    assert all(one.room + one.extra <= longest for one in found)
    assert all(not one.fits for one in found)  # each may be left half done, as the work may


def test_a_window_after_a_step_the_unit_does_not_have_is_not_counted():
    routes = ROUTES_TEXT.replace(
        'name = "fill"', 'name = "fill"\ncloses = [["glue-up", "open"]]', 1
    )
    fill = chain_of(built_of((a_unit(parts="A"),), shop=setup(routes)), "S1", role="shop").works[1]
    assert (fill.step, fill.closes, fill.closes_at) == ("fill", (), None)


def test_what_hangs_on_a_unit_that_is_up_waits_for_it_no_more():
    up = (a_unit("S1"), *DONE, "hang Fri 08:00")
    built = built_of(up, (a_unit("S2", hangs_on="S1"), *DONE), when="Fri 09:00")
    assert [names.key[1] for names in built.names] == ["S2", ""]
    assert built.problem.chains[0].works[0].after == ()


def test_a_job_whose_hang_day_is_years_away_is_left_out_with_a_note():
    def days_on(count):
        return built_of((a_unit(),), hang_days={"GLAZE": at("Mon 08:00").date() + timedelta(count)})

    near, far = days_on(730), days_on(731)
    assert near.problem.chains
    assert not near.notes
    assert (far.problem.chains, far.problem.jobs) == ((), ())
    assert far.notes == ("GLAZE is left out: its hang day is more than 730 days away",)
