"""Say which units could go on today, but find no slot while hands are free."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Final

from kiosk.rules.dayplan.model import Lag, Minute, Placed, Span
from kiosk.rules.dayplan.outline import Outline, Stay
from kiosk.rules.dayplan.whynow import Telling
from kiosk.rules.naming import name_some, natural
from kiosk.rules.words import _, say

NAMED: Final = 6  # units named at most; choice


def say_no_slot(telling: Telling) -> Iterator[str]:
    """Yield for each place which units wait for a slot of it until work is over today.

    Those are the units whose next step somebody who has nothing else to do could begin today, were
    there a slot then; the first to get one comes first. All else waits for hands. What fills the
    place when hands are first free is named with the time: steps of today may put it there, so
    that who looks at the place before sees slots empty.
    """
    waiting: dict[str, dict[str, Minute]] = {}
    for placed in sorted(_left_over(telling), key=lambda one: (one.starts, one.chain)):
        stay = _stay(telling.outline, placed)
        full_by = None if stay is None else _full_by(telling, placed, stay)
        if stay is not None and full_by is not None:
            waiting.setdefault(stay.place, {})[telling.unit(placed.chain)] = full_by
    words = _(
        "Hands are free today, but {place} has no slot for {units}:"
        " by {time} it is full with {others}"
    )
    for place, units in waiting.items():
        minute = min(units.values())
        others = {telling.unit(stay.chain) for stay in telling.outline.there(place, minute)}
        yield say(
            words,
            place=place,
            units=name_some(list(units), most=NAMED),
            time=telling.time(minute),
            others=name_some(sorted(others, key=natural), most=NAMED),
        )


def _left_over(telling: Telling) -> Iterable[Placed]:
    """Return of each chain the first step that does not begin today."""
    found: dict[int, Placed] = {}
    for one in sorted(telling.outline.plan.placed, key=lambda one: one.work):
        if one.starts >= telling.closing:
            found.setdefault(one.chain, one)
    return found.values()


def _stay(outline: Outline, placed: Placed) -> Stay | None:
    """Return the stay in slots that a step begins; None where it takes up none."""
    key = placed.chain, placed.work
    return next((stay for stay in outline.stays if (stay.chain, stay.work) == key), None)


def _full_by(telling: Telling, placed: Placed, stay: Stay) -> Minute | None:
    """Return when somebody free could first begin a step, were there a slot while they are free.

    None where there is one, or where nobody could begin it today.
    """
    outline = telling.outline
    slots = outline.slots(stay.place)
    spans = list(_could_begin(telling, placed))
    if slots is None or not spans:
        return None
    freed = [one.ends for one in outline.stays if one.place == stay.place]
    moments = {
        minute
        for span in spans
        for minute in (span.starts, *freed)
        if span.starts <= minute < span.ends
    }
    is_full = all(
        outline.taken(stay.place, minute, without=stay.chain) + stay.slots > slots
        for minute in moments
    )
    return min(moments) if is_full else None


def _could_begin(telling: Telling, placed: Placed) -> Iterator[Span]:
    """Yield the stretches of today in which somebody who is free could begin a step."""
    outline = telling.outline
    work = outline.problem.chains[placed.chain].works[placed.work]
    ready = _ready(outline, placed)
    for number, worker in enumerate(outline.problem.people):
        if not worker.can(work.station):
            continue
        for span in worker.spans:
            for gap in _gaps(outline, number, span) if span.starts < telling.closing else ():
                starts, last = max(gap.starts, ready), gap.ends - work.room
                if starts <= last:
                    yield Span(starts, last + 1)


def _gaps(outline: Outline, person: int, span: Span) -> Iterator[Span]:
    """Yield when somebody has nothing to do in a stretch of their hours."""
    since = span.starts
    for one in sorted(outline.plan.placed, key=lambda one: one.starts):
        if person in one.people and span.starts < one.ends and one.starts < span.ends:
            yield Span(since, one.starts)
            since = one.ends
    yield Span(since, span.ends)


def _ready(outline: Outline, placed: Placed) -> Minute:
    """Return from when on a step waits for nothing but people, a bench and a slot."""
    work = outline.problem.chains[placed.chain].works[placed.work]
    since = [outline.problem.now, work.earliest, *(outline.finish(one) for one in work.after)]
    for lag in (Lag(placed.work - 1, 0), *work.waits):
        before = outline.at.get((placed.chain, lag.work))
        since += [] if before is None else [before.ends + lag.minutes]
    return max(minute for minute in since if minute is not None)
