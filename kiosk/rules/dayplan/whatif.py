"""Try the changes a shop could make, and say which one would help the late jobs most."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import timedelta
from math import ceil
from typing import Final

from kiosk.rules.dayplan.built import Built
from kiosk.rules.dayplan.model import (
    Chain,
    Hold,
    Lag,
    Minute,
    Plan,
    Problem,
    Span,
    Work,
)
from kiosk.rules.dayplan.outline import Outline, late_by
from kiosk.rules.times import say_span
from kiosk.rules.words import _, join, say, say_n

DAY: Final = 24 * 60
HOUR: Final = 60
SLOTS: Final = 2  # how many more clamps are tried; choice
WARMER: Final = 0.8  # rests in warmer air, a fifth shorter; choice
NIGHT: Final = 6 * 60  # minutes without work that end a day; choice
GAIN: Final = 15  # minutes of lateness below which nothing is claimed; choice

Planned = Callable[[Problem], Plan]


@dataclass(frozen=True, slots=True)
class Change:
    """One change of the shop: what it is in words, and the problem as it would be."""

    words: str
    problem: Problem


def best_change(built: Built, plan: Plan, planned: Planned) -> str:
    """Return the single change that would take most lateness off, and what it would gain, in words.

    Empty where no job is late, or none need be; where no change gains a quarter of an hour it says
    so. Each change is planned anew by the engine given, and so is the shop as it is: a gain is
    never only that of another engine.
    """
    if not late_by(Outline(built.problem, plan)):
        return ""
    base = planned(built.problem)
    outline = Outline(built.problem, base if base.cost < plan.cost else plan)
    before = late_by(outline)
    if not before:
        return ""
    most, words = GAIN - 1.0, ""
    for change in changes(outline):
        after = late_by(Outline(change.problem, planned(change.problem)))
        gain = _weighed(built.problem, before) - _weighed(built.problem, after)
        if gain > most:
            most, words = gain, _say_gain(built, change, before, after)
    return words or say("nothing tried gains even {n} min", n=GAIN)


def changes(outline: Outline) -> Iterator[Change]:
    """Yield the changes worth trying for a plan, each with the problem it leads to."""
    problem = outline.problem
    longer = _longer_today(problem)
    if longer != problem:
        yield Change(_("an hour more today"), longer)
    for number, store in enumerate(problem.stores):
        if outline.is_ever_full(store.place):
            more = replace(store, slots=store.slots + SLOTS)
            stores = (*problem.stores[:number], more, *problem.stores[number + 1 :])
            place = store.place
            words = say_n(
                "{n} more slot at {place}", "{n} more slots at {place}", SLOTS, place=place
            )
            yield Change(words, replace(problem, stores=stores))
    if problem.people:
        helper = max(problem.people, key=lambda one: sum(s.ends - s.starts for s in one.spans))
        # they come when somebody else does, and know every station
        people = (*problem.people, replace(helper, name="", stations=()))
        yield Change(_("one more person"), replace(problem, people=people))
    warmer = _chains(problem, _warmer_chain, _warmer_work)
    if warmer != problem:
        yield Change(_("warmer air, so that rests are a fifth shorter"), warmer)
    wider = _chains(problem, lambda chain: chain, _wider_work)
    if wider != problem:
        yield Change(_("recoat windows a day longer"), wider)


def _longer_today(problem: Problem) -> Problem:
    """Return the problem with everybody who is there today staying an hour longer."""
    people = tuple(replace(one, spans=_longer(one.spans, problem.now)) for one in problem.people)
    return replace(problem, people=people)


def _longer(spans: tuple[Span, ...], now: Minute) -> tuple[Span, ...]:
    """Return spans with an hour more at the end of the day that is under way."""
    last, until = None, now
    for number, span in enumerate(spans):
        if span.ends <= now:
            continue
        if span.starts - until >= NIGHT:
            break
        last, until = number, span.ends
    if last is None:
        return spans
    longer = Span(spans[last].starts, spans[last].ends + HOUR)
    return (*spans[:last], longer, *spans[last + 1 :])


def _chains(
    problem: Problem, of_chain: Callable[[Chain], Chain], of_work: Callable[[Work, Minute], Work]
) -> Problem:
    """Return the problem with each chain and each of its steps changed."""
    chains = []
    for chain in problem.chains:
        works = tuple(of_work(work, problem.now) for work in chain.works)
        chains.append(replace(of_chain(chain), works=works))
    return replace(problem, chains=tuple(chains))


def _warmer_chain(chain: Chain) -> Chain:
    return replace(chain, ends=_shorter(chain.ends), held=_shorter_hold(chain.held))


def _warmer_work(work: Work, now: Minute) -> Work:
    return replace(
        work,
        waits=_shorter(work.waits),
        closes=_shorter(work.closes),  # a window closes sooner in warm air, too
        earliest=_sooner(work.earliest, now),
        closes_at=_sooner(work.closes_at, now),
        hold=_shorter_hold(work.hold),
    )


def _shorter(lags: tuple[Lag, ...]) -> tuple[Lag, ...]:
    return tuple(replace(lag, minutes=_fifth_off(lag.minutes)) for lag in lags)


def _fifth_off(minutes: int) -> int:
    return ceil(minutes * WARMER)


def _sooner(minute: Minute | None, now: Minute) -> Minute | None:
    return minute if minute is None or minute <= now else now + _fifth_off(minute - now)


def _shorter_hold(hold: Hold | None) -> Hold | None:
    return None if hold is None else replace(hold, minutes=_fifth_off(hold.minutes))


def _wider_work(work: Work, now: Minute) -> Work:
    del now
    closes = tuple(replace(lag, minutes=lag.minutes + DAY) for lag in work.closes)
    closes_at = None if work.closes_at is None else work.closes_at + DAY
    return replace(work, closes=closes, closes_at=closes_at)


def _weighed(problem: Problem, late: Mapping[int, int]) -> float:
    return sum(problem.jobs[job].weight * minutes for job, minutes in late.items())


def _say_gain(
    built: Built, change: Change, before: Mapping[int, int], after: Mapping[int, int]
) -> str:
    """Return a change with what it gains the job it helps most, and how many others it helps."""
    gains = {job: minutes - after.get(job, 0) for job, minutes in before.items()}
    helped = [job for job in gains if gains[job] > 0]
    # a day that holds is the best news, however little it took
    first = min(helped, key=lambda one: (one in after, -gains[one], one))
    job = built.problem.jobs[first].job
    if first not in after:
        gain = say("{job} in time", job=job)
    elif gains[first] >= DAY:
        days = gains[first] // DAY
        gain = say_n("{job} {n} day sooner", "{job} {n} days sooner", days, job=job)
    else:
        gain = say("{job} {span} sooner", job=job, span=say_span(timedelta(minutes=gains[first])))
    others = len(helped) - 1
    more = say_n("and {n} other job sooner", "and {n} other jobs sooner", others) if others else ""
    return say("{change} ({gain})", change=change.words, gain=join([gain, more], ", "))
