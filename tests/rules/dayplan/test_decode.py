"""Plans worked by hand: what each promise of a problem does to them."""

from dataclasses import replace

import pytest

from kiosk.rules.dayplan import gridcheck, sweepcheck
from kiosk.rules.dayplan.cost import cost_of
from kiosk.rules.dayplan.decode import decode
from kiosk.rules.dayplan.model import (
    Aims,
    Bench,
    Chain,
    Due,
    Frees,
    Hold,
    HoursError,
    Lag,
    Pin,
    Plan,
    Problem,
    Span,
    Store,
    Work,
    Worker,
)

DAY = 1440
# Friday and the Monday after it, four hours, a break of one, four hours
HOURS = tuple(
    Span(day * DAY + starts, day * DAY + starts + 240) for day in (0, 3, 4) for starts in (0, 300)
)
MONDAY = 3 * DAY
BENCHES = (Bench("saw"), Bench("table", 2), Bench("van"))


def shop(*chains: Chain, people: int = 1, **changes: object) -> Problem:
    staff = tuple(Worker(f"worker {one}", HOURS) for one in range(people))
    problem = Problem(
        now=0,
        people=staff,
        benches=BENCHES,
        stores=(Store("rack", 1), Store("clamps", 4)),
        jobs=(Due("J"),),
        chains=chains,
    )
    return replace(problem, **changes)  # type: ignore[arg-type]


def chain(*works: Work, ends: tuple[Lag, ...] = (), held: Hold | None = None) -> Chain:
    return Chain(0, "unit", works, ends, held)


def work(minutes: int, station: str = "table", **changes: object) -> Work:
    return replace(Work("step", station, minutes), **changes)  # type: ignore[arg-type]


def made(problem: Problem, *keys: float, delays: dict[tuple[int, int], int] | None = None) -> Plan:
    """Return the plan by a key for each chain, in order unless given, and check it twice."""
    row = keys or tuple(range(len(problem.chains)))
    spread = [[key] * len(one.works) for key, one in zip(row, problem.chains, strict=True)]
    plan = decode(problem, spread, delays=delays)
    assert gridcheck.find_faults(problem, plan) == ()
    assert sweepcheck.find_faults(problem, plan) == ()
    assert plan.cost == cost_of(problem, plan.placed)
    return plan


def starts(plan: Plan) -> dict[tuple[int, int], int]:
    return {(one.chain, one.work): one.starts for one in plan.placed}


def test_the_lowest_key_goes_first_and_equal_ones_by_order() -> None:
    problem = shop(*(chain(work(10)) for _each in range(3)))
    assert starts(made(problem, 2, 1, 3)) == {(1, 0): 0, (0, 0): 10, (2, 0): 20}
    assert starts(made(problem, 1, 1, 0)) == {(2, 0): 0, (0, 0): 10, (1, 0): 20}


def test_a_bench_does_one_step_at_a_time() -> None:
    problem = shop(chain(work(10, "saw")), chain(work(10, "saw")), people=2)
    assert starts(made(problem)) == {(0, 0): 0, (1, 0): 10}


def test_a_step_waits_for_the_afternoon_where_the_morning_is_too_short() -> None:
    problem = shop(chain(work(230), work(20), work(5)), chain(work(10)))
    # the break begins at 240: a short step goes before it, the long one after it
    assert starts(made(problem)) == {(0, 0): 0, (1, 0): 230, (0, 1): 300, (0, 2): 320}


def test_room_for_a_slow_day_is_left_before_a_break() -> None:
    assert starts(made(shop(chain(work(230), work(10, fits=12)))))[0, 1] == 300
    assert starts(made(shop(chain(work(230), work(10, fits=10)))))[0, 1] == 230


def test_rests_run_through_break_night_and_weekend() -> None:
    problem = shop(chain(work(200), work(10, waits=(Lag(0, 60),)), work(200), work(30)))
    # free at 260, in the break; the long one ends at 510, and 30 minutes are just left
    assert starts(made(problem)) == {(0, 0): 0, (0, 1): 300, (0, 2): 310, (0, 3): 510}
    night = shop(chain(work(200), work(10, waits=(Lag(0, 400),))))
    assert starts(made(night))[0, 1] == MONDAY


def test_a_step_waits_for_its_day_and_what_carries_it() -> None:
    problem = shop(
        chain(work(10, after=(1,))),
        chain(work(10, earliest=50), ends=(Lag(0, 30),)),
        chain(),
        chain(work(10, after=(2, 1, 1))),
    )
    assert starts(made(problem)) == {(1, 0): 50, (0, 0): 90, (3, 0): 100}


