"""The day in words, worked by hand for a small studio."""

from datetime import UTC, date, timedelta, timezone

import pytest

from kiosk.rules.dayplan.built import ChainNames
from kiosk.rules.dayplan.day import DayStep, say_begin_by
from kiosk.rules.dayplan.explain import say_day
from kiosk.rules.dayplan.model import Chain, Due, Lag, Worker
from tests.rules.dayplan.explained import (
    at,
    built,
    glued,
    placed,
    plan,
    problem,
    span,
    when,
    work,
)


def day_of(shop, steps, *, now="08:00", days=None, done=(), **more):
    return say_day(built(shop, days=days, **more), plan(*steps), now=when(now), zone=UTC, done=done)


def test_steps_come_in_order_with_titles_people_and_times():
    shop = problem(glued("S1"), Chain(0, "S2", (work("coat-1", "finish"),)))
    day = day_of(shop, (placed(0, 1, "10:30"), placed(1, 0, "09:00", 30, 1), placed(0, 0, "08:00")))
    assert [(one.unit, one.title, one.people) for one in day.steps] == [
        ("S1", "glue up", ("Ann",)),
        ("S2", "coat 1", ("Ben",)),
        ("S1", "unclamp", ("Ann",)),
    ]
    assert (day.steps[0].starts, day.steps[0].ends) == (when("08:00"), when("08:30"))
    assert day.people == ("Ann", "Ben")
    assert day.hours == ((when("08:00"), when("12:00")), (when("13:00"), when("17:00")))


def test_steps_of_another_day_are_left_out():
    shop = problem(glued("S1"))
    tomorrow = placed(0, 1, "08:00")
    tomorrow = type(tomorrow)(0, 1, at("08:00", day=1), at("08:30", day=1), (0,))
    day = day_of(shop, (placed(0, 0, "16:00"), tomorrow))
    assert [one.step for one in day.steps] == ["glue-up"]


def test_today_is_the_day_of_the_shops_zone():
    west = timezone(timedelta(hours=-8))
    shop = problem(Chain(0, "S1", (work("cut"),)))
    # 08:00 UTC is midnight there: the evening before is another day
    assert (
        say_day(built(shop), plan(placed(0, 0, "08:00")), now=when("07:50"), zone=west).steps == ()
    )


def test_each_person_has_one_step_now_and_one_next():
    chains = [Chain(0, f"S{n}", (work("cut"),)) for n in range(4)]
    steps = [placed(n, 0, clock) for n, clock in enumerate(("08:00", "08:30", "09:00"))]
    steps.append(placed(3, 0, "08:00", 30, 1))
    day = day_of(problem(*chains), steps, now="08:40")
    # S1 should have begun at 08:30, but Ann is not through with S0
    assert {one.unit: one.state for one in day.steps} == {
        "S0": "now",
        "S1": "next",
        "S2": "later",
        "S3": "now",
    }


def test_what_was_scanned_is_done_and_not_ahead_as_well():
    shop = problem(glued("S1"))
    scanned = DayStep(
        "GLZ",
        "S1",
        "glue-up",
        "glue up",
        "assemble",
        ("Ann",),
        when("07:40"),
        when("08:05"),
        unit_id="S1",
    )
    day = day_of(shop, (placed(0, 0, "08:00"), placed(0, 1, "10:30")), now="08:10", done=(scanned,))
    assert [(one.step, one.state) for one in day.steps] == [
        ("glue-up", "done"),
        ("unclamp", "next"),
    ]


def test_a_load_that_was_scanned_takes_no_other_load_away():
    shop = problem(Chain(0, "", (work("load"),)))
    scanned = DayStep("GLZ", "load", "load", "load", "", ("Ann",), when("07:00"), when("07:10"))
    day = day_of(shop, (placed(0, 0, "08:00"),), done=(scanned,))
    assert [one.state for one in day.steps] == ["done", "now"]


def test_cautions_and_rests_are_said_with_the_step():
    shop = problem(glued("S1"))
    told = built(shop)
    name = told.names[0]
    told = type(told)(shop, (ChainNames(name.key, "S1", "shelf", name.titles, ("Gloves.", "")),))
    steps = plan(placed(0, 0, "08:00"), placed(0, 1, "10:30"))
    day = say_day(told, steps, now=when("08:00"), zone=UTC)
    assert [one.caution for one in day.steps] == ["Gloves.", ""]
    assert day.steps[0].rest == "rests 2:00 h, until 10:30"
    assert (day.steps[1].rest, day.steps[1].rests_until) == ("", None)


