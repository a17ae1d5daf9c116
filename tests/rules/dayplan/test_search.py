"""The simple rules, the search, and what is carried from plan to plan."""

from dataclasses import replace
from itertools import count
from random import Random

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from kiosk.rules.dayplan import gridcheck, sweepcheck
from kiosk.rules.dayplan.built import Built, ChainNames
from kiosk.rules.dayplan.carry import carry, is_worth, keep_near, put_near_first
from kiosk.rules.dayplan.decode import decode
from kiosk.rules.dayplan.model import (
    Aims,
    Bench,
    Chain,
    Due,
    Pin,
    Plan,
    Problem,
    Span,
    Work,
    Worker,
)  # fmt: skip
from kiosk.rules.dayplan.portfolio import DISPATCH, FEW, RULES, first_plan, keys_by
from kiosk.rules.dayplan.search import drop_needless_delays, improve
from tests.jobshop import load, optimum
from tests.shops import NOW, make_shop, small_shops

CALM = settings(
    max_examples=25,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)


def named(problem: Problem) -> Built:
    return Built(
        problem,
        tuple(
            ChainNames(
                (problem.jobs[c.job].job, c.unit), c.unit, "", tuple(w.step for w in c.works)
            )
            for c in problem.chains
        ),
    )


def plain(*jobs: tuple[int | None, float, list[int]]) -> Problem:
    """Return a shop of one person: jobs with a due, a weight, and a step for each unit."""
    chains = tuple(
        Chain(job, f"{job}-{unit}", (Work("step", "table", minutes),))
        for job, (_due, _weight, units) in enumerate(jobs)
        for unit, minutes in enumerate(units)
    )
    dues = tuple(Due(f"J{job}", due, weight) for job, (due, weight, _u) in enumerate(jobs))
    people = (Worker("one", (Span(0, 10_000),)),)
    return Problem(0, people, (Bench("table"),), (), dues, chains)


def order(problem: Problem, rule: str) -> list[int]:
    return [one.chain for one in decode(problem, keys_by(problem, rule)).placed]


def test_rules_rank_as_their_names_say() -> None:
    problem = plain((300, 1, [40]), (100, 1, [60]), (None, 9, [30]), (200, 1, [10]))
    assert order(problem, "earliest due date") == [1, 3, 0, 2]
    assert order(problem, "first come") == [0, 1, 2, 3]
    assert order(problem, "shortest job first") == [2, 3, 0, 1]
    assert order(problem, "most work left") == [1, 0, 2, 3]
    assert order(problem, "critical ratio") == [1, 0, 2, 3]


def test_job_rules_put_whole_jobs_first() -> None:
    # the units of the first job are short, but there are many of them
    problem = plain((50, 1, [10, 10, 10, 10]), (50, 1, [12]))
    assert order(problem, "urgency of units")[0] == 0
    assert order(problem, "urgency of jobs")[0] == 4
    assert order(problem, "short jobs, long ways first")[0] == 4


def test_every_rule_gives_a_sound_plan_and_the_first_plan_is_no_worse() -> None:
    problem = make_shop(5, units=8, odds=["crews", "hangs"])
    plans = [decode(problem, keys_by(problem, rule)) for rule in RULES]
    assert all(gridcheck.find_faults(problem, plan) == () for plan in plans)
    assert first_plan(problem).cost <= min(plan.cost for plan in plans)
    assert set(DISPATCH) <= set(RULES) >= set(FEW)


def test_a_carried_plan_counts_before_rules_that_do_no_better() -> None:
    problem = plain((None, 1, [10, 10]))
    assert first_plan(problem).placed[0].chain == 0
    assert first_plan(problem, carried=[[1], [0]]).placed[0].chain == 1


def test_many_units_are_ranked_by_few_rules() -> None:
    problem = plain((5, 1, [1] * 151))
    assert len(first_plan(problem).placed) == 151


def test_a_shop_without_anything_to_do_has_an_empty_plan() -> None:
    problem = plain()
    assert first_plan(problem) == Plan((), 0.0)
    assert improve(problem, [], draw=Random(1).random, evaluations=5).placed == ()


