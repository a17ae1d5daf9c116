"""The simulated shop: hand-worked days, queues with a known answer, and both checkers of plans."""

from collections.abc import Sequence
from itertools import pairwise
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kiosk.rules.dayplan import gridcheck, sweepcheck
from kiosk.rules.dayplan.model import (
    Bench,
    Chain,
    Due,
    Frees,
    Hold,
    Keys,
    Lag,
    Pin,
    Plan,
    Problem,
    Span,
    Store,
    Work,
    Worker,
)
from kiosk.rules.dayplan.simulate import Arrival, Run, simulate
from kiosk.rules.dayplan.spread import CERTAIN, Spread
from tests.plainplans import cost, plain_plan
from tests.shops import make_shop, small_shops

DAY = 1440
# two days of 08:00 to 12:00 and 13:00 to 17:00
HOURS = tuple(
    Span(day * DAY + first, day * DAY + last)
    for day in range(2)
    for first, last in ((480, 720), (780, 1020))
)
NOW = 480


def shop(
    *rows: Sequence[Work],
    people: Sequence[Worker] = (Worker("Ada", HOURS),),
    benches: int = 9,
    slots: int = 1,
    pins: Sequence[Pin] = (),
    held: dict[int, Hold] | None = None,
) -> Problem:
    """Return a shop in which each row is a unit of one job, with benches for all."""
    stations = {work.station for row in rows for work in row}
    chains = (Chain(0, f"u{n}", tuple(row), held=(held or {}).get(n)) for n, row in enumerate(rows))
    return Problem(
        NOW,
        tuple(people),
        tuple(Bench(station, benches) for station in sorted(stations)),
        (Store("rack", slots),),
        (Due("J1", 2 * DAY),),
        tuple(chains),
        tuple(pins),
    )


def in_order(problem: Problem) -> Keys:
    return [[float(number)] * len(chain.works) for number, chain in enumerate(problem.chains)]


def run(problem: Problem, keys: Keys | None = None, **more) -> Run:
    more = {"seed": 1, "spread": CERTAIN, **more}
    return simulate(problem, in_order(problem) if keys is None else keys, **more)


def times(done: Run) -> dict[tuple[int, int], tuple[int, int]]:
    return {(one.chain, one.work): (one.starts, one.ends) for one in done.steps}


def test_a_day_worked_by_hand():
    glue = Work("glue", "assemble", 100)
    sand = Work("sand", "finish", 60, waits=(Lag(0, 45),))
    done = run(shop((glue, sand), (glue, sand)))
    assert times(done) == {
        (0, 0): (480, 580),
        (1, 0): (580, 680),  # while the first rests, until 625
        # 40 minutes before noon are too few for sanding
        (0, 1): (780, 840),
        (1, 1): (840, 900),
    }
    assert done.ends == (840, 900)
    assert done.finishes == (900,)
    assert done.rests == ((580, 625), (680, 725))
    assert done.overtime == 0
    assert done.over == {}


def test_the_lowest_key_goes_first():
    work = (Work("cut", "cut", 10),)
    done = run(shop(work, work, work), [[3.0], [1.0], [2.0]])
    assert [one.chain for one in done.steps] == [1, 2, 0]


def test_what_takes_longer_is_finished_after_closing():
    spread = Spread(touch=0.22)
    slow = next(
        seed
        for seed in range(99)
        if simulate(shop((Work("cut", "cut", 240),)), [[0.0]], seed=seed, spread=spread).overtime
    )
    done = simulate(shop((Work("cut", "cut", 240),)), [[0.0]], seed=slow, spread=spread)
    (one,) = done.steps
    assert one.starts == 480
    assert one.ends == 720 + done.overtime


def test_a_bench_takes_no_more_steps_than_it_has_room_for():
    people = (Worker("Ada", HOURS), Worker("Bo", HOURS))
    work = (Work("cut", "cut", 30),)
    assert times(run(shop(work, work, people=people, benches=1))) == {
        (0, 0): (480, 510),
        (1, 0): (510, 540),
    }
    assert run(shop(work, work, people=people, benches=2)).finishes == (510,)