def test_past_a_close_extra_minutes_come_first() -> None:
    def plan(minutes: int, **changes: object) -> Plan:
        coat = work(10, extra=5, **changes)
        return made(shop(chain(work(minutes)), chain(work(5), coat)), 1, 0)

    late = plan(50, closes=(Lag(0, 44),))
    assert [one.extra for one in late.placed] == [0, 0, 0]
    problem = shop(chain(work(5), work(10, extra=5, closes=(Lag(0, 49),))), chain(work(50)))
    for close, extra in ((49, 5), (50, 0)):
        coat = work(10, extra=5, closes=(Lag(0, close),))
        problem = shop(chain(work(5), coat), chain(work(50)))
        plan_ = decode(problem, [[0, 2], [1]])
        assert gridcheck.find_faults(problem, plan_) == ()
        assert (plan_.placed[-1].starts, plan_.placed[-1].extra) == (55, extra)
        assert plan_.placed[-1].ends == 65 + extra
    at = [made(shop(chain(work(9), work(1, extra=3, closes_at=end)))) for end in (8, 9)]
    assert [plan.placed[1].extra for plan in at] == [3, 0]


def test_extra_minutes_need_room_before_a_break_too() -> None:
    coat = work(10, extra=5, closes_at=0)
    assert starts(made(shop(chain(work(225), coat))))[0, 1] == 225
    assert starts(made(shop(chain(work(226), coat))))[0, 1] == 300


@pytest.mark.parametrize(("frees", "free_at"), [("start", 40), ("end", 50), ("rest", 25)])
def test_a_slot_is_kept_until_its_hold_ends(frees: str, free_at: int) -> None:
    hold = Hold("rack", 1, Frees(frees), 15)
    rests = work(10, hold=hold)
    problem = shop(
        chain(rests, work(10, waits=(Lag(0, 30),))), chain(work(10, hold=hold)), people=2
    )
    assert starts(made(problem))[1, 0] == free_at


def test_a_last_hold_ends_with_its_rest() -> None:
    hold = Hold("rack", 1, Frees.START, 15)
    problem = shop(chain(work(10, hold=hold)), chain(work(10, hold=hold)))
    assert starts(made(problem)) == {(0, 0): 0, (1, 0): 25}
    at_once = replace(hold, minutes=0)
    problem = shop(chain(work(10, hold=at_once)), chain(work(10, hold=at_once)))
    assert starts(made(problem)) == {(0, 0): 0, (1, 0): 10}


def test_a_place_is_left_and_taken_in_one_minute() -> None:
    rack = Hold("rack")
    problem = shop(chain(work(10, hold=rack), work(10, hold=rack), work(10)))
    assert starts(made(problem)) == {(0, 0): 0, (0, 1): 10, (0, 2): 20}
    assert made(problem).over == {}


@pytest.mark.parametrize(("frees", "free_at"), [("start", 40), ("end", 50), ("rest", 20)])
def test_what_rests_at_now_keeps_its_slot(frees: str, free_at: int) -> None:
    held = Hold("rack", 1, Frees(frees), 20)
    problem = shop(
        chain(work(10, earliest=40), held=held), chain(work(10, hold=Hold("rack"))), people=2
    )
    assert starts(made(problem))[1, 0] == free_at


def test_what_rests_without_a_step_to_come_leaves_by_itself() -> None:
    problem = shop(chain(held=Hold("rack", minutes=20)), chain(work(10, hold=Hold("rack"))))
    assert starts(made(problem)) == {(1, 0): 20}


def test_a_smaller_unit_passes_one_that_finds_no_clamps() -> None:
    problem = shop(
        chain(work(10, hold=Hold("clamps", 3, Frees.REST, 100))),
        chain(work(10, hold=Hold("clamps", 2, Frees.REST, 100))),
        chain(work(10, hold=Hold("clamps", 1, Frees.REST, 100))),
        chain(work(10, hold=Hold("clamps", 1, Frees.REST, 100))),
    )
    # three are free again at 110, the fourth is taken from 10 to 120
    assert starts(made(problem)) == {(0, 0): 0, (2, 0): 10, (1, 0): 110, (3, 0): 120}


def test_units_that_block_each_other_exceed_a_place_and_say_so() -> None:
    one = work(10, hold=Hold("rack"))
    other = work(10, hold=Hold("clamps", 4))
    chains = (chain(one, other, work(5)), chain(other, one, work(5)))
    problem = shop(*chains)
    plan = decode(problem, [[0, 2, 2], [1, 2, 2]])
    assert gridcheck.find_faults(problem, plan) == sweepcheck.find_faults(problem, plan) == ()
    # one person: the rack is the place that is exceeded by least
    assert plan.over == {"rack": 1}
    assert len(plan.placed) == 6
    # two can change the units over within a minute
    assert made(shop(*chains, people=2)).over == {}