@CALM
@given(small_shops(), st.integers(0, 10**6))
def test_a_search_is_sound_no_worse_and_reproducible(problem: Problem, seed: int) -> None:
    heard: list[Plan] = []
    first = first_plan(problem)

    def search() -> Plan:
        return improve(
            problem, [first], draw=Random(seed).random, evaluations=30, heard=heard.append
        )

    plan = search()
    assert gridcheck.find_faults(problem, plan) == sweepcheck.find_faults(problem, plan) == ()
    assert plan.cost <= first.cost
    costs = [one.cost for one in heard]
    assert costs == sorted(set(costs), reverse=True)
    if heard:
        assert heard[-1] == plan
    assert search() == plan
    # what it says of itself is how to come by it again
    assert decode(problem, plan.keys, delays=plan.delays) == plan


def test_a_search_ends_when_told() -> None:
    asked = count()
    problem = make_shop(1, units=5)
    improve(problem, [], draw=Random(1).random, evaluations=50, go_on=lambda: next(asked) < 7)
    # once more for each climb that then does not begin
    assert next(asked) < 7 + 6


@pytest.mark.parametrize(
    ("name", "operators", "evaluations"),
    [
        pytest.param("la16", 4, 600, marks=pytest.mark.no_cover),
        ("la01", 4, 1800),
        pytest.param("la21", 4, 400, marks=pytest.mark.no_cover),
    ],
)
def test_classic_shops_come_close_to_their_proved_optima(
    name: str, operators: int, evaluations: int
) -> None:
    problem = load(name, operators)
    plan = improve(problem, [], draw=Random(1).random, evaluations=evaluations)
    assert optimum(name, operators) <= plan.cost <= 1.02 * optimum(name, operators)


def test_a_search_saves_over_the_best_rule() -> None:
    ratios = []
    for seed in range(3):
        problem = make_shop(seed, units=20)
        plan = improve(problem, [], draw=Random(seed).random, evaluations=250)
        ratios.append(plan.cost / min(decode(problem, keys_by(problem, r)).cost for r in DISPATCH))
    assert sum(ratios) / len(ratios) < 0.96


@CALM
@given(small_shops(), st.integers(0, 10**6), st.integers(0, 600))
def test_a_replan_without_news_changes_nothing(problem: Problem, seed: int, gone: int) -> None:
    problem = replace(problem, pins=())
    draw = Random(seed).random
    before = improve(problem, [], draw=draw, evaluations=10)
    built = named(problem)
    carried = carry(problem, built.names, (built, before))
    again = decode(problem, carried.keys, delays=carried.delays)
    assert again.placed == before.placed
    assert decode(problem, carried.keys, delays=carried.delays, people=carried.people) == again
    assert not is_worth(problem, again, before=before)
    near = keep_near(before, problem, minutes=gone % 60)
    kept = decode(near, carried.keys, delays=carried.delays)
    assert {(o.chain, o.work, o.starts) for o in kept.placed} == {
        (o.chain, o.work, o.starts) for o in before.placed
    }


def test_new_work_is_ranked_beside_what_is_due_as_soon() -> None:
    before = plain((100, 1, [10, 10]), (300, 1, [10]))
    built = named(before)
    plan = decode(before, [[5], [1], [9]], delays={(0, 0): 7, (1, 0): 40})
    new = plain((100, 1, [10, 10]), (300, 1, [10]), (200, 1, [10]), (50, 1, [10]), (None, 1, [10]))
    carried = carry(replace(new, now=20), named(new).names, (built, plan))
    placed = decode(new, carried.keys).placed
    assert [one.chain for one in placed] == [4, 1, 0, 3, 2, 5]
    assert carried.delays == {(1, 0): 40}


def test_what_has_no_due_lends_its_place_to_nobody() -> None:
    before = plain((100, 1, [10]), (None, 1, [10]))
    built = named(before)
    plan = decode(before, [[1], [9]])
    new = plain((100, 1, [10]), (None, 1, [10]), (200, 1, [10]))
    carried = carry(replace(new, now=20), named(new).names, (built, plan))
    assert [one.chain for one in decode(new, carried.keys).placed] == [0, 2, 1]


def test_a_new_step_comes_right_after_the_one_before_it() -> None:
    before = plain((100, 1, [10]))
    chain = before.chains[0]
    new = replace(before, chains=(replace(chain, works=(*chain.works, Work("new", "table", 5))),))
    built = named(before)
    carried = carry(new, named(new).names, (built, decode(before, [[3]])))
    assert carried.keys == ((0.0, 0.0),)


