"""Say why a step of the plan is done now: what it serves, and what it had to wait for."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta, tzinfo
from typing import Final

from kiosk.rules.dayplan.built import Built
from kiosk.rules.dayplan.model import Minute, Placed, Span
from kiosk.rules.dayplan.outline import Outline, Stay
from kiosk.rules.dayplan.slack import Slack
from kiosk.rules.hangday import say_near
from kiosk.rules.times import say_span, say_time
from kiosk.rules.words import _, join, say

REASONS: Final = 2  # as many as are read at one look; choice
NEAR: Final = 24 * 60  # minutes to spare below which a hang day is named; choice
WEAK: Final = 11  # the rank of reasons that tell little
LAST_CALL: Final = 2 * 60  # minutes before closing from which the night comes first; choice


@dataclass(frozen=True, slots=True)
class Telling:
    """What the reasons are made from: the plan seen from all sides, its names, and the day.

    closing is the minute at which work ends today, opening when it begins again, None where nobody
    is there again; slack is what the plan leaves until the hang days.
    """

    outline: Outline
    built: Built
    now: datetime
    zone: tzinfo
    closing: Minute
    opening: Minute | None
    slack: Slack

    def time(self, minute: Minute) -> str:
        """Return a minute as people say it."""
        return say_time(at_minute(minute), now=self.now, zone=self.zone)

    def runs_overnight(self, until: Minute | None) -> bool:
        """Tell whether a rest goes on past closing."""
        return until is not None and until > self.closing

    def day(self, day: date) -> str:
        """Return a day as people say it."""
        return say_near(day, self.now.astimezone(self.zone).date())

    def unit(self, chain: int) -> str:
        """Return what people call the unit of a chain."""
        return self.built.names[chain].unit

    def are_two_units(self, chain: int, other: int) -> bool:
        """Tell whether chains are of two units: not of one in shop and on site, nor a load."""
        key, other_key = self.built.names[chain].key, self.built.names[other].key
        return bool(key[1] and other_key[1]) and key != other_key


def at_minute(minute: Minute) -> datetime:
    """Return a minute of the plan as a time."""
    return datetime.fromtimestamp(minute * 60, UTC)


def say_why(telling: Telling, placed: Placed) -> str:
    """Return why a step is done when it is, the most telling reason first.

    First come slots it waited for, then what it serves: a window, the night, slots others wait
    for, the hang day, what hangs on it. Then what else it waited for. That somebody has hands free
    tells little, and is said where there is nothing else. Of a step under way what it serves goes
    on to count; what it waited for lies before the plan.
    """
    is_pinned = placed.chain in telling.outline.pinned and placed.work == 0
    if is_pinned and placed.starts <= telling.outline.problem.now:
        served = sorted(_served(telling, placed), key=lambda one: one[0])
        return join([_("under way"), *(words for _rank, words in served[:1])], "; ")
    found = [*_served(telling, placed), *waited(telling, placed)]
    found.sort(key=lambda one: one[0])
    telling_ones = dict.fromkeys(words for rank, words in found if rank < WEAK)
    if telling_ones:
        return join(list(telling_ones)[:REASONS], "; ")
    return _for_day(telling, placed) or (found[0][1] if found else _("nothing else is pressing"))


# -- what it serves ------------------------------------------------------------------------------


def _served(telling: Telling, placed: Placed) -> Iterator[tuple[int, str]]:
    """Yield what a step serves, each with its rank."""
    closes = telling.outline.closes(placed)
    # a window that is still open tomorrow presses nobody today
    ahead = telling.closing if telling.opening is None else telling.opening
    if closes is not None and not placed.extra and placed.starts <= closes <= ahead:
        yield 1, say("window closes {time}", time=telling.time(closes))
    until = telling.outline.rests_until(placed)
    if telling.runs_overnight(until) and placed.starts < telling.closing:
        # in the morning there is still time for it, so that other reasons tell more
        is_last_call = placed.starts >= telling.closing - LAST_CALL
        yield 2 if is_last_call else 10, _over_night(telling)
    for stay, waiting in _freed(telling.outline, placed):
        unit = telling.unit(waiting)
        yield 3, say("frees {place} for {unit}", place=stay.place, unit=unit)
    hang_day = _hang_day(telling, placed)
    if hang_day:
        yield 4, hang_day
    above = [
        telling.unit(index)
        for index, chain in enumerate(telling.outline.problem.chains)
        if telling.are_two_units(index, placed.chain)
        and any(placed.chain in work.after for work in chain.works)
    ]
    if above:
        units = join(list(dict.fromkeys(above))[:3], ", ")
        yield 5, say("must be up before {units}", units=units)


def _over_night(telling: Telling) -> str:
    """Return that a rest runs overnight, or over more than one night."""
    if telling.opening is None:
        return _("starts a rest that runs on after closing")
    here = telling.now.astimezone(telling.zone).date()
    again = at_minute(telling.opening).astimezone(telling.zone).date()
    days = [here + timedelta(days=n) for n in range(1, (again - here).days)]
    if not days:
        return _("starts a rest that runs overnight")
    if any(day.weekday() >= 5 for day in days):
        return _("starts a rest that runs over the weekend")
    return say("starts a rest that runs until {day}", day=telling.day(again))


def _freed(outline: Outline, placed: Placed) -> Iterator[tuple[Stay, int]]:
    """Yield the stays a step ends, each with the chain that takes those slots at once."""
    for stay in outline.stays:
        if stay.chain != placed.chain or stay.freed_by != placed.work:
            continue
        for other in outline.stays:
            if (
                other.place == stay.place
                and other.starts == stay.ends
                and other.chain != stay.chain
                and _lacked(outline, other)
            ):
                yield stay, other.chain
                break


def _lacked(outline: Outline, stay: Stay) -> bool:
    """Tell whether others left no room for a stay a minute before it began."""
    slots = outline.slots(stay.place)
    if slots is None:
        return False
    return outline.taken(stay.place, stay.starts - 1, without=stay.chain) + stay.slots > slots


def _hang_day(telling: Telling, placed: Placed) -> str:
    """Return what this unit leaves until a near hang day, or that it makes its job late."""
    problem = telling.outline.problem
    day = telling.built.hang_days.get(problem.jobs[problem.chains[placed.chain].job].job)
    if day is None:
        return ""
    if telling.slack.makes_late(placed.chain):
        return say("hang day {day} cannot hold: no waiting", day=telling.day(day))
    spare = telling.slack.spare(placed.chain)
    if spare is None or spare >= NEAR:
        return ""
    left = say_span(timedelta(minutes=spare))
    return say("hang day {day}: {left} to spare", day=telling.day(day), left=left)


# -- what it waited for --------------------------------------------------------------------------


def waited(telling: Telling, placed: Placed) -> Iterator[tuple[int, str]]:
    """Yield what ended at the minute a step starts, each with its rank."""
    outline, starts = telling.outline, placed.starts
    work = outline.problem.chains[placed.chain].works[placed.work]
    when = telling.time(starts)
    own = (one for one in outline.stays if (one.chain, one.work) == (placed.chain, placed.work))
    if any(_lacked(outline, stay) for stay in own):
        assert work.hold is not None
        yield 0, say("{place} free at {time}", place=work.hold.place, time=when)
    yield from _rested(telling, placed)
    for index in work.after:
        if outline.finish(index) != starts:
            continue
        if telling.are_two_units(index, placed.chain):
            yield 7, say("after {unit} is up", unit=telling.unit(index))
        else:
            yield 7, say("after {what}", what=telling.unit(index))
    if _bench_was_full(outline, placed, work.station):
        yield 8, say("bench free at {time}", time=when)
    for number in placed.people:
        worker = outline.problem.people[number]
        if any(_is_busy_until(one, number, starts) for one in outline.plan.placed):
            yield WEAK, say("{person} is free then", person=worker.name)
        elif starts > outline.problem.now and _is_back(worker.spans, starts):
            yield WEAK, say("{person} is there from {time}", person=worker.name, time=when)


def _rested(telling: Telling, placed: Placed) -> Iterator[tuple[int, str]]:
    """Yield the rest that ended when the step starts."""
    outline, names = telling.outline, telling.built.names[placed.chain]
    work = outline.problem.chains[placed.chain].works[placed.work]
    time = telling.time(placed.starts)
    for lag in work.waits:
        before = outline.at.get((placed.chain, lag.work))
        if before is not None and lag.minutes and before.ends + lag.minutes == placed.starts:
            step = names.titles[lag.work]
            yield 6, say("rest after {step} is over at {time}", step=step, time=time)
    # a load or a way rests for nothing: it waits for its day, or for a wall
    if names.key[1] and work.earliest is not None and work.earliest == placed.starts:
        yield 6, say("its rest is over at {time}", time=time)


def _bench_was_full(outline: Outline, placed: Placed, station: str) -> bool:
    """Tell whether others had every bench of a station until just now; a site has none.

    Who goes on from a step of their own had a bench all the time.
    """
    count = next((one.count for one in outline.problem.benches if one.station == station), None)
    if count is None or station == "install":
        return False
    before = placed.starts - 1
    chains = outline.problem.chains
    there = [
        one
        for one in outline.plan.placed
        if chains[one.chain].works[one.work].station == station and one.starts <= before < one.ends
    ]
    is_own = any(set(one.people) & set(placed.people) for one in there)
    return len(there) >= count and not is_own


def _is_busy_until(one: Placed, person: int, minute: Minute) -> bool:
    return person in one.people and one.ends == minute


def _is_back(spans: tuple[Span, ...], minute: Minute) -> bool:
    return any(span.starts == minute for span in spans)


def _for_day(telling: Telling, placed: Placed) -> str:
    """Return the hang day a step serves that nothing presses; empty where the job has none."""
    job = telling.outline.problem.jobs[telling.outline.problem.chains[placed.chain].job].job
    day = telling.built.hang_days.get(job)
    if day is None:
        return ""
    return say("for hang day {day}", day=telling.day(day))
