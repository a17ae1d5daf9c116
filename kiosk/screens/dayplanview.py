"""Say what the screen of the day shows: the rows of the rule, the list beside it, one step."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta, tzinfo
from typing import Final

from kiosk.rules.dayplan.chance import say_chance, say_risk
from kiosk.rules.dayplan.day import DayPlan, DayStep, LateJob, say_held_up
from kiosk.rules.dayplan.rail import (
    RailRow,
    Tick,
    by_person,
    by_station,
    order_of_list,
    ticks,
    whole_day,
)
from kiosk.rules.times import say_span
from kiosk.rules.words import _, join, known, say, say_n

LISTED: Final = 4  # steps of a page: two rows of two buttons of 20 mm
# How much of the day the rule shows: the least of these that holds a dozen usual steps in a row,
# so that a bar has room for words (choices).
WINDOWS: Final = (timedelta(hours=1), timedelta(hours=2), timedelta(hours=4))
ROOM: Final = 12
LANES: Final = 7  # of the rule at most; lower ones could not be read
LOOKS: Final = {
    "done": ("tick", _("done")),
    "now": ("arrow", _("now")),
    "next": ("dot", _("next")),
    "later": ("", _("later")),
}


@dataclass(frozen=True, slots=True)
class RailView:
    """A stretch of the day along the rule; left_out tells how many rows had no room."""

    starts: datetime
    ends: datetime
    now: datetime
    rows: tuple[RailRow, ...]
    ticks: tuple[Tick, ...]
    hours: tuple[tuple[datetime, datetime], ...]
    listed: tuple[DayStep, ...]
    left_out: int = 0


def see_rail(
    day: DayPlan, listed: Sequence[DayStep], *, zone: tzinfo, by: str, first_page: bool
) -> RailView:
    """Return the stretch that the listed steps begin in; by is 'person' or 'station'.

    The first page stands at now, if the day has begun.
    """
    first, last = whole_day(day)
    window = window_of(day)
    begin = day.at - window / 8 if first_page else min(one.starts for one in listed)
    # from a quarter on, and no further than the day goes
    begin = begin.replace(minute=begin.minute // 15 * 15, second=0, microsecond=0)
    begin = max(first, min(begin, last - window))
    ends = begin + window
    rows = by_station(day, (begin, ends)) if by == "station" else by_person(day)
    kept = _fitting(rows, listed, LANES - is_pressed(day))  # told above the rule
    return RailView(
        begin,
        ends,
        day.at,
        kept,
        tuple(ticks(begin, ends, zone)),
        day.hours,
        tuple(listed),
        len(rows) - len(kept),
    )


def window_of(day: DayPlan) -> timedelta:
    """Return how much of the day the rule shows at once; the day has steps."""
    lengths = sorted(one.ends - one.starts for one in day.steps)
    usual = lengths[len(lengths) // 2]
    return next((span for span in WINDOWS if usual * ROOM <= span), WINDOWS[-1])


def _fitting(rows: Sequence[RailRow], listed: Sequence[DayStep], lanes: int) -> tuple[RailRow, ...]:
    """Return the rows there is room for, in their order; those of the listed steps come first."""
    ranked = sorted(rows, key=lambda row: not any(bar.step in listed for bar in row.bars))
    kept, left = [], lanes
    for row in ranked:
        if row.lanes <= left:
            kept.append(row)
            left -= row.lanes
    return tuple(row for row in rows if row in kept)


def page_of_list(day: DayPlan, page: int) -> tuple[tuple[DayStep, ...], int, int]:
    """Return the steps of a page, which page it is, and how many there are."""
    steps = order_of_list(day)
    pages = max(1, -(-len(steps) // LISTED))
    number = page % pages
    return steps[number * LISTED : (number + 1) * LISTED], number, pages


def say_clock(at: datetime, zone: tzinfo) -> str:
    """Return a time of the day."""
    return f"{at.astimezone(zone):%H:%M}"


def say_step(step: DayStep, zone: tzinfo) -> str:
    """Return when, what unit and what step."""
    when = say_clock(step.starts, zone)
    return say("{time} {unit}: {step}", time=when, unit=step.unit, step=step.title)


def say_people(step: DayStep) -> str:
    """Return who does it."""
    return join(step.people, ", ") if step.people else _("nobody named")


def say_fewer_people(step: DayStep) -> tuple[str, ...]:
    """Return who does it, and in fewer words."""
    others = len(step.people) - 1
    if others < 1:
        return (say_people(step),)
    first = step.people[0]
    brief = say_n("{person} and {n} more", "{person} and {n} more", others, person=first)
    return say_people(step), brief, say("{n} people", n=others + 1)


def say_below(step: DayStep) -> str:
    """Return a step's state and why it is done then."""
    word = LOOKS[step.state][1]
    return say("{state}: {why}", state=word, why=step.why) if step.why else word