def test_who_knows_few_stations_goes_first():
    people = (Worker("Ada", HOURS), Worker("Bo", HOURS, ("cut",)))
    done = run(shop((Work("cut", "cut", 30),), (Work("coat", "finish", 30),), people=people))
    assert {one.chain: one.people for one in done.steps} == {0: (1,), 1: (0,)}
    assert done.finishes == (510,)


def test_a_step_for_two_gets_its_second_pair_of_hands():
    # both are always at some short step, and never free at the same minute
    people = (Worker("Ada", HOURS), Worker("Bo", HOURS))
    short = [(Work("cut", "cut", minutes),) for minutes in (15, 20) * 12]
    hang = (Work("hang", "install", 30, crew=2, earliest=481),)
    problem = shop(*short, hang, people=people)
    done = run(problem, [*in_order(problem)[:-1], [-1.0]])
    # at 08:15 and 08:20 it is passed over; at 08:30 Ada waits for Bo, who is free at 08:40
    assert times(done)[24, 0] == (520, 550)


def test_nobody_waits_for_a_colleague_who_comes_too_late():
    rows = [(Work("cut", "cut", 70),), *[(Work("fill", "assemble", 5),)] * 20]
    rows.append((Work("hang", "install", 60, crew=2, earliest=481),))
    bo = Worker("Bo", HOURS)

    def until(closing: int) -> Run:
        problem = shop(*rows, people=(Worker("Ada", (Span(480, closing), HOURS[1])), bo))
        return run(problem, [*in_order(problem)[:-1], [-1.0]])

    # Ada is at the saw until 09:10; where she leaves at 09:20 nothing is gained by waiting
    assert times(until(720))[21, 0] == (550, 610)
    assert sum(one.ends <= 550 for one in until(720).steps) == 1 + 5
    assert times(until(560))[21, 0] == (780, 840)
    assert sum(one.ends <= 550 for one in until(560).steps) == 1 + 14


def test_nobody_waits_for_a_colleague_who_does_not_know_the_station():
    rows = ((Work("cut", "cut", 70),), *[(Work("cut", "cut", 70),)] * 4)
    hang = (Work("hang", "install", 60, crew=2, earliest=481),)
    people = (Worker("Ada", HOURS), Worker("Bo", HOURS), Worker("Cy", HOURS, ("cut",)))
    problem = shop(*rows, hang, people=people)
    done = run(problem, [*in_order(problem)[:-1], [-1.0]])
    # all three are free at 09:10, and Ada and Bo hang
    assert {one.people for one in done.steps if one.chain == 5} == {(0, 1)}
    assert times(done)[5, 0] == (550, 610)
    short = (Worker("Ada", HOURS), Worker("Cy", HOURS, ("cut",)), Worker("Bo", HOURS[1:]))
    problem = shop(
        (Work("cut", "cut", 100),), *[(Work("fill", "fill", 15),)] * 4, hang, people=short
    )
    done = run(problem, [*in_order(problem)[:-1], [-1.0]])
    # Cy cuts until 09:40, and Bo comes after noon; Ada goes on filling
    assert times(done)[5, 0] == (780, 840)
    assert max(one.ends for one in done.steps if one.chain < 5) == 580


def test_a_place_is_held_until_the_next_step_starts():
    hold = Hold("rack", 1)
    row = (Work("coat", "finish", 10, hold=hold), Work("load", "load", 10, waits=(Lag(0, 60),)))
    assert times(run(shop(row, row))) == {
        (0, 0): (480, 490),
        (0, 1): (550, 560),
        (1, 0): (560, 570),  # Ada is free again, and so is the rack since 09:10
        (1, 1): (630, 640),
    }


def test_who_was_passed_over_for_a_place_goes_first_once_it_is_left():
    hold = Hold("rack", 1)
    row = (Work("coat", "finish", 10, hold=hold), Work("load", "load", 10, waits=(Lag(0, 60),)))
    people = (Worker("Ada", HOURS), Worker("Bo", HOURS))
    cut = (Work("cut", "cut", 10, earliest=550),)
    keys = [[5.0, 5.0], [0.0, 0.0], [9.0]]
    done = run(shop(row, row, cut, people=people), keys)
    # at 08:00 the second goes first; at 09:10 it leaves the rack to the first, before the cutting
    assert times(done)[1, 1] == (550, 560)
    done = run(shop(row, row, cut, people=people), [[0.0, 5.0], [1.0, 1.0], [9.0]])
    assert times(done)[0, 1] == (550, 560)
    assert times(done)[1, 0] == (550, 560)
    assert times(done)[2, 0] == (560, 570)


