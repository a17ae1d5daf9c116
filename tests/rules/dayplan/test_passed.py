"""The way to a site and the first pieces of a long step count as done by the plan alone."""

from dataclasses import replace
from datetime import timedelta

import pytest

from kiosk.rules.dayplan.built import Built, ChainNames, Passed
from kiosk.rules.dayplan.model import (
    Bench,
    Chain,
    Due,
    Frees,
    Hold,
    Lag,
    Placed,
    Plan,
    Problem,
    Span,
    Work,
    Worker,
)
from kiosk.rules.dayplan.passed import settle
from kiosk.rules.dayplan.pins import Scan, under_way
from kiosk.rules.workday import minute_of
from tests.builders import at

EIGHT = minute_of(at("08:00"))
STAFF = (Worker("Ida", (Span(EIGHT, EIGHT + 600),)), Worker("Ole", (Span(EIGHT, EIGHT + 600),)))
WAY = (Work("load", "install", 30), Work("drive", "install", 20))
HANG = Work("hang", "install", 15, after=(0,))


def built(*rows, over=None):
    """A shop of rows (unit, works, more of the chain)."""
    chains = tuple(Chain(0, unit, works, **more) for unit, works, more in rows)
    names = tuple(
        ChainNames(("J1", unit), unit, "shelf", tuple(w.step for w in works), ("",) * len(works))
        for unit, works, _more in rows
    )
    benches = (Bench("finish", 2), Bench("install", 2))
    problem = Problem(EIGHT, STAFF, benches, (), (Due("J1"),), chains)
    return Built(problem, names, over=over or {})


def planned(*rows):
    """A plan of rows (chain, work, start in minutes from eight, minutes), all of Ida."""
    placed = tuple(Placed(c, w, EIGHT + s, EIGHT + s + long, (0,)) for c, w, s, long in rows)
    keys = {}
    for one in placed:
        keys.setdefault(one.chain, []).append(float(one.starts))
    delays = {(one.chain, one.work): one.starts for one in placed}
    return Plan(placed, 0.0, tuple(map(tuple, keys.values())), delays)


TRIP = built(("", WAY, {}), ("S1", (HANG,), {}))
GO = planned((0, 0, 0, 30), (0, 1, 30, 20), (1, 0, 50, 15))


def settled(mins, *scans, before=GO, old=TRIP, new=TRIP, whole=True):
    now = at("08:00") + timedelta(minutes=mins)
    return settle(before, old, new, now=now, scans=scans, is_whole=lambda _name: whole)


def steps(found):
    return [
        (names.key[1], *(work.step for work in chain.works))
        for names, chain in zip(found.names, found.problem.chains, strict=True)
    ]


@pytest.mark.parametrize(
    ("mins", "left"),
    [(29, [("", "load", "drive"), ("S1", "hang")]), (30, [("", "drive"), ("S1", "hang")])],
)
def test_a_load_is_over_at_its_planned_end(mins, left):
    plan, old, new = settled(mins)
    assert steps(new) == steps(old) == left
    assert len(plan.placed) == sum(len(one) - 1 for one in left)


def test_a_way_that_is_over_frees_what_waits_for_it():
    plan, old, new = settled(50)
    assert steps(new) == [("S1", "hang")]
    assert new.problem.chains[0].works[0].after == ()
    assert plan.placed == (Placed(0, 0, EIGHT + 50, EIGHT + 65, (0,)),)
    assert (plan.keys, plan.delays) == (((EIGHT + 50.0,),), {(0, 0): EIGHT + 50})
    assert new.names[0].titles == ("hang",)
    now = at("08:52")
    assert [pin.chain for pin in under_way(plan, old, new, now=now)] == [0]


def test_what_was_over_stays_so_while_the_shop_asks_for_it_again_and_again():
    plan, _old, new = settled(30)
    plan, _old, new = settled(40, before=plan, old=new)
    assert steps(new) == [("", "drive"), ("S1", "hang")]
    plan, _old, new = settled(50, before=plan, old=new)
    assert steps(new) == [("S1", "hang")]
    assert steps(settled(630, before=plan, old=new)[2]) == [("S1", "hang")]
    # the next morning somebody has to drive again; the load was over at 8:30
    assert steps(settled(631, before=plan, old=new)[2])[0] == ("", "load", "drive")


