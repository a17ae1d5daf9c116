"""Tell what is news enough to plan anew; all else only moves times."""

from __future__ import annotations

from datetime import datetime
from typing import Final

from kiosk.rules.dayplan.built import Built, StepName
from kiosk.rules.dayplan.means import HORIZON
from kiosk.rules.dayplan.model import Minute, Placed, Plan, Span, Worker
from kiosk.rules.dayplan.pins import is_overrun, work_of
from kiosk.rules.workday import minute_of

AHEAD: Final = 120  # minutes whose starts people reckon with (choice)
KNOWN: Final = (HORIZON - 1) * 24 * 60  # minutes ahead for which every problem has hours
OFF: Final = 30  # minutes by which such a start may move before it is news (choice)


def must_replan(before: Plan, built: Built, after: Plan, new: Built, *, now: datetime) -> bool:
    """Tell whether a plan is to be made anew rather than followed.

    It is where a shift or the time after a break has begun since it was looked at last, where a
    job, a person, their hours, a bench or a place has come, gone or changed, where a step takes far
    longer than it should, and where a start of the next two hours moves by more than half an hour.

    Args:
        before: the plan people work by, of the problem in built.
        built: what it was made from, or followed on when it was looked at last.
        after: the same priorities on the problem in new.
        new: the shop as it is now.
        now: the moment, aware.
    """
    return (
        _has_begun(built, minute_of(now))
        or _has_changed(built, new)
        or _runs_over(before, built, new, minute_of(now))
        or _is_off(before, built, after, new, minute_of(now))
    )


def _has_begun(built: Built, now: Minute) -> bool:
    """Tell whether somebody came to work since; a stretch that was under way then began before."""
    spans = (span for worker in built.problem.people for span in worker.spans)
    return any(built.problem.now < span.starts <= now for span in spans)


def _has_changed(built: Built, new: Built) -> bool:
    old, now = built.problem, new.problem
    known = Span(now.now, old.now + KNOWN)
    staff = [
        [(one.name, one.stations, _hours(one, known)) for one in each.people] for each in (old, now)
    ]
    work = [set(_steps(each)) for each in (built, new)]
    return (
        staff[0] != staff[1]
        or (old.benches, old.stores, old.jobs) != (now.benches, now.stores, now.jobs)
        or not work[1] <= work[0]
    )


def _hours(worker: Worker, known: Span) -> list[Span]:
    """Return when they are there in a time that both problems know."""
    return [
        Span(max(span.starts, known.starts), min(span.ends, known.ends))
        for span in worker.spans
        if span.starts < known.ends and span.ends > known.starts
    ]


def _steps(built: Built) -> list[StepName]:
    return [
        (*names.key, work.step)
        for names, chain in zip(built.names, built.problem.chains, strict=True)
        for work in chain.works
    ]


def _runs_over(before: Plan, built: Built, new: Built, now: Minute) -> bool:
    """Tell whether a step that should be over by far is still to be done."""
    left = set(_steps(new))
    return any(
        name in left and is_overrun(one, now, work=work_of(built, one))
        for name, one in _named(before, built).items()
    )


def _named(plan: Plan, built: Built) -> dict[StepName, Placed]:
    found: dict[StepName, Placed] = {}
    for one in plan.placed:
        step = built.problem.chains[one.chain].works[one.work].step
        found.setdefault((*built.names[one.chain].key, step), one)
    return found


def _is_off(before: Plan, built: Built, after: Plan, new: Built, now: Minute) -> bool:
    old = _named(before, built)
    for name, one in _named(after, new).items():
        was = old.get(name)
        is_near = was is not None and min(one.starts, was.starts) <= now + AHEAD
        if was is not None and is_near and abs(one.starts - was.starts) > OFF:
            return True
    return False
