"""Which unit holds a late job up and what it waits for, worked by hand for a small studio."""

from datetime import UTC, date, timedelta, timezone

from kiosk.rules.dayplan.day import LateJob, say_held_up
from kiosk.rules.dayplan.explain import say_day
from kiosk.rules.dayplan.model import Chain, Due, Lag, Placed
from tests.rules.dayplan.explained import (
    at,
    built,
    glued,
    placed,
    plan,
    problem,
    when,
    work,
)

DUE = (Due("GLZ", at("08:10")),)  # too early for anything


def late_of(chains, steps, *, dues=DUE, zone=UTC, now="08:00"):
    shop = problem(*chains, dues=dues, now=now)
    return say_day(built(shop), plan(*steps), now=when(now), zone=zone).late_jobs[0]


def held_up(*chains, steps, **more):
    late = late_of(chains, steps, **more)
    return late.unit, late.unit_why, late.others


def coated(unit, rest, **more):
    return Chain(0, unit, (work("coat-2", "finish", **more),), ends=(Lag(0, rest),))


def trip(*units, after, load=None, earliest=None):
    """The load, and the units hung after it; load is its own number among the chains."""
    works = (work("load", "install", after=after, earliest=earliest),)
    return (
        Chain(0, "", works),
        *(Chain(0, unit, (work("hang", "install", after=(load,)),)) for unit in units),
    )


def next_day(chain, starts):
    begins = at(starts, day=1)
    return Placed(chain, 0, begins, begins + 30, (0,))


def test_the_unit_the_load_waited_for_is_named_with_its_last_rest():
    # S1 was coated at 08:00 and rests 3 h; S2 was ready at 09:30, yet it is hung last
    chains = (coated("S1", 180), coated("S2", 30), *trip("S1", "S2", after=(0, 1), load=2))
    steps = [placed(0, 0, "08:00"), placed(1, 0, "08:30"), placed(2, 0, "13:00")]
    steps += [placed(3, 0, "13:30"), placed(4, 0, "14:00")]
    assert held_up(*chains, steps=steps) == ("S1", "coat 2 rests until 11:30", 1)


def test_others_are_those_ready_on_the_day_the_last_one_is():
    chains = (
        coated("S1", 1320), coated("S2", 1290), coated("S3", 60), coated("S4", 1200),
        *trip("S1", "S2", "S3", after=(0, 1, 2, 3), load=4),
    )  # fmt: skip
    steps = [placed(n, 0, clock) for n, clock in enumerate(("09:30", "10:00", "09:00", "08:30"))]
    steps += [
        next_day(4 + n, clock) for n, clock in enumerate(("09:00", "09:30", "10:00", "11:00"))
    ]
    # S1 is dry at 08:00 tomorrow, S2 at the same time, S4 at 05:00; S3 was so at 10:30 today
    assert held_up(*chains, steps=steps) == ("S1", "coat 2 rests until Fri 08:00", 2)
    west = timezone(timedelta(hours=-6))  # there S4 is dry on the evening before
    assert held_up(*chains, steps=steps, zone=west) == ("S1", "coat 2 rests until Fri 02:00", 1)


def test_a_rest_between_two_steps_is_named_by_the_step_it_is_of():
    chain = Chain(0, "S1", (work("coat-1", "finish"), work("coat-2", waits=(Lag(0, 150),))))
    steps = (placed(0, 0, "08:00"), placed(0, 1, "11:00"))
    assert held_up(chain, steps=steps) == ("S1", "coat 1 rests until 11:00", 0)


def glued_filled_sanded(rest):
    """10:00 to 10:30, 15:30 to 16:00, and at 08:00 the next day."""
    works = (
        work("glue-up"),
        work("fill", waits=(Lag(0, rest),)),
        work("sand", waits=(Lag(1, 300),)),
    )
    steps = (placed(0, 0, "10:00"), placed(0, 1, "15:30"))
    begins = at("08:00", day=1)
    return Chain(0, "S1", works), (*steps, Placed(0, 2, begins, begins + 30, (0,)))


def test_the_wait_that_costs_most_of_peoples_hours_is_told():
    # the night is 16 h, of which 1 h is worked; before fill 5 h, of which 4 are worked: till 13:30
    # that is 2 h, half of it, for the rest
    chain, steps = glued_filled_sanded(180)
    assert held_up(chain, steps=steps)[1] == "glue up rests until 13:30"
    chain, steps = glued_filled_sanded(179)
    assert held_up(chain, steps=steps)[1] == "fill begins 15:30"


def test_people_who_are_busy_hold_up_more_than_a_rest_long_over():
    tidy = Chain(1, "T1", (work("sand"),))
    chain = Chain(0, "S1", (work("coat-1", "finish"), work("coat-2", waits=(Lag(0, 20),))))
    steps = (placed(0, 0, "08:00"), placed(1, 0, "10:30"), placed(0, 1, "11:00"))
    found = held_up(chain, tidy, steps=steps, dues=(*DUE, Due("OTH")))
    assert found == ("S1", "coat 2 begins 11:00: Ann is free then", 0)