def test_what_rests_at_now_may_be_more_than_a_place_has() -> None:
    held = Hold("rack")
    plan = made(shop(*(chain(work(10, earliest=5), held=held) for _each in range(3))))
    assert plan.over == {"rack": 2}


def test_only_who_knows_a_station_works_there_and_the_able_stay_free() -> None:
    staff = (Worker("all", HOURS), Worker("saw", HOURS, ("saw",)))
    problem = shop(chain(work(10, "saw")), chain(work(10)), people=2)
    plan = made(replace(problem, people=staff))
    assert [one.people for one in plan.placed] == [(1,), (0,)]


def test_the_same_person_stays_with_a_unit() -> None:
    problem = shop(chain(work(10), work(10)), chain(work(5)), people=2)
    plan = made(problem, 1, 0)
    # the second is free from minute 5 on
    assert [(one.chain, one.people) for one in plan.placed] == [(0, (1,)), (1, (0,)), (0, (1,))]


def test_one_who_goes_home_earlier_does_not_begin_what_does_not_fit() -> None:
    staff = (Worker("short", (Span(0, 30),)), Worker("long", HOURS))
    problem = shop(chain(work(40)), chain(work(30)), people=2)
    plan = made(replace(problem, people=staff))
    assert [one.people for one in plan.placed] == [(1,), (0,)]


def test_who_was_named_for_a_step_does_it_if_they_can() -> None:
    staff = (Worker("all", HOURS), Worker("able", HOURS), Worker("saw", HOURS, ("saw",)))
    problem = replace(
        shop(chain(work(10)), chain(work(20)), chain(work(5)), people=3), people=staff
    )

    def who(**people: tuple[int, ...]) -> list[tuple[int, ...]]:
        named = {(int(one[1]), 0): crew for one, crew in people.items()}
        plan = decode(problem, [[0], [1], [2]], people=named)
        assert gridcheck.find_faults(problem, plan) == ()
        return [one.people for one in sorted(plan.placed, key=lambda one: one.chain)]

    assert who() == [(0,), (1,), (0,)]
    assert who(c0=(1,)) == [(1,), (0,), (1,)]
    # busy until then, not able, or no crew of that size: the rules choose
    assert who(c2=(1,)) == [(0,), (1,), (0,)]
    assert who(c0=(2,)) == who(c0=(0, 1)) == who()


def test_who_is_about_to_begin_something_else_keeps_no_longer_step() -> None:
    problem = shop(
        chain(work(10)), chain(work(25)), chain(work(20)), people=2, pins=(Pin(0, 20, 30, (0,)),)
    )
    for step, who in ((1, 1), (2, 0)):
        plan = decode(problem, [[0], [step == 2], [step == 1]], people={(step, 0): (0,)})
        assert gridcheck.find_faults(problem, plan) == ()
        placed = next(one for one in plan.placed if one.chain == step)
        assert (placed.starts, placed.people) == (0, (who,))


def test_a_crew_that_was_named_stays_together() -> None:
    problem = shop(chain(work(10, "van", crew=2)), people=3)
    assert decode(problem, [[0]], people={(0, 0): (2, 1)}).placed[0].people == (2, 1)


def test_a_crew_starts_together() -> None:
    problem = shop(chain(work(10, "van", crew=2)), chain(work(15)), people=2)
    plan = made(problem, 1, 0)
    assert [(one.starts, len(one.people)) for one in plan.placed] == [(0, 1), (15, 2)]


def test_a_crew_is_not_starved_by_work_for_one() -> None:
    stream = [chain(work(10 + one % 2 * 5)) for one in range(20)]
    problem = shop(*stream, chain(work(10, "van", crew=2, earliest=31)), people=2)
    plan = made(problem, *range(1, 21), 0)
    crew = next(one for one in plan.placed if len(one.people) == 2)
    # one is free at 35, the other at 45 at the latest
    assert crew.starts <= 45
    # who waits for the other does what is done by then
    short = shop(
        chain(work(30)), chain(work(10)), chain(work(30, "van", crew=2)), chain(work(50)),
        chain(work(20)), people=2,
    )  # fmt: skip
    assert starts(made(short)) == {(0, 0): 0, (1, 0): 0, (4, 0): 10, (2, 0): 30, (3, 0): 60}


@pytest.mark.parametrize(("first", "second"), [(50, 20), (20, 50)])
def test_nobody_is_kept_free_for_a_crew_that_cannot_meet(first: int, second: int) -> None:
    staff = (Worker("early", (Span(0, 60), Span(500, 600))), Worker("late", HOURS))
    crew = chain(work(30, "van", crew=2))
    problem = shop(chain(work(first)), chain(work(second)), crew, chain(work(30)))
    plan = made(replace(problem, people=staff))
    # both are there for it from 500 on only
    assert starts(plan) == {(0, 0): 0, (1, 0): 0, (3, 0): 20, (2, 0): 500}


