"""The proof engine, against optima that others proved, another planner, and the two checkers.

The solver gets one thread and its own measure of work, so that each run gives the same.
"""

import builtins
from dataclasses import replace
from random import Random

import networkx
import pytest

from kiosk import proof
from kiosk.proof import engine, limits, room
from kiosk.rules.dayplan import gridcheck, sweepcheck
from kiosk.rules.dayplan.decode import decode
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
from tests import jobshop, oracle
from tests.plainplans import cost, plain_plan, random_order
from tests.shops import ODDS, make_shop

# the solver's own wrappers are older than Python's warnings about them
pytestmark = pytest.mark.filterwarnings("ignore::DeprecationWarning")


def _prove(problem: Problem, hint: Plan | None = None, *, work: float = 4.0) -> proof.Proof:
    hint = hint or plain_plan(problem)
    return proof.prove(problem, hint, seconds=work, is_repeatable=True)


def _is_sound(problem: Problem, plan: Plan) -> bool:
    return not gridcheck.find_faults(problem, plan) and not sweepcheck.find_faults(problem, plan)


# Proved optima: Muth and Thompson, Industrial Scheduling, 1963 (ft06); Lawrence, Carnegie-Mellon
# University, 1984 (la01, la06). With operators: ScheduleOpt/optalcp-benchmarks, jobshop-operators.
@pytest.mark.parametrize(
    ("name", "operators"),
    [("ft06", None), ("la01", None), ("la06", None), ("ft06", 4)],
)
def test_classics_are_proved_at_their_published_optimum(name, operators):
    problem = jobshop.load(name, operators)
    found = _prove(problem)
    assert found.is_best
    assert found.plan is not None
    assert _is_sound(problem, found.plan)
    assert found.plan.cost == found.bound == jobshop.optimum(name, operators)


def test_a_bound_is_never_above_a_published_optimum():
    for name in ("ft10", "orb01"):
        found = _prove(jobshop.load(name), work=0.1)
        assert 0 < found.bound <= jobshop.optimum(name)
    # the hours of four operators alone give 5109 / 4; the solver does not see that by itself
    assert _prove(jobshop.load("ft10", 4), work=0.1).bound >= 1278


def _oracle_shop(seed: int, units: int, odds: tuple[str, ...]) -> Problem:
    problem = make_shop(seed, units=units, people=2 + seed % 2, lots=1 + seed % 2, odds=odds)
    if seed % 3:
        jobs = tuple(replace(job, weight=1.0) for job in problem.jobs)
        return replace(problem, jobs=jobs, aims=Aims(flow=0.0))
    # with weights, and dues of today and tomorrow, so that some job is late
    jobs = tuple(
        replace(job, due=problem.now + 600 * (1 + index)) for index, job in enumerate(problem.jobs)
    )
    return replace(problem, jobs=jobs, aims=Aims(late=1.0, finish=0.0, flow=0.0))


# PyJobShop 0.0.9: another model of the same shop
@pytest.mark.parametrize(
    ("seed", "units", "odds"),
    [
        (6, 5, ("tight", "supports")),
        (11, 5, ("hangs", "supports")),
        (9, 8, ("crews",)),
        (12, 6, ("crews", "hangs")),
        (20, 4, ("tight", "supports")),
        (21, 5, ()),
        (30, 4, ("crews",)),
        (31, 5, ("supports",)),
    ],
)
def test_another_planner_proves_the_same_optimum(seed, units, odds):
    problem = _oracle_shop(seed, units, odds)
    found = _prove(problem)
    assert found.is_best
    assert _is_sound(problem, found.plan)
    assert found.bound == oracle.optimum(problem, seconds=60)


