"""Say what is left to do of chains under way: the problem a planner finds when it looks again."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from kiosk.rules.dayplan.model import (
    Chain,
    Frees,
    Hold,
    Lag,
    Minute,
    Pin,
    Problem,
    Span,
    Work,
    Worker,
)


@dataclass(frozen=True, slots=True)
class Under:
    """A step under way: since when, who does it, and the minutes it is expected to take."""

    starts: Minute
    people: tuple[int, ...]
    minutes: int


@dataclass(frozen=True, slots=True)
class Course:
    """How far a chain has come.

    ends are those of its steps done, under the step that goes on. held is what it takes up now,
    and held_until the minute a hold that ends with its rest is expected to end. finished is set
    once nothing is left to do; it may lie ahead, while the last rest runs. resting says since when
    it rests before its next step, None where it does not.
    """

    ends: tuple[Minute, ...] = ()
    under: Under | None = None
    held: Hold | None = None
    held_until: Minute | None = None
    finished: Minute | None = None
    resting: Minute | None = None


@dataclass(frozen=True, slots=True)
class Present:
    """What is left as a problem; for each of its chains the index it had, and of its first step.

    resting says of chains that rest now since when they do.
    """

    problem: Problem
    chains: tuple[int, ...]
    firsts: tuple[int, ...]
    resting: Mapping[int, Minute] = field(default_factory=dict)


def present(problem: Problem, courses: Mapping[int, Course], *, now: Minute) -> Present:
    """Return what is left of a problem at a later minute, by what planners know: expected times.

    Args:
        problem: as it was, with all its chains.
        courses: how far each chain has come that is in the shop, by its index.
        now: the minute to plan from.
    """
    over = {one: each.finished for one, each in courses.items() if each.finished is not None}
    left = sorted(one for one in courses if one not in over)
    places = {old: new for new, old in enumerate(left)}
    wanted = sorted({problem.chains[one].job for one in left})
    jobs = {old: new for new, old in enumerate(wanted)}
    chains, pins = [], []
    for old in left:
        course = courses[old]
        chain = _rest_of(problem.chains[old], course, places=places, over=over, now=now)
        chains.append(replace(chain, job=jobs[chain.job]))
        if course.under is not None:
            ends = max(course.under.starts + course.under.minutes, now + 1)
            pin = Pin(places[old], course.under.starts, ends, course.under.people)
            pins.append(pin)
    ahead = replace(
        problem,
        now=now,
        people=tuple(_from(one, now) for one in problem.people),
        jobs=tuple(problem.jobs[one] for one in wanted),
        chains=tuple(chains),
        pins=tuple(pins),
    )
    firsts = tuple(len(courses[one].ends) for one in left)
    since = {new: courses[old].resting for old, new in places.items()}
    resting = {new: began for new, began in since.items() if began is not None}
    return Present(ahead, tuple(left), firsts, resting)


def _from(worker: Worker, now: Minute) -> Worker:
    """Return a person with the time they are there from now on."""
    spans = (Span(max(one.starts, now), one.ends) for one in worker.spans if one.ends > now)
    return replace(worker, spans=tuple(spans))


def _rest_of(
    chain: Chain,
    course: Course,
    *,
    places: Mapping[int, int],
    over: Mapping[int, Minute],
    now: Minute,
) -> Chain:
    """Return a chain from its next step on; what counted from steps done becomes a time."""
    gone = len(course.ends)
    works = tuple(
        _moved(work, course.ends, places=places, over=over) for work in chain.works[gone:]
    )
    # a rest after the last step that runs from a step done long ago is left out: it is over by then
    ends = tuple(Lag(lag.work - gone, lag.minutes) for lag in chain.ends if lag.work >= gone)
    held = course.held
    if held is not None and held.frees == Frees.REST:
        until = now if course.held_until is None else course.held_until
        held = replace(held, minutes=max(0, until - now))
    return replace(chain, works=works, ends=ends, held=held)


def _moved(
    work: Work,
    ends: Sequence[Minute],
    *,
    places: Mapping[int, int],
    over: Mapping[int, Minute],
) -> Work:
    gone = len(ends)
    since = [ends[lag.work] + lag.minutes for lag in work.waits if lag.work < gone]
    since += [over[one] for one in work.after if one in over]
    since += [] if work.earliest is None else [work.earliest]
    closes = [ends[lag.work] + lag.minutes for lag in work.closes if lag.work < gone]
    closes += [] if work.closes_at is None else [work.closes_at]
    return replace(
        work,
        waits=_later(work.waits, gone),
        closes=_later(work.closes, gone),
        after=tuple(places[one] for one in work.after if one in places),
        earliest=max(since, default=None),
        closes_at=min(closes, default=None),
    )


def _later(lags: Sequence[Lag], gone: int) -> tuple[Lag, ...]:
    return tuple(Lag(lag.work - gone, lag.minutes) for lag in lags if lag.work >= gone)
