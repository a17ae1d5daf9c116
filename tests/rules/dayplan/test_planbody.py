"""A plan goes into the log and comes back: the same priorities, and nothing damaged is believed."""

import json
from copy import deepcopy
from dataclasses import replace
from datetime import date, time
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kiosk.rules.dayplan.built import Built, ChainNames, Passed
from kiosk.rules.dayplan.carry import carry
from kiosk.rules.dayplan.decode import decode
from kiosk.rules.dayplan.model import Due, Placed, Work
from kiosk.rules.dayplan.pins import work_of
from kiosk.rules.dayplan.planbody import TIMED, as_body, sign_hours
from kiosk.rules.dayplan.planread import parse_body
from kiosk.rules.dayplan.portfolio import first_plan
from kiosk.rules.dayplan.triggers import must_replan
from kiosk.rules.workday import Away, Hours, time_of
from tests.shops import NOW, make_shop, small_shops

SIGN = "0badcafe"


def named(problem, over=None):
    """A problem with a name for each chain: some of one job, and one way without a unit."""
    names = tuple(
        ChainNames(
            (problem.jobs[chain.job].job, chain.unit and f"{chain.unit}-{index}"),
            chain.unit,
            "shelf",
            tuple(work.step for work in chain.works),
            ("",) * len(chain.works),
        )
        for index, chain in enumerate(problem.chains)
    )
    return Built(problem, names, over=over or {})


def through_json(body):
    return json.loads(json.dumps(body, ensure_ascii=False, allow_nan=False))


def read(body, *, hours=SIGN, staff=()):
    return parse_body(body, hours=hours, staff=lambda _minute: staff)


def order_of(keys):
    steps = [(key, n, m) for n, own in enumerate(keys) for m, key in enumerate(own)]
    return [(n, m) for _key, n, m in sorted(steps)]


@settings(max_examples=40, deadline=None)
@given(small_shops(), st.integers(0, 10**6))
def test_what_is_written_and_read_back_has_the_same_priorities(problem, seed):
    random = Random(seed)
    keys = [[float(random.randint(0, 9)) for _work in chain.works] for chain in problem.chains]
    plan = decode(problem, keys)
    built = named(problem)
    found, again = read(through_json(as_body(built, plan, hours=SIGN)), staff=problem.people)
    assert order_of(again.keys) == order_of(plan.keys)
    assert [one.key for one in found.names] == [one.key for one in built.names]
    assert again.delays == plan.delays
    near = sorted(
        (one for one in plan.placed if one.starts < problem.now + TIMED),
        key=lambda one: (one.starts, one.chain),
    )
    assert list(again.placed) == near
    for one in near:
        was, now = work_of(built, one), work_of(found, one)
        assert (now.step, now.minutes, now.after) == (was.step, was.minutes, was.after)
    # the present problem leads to the same plan from either
    before = carry(problem, built.names, (built, plan))
    after = carry(problem, built.names, (found, again))
    assert decode(problem, after.keys, delays=after.delays) == decode(
        problem, before.keys, delays=before.delays
    )
    now = time_of(problem.now)
    assert must_replan(again, found, plan, built, now=now) == must_replan(
        plan, built, plan, built, now=now
    )


def sample(**more):
    problem = make_shop(3, units=6, people=2, odds=("supports", "crews", "skills"))
    built = named(problem, **more)
    return built, first_plan(problem)


def test_what_is_late_scuffed_and_over_is_read_back():
    over = {("J1", "", "load"): Passed(30, NOW - 11), ("J1", "S1", "glue"): Passed(50, NOW - 12)}
    built, plan = sample(over=over)
    now = built.problem.now
    first = plan.placed[0]
    chain = built.problem.chains[first.chain]
    work = replace(chain.works[0], minutes=7, extra=4, closes_at=now - 20)
    chains = list(built.problem.chains)
    chains[first.chain] = replace(chain, works=(work, *chain.works[1:]))
    built = replace(built, problem=replace(built.problem, chains=tuple(chains)))
    plan = replace(
        plan, placed=(replace(first, extra=3), *plan.placed[1:]), delays={(0, 1): now + 90}
    )
    found, again = read(through_json(as_body(built, plan, hours=SIGN)))
    (mine,) = (one for one in again.placed if (one.chain, one.work) == (first.chain, 0))
    assert mine.extra == 3
    mended = work_of(found, mine)
    assert (mended.minutes, mended.extra, mended.closes_at) == (7, 4, now - 20)
    assert found.over == over
    assert again.delays == {(0, 1): now + 90}
    assert found.problem.jobs == built.problem.jobs
    assert (found.problem.benches, found.problem.stores) == (
        built.problem.benches,
        built.problem.stores,
    )


def test_what_is_far_ahead_has_a_place_in_the_order_and_no_time():
    built, plan = sample()
    late = [replace(one, starts=one.starts + TIMED, ends=one.ends + TIMED) for one in plan.placed]
    found, again = read(through_json(as_body(built, replace(plan, placed=late), hours=SIGN)))
    assert again.placed == ()
    assert order_of(again.keys) == order_of(plan.keys)
    assert {work for chain in found.problem.chains for work in chain.works} == {
        Work(work.step, "", 1) for chain in built.problem.chains for work in chain.works
    }


