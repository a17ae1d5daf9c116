"""The two checkers of day plans, on generated shops: sound plans pass, each seeded fault is seen.

The plans come from `tests.plainplans`, which shares no code with what is tested.
"""

from dataclasses import replace
from random import Random

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from kiosk.rules.dayplan import gridcheck, sweepcheck
from kiosk.rules.dayplan.model import Placed, Plan, Problem
from tests.plainplans import plain_plan, random_order, with_cost
from tests.shops import ODDS, make_shop, small_shops

SLOW = settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))


def _shop(seed: int) -> Problem:
    random = Random(seed)
    return make_shop(
        seed,
        units=random.randint(3, 8),
        people=random.randint(2, 4),
        lots=random.choice((1, 2, 4)),
        odds=[odd for odd in ODDS if random.random() < 0.5],
    )


def _both(problem: Problem, plan: Plan) -> tuple[bool, bool]:
    grid = gridcheck.find_faults(problem, plan)
    return bool(grid), bool(sweepcheck.find_faults(problem, plan))


@pytest.mark.no_cover
@SLOW
@given(problem=small_shops(), seed=st.integers(0, 10**6))
def test_a_plan_that_keeps_every_promise_passes_both(problem, seed):
    plan = plain_plan(problem, random_order(problem, Random(seed)))
    assert gridcheck.find_faults(problem, plan) == ()
    assert sweepcheck.find_faults(problem, plan) == ()


# Seeded faults: each returns steps of which one is wrong, or None where the plan has no such step.
# The cost is worked anew, so that it gives nothing away.


def _placed(plan: Plan, old: Placed, **changes) -> tuple[Placed, ...]:
    return tuple(replace(one, **changes) if one is old else one for one in plan.placed)


def _moved(plan: Plan, old: Placed, by: int) -> tuple[Placed, ...]:
    return _placed(plan, old, starts=old.starts + by, ends=old.ends + by)


def _free(problem: Problem, plan: Plan, random: Random) -> list[Placed]:
    """Return the steps that are not pinned, in some order."""
    pins = {pin.chain for pin in problem.pins}
    steps = [one for one in plan.placed if one.work or one.chain not in pins]
    random.shuffle(steps)
    return steps


def _work(problem: Problem, one: Placed):
    return problem.chains[one.chain].works[one.work]


def _before_now(problem, plan, random):
    one = _free(problem, plan, random)[0]
    return _moved(plan, one, problem.now - 1 - one.starts)


def _before_the_one_before(problem, plan, random):
    ends = {(one.chain, one.work): one.ends for one in plan.placed}
    one = next(one for one in _free(problem, plan, random) if one.work)
    return _moved(plan, one, ends[one.chain, one.work - 1] - 1 - one.starts)


def _stretched(problem, plan, random):
    one = _free(problem, plan, random)[0]
    return _placed(plan, one, ends=one.ends + 1)


def _shortened(problem, plan, random):
    one = _free(problem, plan, random)[0]
    return _placed(plan, one, ends=one.ends - 1)


def _lag_cut(problem, plan, random):
    ends = {(one.chain, one.work): one.ends for one in plan.placed}
    for one in _free(problem, plan, random):
        for lag in _work(problem, one).waits:
            return _moved(plan, one, ends[one.chain, lag.work] + lag.minutes - 1 - one.starts)
    return None


def _break_straddled(problem, plan, random):
    for one in _free(problem, plan, random):
        if one.people and one.ends - one.starts > 1:
            spans = problem.people[one.people[0]].spans
            closing = next(span.ends for span in spans if span.ends > one.starts)
            return _moved(plan, one, closing - 1 - one.starts)
    return None


def _no_room_before_the_break(problem, plan, random):
    for one in _free(problem, plan, random):
        work = _work(problem, one)
        if work.room > work.minutes and not one.extra:
            spans = problem.people[one.people[0]].spans
            closing = next(span.ends for span in spans if span.ends > one.starts)
            return _moved(plan, one, closing - work.room + 1 - one.starts)
    return None


def _too_few_people(problem, plan, random):
    one = _free(problem, plan, random)[0]
    return _placed(plan, one, people=one.people[1:])


def _one_person_twice(problem, plan, random):
    for one in _free(problem, plan, random):
        if len(one.people) == 2:
            return _placed(plan, one, people=one.people[:1] * 2)
    return None


def _wrong_skill(problem, plan, random):
    for one in _free(problem, plan, random):
        for who, worker in enumerate(problem.people):
            if not worker.can(_work(problem, one).station):
                return _placed(plan, one, people=(who, *one.people[1:]))
    return None


def _two_steps_at_once(problem, plan, random):
    for one in _free(problem, plan, random):
        for other in plan.placed:
            beside = other.starts < one.ends and one.starts < other.ends
            if other is not one and beside and other.chain != one.chain:
                return _placed(plan, one, people=(other.people[0], *one.people[1:]))
    return None


def _before_its_supports(problem, plan, random):
    last = {}
    for one in plan.placed:
        last[one.chain] = max(one.ends, last.get(one.chain, one.ends))
    for one in _free(problem, plan, random):
        for chain in _work(problem, one).after:
            return _moved(plan, one, last[chain] - 1 - one.starts)
    return None


def _too_early_a_day(problem, plan, random):
    for one in _free(problem, plan, random):
        earliest = _work(problem, one).earliest
        if earliest is not None and earliest > problem.now:
            return _moved(plan, one, earliest - 1 - one.starts)
    return None