# networkx: the longest path through rests and steps is all there is to it if nothing is scarce
@pytest.mark.parametrize("seed", range(6))
def test_with_all_in_plenty_the_longest_path_is_the_plan(seed):
    shop = make_shop(seed, units=6, people=2, odds=("hangs", "supports"))
    ever = (Span(shop.now, shop.now + 200_000),)
    chains = tuple(
        replace(
            chain,
            job=0,
            works=tuple(replace(work, extra=0, closes=()) for work in chain.works),
        )
        for chain in shop.chains
    )
    problem = replace(
        shop,
        people=tuple(Worker(f"w{number}", ever) for number in range(len(chains))),
        benches=tuple(replace(bench, count=50) for bench in shop.benches),
        stores=tuple(replace(store, slots=500) for store in shop.stores),
        jobs=(Due("all", shop.now),),
        chains=chains,
        aims=Aims(late=1.0, finish=0.0, flow=0.0),
    )
    assert _prove(problem).bound == _longest(problem)


def _longest(problem: Problem) -> int:
    graph = networkx.DiGraph()
    for number, chain in enumerate(problem.chains):
        for index, work in enumerate(chain.works):
            _edge(graph, "now", ("starts", number, index), 0)
            _edge(graph, ("starts", number, index), ("ends", number, index), work.minutes)
            if index:
                _edge(graph, ("ends", number, index - 1), ("starts", number, index), 0)
            for lag in work.waits:
                _edge(graph, ("ends", number, lag.work), ("starts", number, index), lag.minutes)
            for other in work.after:
                _edge(graph, ("finished", other), ("starts", number, index), 0)
        last = len(chain.works) - 1
        _edge(graph, ("ends", number, last), ("finished", number), 0)
        for lag in chain.ends:
            _edge(graph, ("ends", number, lag.work), ("finished", number), lag.minutes)
    return networkx.dag_longest_path_length(graph)


def _edge(graph: networkx.DiGraph, first, then, minutes: int) -> None:
    kept = graph.get_edge_data(first, then, {"weight": -1})["weight"]
    graph.add_edge(first, then, weight=max(kept, minutes))


@pytest.mark.parametrize("seed", range(12))
def test_what_is_found_is_sound_and_never_below_its_bound(seed):
    random = Random(seed)
    odds = [odd for odd in ODDS if random.random() < 0.5]
    problem = make_shop(seed, units=1 + seed % 5, people=1 + seed % 3, odds=odds)
    hint = plain_plan(problem, random_order(problem, random))
    found = _prove(problem, hint, work=0.5)
    assert found.plan is not None
    assert _is_sound(problem, found.plan)
    reached = limits.aimed(problem, found.plan)
    assert found.bound <= reached <= limits.aimed(problem, hint)
    assert found.is_best == (found.bound == pytest.approx(reached))
    assert found.is_best == proof.is_proved(problem, found.plan, found)
    for _each in range(5):
        keys = [[random.random() for _work in chain.works] for chain in problem.chains]
        other = decode(problem, keys)
        assert other.over or found.bound <= limits.aimed(problem, other)


@pytest.mark.parametrize("seed", range(6))
def test_a_plan_that_is_found_decodes_from_its_own_keys(seed):
    random = Random(seed)
    odds = [odd for odd in ODDS if random.random() < 0.4]
    problem = make_shop(seed, units=1 + seed % 6, people=1 + seed % 3, odds=odds)
    plan = _prove(problem, work=0.5).plan
    again = decode(problem, plan.keys, delays=plan.delays)
    assert again.placed == plan.placed
    assert again.cost == plan.cost


@pytest.mark.parametrize("seed", [2, 4, 10, 18])
def test_people_who_are_alike_may_be_counted_or_named(seed, monkeypatch):
    problem = make_shop(seed, units=3, people=2)
    counted = _prove(problem)
    for module in (room, engine):
        monkeypatch.setattr(module, "are_alike", lambda _problem: False)
    named = _prove(problem)
    assert counted.is_best
    assert named.is_best
    assert counted.bound == named.bound
    assert _is_sound(problem, named.plan)


