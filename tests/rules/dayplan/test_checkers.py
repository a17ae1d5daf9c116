"""The two checkers of day plans, on a plan worked by hand: each fault is seen by both."""

from collections.abc import Iterable
from dataclasses import replace

import pytest

from kiosk.rules.dayplan import gridcheck, sweepcheck
from kiosk.rules.dayplan.model import (
    Aims,
    Bench,
    Chain,
    Due,
    Frees,
    Hold,
    Lag,
    Pin,
    Placed,
    Plan,
    Problem,
    Span,
    Store,
    Work,
    Worker,
)
from tests.plainplans import with_cost

CHECKERS = (gridcheck.find_faults, sweepcheck.find_faults)

# Two people, there 0-100 and 120-300; Olga knows all, Egon only the benches and the drive.
# Shelf: glue 10 at 0, rests 30 in 4 of 6 clamps until it is unclamped; coat 10 before 60, else 5
# more; rests 20 on the rack. Box: sand 20 under way since -5, then glue 15 beside the shelf's rest.
# Wall: both hang it for 30 minutes, after the shelf, at the earliest at 130.
PROBLEM = Problem(
    now=0,
    people=(
        Worker("Olga", (Span(0, 100), Span(120, 300))),
        Worker("Egon", (Span(0, 100), Span(120, 300)), ("bench", "drive")),
    ),
    benches=(Bench("bench", 2), Bench("booth"), Bench("drive")),
    stores=(Store("clamps", 6), Store("rack", 1)),
    jobs=(Due("one", 140, 2.0), Due("two", None), Due("none", 5)),
    chains=(
        Chain(
            0,
            "shelf",
            (
                Work("glue", "bench", 10, fits=25, hold=Hold("clamps", 4, Frees.END)),
                Work("unclamp", "bench", 5, waits=(Lag(0, 30),)),
                Work(
                    "coat",
                    "booth",
                    10,
                    closes=(Lag(1, 15),),
                    closes_at=70,
                    extra=5,
                    hold=Hold("rack", 1, Frees.START, 20),
                ),
            ),
            ends=(Lag(2, 20),),
        ),
        Chain(
            1,
            "box",
            (
                Work("sand", "booth", 20),
                Work("glue", "bench", 15, hold=Hold("clamps", 2, Frees.REST, 40)),
            ),
            held=Hold("rack", 1, Frees.START),
        ),
        Chain(0, "wall", (Work("hang", "drive", 30, crew=2, after=(0,), earliest=130),)),
        Chain(1, "rest", (), held=Hold("clamps", 2, Frees.REST, 10)),
    ),
    pins=(Pin(1, -5, 12, (0,)),),
    aims=Aims(),
)
GLUE, UNCLAMP, COAT, SAND, BOX_GLUE, HANG = range(6)
STEPS = (
    Placed(0, 0, 0, 10, (1,)),
    Placed(0, 1, 40, 45, (1,)),
    Placed(0, 2, 50, 60, (0,)),
    Placed(1, 0, -5, 12, (0,)),
    Placed(1, 1, 12, 27, (0,)),
    Placed(2, 0, 130, 160, (0, 1)),
)
# shelf finished at 80, box at 27, wall at 160; job one ends at 160 and is 20 late at twice 100;
# finishes 160 + 27; flows 80, 32 and 30
COST = 2 * 100 * 20 + 10 * (160 + 27) + (80 + 32 + 30)


def _plan(steps=STEPS, cost: float = COST, **more) -> Plan:
    return Plan(tuple(sorted(steps, key=lambda one: one.starts)), float(cost), **more)


def _with(index: int, **changes) -> tuple[Placed, ...]:
    return (*STEPS[:index], replace(STEPS[index], **changes), *STEPS[index + 1 :])


def _faults(problem: Problem, plan: Plan) -> tuple[tuple[str, ...], tuple[str, ...]]:
    grid, sweep = (find(problem, plan) for find in CHECKERS)
    return grid, sweep


def test_a_plan_worked_by_hand_is_sound():
    assert _faults(PROBLEM, _plan()) == ((), ())