@pytest.mark.parametrize(
    ("step", "words"),
    [
        ("coat-2", "scuff first: 10 min of it"),
        ("unmask", "score first: 10 min of it"),
        ("scuff-2", "window missed: 10 min more"),
    ],
)
def test_a_missed_window_is_said_before_the_step(step, words):
    shop = problem(Chain(0, "S1", (work(step, "finish", closes_at=at("07:00"), extra=10),)))
    (one,) = day_of(shop, (placed(0, 0, "08:00", 40, extra=10),)).steps
    assert one.extra == words
    assert "window" not in one.why


def test_what_rests_overnight_is_listed_before_closing_with_how_long():
    chain = Chain(0, "S1", (work("coat-2", "finish"),), ends=(Lag(0, 960),))
    shop = problem(chain, glued("S2"))
    day = day_of(shop, (placed(0, 0, "16:00"), placed(1, 0, "08:00"), placed(1, 1, "10:30")))
    (one,) = day.before_closing
    assert (one.unit, one.rest) == ("S1", "rests 16:00 h, until Fri 08:30")
    assert one.why.startswith("starts a rest that runs overnight")


def test_what_must_be_begun_soonest_comes_first_before_closing():
    lasting = (30, 120, 60)
    works = [work("coat-2", "finish", minutes, fits=minutes + 5) for minutes in lasting]
    chains = [Chain(0, f"S{n}", (one,), ends=(Lag(0, 960),)) for n, one in enumerate(works)]
    chains.append(Chain(0, "S3", (work("coat-2", "finish"),), ends=(Lag(0, 960),)))
    leaves = Worker("Cat", (span("08:00", "15:00"), span("08:00", "17:00", day=1)))
    people = (*problem().people, leaves)
    starts = ("08:00", "10:00", "09:00")
    steps = [placed(n, 0, at_, lasting[n], n % 2) for n, at_ in enumerate(starts)]
    steps.append(placed(3, 0, "13:00", 30, 2))
    day = day_of(problem(*chains, people=people), steps)
    assert [(one.unit, say_begin_by(one, UTC)) for one in day.before_closing] == [
        ("S3", "begin by 14:30"),
        ("S1", "begin by 14:55"),
        ("S2", "begin by 15:55"),
        ("S0", "begin by 16:25"),
    ]


def test_scuffing_first_takes_its_time_before_closing():
    chain = Chain(0, "S1", (work("coat-2", "finish", fits=45),), ends=(Lag(0, 960),))
    (one,) = day_of(problem(chain), (placed(0, 0, "10:00", 40, extra=10),)).before_closing
    assert say_begin_by(one, UTC) == "begin by 16:05"


def test_what_goes_on_for_longer_than_it_should_must_be_begun_no_sooner_than_it_was():
    chain = Chain(0, "S1", (work("coat-2", "finish"),), ends=(Lag(0, 960),))
    (one,) = day_of(problem(chain), (placed(0, 0, "15:30", 60),)).before_closing
    assert say_begin_by(one, UTC) == "begin by 16:00"
    (one,) = day_of(problem(chain), (placed(0, 0, "16:45"),)).before_closing
    assert say_begin_by(one, UTC) == "begin by 16:45"


def test_steps_that_press_alike_stay_in_order_of_their_starts():
    chains = [Chain(0, f"S{n}", (work("coat-2", "finish"),), ends=(Lag(0, 960),)) for n in (0, 1)]
    day = day_of(problem(*chains), (placed(0, 0, "10:00"), placed(1, 0, "09:00")))
    assert [one.unit for one in day.before_closing] == ["S1", "S0"]


def test_what_nobody_is_there_for_counts_until_the_shop_closes():
    chain = Chain(0, "S1", (work("coat-2", "finish"),), ends=(Lag(0, 960),))
    away = Worker("Cat", (span("08:00", "17:00", day=1),))
    shop = problem(chain, people=(*problem().people, away))
    (one,) = day_of(shop, (placed(0, 0, "16:00", 30, 2),)).before_closing
    assert one.begin_by == when("16:30")
    assert day_of(shop, (placed(0, 0, "17:30"),)).before_closing == ()