# One person, a day of 100 minutes and the next from 200; a job of two trays: 60 and 40 minutes.
DAYS = (Span(0, 100), Span(200, 300))
TRAY = Problem(
    now=0,
    people=(Worker("Olga", DAYS),),
    benches=(Bench("bench"),),
    stores=(Store("rack", 1),),
    jobs=(Due("a", 60), Due("b", 60, 1.5)),
    chains=(
        Chain(0, "a", (Work("sand", "bench", 60),)),
        Chain(1, "b", (Work("oil", "bench", 40),)),
    ),
)


def test_a_shop_worked_by_hand():
    # b first: finishes at 40 and 100, and a is 40 late; a first: 60 and 100, b 40 late at 1.5
    found = _prove(TRAY, plain_plan(TRAY, [0, 1]))
    assert found.is_best
    assert found.bound == 10 * (40 + 100) + 100 * 40
    assert [one.chain for one in found.plan.placed] == [1, 0]
    assert found.plan.cost == found.bound + 40 + 60
    assert found.plan.keys == ((40.0,), (0.0,))


def test_pins_holds_and_windows_are_kept():
    # sanding a is under way until 70; oiling b must be by 65 or takes 20 more, which leaves none
    # of today's 100 minutes over: it is on at 70 for 30 only if nothing closes at 65
    chains = (
        replace(TRAY.chains[0], works=(replace(TRAY.chains[0].works[0], hold=Hold("rack")),)),
        Chain(1, "b", (Work("oil", "bench", 30, closes_at=65, extra=20),)),
    )
    problem = replace(TRAY, chains=chains, pins=(Pin(0, -10, 70, (0,)),))
    found = _prove(problem)
    assert found.is_best
    assert found.plan.placed == (
        Placed(0, 0, -10, 70, (0,)),
        Placed(1, 0, 200, 250, (0,), 20),
    )
    in_time = replace(chains[1], works=(replace(chains[1].works[0], closes_at=70),))
    found = _prove(replace(problem, chains=(chains[0], in_time)))
    assert found.plan.placed[1] == Placed(1, 0, 70, 100, (0,))


def test_a_step_with_two_closes_is_late_past_either():
    works = (Work("glue", "bench", 10), Work("coat", "bench", 30, waits=(Lag(0, 20),)))
    for lag, closes_at, extra in ((19, 99, 5), (20, 29, 5), (20, 30, 0), (99, 99, 0)):
        closing = replace(works[1], closes=(Lag(0, lag),), closes_at=closes_at, extra=5)
        chain = Chain(0, "a", (works[0], closing))
        problem = replace(TRAY, chains=(chain,), jobs=TRAY.jobs[:1])
        found = _prove(problem)
        assert found.is_best
        assert found.plan.placed[1] == Placed(0, 1, 30, 60 + extra, (0,), extra)


def test_a_place_the_hint_had_to_exceed_may_be_exceeded_as_far():
    chain = Chain(0, "a", (Work("sand", "bench", 10),), held=Hold("rack", 1, Frees.END))
    other = replace(chain, job=1, unit="b")
    problem = replace(TRAY, chains=(chain, other))
    steps = (Placed(0, 0, 0, 10, (0,)), Placed(1, 0, 10, 20, (0,)))
    hint = Plan(steps, cost(problem, steps), over={"rack": 1})
    assert _is_sound(problem, hint)
    found = _prove(problem, hint)
    assert found.is_best
    assert found.plan.over == {"rack": 1}
    assert _is_sound(problem, found.plan)


def test_three_decimals_of_an_aim_count():
    jobs = (Due("a", 0, 0.333), Due("b", 0, 0.5))
    found = _prove(replace(TRAY, jobs=jobs, aims=Aims(late=1.0, finish=0.0, flow=0.0)))
    assert found.bound == pytest.approx(0.333 * 100 + 0.5 * 40)


def test_only_a_sound_and_better_plan_is_adopted():
    mine = plain_plan(TRAY, [0, 1])
    better = plain_plan(TRAY, [1, 0])
    assert proof.adopt(TRAY, mine, better) is better
    assert proof.adopt(TRAY, better, mine) is better
    assert proof.adopt(TRAY, mine, mine) is mine
    assert proof.adopt(TRAY, mine, None) is mine
    assert proof.adopt(TRAY, mine, replace(better, placed=better.placed[:1])) is mine
    assert proof.adopt(TRAY, mine, replace(better, cost=better.cost - 1)) is mine