def test_a_pin_stays_where_it_is_whatever_the_hours() -> None:
    problem = shop(
        chain(work(30, crew=2), work(10)),
        chain(work(10)),
        people=2,
        now=235,
        pins=(Pin(0, 220, 270, (0,)),),
    )
    plan = made(problem)
    assert plan.placed[0].people == (0,)
    assert starts(plan) == {(0, 0): 220, (0, 1): 300, (1, 0): 300}


def test_room_is_kept_for_what_is_about_to_begin() -> None:
    pins = (Pin(0, 20, 30, (0,)),)
    problem = shop(
        chain(work(10, "saw")), chain(work(25, "saw")), chain(work(20, "saw")), pins=pins
    )
    assert starts(made(problem)) == {(2, 0): 0, (0, 0): 20, (1, 0): 30}
    # with a second worker the bench is what is kept
    two = replace(problem, people=(*problem.people, Worker("other", HOURS)))
    assert starts(made(two)) == {(2, 0): 0, (0, 0): 20, (1, 0): 30}
    table = shop(chain(work(10)), chain(work(25)), chain(work(25)), people=3, pins=pins)
    assert starts(made(table)) == {(1, 0): 0, (0, 0): 20, (2, 0): 25}


def test_slots_are_kept_for_what_is_about_to_begin() -> None:
    rack = Hold("rack")
    problem = shop(
        chain(work(10, hold=rack)),
        chain(work(10, hold=rack)),
        people=2,
        pins=(Pin(0, 20, 30, (0,)),),
    )
    assert starts(made(problem)) == {(0, 0): 20, (1, 0): 30}


def test_a_step_can_be_held_back() -> None:
    problem = shop(chain(work(10)), chain(work(10)))
    plan = made(problem, delays={(0, 0): 7})
    assert starts(plan) == {(1, 0): 0, (0, 0): 10}
    assert plan.delays == {(0, 0): 7}


def test_the_plan_keeps_the_keys_it_comes_from() -> None:
    problem = shop(chain(work(1), work(1)), chain(), chain(work(1)))
    assert decode(problem, [[3, 1], [], [2]]).keys == ((3, 1), (), (2,))


def test_aims_weigh_lateness_finish_and_flow() -> None:
    jobs = (Due("A", due=10, weight=2), Due("B", due=100), Due("empty", due=1))
    problem = shop(
        chain(work(20)), replace(chain(work(20)), job=1), jobs=jobs, aims=Aims(100, 10, 1)
    )
    # A is 10 late; they finish at 20 and 40; each takes 20
    assert made(problem).cost == 100 * 2 * 10 + 10 * 60 + 40


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"people": (Worker("one", HOURS, ("saw",)),)}, "nobody"),
        ({"people": (Worker("one", (Span(0, 9),)),)}, "minutes on end"),
        ({"benches": ()}, "no bench"),
        ({"people": (Worker("one", (Span(0, 15),)),)}, "hours"),
    ],
)
def test_a_problem_that_breaks_its_promises_is_told_plainly(
    changes: dict[str, object], words: str
) -> None:
    with pytest.raises(ValueError, match=words):
        decode(replace(shop(chain(work(10), work(10))), **changes), [[0, 0]])  # type: ignore[arg-type]


def test_a_lack_of_hours_is_told_apart_from_all_else() -> None:
    short = (Worker("one", (Span(0, 15),)),)
    with pytest.raises(HoursError):
        decode(replace(shop(chain(work(10), work(10))), people=short), [[0, 0]])
    with pytest.raises(ValueError, match="no bench") as told:
        decode(replace(shop(chain(work(10))), benches=()), [[0]])
    assert not isinstance(told.value, HoursError)


def test_a_ring_and_a_lacking_key_are_told_plainly() -> None:
    ring = shop(chain(work(10, after=(1,))), chain(work(10, after=(0,))))
    with pytest.raises(ValueError, match="ring"):
        decode(ring, [[0], [0]])
    with pytest.raises(ValueError, match="priority"):
        decode(ring, [[0], []])


def test_somebody_whose_hours_are_over_does_nothing() -> None:
    problem = shop(chain(work(10)), now=300)
    gone = Worker("gone", (Span(0, 240),))
    plan = made(replace(problem, people=(gone, *problem.people)))
    assert plan.placed[0].people == (1,)


def test_pins_that_overlap_for_one_person_still_give_a_plan() -> None:
    problem = shop(
        chain(work(10)), chain(work(10)), chain(work(10)),
        pins=(Pin(0, 0, 20, (0,)), Pin(1, 10, 30, (0,))),
    )  # fmt: skip
    plan = decode(problem, [[0], [1], [2]])
    assert starts(plan) == {(0, 0): 0, (1, 0): 10, (2, 0): 30}