def test_a_step_that_rests_less_has_no_time_to_begin_by():
    (one,) = day_of(problem(glued("S1")), (placed(0, 0, "08:00"),)).steps
    assert (one.begin_by, say_begin_by(one, UTC)) == (None, "")


def test_a_place_that_needs_more_slots_is_said_with_the_time():
    shop = problem(glued("S1"), glued("S2", slots=1))
    steps = (placed(0, 0, "08:00"), placed(1, 0, "09:00", 30, 1), placed(0, 1, "10:30"))
    told = plan(*steps, over={"clamps": 1})
    day = say_day(built(shop, notes=("S4 is on hold",)), told, now=when("08:00"), zone=UTC)
    words = "clamps needs 1 slot more than it has, from 09:00"
    assert day.notes == ("S4 is on hold", words)


@pytest.mark.parametrize(("place", "slots"), [("clamps", 2), ("rack", 1)])
def test_a_place_exceeded_for_no_stay_is_said_without_a_time(place, slots):
    told = plan(placed(0, 0, "08:00"), over={place: 2})
    day = say_day(built(problem(glued("S1", slots=slots))), told, now=when("08:00"), zone=UTC)
    assert day.notes == (f"{place} needs 2 slots more than it has",)


def test_what_rests_overnight_but_is_scanned_is_no_longer_ahead():
    chain = Chain(0, "S1", (work("coat-2", "finish"),), ends=(Lag(0, 960),))
    scanned = DayStep(
        "GLZ", "S1", "coat-2", "coat 2", "finish", (), when("15:00"), when("15:30"), unit_id="S1"
    )
    assert day_of(problem(chain), (placed(0, 0, "16:00"),), done=(scanned,)).before_closing == ()


def test_late_jobs_come_latest_first_with_by_how_much():
    dues = (Due("GLZ", at("09:00")), Due("KLN", at("12:00")), Due("SHW", at("17:00")), Due("OPN"))
    chains = [Chain(job, f"S{job}", (work("cut"),)) for job in range(4)]
    shop = problem(*chains, dues=dues)
    steps = [placed(n, 0, clock) for n, clock in enumerate(("09:30", "15:00", "09:00", "10:00"))]
    day = day_of(shop, steps, days={"GLZ": date(2026, 3, 12), "KLN": None})
    assert [(one.job, one.hang_day, one.expected, one.words) for one in day.late_jobs] == [
        ("KLN", None, when("15:30"), "3:30 h late, expected 15:30"),
        ("GLZ", date(2026, 3, 12), when("10:00"), "60 min late, expected 10:00"),
    ]


def test_a_job_is_finished_with_its_last_rest():
    chain = Chain(0, "S1", (work("coat-2", "finish"),), ends=(Lag(0, 60),))
    shop = problem(chain, Chain(0, "S9", ()), dues=(Due("GLZ", at("09:00")),))
    (late,) = day_of(shop, (placed(0, 0, "08:00"),)).late_jobs
    assert late.expected == when("09:30")


def test_a_rest_of_a_step_done_before_the_plan_is_no_part_of_it():
    chain = Chain(0, "S1", (work("fit"),), ends=(Lag(3, 600),))
    shop = problem(chain, dues=(Due("GLZ", at("08:10")),))
    (late,) = day_of(shop, (placed(0, 0, "08:00"),)).late_jobs
    assert late.expected == when("08:30")


def test_hours_before_now_are_told_beside_the_plan():
    shop = problem(people=(Worker("Ann", (span("10:00", "12:00"),)),), now="10:00")
    day = say_day(built(shop), plan(), now=when("10:00"), zone=UTC, hours=(span("08:00", "12:00"),))
    assert day.hours == ((when("08:00"), when("12:00")),)


def test_a_day_off_has_no_hours_and_says_its_notes():
    shop = problem(people=(Worker("Ann", (span("08:00", "17:00", day=1),)),))
    day = day_of(shop, (), notes=("S4 is on hold",))
    assert (day.hours, day.steps, day.notes) == ((), (), ("S4 is on hold",))