def test_clamps_are_held_until_the_next_step_ends_or_a_rest_is_over():
    clamps = Hold("rack", 1, Frees.END)
    glued = (Work("glue", "cut", 10, hold=clamps), Work("unclamp", "cut", 5, waits=(Lag(0, 30),)))
    plain = (Work("glue", "cut", 10, hold=Hold("rack", 1, Frees.REST, 30)),)
    people = (Worker("Ada", HOURS), Worker("Bo", HOURS))
    done = run(shop(glued, plain, plain, people=people))
    assert times(done)[0, 1] == (520, 525)
    assert times(done)[1, 0] == (525, 535)
    assert times(done)[2, 0] == (565, 575)


def test_a_hold_after_the_last_step_ends_with_its_rest():
    last = (Work("coat", "finish", 10, hold=Hold("rack", 1, Frees.START, 90)),)
    assert times(run(shop(last, last)))[1, 0] == (580, 590)


def test_what_is_held_at_the_start_is_left_in_time():
    coat = (Work("coat", "finish", 10, hold=Hold("rack")),)
    load = (Work("load", "load", 10, earliest=500),)
    done = run(shop(load, coat, held={0: Hold("rack")}))
    assert times(done)[1, 0] == (510, 520)
    assert times(done)[0, 0] == (500, 510)
    done = run(shop(load, coat, held={0: Hold("rack", 1, Frees.REST, 5)}))
    assert times(done)[1, 0] == (485, 495)


def test_units_that_block_each_other_for_ever_go_beyond_the_slots():
    # each is on the rack and wants another place of it before it leaves its own
    row = (Work("coat", "finish", 10, hold=Hold("rack", 1, Frees.END)),)
    held = {0: Hold("rack", 1, Frees.END), 1: Hold("rack", 1, Frees.END)}
    done = run(shop(row, row, slots=2, held=held))
    assert done.over == {"rack": 1}
    assert done.finishes == (500,)


def test_a_lack_of_room_that_ends_by_itself_is_waited_for():
    late = (Work("load", "load", 240, earliest=500),)  # fits after noon only
    coat = (Work("coat", "finish", 10, hold=Hold("rack")),)
    done = run(shop(late, coat, held={0: Hold("rack")}))
    assert times(done)[1, 0][0] == 1020 + 900  # the next morning: loading takes till closing
    assert done.over == {}


def test_a_missed_window_costs_the_scuffing():
    soon = Work("recoat", "finish", 10, closes=(Lag(0, 100),), extra=7, earliest=590)
    row = (Work("coat", "finish", 10), soon)
    done = run(shop(row))
    assert (done.steps[1].extra, done.steps[1].ends) == (0, 600)  # at 590 it is still in time
    late = Work("recoat", "finish", 10, closes_at=589, extra=7, earliest=590)
    done = run(shop((Work("coat", "finish", 10), late)))
    assert (done.steps[1].extra, done.steps[1].ends) == (7, 607)


def test_supports_go_up_first_and_set():
    support = Chain(0, "a", (Work("hang", "install", 20),), ends=(Lag(0, 40),))
    above = Chain(0, "b", (Work("hang", "install", 20, after=(0, 2)),))
    empty = Chain(0, "c", ())
    base = shop((Work("hang", "install", 20),))
    problem = Problem(NOW, base.people, base.benches, (), (Due("J"),), (support, above, empty))
    done = run(problem)
    assert times(done)[1, 0] == (540, 560)
    assert done.ends == (540, 560, NOW)


def test_what_is_under_way_goes_on_and_what_is_about_to_begin_comes_first():
    work = (Work("cut", "cut", 60),)
    pins = (Pin(0, 470, 530, (0,)), Pin(1, 535, 595, (0,)))
    done = run(shop(work, work, work, pins=pins), [[9.0], [9.0], [0.0]])
    assert times(done)[0, 0] == (470, 530)
    # nobody holds Ada back from the third at 08:50, and then the second is next
    assert times(done)[2, 0] == (530, 590)
    assert times(done)[1, 0] == (590, 650)


