"""Say which unit holds a late job up, and what that unit waits for."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from kiosk.rules.dayplan.model import Chain, Minute, Span
from kiosk.rules.dayplan.outline import merged
from kiosk.rules.dayplan.sitework import LOAD
from kiosk.rules.dayplan.whynow import Telling, at_minute, waited
from kiosk.rules.words import _, say


@dataclass(frozen=True, slots=True)
class HeldUp:
    """The unit all else of a job waits for, why in words, and how many more are ready that day."""

    unit: str
    why: str
    others: int = 0


@dataclass(frozen=True, slots=True)
class _Gap:
    """A stretch in which a chain waits for its work; at the end of the chain work is its length."""

    starts: Minute
    ends: Minute
    work: int


def held_up(telling: Telling, job: int) -> HeldUp | None:
    """Return what holds a job up; None where nothing of a unit is in the way.

    From what is finished last it goes back along what that waited for, such as the load, to the
    unit that was ready last; of this it tells the wait that costs most of people's hours. job has
    steps in the plan.
    """
    path = telling.slack.last_chains(job)
    last = path[-1]
    if telling.slack.is_unit(last):
        return HeldUp(telling.unit(last), _why(telling, last), _others(telling, job, last))
    resting = _resting(telling, job, last)
    if resting is not None:
        words, unit = resting
        return HeldUp(telling.unit(unit), words, _others(telling, job, unit))
    units = [chain for chain in path if telling.slack.is_unit(chain)]
    return HeldUp(telling.unit(units[-1]), _why(telling, last)) if units else None


def _resting(telling: Telling, job: int, last: int) -> tuple[str, int] | None:
    """Return in words until when a unit rests already that a load waits for, and which it is."""
    first = telling.outline.problem.chains[last].works[0]
    if first.step != LOAD or first.earliest is None:
        return None
    for index, chain in _units(telling, job):
        if chain.works[0].earliest == first.earliest:
            return _rests_until(telling, first.earliest), index
    return None


def _others(telling: Telling, job: int, last: int) -> int:
    """Return how many more units can be loaded on the day the last one can.

    Where nothing is loaded any more they are those that are up on the same day.
    """
    outline, names = telling.outline, telling.built.names
    firsts = [
        chain.works[0] for chain in outline.problem.chains if chain.job == job and chain.works
    ]
    loads = [work for work in firsts if work.step == LOAD]
    loaded = {one for work in loads for one in work.after}
    ready: dict[tuple[str, str], Minute] = {}
    for index, chain in _units(telling, job):
        ends = [chain.works[0].earliest]
        if not loads or index in (*loaded, last):
            ends.append(outline.finish(index))
        key = names[index].key
        ready[key] = max(ready.get(key, 0), *(one or 0 for one in ends))
    day = _day(telling, ready[names[last].key])
    return sum(_day(telling, minute) == day for minute in ready.values()) - 1


def _units(telling: Telling, job: int) -> Iterator[tuple[int, Chain]]:
    """Yield the chains of a job's units that have work left, with their numbers."""
    for index, chain in enumerate(telling.outline.problem.chains):
        if chain.job == job and chain.works and telling.slack.is_unit(index):
            yield index, chain


def _day(telling: Telling, minute: Minute) -> date:
    return at_minute(minute).astimezone(telling.zone).date()


def _rests_until(telling: Telling, minute: Minute) -> str:
    return say("rests until {time}", time=telling.time(minute))


def _why(telling: Telling, chain: int) -> str:
    """Return what a chain waits for longest, counted in the hours somebody works."""
    outline = telling.outline
    hours = merged([span for worker in outline.problem.people for span in worker.spans])
    gaps = sorted(
        _gaps(telling, chain),
        key=lambda one: (_worked(hours, one.starts, one.ends), one.ends - one.starts),
    )
    if not gaps:  # it goes on without a stop
        last = len(outline.problem.chains[chain].works) - 1
        ends = telling.time(outline.at[chain, last].ends)
        return say("{step} until {time}", step=telling.built.names[chain].titles[last], time=ends)
    gap = gaps[-1]
    rest = _rest(telling, chain, gap)
    if rest is not None:
        words, until = rest
        if 2 * _worked(hours, gap.starts, until) >= _worked(hours, gap.starts, gap.ends):
            return words
    return _begins(telling, chain, gap.work)


def _gaps(telling: Telling, chain: int) -> Iterator[_Gap]:
    """Yield when a chain waits from now on, its last rest included."""
    outline = telling.outline
    since, count = outline.problem.now, len(outline.problem.chains[chain].works)
    for work in range(count):
        placed = outline.at[chain, work]
        if placed.starts > since:
            yield _Gap(since, placed.starts, work)
        since = placed.ends
    finish = outline.finish(chain)
    if finish is not None and finish > since:
        yield _Gap(since, finish, count)


def _worked(hours: Sequence[Span], starts: Minute, ends: Minute) -> int:
    """Return how many minutes of a stretch somebody works."""
    return sum(max(0, min(one.ends, ends) - max(one.starts, starts)) for one in hours)


def _rest(telling: Telling, chain: int, gap: _Gap) -> tuple[str, Minute] | None:
    """Return the rest that ends last in a gap, in words, and when; None where none does."""
    outline, titles = telling.outline, telling.built.names[chain].titles
    works = outline.problem.chains[chain].works
    is_last = gap.work == len(works)
    lags = outline.problem.chains[chain].ends if is_last else works[gap.work].waits
    ends = [
        (outline.at[chain, lag.work].ends + lag.minutes, titles[lag.work])
        for lag in lags
        if (chain, lag.work) in outline.at
    ]
    rests: list[tuple[Minute, str]] = [
        (until, say("{step} rests until {time}", step=step, time=telling.time(until)))
        for until, step in ends
        if gap.starts < until <= gap.ends
    ]
    earliest = None if is_last else works[gap.work].earliest
    if earliest is not None and gap.starts < earliest and telling.slack.is_unit(chain):
        rests.append((earliest, _rests_until(telling, earliest)))
    return max(((words, until) for until, words in rests), key=lambda one: one[1], default=None)


def _begins(telling: Telling, chain: int, work: int) -> str:
    """Return when a step begins that waited, and what for; a time is said once."""
    placed, step = telling.outline.at[chain, work], telling.built.names[chain].titles[work]
    time, made = telling.time(placed.starts), telling.outline.problem.chains[chain].works[work]
    if made.step == LOAD and made.earliest == placed.starts:
        return _("nothing is loaded before the hang day")
    found = sorted(waited(telling, placed), key=lambda one: one[0])
    if not found:
        return say("{step} begins {time}", step=step, time=time)
    words = found[0][1]
    if time in words:
        return say("{step} waits: {why}", step=step, why=words)
    return say("{step} begins {time}: {why}", step=step, time=time, why=words)