def is_pressed(day: DayPlan) -> bool:
    """Tell whether a job is late or at risk."""
    return bool(day.late_jobs or day.at_risk)


def say_late_lines(late: Sequence[LateJob], change: str) -> tuple[str, ...]:
    """Return the late jobs in one line, with what holds the first up and what would help.

    In as many words as there is room for: the longest comes first.
    """
    if not late:
        return ()
    first = say("{job} {words}", job=late[0].job, words=late[0].words)
    others = len(late) - 1
    more = say_n("{n} other job late", "{n} other jobs late", others) if others else ""
    helps = say("would help: {change}", change=change) if change else ""
    held_up, count = say_held_up(late[0]), say_n("{n} job late", "{n} jobs late", len(late))
    forms = ((first, held_up, more, helps), (first, held_up, more), (first, more), (count,))
    return tuple(dict.fromkeys(join(form, "; ") for form in forms))


def say_risk_lines(risks: Sequence[LateJob]) -> tuple[str, ...]:
    """Return the jobs at risk in one line, the longest form first."""
    if not risks:
        return ()
    others = len(risks) - 1
    more = say_n("{n} other job at risk", "{n} other jobs at risk", others) if others else ""
    count = say_n("{n} job at risk", "{n} jobs at risk", len(risks))
    return join((say_risk(risks[0]), more), "; "), count


def say_pressed(day: DayPlan) -> str:
    """Return how many jobs are late and how many at risk, for a button."""
    late, risk = len(day.late_jobs), len(day.at_risk)
    if late and risk:
        return say("Late: {n}, at risk: {risk}", n=late, risk=risk)
    return say("Late: {n}", n=late) if late else say("At risk: {n}", n=risk)


def say_notes(notes: Sequence[str]) -> str:
    """Return how much could not be planned."""
    return (
        say_n("{n} note: see Print, times", "{n} notes: see Print, times", len(notes))
        if notes
        else ""
    )


def say_late_job(late: LateJob) -> str:
    """Return by how much a job is late, what holds it up, and how often its day held."""
    return join((late.words, say_held_up(late), say_chance(late)), "; ")


@dataclass(frozen=True, slots=True)
class StepLine:
    """One line of a step's own screen: what it says, and of what."""

    about: str
    words: str
    is_long: bool = False


def see_step(step: DayStep, zone: tzinfo) -> tuple[StepLine, ...]:
    """Return all there is to say of a step."""
    span = say(
        "{starts} to {ends}, {span}",
        starts=say_clock(step.starts, zone),
        ends=say_clock(step.ends, zone),
        span=say_span(step.ends - step.starts),
    )
    station = known(step.station, "station")
    who = say("{people} at {station}", people=say_people(step), station=station)
    lines = (
        StepLine(_("state"), LOOKS[step.state][1]),
        StepLine(_("when"), span),
        StepLine(_("who"), who),
        StepLine(_("why now"), step.why, is_long=True),
        StepLine(_("first"), step.extra),
        StepLine(_("after it"), step.rest),
        StepLine(_("caution"), step.caution, is_long=True),
    )
    return tuple(one for one in lines if one.words)
