"""Join what is done at a site into visits, each with the way there and back."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace

from kiosk.rules.dayplan.left import Drafted
from kiosk.rules.dayplan.model import Lag, Minute, Work
from kiosk.rules.words import join

Ways = list[tuple[int, int]]  # minutes there and back, by visit


@dataclass(slots=True)
class _Visit:
    """Steps done one after the other at a site, by index, and when each ends after the first."""

    works: list[int]
    ends: dict[int, int] = field(default_factory=dict)
    lasts: int = 0


def join_visits(
    made: Drafted, ends: Iterable[Lag], *, way: int, longest: int, is_there: bool
) -> tuple[Drafted, tuple[Lag, ...]]:
    """Return works at a site as visits, so that nobody is there and in the shop at once.

    A rest no longer than the way there and back is waited out at the site, where the visit still
    fits a usual stretch of work; any other begins a new visit.

    Args:
        made: the works of a chain at a site, in order.
        ends: the rests after which the chain is finished.
        way: minutes of one way.
        longest: minutes of a usual stretch of work.
        is_there: somebody is at the site already, so that the first way there is made.
    """
    visits: list[_Visit] = []
    for index, work in enumerate(made.works):
        starts = _goes_on(visits[-1], work, 2 * way) if visits else None
        if starts is None or 2 * way + starts + work.room > longest:
            visits.append(_Visit([]))
            starts = 0
        visit = visits[-1]
        visit.works.append(index)
        visit.lasts = visit.ends[index] = starts + work.minutes
    ways: Ways = [(0 if is_there and not n else way, way) for n in range(len(visits))]
    joined = [_joined(made, visits, n, ways) for n in range(len(visits))]
    of = {index: n for n, visit in enumerate(visits) for index in visit.works}
    titles: list[str] = [
        join([made.titles[index] for index in visit.works], ", ") for visit in visits
    ]
    cautions: list[str] = [
        join(list(dict.fromkeys(filter(None, (made.cautions[index] for index in visit.works)))))
        for visit in visits
    ]
    after = tuple(_told(lag, visits, 0, ways) for lag in ends)
    by_step = {step: of[index] for step, index in made.ends.items()}
    drafted = replace(made, works=joined, titles=titles, cautions=cautions, ends=by_step)
    return drafted, after


def _goes_on(visit: _Visit, work: Work, most: int) -> int | None:
    """Return when a work begins in a visit, None where it needs another one."""
    if work.earliest is not None or work.closes or work.closes_at is not None or work.after:
        return None
    rests = [visit.ends[lag.work] + lag.minutes for lag in work.waits if lag.work in visit.ends]
    starts = max([visit.lasts, *rests])
    return None if starts - visit.lasts > most else starts


def _joined(made: Drafted, visits: list[_Visit], number: int, ways: Ways) -> Work:
    visit, (there, back) = visits[number], ways[number]
    works = [made.works[index] for index in visit.works]
    minutes = there + visit.lasts + back
    # what may last longer may do so in each of its steps
    slack = sum(work.room - work.minutes for work in works)
    return replace(
        works[0],
        minutes=minutes,
        fits=minutes + slack if any(work.fits for work in works) else 0,
        crew=max(work.crew for work in works),
        waits=tuple(_told(lag, visits, there, ways) for lag in _from_before(works, visit)),
        closes=tuple(_told(lag, visits, there, ways) for lag in works[0].closes),
        earliest=_less(works[0].earliest, there),
        closes_at=_less(works[0].closes_at, there),
    )


def _less(minute: Minute | None, there: int) -> Minute | None:
    """Return when to leave so as to be there at a minute."""
    return None if minute is None else minute - there


def _from_before(works: list[Work], visit: _Visit) -> Iterator[Lag]:
    """Yield the rests from earlier visits that any of the works waits for."""
    for work in works:
        yield from (lag for lag in work.waits if lag.work not in visit.works)


def _told(lag: Lag, visits: list[_Visit], there: int, ways: Ways) -> Lag:
    """Return a lag between works as one between visits: from the end of the way back to the way."""
    number = next(n for n, visit in enumerate(visits) if lag.work in visit.works)
    before = visits[number]
    passed = before.lasts - before.ends[lag.work] + ways[number][1] + there
    return Lag(number, max(0, lag.minutes - passed))
