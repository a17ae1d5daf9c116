"""Say how likely hang days hold, and which jobs are at risk though they are planned in time."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime, tzinfo
from typing import Final

from kiosk.rules.dayplan.built import Built
from kiosk.rules.dayplan.day import LateJob
from kiosk.rules.dayplan.model import Plan
from kiosk.rules.dayplan.outline import Outline
from kiosk.rules.dayplan.promise import CERTAINTIES, sure_range
from kiosk.rules.dayplan.whynow import at_minute
from kiosk.rules.times import say_time
from kiosk.rules.words import _, say

SAFE: Final = CERTAINTIES[0]  # a day less sure than the first that is promised is at risk


def jobs_at_risk(
    built: Built,
    plan: Plan,
    chances: Mapping[str, float | None],
    *,
    runs: int,
    now: datetime,
    zone: tzinfo,
) -> tuple[LateJob, ...]:
    """Return the jobs planned in time whose day holds in too few runs, the least sure first.

    Args:
        built: what the plan was made from.
        plan: of the same problem.
        chances: 0..1 by job; None for one without a day.
        runs: of how many the chances are.
        now: the moment, aware.
        zone: of the shop.
    """
    finishes = Outline(built.problem, plan).finishes
    found = []
    for number, job in enumerate(built.problem.jobs):
        chance, finish = chances.get(job.job), finishes.get(number)
        if chance is None or finish is None or job.due is None:
            continue
        if chance < SAFE and finish <= job.due:
            expected = at_minute(finish)
            words = say("expected {time}", time=say_time(expected, now=now, zone=zone))
            hang_day = built.hang_days.get(job.job)
            found.append(LateJob(job.job, hang_day, expected, chance, words, runs))
    return tuple(sorted(found, key=lambda one: (one.chance, one.job)))


def say_risk(one: LateJob) -> str:
    """Return in a sentence that a job is planned in time, and how often that came true."""
    chance = say_chance(one.chance or 0.0, one.runs)
    words = _("{job} is planned in time, but holds its day in {chance} of {n} simulated runs only.")
    return say(words, job=one.job, chance=chance, n=one.runs)


def say_chance(chance: float, runs: int) -> str:
    """Return a share of runs, 0..1, in words that claim no more than so many runs can tell.

    None or all of 99 runs leave the chance anywhere below 3 or above 97 %: see `sure_range`. With 0
    runs it is said as it is.
    """
    if runs and chance <= 0:
        return say("below {n} %", n=max(1, round(100 * sure_range(runs, 1)[1])))
    if runs and chance >= 1:
        return say("above {n} %", n=min(99, round(100 * sure_range(runs, runs)[0])))
    return say("{n} %", n=round(100 * chance))
