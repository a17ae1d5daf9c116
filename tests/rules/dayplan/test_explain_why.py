"""Why a step is done now: each reason worked by hand for a small studio."""

from dataclasses import replace
from datetime import UTC, date

import pytest

from kiosk.rules.dayplan.explain import say_day
from kiosk.rules.dayplan.model import Chain, Due, Frees, Hold, Lag, Pin, Placed, Store, Worker
from kiosk.rules.dayplan.outline import Outline
from kiosk.rules.dayplan.slack import Slack
from tests.rules.dayplan.explained import (
    ANN,
    BEN,
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


def day_of(shop, steps, *, now="08:00", days=None):
    return say_day(built(shop, days=days), plan(*steps), now=when(now), zone=UTC)


def why_of(shop, steps, unit, step, *, days=None):
    day = day_of(shop, steps, days=days)
    return next(one.why for one in day.steps if (one.unit, one.step) == (unit, step))


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
    assert words == "hang day Fri: 20 min to spare"
    shop = replace(shop, jobs=(Due("GLZ", at("08:30")),))
    words = why_of(shop, (placed(0, 0, "08:00"),), "S1", "fit", days={"GLZ": FRIDAY})
    assert words == "hang day Fri: 0 min to spare"


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


def test_a_load_that_waits_for_its_day_does_not_rest():
    load = Chain(0, "", (work("load", "install", earliest=at("09:10")),))
    words = why_of(problem(load), (placed(0, 0, "09:10"),), "load", "load")
    assert words == "nothing else is pressing"


def test_a_bench_that_was_taken_is_named():
    chains = [Chain(0, f"S{n}", (work("sand", "finish"),)) for n in (1, 2)]
    steps = (placed(0, 0, "09:00"), placed(1, 0, "09:30", 30, 1))
    assert why_of(problem(*chains), steps, "S2", "sand") == "bench free at 09:30"


def test_a_bench_somebody_had_themselves_is_not_waited_for():
    chains = [Chain(0, f"S{n}", (work("sand", "finish"),)) for n in (1, 2)]
    steps = (placed(0, 0, "09:00"), placed(1, 0, "09:30"))
    assert why_of(problem(*chains), steps, "S2", "sand") == "Ann is free then"


def test_one_of_two_benches_somebody_had_themselves_is_not_waited_for():
    chains = [Chain(0, f"S{n}", (work("glue-up"),)) for n in (1, 2, 3)]
    steps = (placed(0, 0, "09:00"), placed(1, 0, "09:00", 30, 1), placed(2, 0, "09:30"))
    assert why_of(problem(*chains), steps, "S3", "glue-up") == "Ann is free then"


def test_a_site_has_no_bench_to_wait_for():
    chains = [Chain(0, f"S{n}", (work("hang", "install"),)) for n in (1, 2)]
    steps = (placed(0, 0, "09:00"), placed(1, 0, "09:30", 30, 1))
    assert why_of(problem(*chains), steps, "S2", "hang") == "nothing else is pressing"


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


def test_a_step_under_way_says_what_it_serves():
    pins = (Pin(0, at("16:00"), at("16:30"), (0,)),)
    shop = problem(glued("S1"), pins=pins, now="16:10")
    day = day_of(shop, (placed(0, 0, "16:00"), placed(0, 1, "18:30")), now="16:10")
    assert day.steps[0].why == "under way; starts a rest that runs overnight"
    closing = Chain(0, "S1", (work("coat-2", "finish", closes_at=at("15:10")), work("hang")))
    shop = problem(closing, pins=(Pin(0, at("07:50"), at("08:20"), (0,)),))
    day = day_of(shop, (placed(0, 0, "07:50"), placed(0, 1, "08:20")), now="08:00")
    assert day.steps[0].why == "under way; window closes 15:10"
    # one that was missed presses nobody any more
    missed = Chain(0, "S1", (work("coat-2", "finish", closes_at=at("07:40")), work("hang")))
    shop = problem(missed, pins=(Pin(0, at("07:50"), at("08:20"), (0,)),))
    day = day_of(shop, (placed(0, 0, "07:50"), placed(0, 1, "08:20")), now="08:00")
    assert day.steps[0].why == "under way"


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
    chain = Chain(0, "S1", (work("coat-2", "finish", earliest=at("13:00")),), ends=(Lag(0, 960),))
    shop = problem(chain, dues=(Due("GLZ", at("09:00", day=2)),))
    days = {"GLZ": FRIDAY}
    early = why_of(shop, (placed(0, 0, "13:00"),), "S1", "coat-2", days=days)
    assert early == "its rest is over at 13:00; starts a rest that runs overnight"
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
    assert why_of(shop, SITE, "S1", "fit") == "nothing else is pressing"
    assert why_of(shop, SITE, "load", "load").startswith("after S1")
    assert why_of(shop, SITE, "S1", "hang").startswith("after load")


def test_what_is_to_spare_counts_until_the_unit_hangs():
    # fitted at 08:30, but up at 09:30 only
    words = why_of(shop_and_site(at("09:45")), SITE, "S1", "fit", days={"GLZ": FRIDAY})
    assert words.startswith("hang day Fri: 15 min to spare")


def test_a_unit_that_cannot_be_up_in_time_even_alone_says_so():
    # fitted, loaded and hung it takes from 08:00 to 09:30
    for step in ("fit", "hang"):
        words = why_of(shop_and_site(at("09:10")), SITE, "S1", step, days={"GLZ": FRIDAY})
        assert words.startswith("hang day Fri cannot hold: no waiting"), step


def two_units(due, **more):
    """Two units that go up with one load; each alone would be up at 10:00."""
    chains = (
        Chain(0, "S1", (work("fit", minutes=60),)),
        Chain(0, "S2", (work("fit", minutes=60),)),
        Chain(0, "", (work("load", "install", after=(0, 1), **more),)),
        Chain(0, "S1", (work("hang", "install", after=(0, 2)),)),
        Chain(0, "S2", (work("hang", "install", after=(1, 2)),)),
    )
    return problem(*chains, dues=(Due("GLZ", due),), people=(ANN,))


TWO_UNITS = (
    placed(0, 0, "08:00", 60),
    placed(1, 0, "09:00", 60),
    placed(2, 0, "10:00"),
    placed(3, 0, "11:00"),
    placed(4, 0, "10:30"),
)


def test_of_a_late_job_only_what_all_wait_for_cannot_hold_the_day():
    shop = two_units(at("11:15"))
    said = {
        (one.unit, one.step): "cannot hold" in one.why
        for one in day_of(shop, TWO_UNITS, days={"GLZ": FRIDAY}).steps
    }
    assert said == {
        ("S1", "fit"): False,
        ("S2", "fit"): True,  # the load waits for it
        ("load", "load"): False,
        ("S2", "hang"): False,
        ("S1", "hang"): True,  # hung last
    }
    assert why_of(shop, TWO_UNITS, "S1", "fit", days={"GLZ": FRIDAY}) == "for hang day Fri"


def test_where_the_load_waits_for_its_day_and_not_for_the_shop_no_unit_there_is_blamed():
    shop = two_units(at("11:15"), earliest=at("10:00"))
    why = why_of(shop, TWO_UNITS, "S2", "fit", days={"GLZ": FRIDAY})
    assert "cannot hold" not in why


def far_load(days, *, rest=0):
    """A unit made today that is loaded when the shop opens some days on, and due at its closing."""
    chains = (
        Chain(0, "S1", (work("fit"),), ends=(Lag(0, rest),)),
        Chain(0, "", (work("load", "install", after=(0,), earliest=at("08:00", day=days)),)),
        Chain(0, "S1", (work("hang", "install", after=(0, 1)),)),
    )
    first = at("08:00", day=days)
    steps = (
        placed(0, 0, "16:00"),
        Placed(1, 0, first, first + 30, (0,)),
        Placed(2, 0, first + 30, first + 60, (0,)),
    )
    return problem(*chains, dues=(Due("GLZ", at("17:00", day=days)),)), steps


def test_days_ahead_a_unit_is_not_pressed_by_the_hours_of_the_hang_day():
    shop, steps = far_load(11)
    words = why_of(shop, steps, "S1", "fit", days={"GLZ": date(2026, 3, 23)})
    assert words == "for hang day Mon 23 Mar"


def test_a_unit_has_until_the_hang_day_opens_its_rests_counted():
    shop, steps = far_load(1, rest=12 * 60)
    words = why_of(shop, steps, "S1", "fit", days={"GLZ": FRIDAY})
    # fitted at 16:30, hard at 04:30
    assert words.endswith("hang day Fri: 3:30 h to spare")
    shop, steps = far_load(1, rest=15 * 60 + 30)
    words = why_of(shop, steps, "S1", "fit", days={"GLZ": FRIDAY})
    assert words.endswith("hang day Fri: 0 min to spare")


def test_a_load_has_what_is_left_of_the_day_once_all_is_up():
    words = why_of(two_units(at("11:50")), TWO_UNITS, "load", "load", days={"GLZ": FRIDAY})
    assert words.startswith("hang day Fri: 20 min to spare")


def test_a_load_too_late_by_itself_cannot_hold_the_day():
    shop = two_units(at("08:20"))
    words = why_of(shop, TWO_UNITS, "load", "load", days={"GLZ": FRIDAY})
    assert words.startswith("hang day Fri cannot hold: no waiting")


def test_what_is_under_way_counts_from_its_start_alone_too():
    pins = (Pin(1, at("07:30"), at("08:40"), (1,)), Pin(0, at("07:00"), at("08:10"), (0,)))
    shop = replace(two_units(at("09:05")), people=(ANN, BEN), pins=pins)
    steps = (
        placed(0, 0, "07:00", 70),
        placed(1, 0, "07:30", 70, 1),
        placed(2, 0, "08:40"),
        placed(3, 0, "09:40"),
        placed(4, 0, "09:10"),
    )
    outline = Outline(shop, plan(*steps))
    slack = Slack(outline, built(shop))
    assert slack.makes_late(0)  # alone it is up at 09:10, its first step being over at 08:10
    later = replace(shop, jobs=(Due("GLZ", at("09:15")),))
    assert not Slack(Outline(later, plan(*steps)), built(later)).makes_late(0)


def test_free_hands_are_named_only_where_nothing_tells_more():
    chains = (Chain(0, "S1", (work("cut", "cut", 30),)), Chain(0, "S2", (work("cut", "cut", 30),)))
    shop = problem(*chains, dues=(Due("GLZ", at("17:00", day=5)),))
    steps = (placed(0, 0, "08:00"), placed(1, 0, "08:30"))
    assert why_of(shop, steps, "S2", "cut", days={"GLZ": FRIDAY}) == "for hang day Fri"


def test_the_rest_told_is_the_one_the_next_hands_wait_for():
    works = (work("glue-up", "assemble"), work("fill", "finish", waits=(Lag(0, 60),)))
    step = placed(0, 0, "08:00")
    outline = Outline(problem(Chain(0, "S1", works, ends=(Lag(0, 1440),))), plan(step))
    assert outline.rests_until(step) == step.ends + 60
