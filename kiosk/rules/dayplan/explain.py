"""Say a plan as people see the day: who does what when, why now, what is late."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import date, datetime, timedelta, tzinfo

from kiosk.rules.dayplan.built import Built
from kiosk.rules.dayplan.day import DayPlan, DayStep, LateJob
from kiosk.rules.dayplan.heldup import held_up
from kiosk.rules.dayplan.model import Minute, Placed, Plan, Span
from kiosk.rules.dayplan.noslot import say_no_slot
from kiosk.rules.dayplan.outline import Outline, late_by, merged
from kiosk.rules.dayplan.slack import Slack
from kiosk.rules.dayplan.whynow import Telling, at_minute, say_why
from kiosk.rules.times import say_span
from kiosk.rules.words import say, say_n


def say_day(
    built: Built,
    plan: Plan,
    *,
    now: datetime,
    zone: tzinfo,
    done: Iterable[DayStep] = (),
    hours: Iterable[Span] = (),
) -> DayPlan:
    """Return today of a plan in words.

    Args:
        built: what the plan was made from, with the names of its chains.
        plan: of the same problem; steps of other days are left out.
        now: the moment, aware; its day in the zone is today.
        zone: of the shop.
        done: what was scanned today, first by time; a planned step that is among them is left out.
        hours: the stretches of people's hours today, as the problem's begin only now.
    """
    outline = Outline(built.problem, plan)
    today = now.astimezone(zone).date()
    worked = _hours(outline, hours, today, zone)
    telling = _telling(outline, built, now=now, zone=zone, hours=worked)
    scanned = tuple(replace(one, state="done") for one in done)
    kept = {(one.job, one.unit_id, one.step) for one in scanned if one.unit_id}
    ahead = [
        _step(telling, placed)
        for placed in sorted(plan.placed, key=lambda one: (one.starts, one.ends, one.chain))
        if at_minute(placed.starts).astimezone(zone).date() == today
        and _key(telling, placed) not in kept
    ]
    steps = _with_states(ahead, now)
    return DayPlan(
        at=now,
        hours=tuple((at_minute(span.starts), at_minute(span.ends)) for span in worked),
        people=tuple(worker.name for worker in built.problem.people),
        steps=(*scanned, *steps),
        before_closing=_before_closing(steps),
        late_jobs=_late(telling),
        notes=(*built.notes, *_over(telling), *say_no_slot(telling)),
    )


def _before_closing(steps: Iterable[DayStep]) -> tuple[DayStep, ...]:
    """Return what must be begun today so that it rests overnight; what presses most comes first."""
    found = [one for one in steps if one.begin_by is not None]
    return tuple(sorted(found, key=lambda one: (one.begin_by, one.starts)))


def _over(telling: Telling) -> Iterable[str]:
    """Yield the places that need more slots than they have, and from when on."""
    outline = telling.outline
    for place, count in outline.plan.over.items():
        words = say_n(
            "{place} needs {n} slot more than it has",
            "{place} needs {n} slots more than it has",
            count,
            place=place,
        )
        since = outline.over_since(place)
        if since is None:
            yield words
        else:
            yield say("{what}, from {time}", what=words, time=telling.time(since))


def _hours(outline: Outline, more: Iterable[Span], today: date, zone: tzinfo) -> tuple[Span, ...]:
    """Return the stretches somebody works that begin today."""
    spans = merged([*more, *(span for worker in outline.problem.people for span in worker.spans)])
    return tuple(span for span in spans if _day(span.starts, zone) == today)


def _day(minute: Minute, zone: tzinfo) -> date:
    return at_minute(minute).astimezone(zone).date()


def _telling(
    outline: Outline, built: Built, *, now: datetime, zone: tzinfo, hours: tuple[Span, ...]
) -> Telling:
    midnight = now.astimezone(zone).replace(hour=0, minute=0, second=0, microsecond=0)
    night = int((midnight + timedelta(days=1)).timestamp()) // 60
    closing = hours[-1].ends if hours else night
    spans = (span.starts for worker in built.problem.people for span in worker.spans)
    opening = min((starts for starts in spans if starts >= night), default=None)
    return Telling(outline, built, now, zone, closing, opening, Slack(outline, built))


def _key(telling: Telling, placed: Placed) -> tuple[str, str, str]:
    job, unit = telling.built.names[placed.chain].key
    work = telling.outline.problem.chains[placed.chain].works[placed.work]
    return job, unit, work.step


def _step(telling: Telling, placed: Placed) -> DayStep:
    problem, names = telling.outline.problem, telling.built.names[placed.chain]
    work = problem.chains[placed.chain].works[placed.work]
    job, unit_id = names.key
    until = telling.outline.rests_until(placed)
    latest = _begin_by(telling, placed) if telling.runs_overnight(until) else None
    return DayStep(
        job=job,
        unit=names.unit,
        step=work.step,
        title=names.titles[placed.work],
        station=work.station,
        people=tuple(problem.people[number].name for number in placed.people),
        starts=at_minute(placed.starts),
        ends=at_minute(placed.ends),
        why=say_why(telling, placed),
        extra=_extra(work.step, placed.extra),
        unit_id=unit_id,
        rests_until=None if until is None else at_minute(until),
        rest=_rest(telling, placed, until),
        caution=names.cautions[placed.work] if names.cautions else "",
        begin_by=None if latest is None else at_minute(latest),
    )


def _begin_by(telling: Telling, placed: Placed) -> Minute | None:
    """Return when a step can be begun today at the latest; None where it begins after closing.

    That is while those who do it still have the time it takes before they leave.
    """
    if placed.starts >= telling.closing:
        return None
    problem = telling.outline.problem
    work = problem.chains[placed.chain].works[placed.work]
    spans = [problem.people[number].spans for number in placed.people]
    leave = [
        max((span.ends for span in some if span.starts < telling.closing), default=telling.closing)
        for some in spans
    ]
    room = max(work.room + placed.extra, placed.ends - placed.starts)
    return max(placed.starts, min(leave, default=telling.closing) - room)


def _extra(step: str, minutes: int) -> str:
    """Return what comes first where a window was missed: a tape is scored, a film scuffed."""
    if not minutes:
        return ""
    span = say_span(timedelta(minutes=minutes))
    if step.startswith("scuff"):
        return say("window missed: {span} more", span=span)
    if step.startswith("unmask"):
        return say("score first: {span} of it", span=span)
    return say("scuff first: {span} of it", span=span)


def _rest(telling: Telling, placed: Placed, until: Minute | None) -> str:
    if until is None:
        return ""
    return say(
        "rests {span}, until {time}",
        span=say_span(timedelta(minutes=until - placed.ends)),
        time=telling.time(until),
    )


def _with_states(steps: list[DayStep], now: datetime) -> tuple[DayStep, ...]:
    """Return the steps with their states: one now and one next for each person at most."""
    busy: set[str] = set()
    waiting: set[str] = set()
    found = []
    for one in steps:
        people = set(one.people)
        if one.starts <= now and not people & busy:
            busy |= people
            state = "now"
        elif not people & waiting:
            waiting |= people
            state = "next"
        else:
            state = "later"
        found.append(replace(one, state=state))
    return tuple(found)


def _late(telling: Telling) -> tuple[LateJob, ...]:
    """Return the jobs that will be late, the latest first, each with the unit that holds it up."""
    outline, built = telling.outline, telling.built
    late: Mapping[int, int] = late_by(outline)
    found = []
    for job in sorted(late, key=lambda one: (-late[one], one)):
        name, expected = built.problem.jobs[job].job, at_minute(outline.finishes[job])
        words = say(
            "{span} late, expected {time}",
            span=say_span(timedelta(minutes=late[job])),
            time=telling.time(outline.finishes[job]),
        )
        late_job = LateJob(name, built.hang_days.get(name), expected, words=words)
        why = held_up(telling, job)
        if why is not None:
            late_job = replace(late_job, unit=why.unit, unit_why=why.why, others=why.others)
        found.append(late_job)
    return tuple(found)