def test_who_scanned_something_on_the_way_did_not_go():
    ida = Scan(at("08:10"), "Ida")
    assert steps(settled(50, ida)[2])[0] == ("", "load", "drive")
    assert steps(settled(50, Scan(at("08:10"), "Ole"))[2]) == [("S1", "hang")]
    assert steps(settled(50, Scan(at("07:59"), "Ida"), Scan(at("08:50"), "Ida"))[2]) == [
        ("S1", "hang")
    ]


def test_a_way_that_was_begun_is_made_once_something_is_hung():
    hung = built(("S1", (HANG,), {}))
    plan, old, new = settled(10, new=hung)
    assert steps(old) == steps(new) == [("S1", "hang")]
    assert new.over[("J1", "", "drive")] == Passed(20, EIGHT + 10)
    assert steps(settled(300, before=plan, old=new)[2]) == [("S1", "hang")]
    assert settled(-1, new=hung)[2].over == {}


def test_after_a_load_that_is_over_the_way_is_made_once_something_is_hung():
    late = planned((0, 0, 0, 30), (0, 1, 60, 20), (1, 0, 80, 15))
    plan, _old, new = settled(30, before=late)
    hung = built(("S1", (HANG,), {}))
    found = settled(40, before=plan, old=new, new=hung)[2]
    assert set(found.over) == {("J1", "", "load"), ("J1", "", "drive")}


def test_a_load_that_was_begun_is_followed_by_the_way_once_something_is_hung():
    load, drive = ("", WAY[:1], {}), ("", (Work("drive", "install", 20, after=(0,)),), {})
    shop, hung = built(load, drive, ("S1", (HANG,), {})), built(("S1", (HANG,), {}))
    day = planned((0, 0, 0, 30), (1, 0, 30, 20), (2, 0, 50, 15))
    found = settled(10, before=day, old=shop, new=hung)[2]
    assert set(found.over) == {("J1", "", "load"), ("J1", "", "drive")}


def test_a_way_is_not_made_before_what_it_waits_for():
    load, drive = Work("load", "install", 30, after=(0,)), Work("drive", "install", 20, after=(1,))
    hang, back = Work("hang", "install", 15, after=(2,)), Work("back", "install", 20, after=(3,))
    coat = ("S1", (Work("coat", "finish", 10),), {})
    ways = [("", (load,), {}), ("", (drive,), {}), ("S1", (hang,), {}), ("", (back,), {})]
    day = planned((0, 0, 0, 10), (1, 0, 10, 30), (2, 0, 40, 20), (3, 0, 60, 15), (4, 0, 75, 20))
    shop = built(coat, *ways)
    assert steps(settled(100, before=day, old=shop, new=shop)[2]) == steps(shop)
    coated = built(*((u, tuple(_earlier(w) for w in works), m) for u, works, m in ways))
    # the coat is scanned: load and drive are over, and the way back waits for the hanging
    found = settled(100, before=day, old=shop, new=coated)[2]
    assert steps(found) == [("S1", "hang"), ("", "back")]


def test_a_way_waits_for_the_last_piece_of_a_step_too():
    sand = (Work("sand", "finish", 240), Work("sand", "finish", 240))
    load = (Work("load", "install", 30, after=(0,)),)
    shop = built(("S1", sand, {}), ("", load, {}))
    day = planned((0, 0, 0, 240), (0, 1, 240, 240), (1, 0, 480, 30))
    assert steps(settled(600, before=day, old=shop, new=shop)[2]) == [("S1", "sand"), ("", "load")]


def test_a_load_in_pieces_goes_on_with_the_second():
    load = (Work("load", "install", 30), Work("load", "install", 20))
    shop = built(("", load, {}), ("S1", (HANG,), {}))
    plan, _old, new = settled(30, before=GO, old=shop, new=shop)
    assert steps(new) == [("", "load"), ("S1", "hang")]
    plan, _old, new = settled(45, before=plan, old=new, new=shop)
    assert steps(new) == [("", "load"), ("S1", "hang")]
    assert steps(settled(50, before=plan, old=new, new=shop)[2]) == [("S1", "hang")]