# what is done to the plan, the minutes its cost changes by, and what both checkers must say
FAULTS: dict[str, tuple[tuple[Placed, ...], float, str, str]] = {
    "dropped": (STEPS[1:], 0, "not planned", "exactly once"),
    "doubled": ((*STEPS, STEPS[COAT]), 0, "planned twice", "exactly once"),
    "of no unit": ((*STEPS, Placed(9, 0, 0, 1, (0,))), 0, "no unit has", "exactly once"),
    "of no step": ((*STEPS, Placed(2, 1, 0, 1, (0,))), 0, "no unit has", "exactly once"),
    "by nobody known": (_with(COAT, people=(2,)), 0, "not in the shop", "not in the shop"),
    "by minus one": (_with(COAT, people=(-1,)), 0, "not in the shop", "not in the shop"),
    "before now": (_with(GLUE, starts=-1, ends=9), 1, "too early", "too early"),
    "before it may": (_with(HANG, starts=129, ends=159), -210, "too early", "too early"),
    "before its rest is over": (_with(UNCLAMP, starts=39, ends=44), 0, "too early", "wait as long"),
    "before the one before": (
        _with(COAT, starts=44, ends=54),
        -6,
        "coat: it starts too early",
        "before the step before",
    ),
    "stretched": (_with(COAT, ends=61), 1, "time it needs", "time it needs"),
    "shortened": (_with(COAT, ends=59), -1, "time it needs", "time it needs"),
    "with extra for nothing": (_with(COAT, ends=65, extra=5), 5, "time it needs", "time it needs"),
    "ended before it began": (_with(COAT, ends=40), -20, "time it needs", "time it needs"),
    "without its extra": (_with(COAT, starts=61, ends=71), 11, "time it needs", "time it needs"),
    "its extra not told": (_with(COAT, starts=61, ends=76), 16, "time it needs", "time it needs"),
    "alone": (_with(HANG, people=(0,)), 0, "as many people", "as many people"),
    "by one twice": (_with(HANG, people=(1, 1)), 0, "as many people", "as many people"),
    "by nobody": (_with(UNCLAMP, people=()), 0, "as many people", "as many people"),
    "without the skill": (_with(COAT, people=(1,)), 0, "know the station", "know the station"),
    "over the break": (_with(COAT, starts=91, ends=106, extra=5), 46, "next break", "next break"),
    "in the break": (_with(COAT, starts=101, ends=116, extra=5), 56, "next break", "next break"),
    "out of hours": (_with(HANG, starts=280, ends=310), 31500, "next break", "next break"),
    "long after": (_with(HANG, starts=900, ends=930), 161700, "next break", "next break"),
    "with too little room": (_with(BOX_GLUE, starts=88, ends=103), 836, "next break", "next break"),
    "two at once": (_with(GLUE, people=(0,)), 0, "two steps at once", "two steps at once"),
    "the pin moved": (_with(SAND, starts=-4, ends=13), -1, "must stay", "must stay"),
    "the pin taken over": (_with(SAND, people=(1,)), 0, "must stay", "must stay"),
}


@pytest.mark.parametrize("name", FAULTS)
def test_each_fault_is_seen_by_both(name):
    steps, more, grid_says, sweep_says = FAULTS[name]
    grid, sweep = _faults(PROBLEM, _plan(steps, COST + more))
    assert any(grid_says in fault for fault in grid), grid
    assert any(sweep_says in fault for fault in sweep), sweep


# those whose cost was worked anew: nothing else may be wrong with them
@pytest.mark.parametrize(
    "name",
    [
        "before it may",
        "stretched",
        "shortened",
        "with extra for nothing",
        "without its extra",
        "alone",
        "without the skill",
        "over the break",
        "out of hours",
        "two at once",
    ],
)
def test_a_single_fault_is_told_once(name):
    steps, more, _grid, _sweep = FAULTS[name]
    grid, sweep = _faults(PROBLEM, _plan(steps, COST + more))
    assert {len(set(grid)), len(set(sweep))} == {1}, (grid, sweep)


def test_steps_out_of_order_are_told():
    plan = replace(_plan(), placed=STEPS)
    assert all("not in order" in faults[0] for faults in _faults(PROBLEM, plan))