def test_slots_that_came_free_are_told_with_their_time_once():
    steps = (
        placed(0, 0, "08:00"), placed(0, 1, "10:30"),
        placed(1, 0, "10:30", 30, 1), placed(1, 1, "13:00"),
    )  # fmt: skip
    other = (Due("OTH"), *DUE)
    chain = Chain(1, "S2", glued("S2").works)
    found = held_up(glued("S1"), chain, steps=steps, dues=other)
    assert found == ("S2", "glue up waits: clamps free at 10:30", 0)


def test_a_rest_that_goes_on_already_is_told_of_the_unit_the_load_waits_for():
    load, first, second = trip("S1", "S2", after=(), load=0, earliest=at("11:00"))
    rests = work("hang", "install", after=(0,), earliest=at("11:00"))
    steps = (placed(0, 0, "11:00"), placed(1, 0, "11:30"), placed(2, 0, "13:00"))
    found = held_up(load, first, Chain(0, "S2", (rests,)), steps=steps)
    assert found == ("S2", "rests until 11:00", 0)
    # where it is the hang day the load waits for, nothing rests
    found = held_up(load, first, second, steps=steps)
    assert found == ("S2", "nothing is loaded before the hang day", 0)


def test_a_load_nobody_has_hands_for_is_told_with_the_unit_hung_last():
    tidy = Chain(1, "T1", (work("sand"),))
    chains = (*trip("S1", after=(), load=0), tidy)
    steps = (placed(2, 0, "09:00"), placed(0, 0, "09:30"), placed(1, 0, "10:00"))
    found = held_up(*chains, steps=steps, dues=(*DUE, Due("OTH")))
    assert found == ("S1", "load begins 09:30: Ann is free then", 0)


def test_of_units_hung_on_each_other_the_one_the_load_waits_for_is_told():
    tidy = Chain(1, "T1", (work("sand"),))
    first, second = (
        Chain(0, unit, (work("hang", "install", after=(after,)),))
        for unit, after in (("S1", 0), ("S2", 1))
    )
    steps = (
        placed(3, 0, "09:00"), placed(0, 0, "09:30"), placed(1, 0, "10:00"), placed(2, 0, "10:30"),
    )  # fmt: skip
    (load,) = trip(after=())
    found = held_up(load, first, second, tidy, steps=steps, dues=(*DUE, Due("OTH")))
    assert found == ("S1", "load begins 09:30: Ann is free then", 0)


def test_of_waits_that_cost_no_hours_the_longest_is_told():
    works = (work("cut"), work("sand", minutes=240), work("fill"))
    early, noon = at("08:00", day=1), at("13:00", day=1)
    steps = (
        placed(0, 0, "16:30"),
        Placed(0, 1, early, early + 240, (0,)),
        Placed(0, 2, noon, noon + 30, (0,)),
    )
    found = held_up(Chain(0, "S1", works), steps=steps, now="16:30")
    assert found[1] == "sand waits: Ann is there from Fri 08:00"


def test_a_rest_that_was_over_before_is_not_what_a_unit_waits_for():
    chain = Chain(0, "S1", (work("unclamp", earliest=at("16:00")),))
    found = held_up(chain, steps=(next_day(0, "08:00"),), now="17:00")
    assert found[1] == "unclamp waits: Ann is there from Fri 08:00"


def test_a_unit_that_still_rests_before_its_next_step_says_until_when():
    chain = Chain(0, "S1", (work("unclamp", earliest=at("10:00")),))
    assert held_up(chain, steps=(placed(0, 0, "10:00"),))[1] == "rests until 10:00"


def test_a_unit_that_goes_on_without_a_stop_says_until_when_it_is_worked_on():
    chain = Chain(0, "S1", (work("cut"), work("glue-up", minutes=45)))
    steps = (placed(0, 0, "08:00"), placed(0, 1, "08:30", 45))
    assert held_up(chain, steps=steps) == ("S1", "glue up until 09:15", 0)


def test_a_rest_counted_from_a_step_long_done_is_not_named():
    chain = Chain(0, "S1", (work("hang", waits=(Lag(3, 60),)),))
    assert held_up(chain, steps=(placed(0, 0, "09:00"),))[1] == "hang begins 09:00"


def test_two_units_hung_on_one_day_are_counted_where_nothing_is_loaded_any_more():
    chains = [Chain(0, f"S{n}", (work("hang", "install"),)) for n in range(3)]
    chains.append(Chain(0, "S3", ()))
    steps = [placed(n, 0, clock) for n, clock in enumerate(("08:00", "09:30", "09:00"))]
    assert held_up(*chains, steps=steps) == ("S1", "hang begins 09:30: Ann is free then", 2)


def test_a_way_without_units_holds_nobody_up():
    chain = Chain(0, "", (work("drive-back", "install"),))
    assert held_up(chain, steps=(placed(0, 0, "08:00"),)) == ("", "", 0)


def test_what_holds_a_job_up_is_one_sentence():
    late = LateJob("GLZ", date(2026, 3, 13), None, unit="G08", unit_why="coat 2 rests until 09:40")
    assert say_held_up(late) == "held up by G08: coat 2 rests until 09:40"
    more = LateJob("GLZ", None, None, unit="G08", unit_why="coat 2 rests until 09:40", others=2)
    assert say_held_up(more) == "held up by G08 and 2 more the same day: coat 2 rests until 09:40"
    assert say_held_up(LateJob("GLZ", None, None)) == ""
