"""Tell whether the hours known ahead hold all the work, at every station and for every crew."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from itertools import pairwise
from typing import Final

from kiosk.rules.dayplan.model import Minute, Problem

# Work fills no more than this share of the hours known ahead, so that every step finds its place,
# as rests and the order of steps leave gaps (choice).
SHARE: Final = 0.4
BEYOND: Final = 60 * 24 * 60  # minutes of hours known past the last day anything waits for (choice)


def has_room(problem: Problem) -> bool:
    """Tell whether the hours known ahead hold the work with room to spare.

    The hours of all must hold all of it, those of who knows a station what is done there, and the
    minutes in which so many of them are there together what needs so many. Hours reach on past
    the last hang day, and past all that work waits for.
    """
    if not problem.chains:
        return True
    return _reach(problem) <= max(
        one.spans[-1].ends for one in problem.people if one.spans
    ) and all(asked <= SHARE * given for asked, given in _compared(problem))


def _reach(problem: Problem) -> Minute:
    works = [work for chain in problem.chains for work in chain.works]
    latest = [work.earliest for work in works if work.earliest is not None]
    latest += [problem.jobs[chain.job].due or 0 for chain in problem.chains]
    return max([problem.now, *latest]) + BEYOND


def _compared(problem: Problem) -> Iterator[tuple[int, int]]:
    """Yield pairs of minutes: what work asks for, and what the hours give."""
    asked: Counter[str] = Counter()
    crews: Counter[tuple[str, int]] = Counter()
    for chain in problem.chains:
        for work in chain.works:
            asked[work.station] += work.minutes * work.crew
            crews[work.station, work.crew] += work.minutes
    yield sum(asked.values()), _together(problem, "")
    for station, minutes in asked.items():
        yield minutes, _together(problem, station)
    for (station, crew), minutes in crews.items():
        if crew > 1:
            yield minutes, _together(problem, station, crew=crew)


def _together(problem: Problem, station: str, *, crew: int = 0) -> int:
    """Return in how many minutes so many are there who know a station; no crew: everybody's sum."""
    able = [one for one in problem.people if not station or one.can(station)]
    if not crew:
        return sum(span.ends - span.starts for one in able for span in one.spans)
    edges = sorted(
        edge for one in able for span in one.spans for edge in ((span.starts, 1), (span.ends, -1))
    )
    found = there = 0
    for (minute, step), (until, _next) in pairwise(edges):
        there += step
        found += until - minute if there >= crew else 0
    return found