@pytest.mark.parametrize("cost", [COST - 1, COST + 1, 0, float("nan")])
def test_a_cost_that_does_not_add_up_is_told(cost):
    told = _faults(PROBLEM, _plan(cost=cost))
    assert all(len(faults) == 1 and "cost" in faults[0] for faults in told)


def test_a_step_is_late_only_past_its_close():
    at_close = _faults(PROBLEM, _plan(_with(COAT, starts=60, ends=70), COST + 10))
    past_it = _faults(PROBLEM, _plan(_with(COAT, starts=61, ends=76, extra=5), COST + 16))
    assert at_close == past_it == ((), ())


def test_the_earliest_close_counts():
    coat = replace(PROBLEM.chains[0].works[2], closes_at=55)
    problem = _with_work(0, 2, coat)
    sooner = _faults(problem, _plan(_with(COAT, starts=55, ends=65), COST + 5))
    later = _faults(problem, _plan(_with(COAT, starts=56, ends=66), COST + 6))
    assert sooner == ((), ())
    assert all("time it needs" in faults[0] for faults in later)


def test_supports_are_finished_with_their_rest():
    hang = replace(PROBLEM.chains[2].works[0], earliest=None)
    problem = _with_work(2, 0, hang)
    # the shelf's coat ends at 60 and rests until 80
    early = _with(HANG, starts=79, ends=109)
    told = [fault for faults in _faults(problem, _plan(early)) for fault in faults]
    assert any("supports are finished" in fault for fault in told)
    assert any("hang: it starts too early" in fault for fault in told)


def test_benches_are_counted():
    # Egon unclamps from 40 to 45, and Olga glues at the other bench
    coat = replace(STEPS[COAT], starts=59, ends=69)
    box = replace(STEPS[BOX_GLUE], starts=44, ends=59)
    steps = (STEPS[GLUE], STEPS[UNCLAMP], coat, STEPS[SAND], box, STEPS[HANG])
    beside = _costed(PROBLEM, steps)
    one = replace(PROBLEM, benches=(Bench("bench"), *PROBLEM.benches[1:]))
    none = replace(PROBLEM, benches=PROBLEM.benches[1:])
    assert _faults(PROBLEM, beside) == ((), ())
    assert _faults(one, _plan()) == ((), ())
    for problem, plan in ((one, beside), (none, _plan())):
        told = _faults(problem, plan)
        assert all(x == ("bench: more steps at once than it has benches",) for x in told)


def test_pins_may_overfill_a_bench_but_nothing_else():
    tray = Chain(1, "tray", (Work("sand", "booth", 20),))
    pins = (*PROBLEM.pins, Pin(4, -2, 14, (1,)))
    problem = replace(PROBLEM, chains=(*PROBLEM.chains, tray), pins=pins)
    later = [replace(one, starts=one.starts + 14, ends=one.ends + 14) for one in STEPS[:COAT]]
    coat = replace(STEPS[COAT], starts=61, ends=71)
    shelf = (*later, coat)
    steps = (*shelf, *STEPS[SAND:], Placed(4, 0, -2, 14, (1,)))
    assert _faults(problem, _costed(problem, steps)) == ((), ())
    free = replace(problem, pins=PROBLEM.pins)
    told = _faults(free, _costed(free, steps))
    assert all(any("booth: more steps" in fault for fault in faults) for faults in told)


def test_a_pin_is_taken_as_it_is_but_by_one_person_once():
    # nobody is there at -5, Egon does not know the booth, and 17 are not 20 minutes: all the same
    problem = replace(PROBLEM, pins=(Pin(1, -5, 12, (1,)),))
    steps = _with(SAND, people=(1,))
    told = _faults(problem, _plan(steps))
    assert all(len(faults) == 1 and "two steps at once" in faults[0] for faults in told)
    apart = (replace(steps[GLUE], people=(0,)), *steps[1:])
    assert _faults(problem, _plan(apart)) == ((), ())


def test_places_are_counted_over_the_whole_of_a_rest():
    # clamps: 4 for the shelf 0-45, 2 for the resting one 0-10, 2 for the box 12-67
    assert _faults(_slots(6), _plan()) == ((), ())
    assert _is_told(_faults(_slots(5), _plan()), "clamps")
    # with one slot more than there is the plan may do as it says, and no more
    assert _faults(_slots(5), _plan(over={"clamps": 1})) == ((), ())
    assert _is_told(_faults(_slots(4), _plan(over={"clamps": 1})), "clamps")


