"""How likely hang days hold, said with no more certainty than the runs give."""

from datetime import UTC, date

import pytest

from kiosk.rules.dayplan.chance import jobs_at_risk, say_chance, say_risk
from kiosk.rules.dayplan.day import LateJob
from kiosk.rules.dayplan.model import Chain, Due
from tests.rules.dayplan.explained import at, built, placed, plan, problem, when, work

FRIDAY = date(2026, 3, 13)


@pytest.mark.parametrize(
    ("chance", "runs", "said"),
    [
        (0.7, 99, "70 %"),
        (0.0, 99, "below 3 %"),
        (1.0, 99, "above 97 %"),
        (0.0, 19, "below 15 %"),
        (0.0, 999, "below 1 %"),
        (1.0, 999, "above 99 %"),
        (0.35, 0, "35 %"),
        (0.0, 0, "0 %"),
    ],
)
def test_none_and_all_of_few_runs_are_not_certain(chance, runs, said):
    # 0 of n runs leave at most 1 - 0.05 ** (1 / n) with 95 %: the exact interval of Clopper and
    # Pearson, Biometrika 26 (1934), which for 99 runs is the "rule of three", 3 / n
    assert say_chance(chance, runs) == said


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
    one = LateJob("GLZ", date(2026, 3, 13), None, 0.7, "", 99)
    assert say_risk(one) == (
        "GLZ is planned in time, but holds its day in 70 % of 99 simulated runs only."
    )