def _pin_moved(problem, plan, random):
    for one in plan.placed:
        if one.work == 0 and one.chain in {pin.chain for pin in problem.pins}:
            return _moved(plan, one, random.choice((-1, 1)))
    return None


def _extra_missing(problem, plan, random):
    for one in _free(problem, plan, random):
        if one.extra:
            return _placed(plan, one, extra=0, ends=one.ends - one.extra)
    return None


def _extra_for_nothing(problem, plan, random):
    one = next(one for one in _free(problem, plan, random) if not one.extra)
    return _placed(plan, one, extra=1, ends=one.ends + 1)


def _dropped(problem, plan, random):
    gone = random.choice(plan.placed)
    return tuple(one for one in plan.placed if one is not gone)


def _doubled(problem, plan, random):
    return (*plan.placed, random.choice(plan.placed))


def _swapped(problem, plan, random):
    """Give a step's place in the chain to another of the same chain."""
    one = next(one for one in _free(problem, plan, random) if one.work)
    return tuple(
        replace(each, work=one.work + one.work - 1 - each.work)
        if each.chain == one.chain and each.work in (one.work, one.work - 1)
        else each
        for each in plan.placed
    )


SEEDED = (
    _before_now,
    _before_the_one_before,
    _stretched,
    _shortened,
    _lag_cut,
    _break_straddled,
    _no_room_before_the_break,
    _too_few_people,
    _one_person_twice,
    _wrong_skill,
    _two_steps_at_once,
    _before_its_supports,
    _too_early_a_day,
    _pin_moved,
    _extra_missing,
    _extra_for_nothing,
    _dropped,
    _doubled,
    _swapped,
)
SHOPS = range(24)
_made: dict[int, tuple[Problem, Plan]] = {}


def _sound(seed: int) -> tuple[Problem, Plan]:
    if seed not in _made:
        problem = _shop(seed)
        _made[seed] = problem, plain_plan(problem, random_order(problem, Random(seed)))
    return _made[seed]


@pytest.mark.no_cover
@pytest.mark.parametrize("fault", SEEDED)
def test_each_seeded_fault_is_seen_by_both(fault):
    tried = 0
    for seed in SHOPS:
        problem, plan = _sound(seed)
        steps = fault(problem, plan, Random(seed))
        if steps is not None:
            tried += 1
            is_whole = len(steps) == len(plan.placed)
            wrong = with_cost(problem, plan, steps) if is_whole else replace(plan, placed=steps)
            assert _both(problem, wrong) == (True, True), (seed, fault)
    assert tried >= 3, "too few shops could show it"


@pytest.mark.parametrize("seed", SHOPS)
def test_a_slot_or_a_bench_less_than_the_plan_uses_is_seen_by_both(seed):
    problem, plan = _sound(seed)
    slots = {store.place: store.slots for store in problem.stores}
    for place in slots:
        least = _least(problem, plan, place)
        assert 0 <= least <= slots[place]
        if least:
            short = _with_slots(problem, place, least - 1)
            assert _both(short, plan) == (True, True)
            assert _both(short, replace(plan, over={place: 1})) == (False, False)


def _with_slots(problem: Problem, place: str, slots: int) -> Problem:
    stores = [replace(x, slots=slots) if x.place == place else x for x in problem.stores]
    return replace(problem, stores=tuple(stores))


def _least(problem: Problem, plan: Plan, place: str) -> int:
    """Return the fewest slots with which both checkers take a plan; they must never differ."""
    for slots in range(200):
        grid, sweep = _both(_with_slots(problem, place, slots), plan)
        assert grid == sweep
        if not grid:
            return slots
    raise AssertionError("no number of slots will do")


@st.composite
def _mutants(draw):
    seed = draw(st.integers(0, 40))
    problem, plan = _sound(seed)
    steps = list(plan.placed)
    for _each in range(draw(st.integers(1, 3))):
        index = draw(st.integers(0, len(steps) - 1))
        one = steps[index]
        by = draw(st.integers(-90, 90) | st.integers(-4000, 4000))
        kind = draw(st.sampled_from(("move", "stretch", "extra", "people", "swap", "drop", "work")))
        if kind == "move":
            steps[index] = replace(one, starts=one.starts + by, ends=one.ends + by)
        elif kind == "stretch":
            steps[index] = replace(one, ends=one.ends + by)
        elif kind == "extra":
            steps[index] = replace(one, ends=one.ends + by, extra=one.extra + by)
        elif kind == "people":
            who = st.integers(-1, len(problem.people))
            steps[index] = replace(one, people=tuple(draw(st.lists(who, max_size=3))))
        elif kind == "swap":
            other = draw(st.integers(0, len(steps) - 1))
            people = steps[other].people
            steps[other] = replace(steps[other], people=one.people)
            steps[index] = replace(steps[index], people=people)
        elif kind == "work":
            steps[index] = replace(one, work=max(0, one.work + draw(st.sampled_from((-1, 1)))))
        elif len(steps) > 1:
            del steps[index]
    whole = {(one.chain, one.work) for one in plan.placed}
    if {(one.chain, one.work) for one in steps} == whole and draw(st.booleans()):
        return problem, with_cost(problem, plan, steps)
    return problem, replace(plan, placed=tuple(steps))


@pytest.mark.no_cover
@settings(SLOW, max_examples=400)
@given(mutant=_mutants())
def test_both_say_the_same_of_a_changed_plan(mutant):
    grid, sweep = _both(*mutant)
    assert grid == sweep