def test_people_keep_their_steps_though_others_come_free_sooner() -> None:
    before = replace(
        plain((100, 1, [30, 10, 10])),
        people=tuple(Worker(name, (Span(0, 1000),)) for name in ("Ada", "Ben", "Cem")),
        benches=(Bench("table", 3),),
    )
    built = named(before)
    plan = decode(before, [[0], [1], [2]])
    assert [one.people for one in plan.placed] == [(0,), (1,), (2,)]
    # what Ada did is done sooner; Cem is not there any more, and Ben comes first
    left = replace(before, chains=before.chains[1:], people=before.people[1::-1])
    carried = carry(left, named(left).names, (built, plan))
    assert carried.people == {(0, 0): (0,)}
    placed = decode(left, carried.keys, people=carried.people).placed
    assert [one.people for one in placed] == [(0,), (1,)]
    back = replace(before, chains=before.chains[1:])
    carried = carry(back, named(back).names, (built, plan))
    placed = decode(back, carried.keys, people=carried.people).placed
    assert [one.people for one in placed] == [(1,), (2,)]


def test_what_begins_soon_stays() -> None:
    problem = plain((100, 1, [10, 25, 10, 10]))
    problem = replace(problem, pins=(Pin(0, 0, 12, (0,)),))
    plan = decode(problem, [[0], [1], [2], [3]])
    assert [pin.chain for pin in keep_near(plan, problem, minutes=30).pins] == [0, 1]
    assert [pin.starts for pin in keep_near(plan, problem, minutes=38).pins] == [0, 12, 37]
    scuffed = replace(plan, placed=tuple(replace(one, extra=1) for one in plan.placed))
    assert keep_near(scuffed, problem).pins == problem.pins


def test_what_was_kept_once_because_it_begins_soon_is_kept_by_the_next_plan_too() -> None:
    problem = plain((100, 1, [10, 25, 10, 10]))
    kept = replace(problem, pins=(Pin(0, 0, 10, (0,)), Pin(3, 10, 20, (0,))))
    plan = decode(kept, [[3], [0], [1], [9]])
    assert [one.chain for one in plan.placed] == [0, 3, 1, 2]
    assert [one.chain for one in decode(problem, plan.keys).placed] == [1, 2, 0, 3]  # let go
    firm = put_near_first(plan, kept)
    assert decode(problem, firm.keys).placed == plan.placed
    assert put_near_first(plan, problem).keys == [[3], [0], [1], [9]]


def test_what_begins_before_a_kept_step_stays_before_it() -> None:
    problem = plain((100, 1, [10, 25, 10]))
    kept = replace(problem, pins=(Pin(2, 10, 20, (0,)),))
    plan = decode(kept, [[0], [1], [2]])
    assert [one.chain for one in plan.placed] == [0, 2, 1]
    firm = put_near_first(plan, kept)
    assert [one.chain for one in decode(problem, firm.keys).placed] == [0, 2, 1]


def test_a_new_plan_must_save_enough() -> None:
    problem = make_shop(1, units=3)
    before = Plan((), 10_000.0)
    assert is_worth(problem, Plan((), 8_500.0), before=before)
    assert not is_worth(problem, Plan((), 8_501.0), before=before)
    makespan = replace(problem, aims=Aims(0, 0, 0))
    assert not is_worth(makespan, before, before=before)
    assert problem.now == NOW


def test_a_delay_that_gains_nothing_is_dropped_and_one_that_gains_stays():
    long = Work("cut", "cut", 100)
    urgent = Work("cut", "cut", 20, earliest=490)
    problem = Problem(
        480,
        (Worker("Ada", (Span(480, 1020),)),),
        (Bench("cut"),),
        (),
        (Due("later", 1000), Due("soon", 510)),
        (Chain(0, "a", (long,)), Chain(1, "b", (urgent,))),
    )
    keys = ((1.0,), (2.0,))
    # Ada waits ten minutes with the long step, so that the urgent one is in time
    held = decode(problem, keys, delays={(0, 0): 500})
    assert held.cost < decode(problem, keys).cost
    assert drop_needless_delays(problem, held) == held
    alone = replace(problem, chains=problem.chains[:1], jobs=problem.jobs[:1])
    idle = decode(alone, keys[:1], delays={(0, 0): 500})
    assert idle.placed[0].starts == 500
    assert drop_needless_delays(alone, idle).placed[0].starts == 480


def test_a_delay_that_changes_nothing_is_dropped() -> None:
    problem = Problem(
        480,
        (Worker("Ada", (Span(480, 1020),)),),
        (Bench("cut"),),
        (),
        (Due("J"),),
        (Chain(0, "a", (Work("cut", "cut", 20, earliest=490),)),),
    )
    plan = decode(problem, ((1.0,),), delays={(0, 0): 490})
    assert plan.delays
    assert drop_needless_delays(problem, plan).delays == {}
