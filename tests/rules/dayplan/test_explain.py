"""The day in words, worked by hand for a small studio."""

from datetime import UTC, date, timedelta, timezone

import pytest

from kiosk.rules.dayplan.built import ChainNames
from kiosk.rules.dayplan.day import DayStep
from kiosk.rules.dayplan.explain import say_day
from kiosk.rules.dayplan.model import Chain, Due, Frees, Hold, Lag, Pin, Store, Worker
from tests.rules.dayplan.explained import (
    SHIFTS,
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

FRIDAY = date(2026, 3, 13)


def day_of(shop, steps, *, now="08:00", days=None, done=(), **more):
    return say_day(built(shop, days=days, **more), plan(*steps), now=when(now), zone=UTC, done=done)


def why_of(shop, steps, unit, step, *, now="08:00", days=None):
    day = day_of(shop, steps, now=now, days=days)
    return next(one.why for one in day.steps if (one.unit, one.step) == (unit, step))


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


def test_a_day_off_has_no_hours_and_says_its_notes():
    shop = problem(people=(Worker("Ann", (span("08:00", "17:00", day=1),)),))
    day = day_of(shop, (), notes=("S4 is on hold",))
    assert (day.hours, day.steps, day.notes) == ((), (), ("S4 is on hold",))


# -- why now -------------------------------------------------------------------------------------


def test_a_step_waited_for_clamps():
    shop = problem(glued("S1"), glued("S2"))
    steps = (placed(0, 0, "08:00"), placed(0, 1, "10:30"), placed(1, 0, "10:30", 30, 1))
    assert why_of(shop, steps, "S2", "glue-up") == "clamps free at 10:30"
    assert why_of(shop, steps, "S1", "unclamp").startswith("frees clamps for S2")


def test_clamps_given_back_at_the_end_of_a_step_free_them_then():
    shop = problem(glued("S1", frees=Frees.END), glued("S2"))
    steps = (placed(0, 0, "08:00"), placed(0, 1, "10:30"), placed(1, 0, "11:00", 30, 1))
    assert why_of(shop, steps, "S2", "glue-up") == "clamps free at 11:00"
    assert why_of(shop, steps, "S1", "unclamp").startswith("frees clamps for S2")


def test_clamps_held_before_the_plan_begins_count():
    rests = Chain(0, "S1", (work("unclamp"),), held=Hold("clamps", 2))
    shop = problem(rests, glued("S2"), now="08:00")
    steps = (placed(0, 0, "09:00"), placed(1, 0, "09:00", 30, 1))
    assert why_of(shop, steps, "S2", "glue-up") == "clamps free at 09:00"


def test_clamps_held_until_a_rest_is_over_free_nothing_by_hand():
    first = Chain(0, "S1", (work("glue-up", hold=Hold("clamps", 2, Frees.REST, 60)), work("sand")))
    shop = problem(first, glued("S2"))
    steps = (placed(0, 0, "08:00"), placed(0, 1, "09:30"), placed(1, 0, "09:30", 30, 1))
    assert why_of(shop, steps, "S2", "glue-up") == "clamps free at 09:30"
    assert why_of(shop, steps, "S1", "sand") == "nothing else is pressing"


def test_where_there_was_room_no_slot_is_named():
    shop = problem(glued("S1", slots=1), glued("S2", slots=1), stores=(Store("clamps", 3),))
    steps = (placed(0, 0, "08:00"), placed(0, 1, "10:30"), placed(1, 0, "10:30", 30, 1))
    assert "clamps" not in why_of(shop, steps, "S2", "glue-up")
    assert "clamps" not in why_of(shop, steps, "S1", "unclamp")


def test_slots_of_a_place_nobody_counts_are_never_waited_for():
    shop = problem(glued("S1"), glued("S2"), stores=())
    steps = (placed(0, 0, "08:00"), placed(0, 1, "10:30"), placed(1, 0, "10:30", 30, 1))
    assert "clamps" not in why_of(shop, steps, "S2", "glue-up")


def windowed(minutes):
    return Chain(
        0, "S1", (work("coat-1", "finish"), work("coat-2", "finish", closes=(Lag(0, minutes),)))
    )


def test_a_window_that_closes_today_comes_first():
    steps = (placed(0, 0, "08:00"), placed(0, 1, "14:00"))
    assert why_of(problem(windowed(400)), steps, "S1", "coat-2") == "window closes 15:10"


def test_a_window_that_closes_at_a_set_time_is_named_by_the_sooner():
    chain = Chain(0, "S1", (work("coat-2", "finish", closes_at=at("11:20"), closes=(Lag(5, 9),)),))
    words = why_of(problem(chain), (placed(0, 0, "09:00"),), "S1", "coat-2")
    assert words == "window closes 11:20"


def test_a_window_that_closes_in_the_night_is_named_but_not_one_open_tomorrow():
    steps = (placed(0, 0, "08:00"), placed(0, 1, "14:00"))
    # 08:30 and 20 hours is before the shop opens again; and 30 hours is after
    assert why_of(problem(windowed(1200)), steps, "S1", "coat-2") == "window closes Fri 04:30"
    assert "window" not in why_of(problem(windowed(1800)), steps, "S1", "coat-2")


OPEN_AGAIN = {
    1: "starts a rest that runs overnight",
    3: "starts a rest that runs over the weekend",
    2: "starts a rest that runs over the weekend",
    None: "starts a rest that runs on after closing",
}


@pytest.mark.parametrize("again", [1, 3, None])
def test_a_rest_past_closing_says_over_what_it_runs(again):
    spans = [span("08:00", "17:00")] + ([span("08:00", "17:00", day=again)] if again else [])
    chain = Chain(0, "S1", (work("coat-2", "finish"),), ends=(Lag(0, 600),))
    shop = problem(chain, people=(Worker("Ann", tuple(spans)),))
    # Thursday; three days on is Sunday, so that Saturday lies between
    assert why_of(shop, (placed(0, 0, "16:00"),), "S1", "coat-2") == OPEN_AGAIN[again]


def test_a_rest_over_days_off_names_the_day_work_begins_again():
    chain = Chain(0, "S1", (work("coat-2", "finish"),), ends=(Lag(0, 600),))
    shop = problem(
        chain, people=(Worker("Ann", (span("08:00", "17:00"), span("08:00", "12:00", day=2))),)
    )
    words = why_of(shop, (placed(0, 0, "16:00"),), "S1", "coat-2")
    assert words == "starts a rest that runs until Sat"


def test_a_step_after_closing_is_no_reason_of_the_night():
    chain = Chain(0, "S1", (work("coat-2", "finish"),), ends=(Lag(0, 600),))
    steps = (placed(0, 0, "18:00"),)
    assert "overnight" not in why_of(problem(chain), steps, "S1", "coat-2")


def test_a_near_hang_day_says_what_there_is_to_spare():
    shop = problem(Chain(0, "S1", (work("fit"),)), dues=(Due("GLZ", at("08:50")),))
    words = why_of(shop, (placed(0, 0, "08:00"),), "S1", "fit", days={"GLZ": FRIDAY})
    assert words == "hang day Fri: 20 min to spare; Ann is there from 08:00"


def test_a_hang_day_that_will_not_hold_says_so():
    shop = problem(Chain(0, "S1", (work("fit"),)), dues=(Due("GLZ", at("08:10")),))
    words = why_of(shop, (placed(0, 0, "08:00"),), "S1", "fit", days={"GLZ": FRIDAY})
    assert words.startswith("hang day Fri cannot hold: no waiting")


def test_a_far_hang_day_is_named_only_where_nothing_else_is():
    shop = problem(Chain(0, "S1", (work("fit"),)), dues=(Due("GLZ", at("08:50", day=3)),))
    days = {"GLZ": FRIDAY}
    assert why_of(shop, (placed(0, 0, "09:00"),), "S1", "fit", days=days) == "for hang day Fri"
    assert why_of(shop, (placed(0, 0, "09:00"),), "S1", "fit") == "nothing else is pressing"


def test_supports_come_before_what_hangs_on_them():
    shop = problem(
        Chain(0, "R1", (work("hang", "install"),)),
        Chain(0, "S1", (work("hang", "install", after=(0,)),)),
    )
    steps = (placed(0, 0, "09:00"), placed(1, 0, "09:30"))
    assert why_of(shop, steps, "R1", "hang") == "must be up before S1"
    assert why_of(shop, steps, "S1", "hang").startswith("after R1 is up")
    later = (placed(0, 0, "09:00"), placed(1, 0, "10:30"))
    assert "R1" not in why_of(shop, later, "S1", "hang")


def test_a_rest_that_is_over_is_why_a_step_is_not_sooner():
    shop = problem(glued("S1", slots=1))
    steps = (placed(0, 0, "08:00"), placed(0, 1, "10:30"))
    assert why_of(shop, steps, "S1", "unclamp") == "rest after glue up is over at 10:30"


def test_a_rest_begun_before_the_plan_is_named_without_its_step():
    shop = problem(Chain(0, "S1", (work("unclamp", earliest=at("09:10"), waits=(Lag(4, 5),)),)))
    words = why_of(shop, (placed(0, 0, "09:10"),), "S1", "unclamp")
    assert words == "its rest is over at 09:10"


def test_a_bench_that_was_taken_is_named():
    chains = [Chain(0, f"S{n}", (work("sand", "finish"),)) for n in (1, 2)]
    steps = (placed(0, 0, "09:00"), placed(1, 0, "09:30", 30, 1))
    assert why_of(problem(*chains), steps, "S2", "sand") == "bench free at 09:30"


def test_a_station_without_a_bench_is_never_full():
    chains = [Chain(0, f"S{n}", (work("drive", "road"),)) for n in (1, 2)]
    steps = (placed(0, 0, "09:00"), placed(1, 0, "09:30", 30, 1))
    assert why_of(problem(*chains), steps, "S2", "drive") == "nothing else is pressing"


def test_somebody_who_was_busy_is_free_then():
    chains = [Chain(0, f"S{n}", (work("cut"),)) for n in (1, 2)]
    steps = (placed(0, 0, "09:00"), placed(1, 0, "09:30"))
    assert why_of(problem(*chains), steps, "S2", "cut") == "Ann is free then"


def test_somebody_comes_back_from_a_break():
    shop = problem(Chain(0, "S1", (work("cut"),)))
    assert why_of(shop, (placed(0, 0, "13:00"),), "S1", "cut") == "Ann is there from 13:00"


def test_a_step_under_way_says_so():
    shop = problem(glued("S1"), pins=(Pin(0, at("07:50"), at("08:20"), (0,)),))
    steps = (placed(0, 0, "07:50"), placed(0, 1, "10:20"))
    day = day_of(shop, steps, now="08:00")
    assert day.steps[0].why == "under way"
    assert day.steps[1].why == "rest after glue up is over at 10:20"


def test_a_step_about_to_begin_has_its_own_reason():
    shop = problem(glued("S1"), pins=(Pin(0, at("08:10"), at("08:40"), (0,)),))
    steps = (placed(0, 0, "08:10"), placed(0, 1, "10:40"))
    assert why_of(shop, steps, "S1", "glue-up") == "nothing else is pressing"


def test_two_reasons_at_most_are_said():
    shop = problem(glued("S1"), glued("S2"), dues=(Due("GLZ", at("12:00")),))
    steps = (placed(0, 0, "08:00"), placed(0, 1, "10:30"), placed(1, 0, "10:30", 30, 1))
    words = why_of(shop, steps, "S1", "unclamp", days={"GLZ": FRIDAY})
    assert words == "frees clamps for S2; hang day Fri: 60 min to spare"


def test_the_shifts_of_the_studio_are_two_days():
    assert len(SHIFTS) == 4


def test_a_unit_that_stays_where_it_is_waited_for_no_slot():
    works = (
        work("fill", hold=Hold("clamps", 1)),
        work("sand", hold=Hold("clamps", 1), waits=(Lag(0, 60),)),
    )
    shop = problem(Chain(0, "S1", works), stores=(Store("clamps", 1),))
    steps = (placed(0, 0, "08:00"), placed(0, 1, "09:30"))
    assert why_of(shop, steps, "S1", "sand") == "rest after fill is over at 09:30"


def test_a_night_ahead_is_the_first_reason_only_towards_closing():
    chain = Chain(0, "S1", (work("coat-2", "finish"),), ends=(Lag(0, 960),))
    shop = problem(chain, dues=(Due("GLZ", at("09:00", day=2)),))
    days = {"GLZ": FRIDAY}
    early = why_of(shop, (placed(0, 0, "13:00"),), "S1", "coat-2", days=days)
    assert early == "Ann is there from 13:00; starts a rest that runs overnight"
    late = why_of(shop, (placed(0, 0, "15:00"),), "S1", "coat-2", days=days)
    assert late == "starts a rest that runs overnight"


def shop_and_site(due):
    """A unit with a chain in the shop and one on site, and the load between them."""
    chains = (
        Chain(0, "S1", (work("fit"),)),
        Chain(0, "", (work("load", "install", after=(0,)),)),
        Chain(0, "S1", (work("hang", "install", after=(0, 1)),)),
    )
    return problem(*chains, dues=(Due("GLZ", due),))


SITE = (placed(0, 0, "08:00"), placed(1, 0, "08:30"), placed(2, 0, "09:00"))


def test_a_units_own_hanging_and_the_load_are_not_said_to_hang_on_it():
    shop = shop_and_site(at("12:00", day=9))
    assert why_of(shop, SITE, "S1", "fit") == "Ann is there from 08:00"
    assert why_of(shop, SITE, "load", "load").startswith("after S1")
    assert why_of(shop, SITE, "S1", "hang").startswith("after load")


def test_what_is_to_spare_counts_until_the_unit_hangs():
    # fitted at 08:30, but up at 09:30 only
    words = why_of(shop_and_site(at("09:45")), SITE, "S1", "fit", days={"GLZ": FRIDAY})
    assert words.startswith("hang day Fri: 15 min to spare")


def test_a_unit_that_is_late_because_of_others_blames_no_hang_day():
    words = why_of(shop_and_site(at("09:10")), SITE, "S1", "fit", days={"GLZ": FRIDAY})
    assert words == "Ann is there from 08:00"
    words = why_of(shop_and_site(at("09:10")), SITE, "S1", "hang", days={"GLZ": FRIDAY})
    assert words.startswith("hang day Fri cannot hold: no waiting")
