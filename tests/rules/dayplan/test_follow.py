"""Following a plan: what is planned first comes first, and a plan carried over is kept."""

from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from kiosk.rules.dayplan.decode import decode
from kiosk.rules.dayplan.follow import NEW, ByPlan, ByRule, planned_keys
from kiosk.rules.dayplan.model import Aims, Bench, Chain, Due, Plan, Problem, Span, Work, Worker
from kiosk.rules.dayplan.portfolio import first_plan
from kiosk.rules.dayplan.simulate import Arrival, simulate
from kiosk.rules.dayplan.spread import CERTAIN, Spread
from tests.plainplans import cost
from tests.shops import make_shop

HOURS = tuple(Span(day * 1440 + 480, day * 1440 + 1020) for day in range(4))


def shop(*minutes: int) -> Problem:
    chains = tuple(
        Chain(0, f"u{n}", (Work("cut", "cut", one), Work("fill", "cut", 5)))
        for n, one in enumerate(minutes)
    )
    return Problem(480, (Worker("Ada", HOURS),), (Bench("cut"),), (), (Due("J1"),), chains)


def in_order(problem: Problem):
    return [[float(number)] * len(one.works) for number, one in enumerate(problem.chains)]


def backwards(problem: Problem):
    return [[-float(number)] * len(one.works) for number, one in enumerate(problem.chains)]


def test_a_rule_is_asked_for_what_is_left():
    done = simulate(shop(10, 20), [[], []], seed=1, spread=CERTAIN, policy=ByRule(backwards))
    assert [one.chain for one in done.steps] == [1, 1, 0, 0]


def test_a_plan_is_followed_and_its_keys_are_carried_over():
    asked = []

    def planner(problem, carried):
        asked.append(carried)
        return decode(problem, backwards(problem))

    new = Arrival(600, Due("J2"), (Chain(0, "x", (Work("cut", "cut", 30),)),))
    policy = ByPlan(planner)
    done = simulate(shop(100, 20), [[], []], seed=1, spread=CERTAIN, policy=policy, arrivals=[new])
    # at 10:00 the first is at the saw and then filled; what came in goes before that
    assert [(one.chain, one.work) for one in done.steps] == [(1, 0), (1, 1), (0, 0), (2, 0), (0, 1)]
    assert asked == [None, [[-0.0, -0.0], [NEW]]]
    assert policy.plans == 2


def test_how_much_of_a_plan_is_kept_is_written_down():
    turned = iter([in_order, in_order, backwards])
    policy = ByPlan(lambda problem, _carried: decode(problem, next(turned)(problem)))
    rows = [300] * 12
    simulate(shop(*rows[:3]), [[]] * 3, seed=1, spread=CERTAIN, policy=policy)
    # one unit a day: nothing new on the second, and all there is is compared on the third
    assert policy.kept == [1.0, 1.0]

    calls = iter([in_order, backwards])
    policy = ByPlan(lambda problem, _carried: decode(problem, next(calls, in_order)(problem)))
    many = shop(*[60] * 20)
    simulate(many, [[]] * 20, seed=1, spread=CERTAIN, policy=policy)
    assert policy.kept[0] < 0.5


def test_a_plan_without_keys_is_followed_too():
    def planner(problem, carried):
        made = decode(problem, in_order(problem))
        return Plan(made.placed, made.cost, tuple(tuple(row) for row in made.keys))

    done = simulate(shop(10, 20), [[], []], seed=1, spread=CERTAIN, policy=ByPlan(planner))
    assert [one.chain for one in done.steps] == [0, 0, 1, 1]


@settings(max_examples=25, deadline=None)
@given(
    st.integers(0, 10**6),
    st.sets(st.sampled_from(("supports", "hangs", "held", "days"))),
    st.integers(0, 10**6),
)
def test_without_scatter_a_plan_that_is_followed_comes_true(seed, odds, number):
    from random import Random

    problem = make_shop(seed, units=6, people=2, odds=sorted(odds))
    random = Random(number)
    plan = decode(problem, [[random.random() for _one in c.works] for c in problem.chains])
    done = simulate(problem, planned_keys(problem, plan), seed=1, spread=CERTAIN)
    assert {(x.chain, x.work): (x.starts, x.ends, x.extra) for x in done.steps} == {
        (x.chain, x.work): (x.starts, x.ends, x.extra) for x in plan.placed
    }


@settings(max_examples=10, deadline=None)
@given(st.integers(0, 10**6))
def test_planning_again_without_news_never_makes_it_dearer(seed):
    # without the flow, which begins anew for a unit half done
    problem = replace(make_shop(seed, units=6, people=2), aims=Aims(flow=0.0))
    plan = first_plan(problem)
    policy = ByPlan(first_plan)
    none = [[] for _one in problem.chains]
    done = simulate(problem, none, seed=1, spread=CERTAIN, policy=policy)
    assert policy.plans > 2
    assert cost(problem, done.steps) <= plan.cost * (1 + 1e-9)


def test_days_with_scatter_are_worked_off_by_plan():
    problem = make_shop(3, units=10, odds=("away", "skills", "supports", "crews"), people=3)
    policy = ByPlan(first_plan)
    done = simulate(
        problem, [[] for _one in problem.chains], seed=2, spread=Spread(), policy=policy
    )
    assert None not in done.finishes
    assert policy.plans > 2