def test_a_step_under_way_lasts_longer_than_it_has():
    work = (Work("cut", "cut", 60),)
    for seed in range(30):
        done = run(shop(work, pins=(Pin(0, 400, 460, (0,)),)), seed=seed, spread=Spread())
        assert done.steps[0].ends >= NOW
        assert done.steps[0].starts == 400


def test_a_rest_that_runs_at_the_start_scatters_only_where_told():
    row = (Work("sand", "finish", 10, earliest=500),)
    assert run(shop(row), spread=Spread(touch=0)).steps[0].starts == 500
    starts = [
        run(shop(row), seed=seed, spread=Spread(touch=0), resting={0: 400}).steps[0].starts
        for seed in range(40)
    ]
    assert min(starts) >= NOW
    assert min(starts) < 500 < max(starts)
    assert run(shop(row), resting={0: 400}).steps[0].starts == 500


def test_what_nobody_has_time_for_is_not_finished():
    done = run(shop((Work("cut", "cut", 200),) * 9))
    assert done.finishes == (None,)
    assert done.ends == (None,)


def test_jobs_come_in_while_the_shop_runs():
    new = Arrival(600, Due("J2"), (Chain(9, "x", (Work("cut", "cut", 20),)),))
    old = Arrival(500, Due("J3"), (Chain(9, "y", (Work("cut", "cut", 20),)),), keys=((-1.0,),))
    row = [(Work("cut", "cut", 60),)] * 3
    done = run(shop(*row), arrivals=(new, old))
    assert [one.job for one in done.problem.jobs] == ["J1", "J3", "J2"]
    # the one with a key is put in between, the other goes last
    assert times(done)[3, 0] == (540, 560)
    assert times(done)[4, 0] == (680, 700)
    assert done.finishes == (680, 560, 700)


def test_the_chains_of_a_job_that_comes_in_wait_for_each_other():
    chains = (
        Chain(0, "x", (Work("cut", "cut", 20),)),
        Chain(0, "y", (Work("hang", "cut", 20, after=(0,)),)),
    )
    new = Arrival(500, Due("J2"), chains, keys=((2.0,), (-2.0,)))
    done = run(shop((Work("cut", "cut", 10),)), arrivals=(new,))
    assert times(done)[1, 0] == (500, 520)
    assert times(done)[2, 0] == (520, 540)


def test_a_policy_is_asked_at_every_beginning_and_for_every_new_job():
    asked = []

    def policy(left):
        asked.append((left.problem.now, left.chains))
        return in_order(left.problem)

    new = [
        Arrival(600, Due("J2"), (Chain(0, "x", (Work("cut", "cut", 20),)),)),
        Arrival(730, Due("J3"), (Chain(0, "y", (Work("cut", "cut", 20),)),)),  # at noon
    ]
    cut = Work("cut", "cut", 100)
    run(shop((cut, cut, cut)), arrivals=new, policy=policy)
    assert asked == [(480, (0,)), (600, (0, 1)), (780, (0, 2))]


def test_a_policy_is_not_asked_for_nothing():
    new = Arrival(DAY + 700, Due("J2"), (Chain(0, "x", (Work("cut", "cut", 20),)),))
    asked = []
    policy = lambda left: asked.append(left.problem.now) or in_order(left.problem)  # noqa: E731
    empty = Arrival(DAY + 600, Due("J3"), (Chain(0, "y", ()),))
    done = run(shop((Work("cut", "cut", 10),)), arrivals=(new, empty), policy=policy)
    assert done.finishes == (490, DAY + 600, DAY + 720)
    assert asked == [480, DAY + 700]


def test_every_policy_meets_the_same_days():
    problem = make_shop(5, units=8)
    one = run(problem, seed=3, spread=Spread(touch=0.3))
    other = run(
        problem, [row[::-1] for row in in_order(problem)][::-1], seed=3, spread=Spread(touch=0.3)
    )
    assert [step.starts for step in one.steps] != [step.starts for step in other.steps]
    took = [
        {(x.chain, x.work): x.ends - x.starts for x in each.steps if not x.extra}
        for each in (one, other)
    ]
    both = took[0].keys() & took[1].keys()
    assert len(both) > 60
    assert all(took[0][key] == took[1][key] for key in both)
    again = run(problem, seed=4, spread=Spread(touch=0.3))
    assert [x.ends - x.starts for x in again.steps] != [x.ends - x.starts for x in one.steps]


