"""Read back a plan people work by from the body of an entry.

A body that is not understood is passed over: planning then begins anew, and nothing is lost but the
order of the work.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from itertools import accumulate
from typing import Any, Final, TypeAlias

from kiosk.rules.dayplan.built import Built, ChainNames, Passed, StepName
from kiosk.rules.dayplan.model import (
    Bench,
    Chain,
    Due,
    Minute,
    Placed,
    Plan,
    Problem,
    Store,
    Work,
    Worker,
)
from kiosk.rules.dayplan.planbody import VERSION, first_numbers
from kiosk.rules.entries import LATEST_MS

LATEST: Final = LATEST_MS // 60_000  # the last minute that is one of a shop
LONGEST: Final = 10**6  # minutes, about two years: no span of a plan is longer (choice)
A_DAY: Final = 24 * 60  # minutes; a step goes on for no longer, and waits no sixty of them (choice)

StaffAt: TypeAlias = Callable[[Minute], Sequence[Worker]]


def parse_body(body: Mapping[str, Any], *, hours: str, staff: StaffAt) -> tuple[Built, Plan] | None:
    """Return a written plan and what is known of its problem; None where it is not understood.

    What no follow-up needs is left out of the problem: rests, holds, stations, and the minutes of
    steps without a time. Where people or hours have changed, everybody has no hours at all, which
    is news enough to plan anew.

    Args:
        body: whatever stands in the log.
        hours: as `sign_hours` gives them for who works now.
        staff: gives who works from a minute on, by the hours of now.
    """
    try:
        if body["version"] != VERSION:
            return None
        return _Reader(body).read(hours, staff)
    except (LookupError, OverflowError, TypeError, ValueError):
        return None


class _Reader:
    """Reads one body; whatever is not as written raises, for the caller to pass it over."""

    def __init__(self, body: Mapping[str, Any]) -> None:
        self.body = body
        self.minute = _whole(body["minute"], least=0, most=LATEST)
        self.names = [_text(one) for one in _rows(body["people"])]
        steps = [_text(one) for one in _rows(body["steps"])]
        tracks = [
            [steps[_index(one, steps)] for one in _rows(track)] for track in _rows(body["tracks"])
        ]
        jobs = _rows(body["jobs"])
        self.chains: list[tuple[int, tuple[str, str], list[str]]] = [
            (_index(job, jobs), (_text(code), _text(unit)), tracks[_index(track, tracks)])
            for job, code, *units in _rows(body["chains"])
            for unit, track in zip(units[::2], units[1::2], strict=True)
        ]
        if not all(track for _job, _key, track in self.chains):
            raise ValueError("a chain without steps")
        self.firsts = first_numbers(len(track) for _job, _key, track in self.chains)
        self.places = [
            (index, number)
            for index, (_job, _key, track) in enumerate(self.chains)
            for number in range(len(track))
        ]

    def read(self, hours: str, staff: StaffAt) -> tuple[Built, Plan]:
        works = self._works()
        placed = tuple(sorted(self._placed(), key=lambda one: (one.starts, one.chain)))
        chains = tuple(
            Chain(job, key[1], tuple(works[first : first + len(track)]))
            for (job, key, track), first in zip(self.chains, self.firsts[:-1], strict=True)
        )
        names = tuple(
            ChainNames(key, key[1], "", tuple(track), ("",) * len(track))
            for _job, key, track in self.chains
        )
        problem = Problem(
            self.minute,
            self._people(hours, staff),
            tuple(Bench(_text(one), _whole(n)) for one, n in _rows(self.body["benches"])),
            tuple(Store(_text(one), _whole(n)) for one, n in _rows(self.body["stores"])),
            tuple(self._jobs()),
            chains,
        )
        built = Built(problem, names, over=dict(self._over()))
        return built, Plan(placed, 0.0, self._keys(), dict(self._delays()))

    def _people(self, hours: str, staff: StaffAt) -> tuple[Worker, ...]:
        is_same = self.body["hours"] == hours
        there = {one.name: one for one in (staff(self.minute) if is_same else ())}
        return tuple(there.get(name, Worker(name, ())) for name in self.names)

    def _jobs(self) -> Iterator[Due]:
        for job, due, weight in _rows(self.body["jobs"]):
            if type(weight) not in (int, float) or not 0 <= weight < float("inf"):
                raise ValueError("no weight")
            due_at = None if due is None else _whole(due, most=LATEST)
            yield Due(_text(job), due_at, float(weight))

    def _works(self) -> list[Work]:
        """Return all steps; those that were placed have their minutes further on."""
        works = [Work(step, "", 1) for _job, _key, track in self.chains for step in track]
        more = {}
        for number, minutes, extra, closes, _placed in _rows(self.body["works"]):
            at = None if closes is None else self.minute + _whole(closes, least=-LONGEST)
            more[_index(number, works)] = (_whole(minutes, least=1), _whole(extra), at)
        after = {
            _index(number, works): tuple(_index(one, self.chains) for one in others)
            for number, *others in _rows(self.body["after"])
        }
        for _people, number, _starts, long in self._timed():
            minutes, extra, at = more.get(number, (max(1, long), 0, None))
            works[number] = Work(
                works[number].step, "", minutes, extra=extra, closes_at=at,
                after=after.get(number, ()),
            )  # fmt: skip
        return works

    def _placed(self) -> Iterator[Placed]:
        extras = {row[0]: _whole(row[4]) for row in _rows(self.body["works"])}
        for people, number, starts, long in self._timed():
            index, work = self.places[number]
            yield Placed(index, work, starts, starts + long, people, extras.get(number, 0))

    def _timed(self) -> Iterator[tuple[tuple[int, ...], int, Minute, int]]:
        """Yield the steps that have a time: who does them, their number, start and minutes."""
        for crew, row in _rows(self.body["placed"]):
            people = tuple(_index(who, self.names) for who in _rows(crew))
            if len(set(people)) != len(people):
                raise ValueError("somebody twice")
            at, rest = self.minute, _rows(row)
            for number, gap, long in zip(rest[::3], rest[1::3], rest[2::3], strict=True):
                starts = at + _whole(gap, least=-LONGEST)
                at = starts + _whole(long, most=A_DAY)
                yield people, _index(number, self.places), starts, at - starts

    def _keys(self) -> tuple[tuple[float, ...], ...]:
        """Return priorities: the place of each step in the order."""
        apart = [_whole(one, least=-LONGEST) for one in _rows(self.body["order"])]
        order = [_index(one, self.places) for one in accumulate(apart)]
        ranks = {number: float(rank) for rank, number in enumerate(order)}
        if len(ranks) != len(self.places) or len(order) != len(ranks):
            raise ValueError("an order that leaves out steps, or has one twice")
        return tuple(
            tuple(ranks[first + n] for n in range(len(track)))
            for (_job, _key, track), first in zip(self.chains, self.firsts[:-1], strict=True)
        )

    def _delays(self) -> Iterator[tuple[tuple[int, int], Minute]]:
        for number, later in _rows(self.body["delays"]):
            at = self.minute + _whole(later, least=-LONGEST, most=60 * A_DAY)
            yield self.places[_index(number, self.places)], at

    def _over(self) -> Iterator[tuple[StepName, Passed]]:
        for job, unit, step, minutes, ago in _rows(self.body["over"]):
            name = (_text(job), _text(unit), _text(step))
            yield name, Passed(_whole(minutes), self.minute - _whole(ago, least=-LONGEST))


def _rows(value: object) -> list[Any]:
    if not isinstance(value, list):
        raise TypeError("no list")
    return value


def _text(value: object) -> str:
    if not isinstance(value, str):
        raise TypeError("no text")
    return value


def _whole(value: object, *, least: int = 0, most: int = LONGEST) -> int:
    if type(value) is not int or not least <= value <= most:
        raise ValueError("no whole number, or one out of its range")
    return value


def _index(value: object, of: Sequence[Any]) -> int:
    return _whole(value, most=len(of) - 1)
