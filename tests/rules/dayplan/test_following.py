"""Priorities go with their steps into the shop as it is now."""

from dataclasses import replace

from kiosk.rules.dayplan.built import Built, ChainNames
from kiosk.rules.dayplan.following import carried_delays, carried_keys
from kiosk.rules.dayplan.model import Chain, Plan, Problem, Work

CUT, CUT_2, SAND = (Work(step, "finish", 5) for step in ("cut", "cut", "sand"))


def built(*rows):
    """Chains given as (job, unit, works)."""
    chains = tuple(Chain(0, unit, works) for _job, unit, works in rows)
    names = tuple(ChainNames((job, unit), unit, "shelf", ()) for job, unit, _works in rows)
    return Built(Problem(0, (), (), (), (), chains), names)


OLD = built(("A", "S1", (CUT, CUT_2, SAND)), ("A", "S2", (SAND,)), ("B", "S1", (SAND,)))
PLAN = Plan((), 0.0, keys=((1.0, 2.0, 3.0), (4.0,), (7.0,)), delays={(0, 2): 90, (1, 0): 60})


def test_steps_keep_their_keys_wherever_their_chain_stands_now():
    new = built(("B", "S1", (SAND,)), ("A", "S1", (CUT_2, SAND)))
    assert carried_keys(PLAN, OLD, new) == ((7.0,), (2.0, 3.0))


def test_a_new_unit_is_as_pressing_as_its_job_and_a_new_job_comes_last():
    new = built(("A", "S9", (SAND,)), ("C", "S1", (SAND,)))
    assert carried_keys(PLAN, OLD, new) == ((2.5,), (8.0,))


def test_a_plan_without_keys_carries_none():
    assert carried_keys(replace(PLAN, keys=()), OLD, OLD) is None


def test_steps_held_back_stay_so_as_long_as_they_are_there():
    new = built(("A", "S1", (CUT_2, SAND)))
    assert carried_delays(PLAN, OLD, new) == {(0, 1): 90}


def test_nothing_left_is_nothing_carried():
    assert (
        carried_keys(replace(PLAN, keys=((), ())), built(("A", "", ()), ("B", "", ())), built())
        == ()
    )
