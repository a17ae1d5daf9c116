"""Say how likely hang days hold, and which jobs are at risk although they are planned in time."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime, tzinfo
from typing import Final

from kiosk.rules.dayplan.built import Built
from kiosk.rules.dayplan.day import LateJob
from kiosk.rules.dayplan.model import Plan
from kiosk.rules.dayplan.outline import Outline
from kiosk.rules.dayplan.promise import CERTAINTIES, Effect
from kiosk.rules.dayplan.whynow import at_minute
from kiosk.rules.times import say_time
from kiosk.rules.words import Phrase, say, say_n

SAFE: Final = CERTAINTIES[0]  # a day less sure than the first that is promised is at risk
HARM: Final = 0.05  # a chance that falls by less is within what the runs can tell; choice


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


def harmed(effects: Sequence[Effect]) -> list[Effect]:
    """Return those of the jobs present whose chance falls by more than HARM, in their order."""
    return [one for one in effects if one.before - one.after > HARM]


def say_held(held: int, runs: int) -> Phrase:
    """Return in how many of the runs something held: as they came out, and no finer."""
    if held <= 0:
        return say_n("held in none of {n} trial run", "held in none of {n} trial runs", runs)
    return say("held in {held} of {runs} trial runs", held=held, runs=runs)


def say_chance(one: LateJob) -> str:
    """Return in how many runs a job held its day; empty where that was not worked out."""
    if one.chance is None or not one.runs:
        return ""
    return say("its day {held}", held=say_held(one.held, one.runs))


def say_risk(one: LateJob) -> str:
    """Return in a few words that a job is planned in time, but may well not hold its day."""
    return say("{job} at risk: {held}", job=one.job, held=say_held(one.held, one.runs))


def needs_more(certainty: float, runs: int, *, needs: int) -> Phrase:
    """Return that a certainty, 0..1, is not promised, as it takes more runs than were made."""
    return say(
        "{n} % sure is not promised: {runs} trial runs are too few for it, it takes {needs}",
        n=round(100 * certainty),
        runs=runs,
        needs=needs,
    )