def test_changed_hours_are_news_and_the_same_hours_are_none():
    built, plan = sample()
    problem, body = built.problem, as_body(built, plan, hours=SIGN)
    same, other = read(body, staff=problem.people), read(body, hours="other", staff=problem.people)
    gone = read(body, staff=problem.people[:1])
    now = time_of(problem.now)
    assert not must_replan(same[1], same[0], plan, built, now=now)
    assert must_replan(other[1], other[0], plan, built, now=now)
    assert must_replan(gone[1], gone[0], plan, built, now=now)
    assert [one.name for one in other[0].problem.people] == [one.name for one in problem.people]


def test_a_new_due_is_news():
    built, plan = sample()
    body = as_body(built, plan, hours=SIGN)
    found, again = read(body, staff=built.problem.people)
    sooner = replace(built.problem, jobs=(Due("J1", 5), *built.problem.jobs[1:]))
    changed = replace(built, problem=sooner)
    assert must_replan(again, found, plan, changed, now=time_of(sooner.now))


def test_the_checksum_of_hours_sees_each_change():
    usual = Hours(time(7, 30), time(17), time(12), 45, (0, 1, 2, 3, 4))
    away = (Away(date(2026, 5, 1), date(2026, 5, 2)),)
    others = [
        [("Mara", usual), ("Ivo", usual)],
        [("Mara", replace(usual, closes=time(16)))],
        [("Mara", replace(usual, break_minutes=30))],
        [("Mara", replace(usual, stations=("cut",)))],
        [("Mara", replace(usual, away=away))],
        [],
    ]
    signs = {sign_hours(one) for one in [[("Mara", usual)], *others]}
    assert len(signs) == 1 + len(others)
    assert sign_hours([("Mara", usual)]) == sign_hours([("Mara", replace(usual))])
    assert all(len(sign) == 8 for sign in signs)


def test_sixty_units_take_less_than_seven_thousand_bytes():
    problem = make_shop(1, units=60, people=3, odds=("hangs", "supports", "crews"))
    body = as_body(named(problem), first_plan(problem), hours=SIGN)
    text = json.dumps(body, ensure_ascii=False, separators=(",", ":"))
    assert len(text.encode()) < 7000


# -- damaged -------------------------------------------------------------------------------------

WHOLE = as_body(*sample(over={("J1", "", "load"): Passed(30, NOW - 11)}), hours=SIGN)
DAMAGE = [
    ("version", 2),
    ("minute", -1),
    ("minute", 1.5),
    ("minute", True),
    ("minute", 10**12),
    ("people", "Mara"),
    ("people", [7]),
    ("benches", [["cut"]]),
    ("benches", [["cut", -1]]),
    ("stores", 3),
    ("jobs", []),
    ("jobs", [["J1", None, "heavy"]]),
    ("jobs", [["J1", None, float("nan")]]),
    ("jobs", [["J1", None, -1]]),
    ("jobs", [["J1", None, 10**400]]),
    ("jobs", [["J1", "Monday", 1]]),
    ("steps", []),
    ("tracks", [[]] * len(WHOLE["tracks"])),
    ("tracks", [[-1]] * len(WHOLE["tracks"])),
    ("chains", [[0, "J1", "S1"]]),
    ("chains", [[99, "J1", "S1", 0]]),
    ("order", []),
    ("order", [0] * len(WHOLE["order"])),
    ("order", [*WHOLE["order"], -1]),
    ("order", [None]),
    ("placed", [[[9], [0, 0, 5]]]),
    ("placed", [[[0, 0], [0, 0, 5]]]),
    ("placed", [[[0], [0, 0]]]),
    ("placed", [[[0], [0, 0, 9999]]]),
    ("placed", [[[0], [-1, 0, 5]]]),
    ("works", [[0, 0, 0, None, 0]]),
    ("works", [[[], 5, 0, None, 0]]),
    ("after", [[0, 99]]),
    ("after", [[]]),
    ("delays", [[9999, 0]]),
    ("delays", [[0, 10**6]]),
    ("over", [["J1", "", "load", 1]]),
    ("over", [["J1", None, "load", 1, 1]]),
]


@pytest.mark.parametrize(("key", "value"), DAMAGE)
def test_a_damaged_body_is_passed_over(key, value):
    assert read(WHOLE) is not None
    assert read({**WHOLE, key: value}) is None


@pytest.mark.parametrize("key", WHOLE)
def test_a_body_that_lacks_a_key_is_passed_over(key):
    assert read({name: one for name, one in WHOLE.items() if name != key}) is None


def test_what_a_newer_program_adds_is_let_pass():
    assert read({**WHOLE, "why": "the van broke down"}) is not None


ANYTHING = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=3),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=3), inner),
    max_leaves=5,
)


@settings(max_examples=200, deadline=None)
@given(st.data())
def test_whatever_stands_in_the_log_nothing_raises(data):
    body = deepcopy(WHOLE)
    key = data.draw(st.sampled_from(sorted(WHOLE)))
    value = data.draw(ANYTHING)
    held = body[key]
    if isinstance(held, list) and held and data.draw(st.booleans()):
        at = data.draw(st.integers(0, len(held) - 1))
        if isinstance(held[at], list) and held[at] and data.draw(st.booleans()):
            held[at][data.draw(st.integers(0, len(held[at]) - 1))] = value
        else:
            held[at] = value
    else:
        body[key] = value
    found = read(body)
    if found is not None:
        built, plan = found
        assert len(order_of(plan.keys)) == sum(len(one.works) for one in built.problem.chains)
        assert all(isinstance(one, Placed) and one.starts <= one.ends for one in plan.placed)