def test_a_place_that_is_not_there_has_no_slots():
    problem = replace(PROBLEM, stores=PROBLEM.stores[:1])
    assert _is_told(_faults(problem, _plan(over={"rack": 9})), "rack")


@pytest.mark.parametrize(
    ("held", "is_sound"),
    [
        (Hold("clamps", 2, Frees.REST, 12), True),  # the box's glue takes over at 12
        (Hold("clamps", 2, Frees.REST, 13), False),
        (Hold("clamps", 3, Frees.REST, 10), False),
        (Hold("clamps", 2, Frees.START, 12), True),  # without a step it ends as a rest does
        (Hold("clamps", 2, Frees.END, 13), False),
    ],
)
def test_what_is_held_at_first_is_counted(held, is_sound):
    resting = replace(PROBLEM.chains[3], held=held)
    problem = replace(PROBLEM, chains=(*PROBLEM.chains[:3], resting))
    told = _faults(problem, _plan())
    assert told == ((), ()) if is_sound else _is_told(told, "clamps")


@pytest.mark.parametrize(
    ("frees", "slots", "is_sound"),
    [
        # the shelf's 4 clamps are free at 40, 45 or, by its rest, at 43; the box takes 2 at 42
        (Frees.START, 4, True),
        (Frees.START, 3, False),
        (Frees.END, 6, True),
        (Frees.END, 5, False),
        (Frees.REST, 6, True),
        (Frees.REST, 5, False),
    ],
)
def test_a_hold_ends_where_it_says(frees, slots, is_sound):
    glue = replace(PROBLEM.chains[0].works[0], hold=Hold("clamps", 4, frees, 33))
    shelf = replace(PROBLEM.chains[0], works=(glue, *PROBLEM.chains[0].works[1:]))
    stores = (Store("clamps", slots), Store("rack", 1))
    problem = replace(PROBLEM, chains=(shelf, *PROBLEM.chains[1:3]), stores=stores)
    coat = replace(STEPS[COAT], starts=57, ends=67)
    box = replace(STEPS[BOX_GLUE], starts=42, ends=57)
    plan = _costed(problem, (STEPS[GLUE], STEPS[UNCLAMP], coat, STEPS[SAND], box, STEPS[HANG]))
    told = _faults(problem, plan)
    assert told == ((), ()) if is_sound else _is_told(told, "clamps")


@pytest.mark.parametrize(("starts", "is_sound"), [(80, True), (79, False)])
def test_a_hold_after_the_last_step_rests(starts, is_sound):
    # the shelf is on the one place of the rack 50-80, 20 minutes past its coat
    tray = Chain(1, "tray", (Work("coat", "booth", 10, hold=Hold("rack")),))
    problem = replace(PROBLEM, chains=(*PROBLEM.chains, tray))
    told = _faults(problem, _costed(problem, (*STEPS, Placed(4, 0, starts, starts + 10, (0,)))))
    assert told == ((), ()) if is_sound else _is_told(told, "rack")


def test_a_shop_without_anything_to_do_has_a_plan():
    problem = replace(PROBLEM, chains=(), jobs=(), pins=())
    assert _faults(problem, Plan((), 0.0)) == ((), ())


def _costed(problem: Problem, steps: Iterable[Placed]) -> Plan:
    return with_cost(problem, Plan((), 0.0), tuple(steps))


def _slots(clamps: int) -> Problem:
    return replace(PROBLEM, stores=(Store("clamps", clamps), Store("rack", 1)))


def _with_work(chain: int, index: int, work: Work) -> Problem:
    chains = list(PROBLEM.chains)
    works = chains[chain].works
    chains[chain] = replace(chains[chain], works=(*works[:index], work, *works[index + 1 :]))
    return replace(PROBLEM, chains=tuple(chains))


def _is_told(told: tuple[tuple[str, ...], ...], place: str) -> bool:
    return all(faults == (f"{place}: more rests there than it has slots",) for faults in told)