@pytest.mark.parametrize("blind", ["gridcheck", "sweepcheck"])
def test_one_checker_is_enough_to_refuse(blind, monkeypatch):
    mine = plain_plan(TRAY, [0, 1])
    wrong = replace(plain_plan(TRAY, [1, 0]), cost=1.0)
    monkeypatch.setattr(getattr(engine, blind), "find_faults", lambda _problem, _plan: ())
    assert proof.adopt(TRAY, mine, wrong) is mine


def test_a_plan_that_is_not_the_best_is_not_called_proved():
    found = _prove(TRAY)
    assert proof.is_proved(TRAY, found.plan, found)
    assert not proof.is_proved(TRAY, plain_plan(TRAY, [0, 1]), found)


def test_what_cannot_be_tried_is_told():
    shop = make_shop(1, units=proof.MOST_CHAINS + 1)
    assert len(shop.chains) > proof.MOST_CHAINS
    found = proof.prove(shop, plain_plan(shop), seconds=1)
    assert found.plan is None
    assert "more than 20" in found.words
    assert not proof.is_proved(shop, plain_plan(shop), found)


def test_without_the_extra_it_says_so(monkeypatch):
    really = builtins.__import__

    def refuse(name, *more, **others):
        if name.startswith("ortools"):
            raise ImportError(name)
        return really(name, *more, **others)

    monkeypatch.setattr(builtins, "__import__", refuse)
    found = _prove(TRAY)
    assert found.plan is None
    assert "not installed" in found.words


def test_nothing_to_do_is_proved_best():
    problem = replace(TRAY, chains=(), jobs=())
    assert _prove(problem, Plan((), 0.0)).is_best


def test_without_time_there_is_no_plan_but_a_bound():
    found = _prove(jobshop.load("la21"), work=0.0)
    assert not found.is_best
    assert found.bound >= 0


# Two trays are coated for 10 minutes, rest 30 on the rack and get a cleat in 5. On a rack of one
# the second goes there as the first leaves at 40, and once Olga has fitted that cleat: 45 and 90.
@pytest.mark.parametrize(("slots", "finishes"), [(1, (45, 90)), (2, (45, 55))])
def test_a_rack_keeps_the_next_tray_waiting(slots, finishes):
    works = (
        Work("coat", "bench", 10, hold=Hold("rack")),
        Work("fit cleat", "bench", 5, waits=(Lag(0, 30),)),
    )
    chains = (Chain(0, "a", works), Chain(1, "b", works))
    jobs = (Due("a"), Due("b"))
    found = _prove(replace(TRAY, jobs=jobs, chains=chains, stores=(Store("rack", slots),)))
    assert found.is_best
    assert found.bound == 10 * sum(finishes)
    assert sorted(one.ends for one in found.plan.placed if one.work) == list(finishes)


def test_a_pin_that_is_yet_to_begin_keeps_its_people():
    # Egon sands a from 30 to 95, so that Olga has to do both others: b and c take 40 each
    people = (Worker("Olga", DAYS), Worker("Egon", DAYS))
    chains = (*TRAY.chains, Chain(1, "c", (Work("oil", "bench", 40),)))
    problem = replace(
        TRAY,
        people=people,
        benches=(Bench("bench", 3),),
        chains=chains,
        pins=(Pin(0, 30, 95, (1,)),),
    )
    steps = [Placed(0, 0, 30, 95, (1,)), Placed(1, 0, 0, 40, (0,)), Placed(2, 0, 40, 80, (0,))]
    hint = Plan(tuple(sorted(steps, key=lambda one: one.starts)), cost(problem, steps))
    found = _prove(problem, hint)
    assert found.is_best
    assert _is_sound(problem, found.plan)
    assert found.bound == 10 * (95 + 80) + 100 * 35 + 150 * 20
