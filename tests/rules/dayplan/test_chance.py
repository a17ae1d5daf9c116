"""How likely hang days hold, said with no more certainty than the runs give."""

from datetime import UTC, date

import pytest

from kiosk.rules.dayplan.chance import (
    harmed,
    jobs_at_risk,
    needs_more,
    say_chance,
    say_held,
    say_risk,
)
from kiosk.rules.dayplan.day import LateJob
from kiosk.rules.dayplan.model import Chain, Due
from kiosk.rules.dayplan.promise import Effect
from tests.rules.dayplan.explained import at, built, placed, plan, problem, when, work

FRIDAY = date(2026, 3, 13)


@pytest.mark.parametrize(
    ("held", "runs", "said"),
    [
        (18, 19, "held in 18 of 19 trial runs"),
        (19, 19, "held in 19 of 19 trial runs"),
        (0, 99, "held in none of 99 trial runs"),
        (0, 1, "held in none of 1 trial run"),
    ],
)
def test_what_held_is_said_as_the_runs_came_out(held, runs, said):
    assert say_held(held, runs) == said


@pytest.mark.parametrize(("runs", "held"), [(19, 18), (99, 0), (99, 54), (99, 61), (99, 99)])
def test_a_share_of_runs_is_told_by_the_runs_it_is_of(runs, held):
    one = LateJob("GLZ", FRIDAY, None, held / runs, "", runs)
    assert one.held == held
    assert say_chance(one) == f"its day {say_held(held, runs)}"


def test_a_chance_not_worked_out_is_not_said():
    assert say_chance(LateJob("GLZ", FRIDAY, None)) == ""
    assert say_chance(LateJob("GLZ", FRIDAY, None, runs=99)) == ""
    assert say_chance(LateJob("GLZ", FRIDAY, None, 0.5)) == ""
    assert LateJob("GLZ", FRIDAY, None).held == 0


def test_too_few_runs_say_how_many_it_takes():
    assert needs_more(0.95, 19, needs=59) == (
        "95 % sure is not promised: 19 trial runs are too few for it, it takes 59"
    )


def shop_of(*dues):
    chains = [Chain(n, f"S{n + 1}", (work("hang", "install"),)) for n in range(len(dues))]
    return problem(*chains, dues=dues)


def risks(dues, chances, starts="09:00"):
    shop = shop_of(*dues)
    steps = plan(*(placed(n, 0, starts) for n in range(len(dues))))
    return jobs_at_risk(
        built(shop, days={"GLZ": FRIDAY}), steps, chances, runs=99, now=when("08:00"), zone=UTC
    )


def test_a_job_in_time_that_few_runs_hold_is_at_risk():
    (one,) = risks((Due("GLZ", at("15:30")),), {"GLZ": 0.7})
    assert (one.job, one.hang_day, one.chance, one.runs) == ("GLZ", FRIDAY, 0.7, 99)
    assert (one.expected, one.words) == (when("09:30"), "expected 09:30")


def test_four_of_five_runs_are_enough():
    assert risks((Due("GLZ", at("15:30")),), {"GLZ": 0.8}) == ()


def test_what_is_late_by_the_plan_is_not_told_twice():
    assert risks((Due("GLZ", at("09:29")),), {"GLZ": 0.1}) == ()
    assert len(risks((Due("GLZ", at("09:30")),), {"GLZ": 0.1})) == 1


def test_jobs_without_a_day_or_a_step_are_at_no_risk():
    assert risks((Due("GLZ"),), {"GLZ": 0.1}) == ()
    assert risks((Due("GLZ", at("15:30")),), {"GLZ": None}) == ()
    shop = shop_of(Due("GLZ", at("15:30")))
    told = {"runs": 99, "now": when("08:00"), "zone": UTC}
    assert jobs_at_risk(built(shop), plan(), {"GLZ": 0.1}, **told) == ()


def test_the_least_sure_comes_first():
    dues = (Due("GLZ", at("15:30")), Due("KLN", at("15:30")))
    assert [one.job for one in risks(dues, {"GLZ": 0.7, "KLN": 0.5})] == ["KLN", "GLZ"]


def test_a_risk_is_said_with_its_runs():
    one = LateJob("GLZ", date(2026, 3, 13), None, 11 / 19, "", 19)
    assert say_risk(one) == "GLZ at risk: held in 11 of 19 trial runs"


def test_only_a_chance_that_falls_by_more_than_the_runs_can_tell_is_named():
    worse, within = Effect("GLAZE", 0.90, 0.84), Effect("KILN", 0.90, 0.86)
    better, same = Effect("JARS", 0.50, 0.90), Effect("POTS", 1.0, 1.0)
    assert harmed([within, worse, better, same]) == [worse]
    assert harmed(()) == []