def _earlier(work):
    """A work of which what it waits for has one chain less before it."""
    return replace(work, after=tuple(one - 1 for one in work.after if one))


def test_a_longer_load_than_the_one_that_was_over_is_done_again():
    longer = built(("", (Work("load", "install", 31), WAY[1]), {}), ("S1", (HANG,), {}))
    assert steps(settled(30, new=longer)[2])[0] == ("", "load", "drive")


SAND = (
    Work("sand", "finish", 240),
    Work("sand", "finish", 240),
    Work("coat", "finish", 10, waits=(Lag(1, 5),), closes=(Lag(1, 60),), extra=5),
)
LONG = {"ends": (Lag(2, 30),), "held": Hold("Clamps")}
SANDING = built(("S1", SAND, LONG), ("S2", SAND[2:], {"held": Hold("Rack")}))
DAYS = planned((0, 0, 0, 240), (0, 1, 300, 240), (0, 2, 900, 10), (1, 0, 950, 10))


def sanded(mins, *scans, **more):
    return settled(mins, *scans, **({"before": DAYS, "old": SANDING, "new": SANDING} | more))


def test_the_first_piece_of_a_long_step_is_over_at_its_planned_end_and_the_last_is_scanned():
    assert steps(sanded(239)[2])[0] == ("S1", "sand", "sand", "coat")
    plan, old, new = sanded(240)
    assert steps(new)[0] == ("S1", "sand", "coat")
    chain = new.problem.chains[0]
    assert (chain.works[1].waits, chain.works[1].closes) == ((Lag(0, 5),), (Lag(0, 60),))
    assert (chain.ends, chain.held) == ((Lag(1, 30),), None)
    assert new.problem.chains[1] == SANDING.problem.chains[1]
    assert steps(sanded(600, before=plan, old=old)[2])[0] == ("S1", "sand", "sand", "coat")
    assert steps(sanded(600, before=plan, old=new)[2])[0] == ("S1", "sand", "coat")
    assert steps(sanded(2000, before=plan, old=new)[2])[0] == ("S1", "sand", "coat")


def test_what_rests_till_a_minute_keeps_its_place():
    rests = Hold("Rack", frees=Frees.REST, minutes=300)
    new = built(("S1", SAND, LONG | {"held": rests}), ("S2", SAND[2:], {}))
    assert sanded(240, new=new)[2].problem.chains[0].held == rests


def test_pieces_scanned_part_by_part_are_never_over_by_the_plan():
    plan, old, new = sanded(240, whole=False)
    assert (plan, old, new) == (DAYS, SANDING, SANDING)


def test_a_piece_counts_until_the_step_is_scanned():
    plan, _old, new = sanded(240)
    coats = built(("S1", SAND[2:], {}), ("S2", SAND[2:], {}))
    found = sanded(300, before=plan, old=new, new=coats)[2]
    assert (steps(found)[0], found.over) == (("S1", "coat"), {})


def test_a_step_without_a_time_has_not_passed():
    far = replace(GO, placed=GO.placed[:1])  # read back: the drive is too far ahead for one
    plan, old, new = settled(60, before=far)
    assert [[work.step for work in chain.works] for chain in new.problem.chains] == [
        ["drive"],
        ["hang"],
    ]
    assert [(name.key, name.titles) for name in old.names] == [
        (("J1", ""), ("drive",)),
        (("J1", "S1"), ("hang",)),
    ]
    assert plan.placed == ()


def test_a_way_that_is_made_needs_no_time_of_its_later_steps():
    far = replace(GO, placed=GO.placed[:1])
    hung = built(("S1", (HANG,), {}))
    _plan, _old, new = settled(40, before=far, new=hung)
    assert ("J1", "", "load") in new.over
    assert ("J1", "", "drive") not in new.over