@settings(max_examples=40, deadline=None)
@given(small_shops(), st.integers(0, 10**6))
def test_without_scatter_a_run_is_a_plan_that_both_checkers_accept(problem, number):
    random = Random(number)
    keys = [[random.random() for _work in chain.works] for chain in problem.chains]
    done = run(problem, keys)
    plan = Plan(done.steps, cost(problem, done.steps), over=done.over)
    assert gridcheck.find_faults(problem, plan) == ()
    assert sweepcheck.find_faults(problem, plan) == ()


@settings(max_examples=15, deadline=None)
@given(st.integers(0, 10**6), st.sets(st.sampled_from(("away", "supports", "held", "tight"))))
def test_without_scatter_a_run_is_what_a_clock_gives_that_goes_minute_by_minute(seed, odds):
    problem = make_shop(seed, units=4, people=2, odds=sorted(odds))
    planned = {(one.chain, one.work): (one.starts, one.ends) for one in plain_plan(problem).placed}
    assert times(run(problem)) == planned


@settings(max_examples=40, deadline=None)
@given(small_shops(), st.integers(0, 10**6))
def test_whatever_the_days_order_and_people_and_benches_hold(problem, seed):
    done = run(problem, seed=seed, spread=Spread())
    pinned = {(pin.chain, 0) for pin in problem.pins}
    per_person: dict[int, list[tuple[int, int]]] = {}
    for one in done.steps:
        work = problem.chains[one.chain].works[one.work]
        assert (one.chain, one.work) in pinned or len(set(one.people)) == work.crew
        for who in one.people:
            per_person.setdefault(who, []).append((one.starts, one.ends))
            spans = problem.people[who].spans
            fits = any(
                x.starts <= one.starts and one.starts + work.room + one.extra <= x.ends
                for x in spans
            )
            assert fits or (one.chain, one.work) in pinned
    for own in per_person.values():
        assert all(first[1] <= second[0] for first, second in pairwise(sorted(own)))
    rows = times(done)
    for number, chain in enumerate(problem.chains):
        for step in range(1, len(chain.works)):
            assert rows[number, step][0] >= rows[number, step - 1][1]
    assert done.finishes == tuple(
        max((e for e, c in zip(done.ends, problem.chains, strict=True) if c.job == job))
        for job in range(len(problem.jobs))
    )


def mean_wait(service: int, sigma: float, *, load: float, count: int) -> float:
    """Return how long customers of one person wait on average, who is there day and night."""
    from math import exp

    random = Random(12)
    gap = service * exp(sigma**2 / 2) / load
    at, arrivals = 0.0, []
    for number in range(count):
        at += random.expovariate(1 / gap)
        works = (Work("serve", "desk", service),)
        arrivals.append(Arrival(round(at), Due(f"{number}"), (Chain(0, "", works),)))
    ada = Worker("Ada", (Span(0, round(at) + 10**9),))
    problem = Problem(0, (ada,), (Bench("desk"),), (), (), ())
    done = simulate(problem, [], seed=5, spread=Spread(touch=sigma), arrivals=arrivals)
    waits = [
        one.starts - came.at
        for one, came in zip(sorted(done.steps, key=lambda x: x.chain), arrivals, strict=True)
    ]
    return sum(waits) / count


def test_a_queue_waits_as_pollaczek_and_khinchine_say():
    # mean wait of a queue with Poisson arrivals and one server: rate * E[S^2] / (2 (1 - load)),
    # Kleinrock, Queueing Systems 1 (1975), section 5.6; all times 100 minutes: M/D/1
    assert mean_wait(100, 0.0, load=0.5, count=8_000) == pytest.approx(50, rel=0.05)
    # lognormal with median 100 and sigma 0.6, E[S] = 119.7, E[S^2] = 100^2 exp(2 * 0.36)
    second = 100**2 * 2.7182818 ** (2 * 0.36)
    wanted = (0.5 / 119.722) * second / (2 * (1 - 0.5))
    assert mean_wait(100, 0.6, load=0.5, count=8_000) == pytest.approx(wanted, rel=0.07)
