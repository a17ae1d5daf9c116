"""Kiosks and a server in memory, apart and together: the project's own fold, order and time.

A replica keeps what arrived, as it arrived: in any order, several times, with the server's stamp
or without. What it makes of that is asked of the rules. `Ways` says how; each mutant has one wrong.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace

from db.hybrid import Hybrid, horizon, next_time
from kiosk.rules.entries import Entry, Kind, to_ms
from kiosk.rules.fold import fold_unit
from kiosk.rules.jobfold import fold_job
from kiosk.rules.jobquestions import job_questions
from kiosk.rules.questions import questions
from tests.builders import SETUP, ZONE, at

UNITS = ("S1", "S2")
START_MS = to_ms(at("08:00"))
ASKED_AT = at("w4 Sun 12:00")  # how times are said must not differ between the replicas

Arrived = Sequence[Entry]


@dataclass(frozen=True)
class Ways:
    """How a replica reads what arrived, tells the time, and takes stamps; `order` is the log's."""

    name: str = "as it is"
    read: Callable[[Arrived], Arrived] = list
    tick: Callable[..., Hybrid] = next_time
    adopts: bool = True
    order: Callable[[Entry], tuple] = lambda entry: entry.order


def _last_arrival_first(arrived: Arrived) -> Arrived:
    return [replace(one, l=-n, c=0, received_ms=None) for n, one in enumerate(arrived)]


def _strikes_of_what_is_there(arrived: Arrived) -> Arrived:
    known: set[str] = set()
    dropped: set[str] = set()
    for one in arrived:
        if one.kind == Kind.STRUCK and one.id not in known and one.body["target"] not in known:
            dropped.add(one.id)
        known.add(one.id)
    return [one for one in arrived if one.id not in dropped]


def _each_copy_by_itself(arrived: Arrived) -> Arrived:
    copies: dict[str, int] = {}
    found = []
    for one in arrived:
        copies[one.id] = n = copies.get(one.id, 0) + 1
        found.append(one if n == 1 else replace(one, id=f"{one.id} again {n}"))
    return found


def _ties_by_arrival(arrived: Arrived) -> Arrived:
    return [replace(one, kiosk="", seq=n) for n, one in enumerate(arrived)]


def _clock_alone(own: Hybrid, seen: Hybrid, *, wall_ms: int) -> Hybrid:
    return (wall_ms, own[1] + 1)


def _own_time_forgotten(entry: Entry) -> tuple:
    time, _own, *rest = entry.order
    return (time, *rest)


MUTANTS = (
    Ways("the last arrival wins", read=_last_arrival_first),
    Ways("a strike before its target is dropped", read=_strikes_of_what_is_there),
    Ways("doubles are not removed", read=_each_copy_by_itself),
    Ways("ties are broken by arrival", read=_ties_by_arrival),
    Ways("time follows a clock that jumps back", tick=_clock_alone),
    Ways("the server's stamp is not taken over", adopts=False),
    Ways("what is cut back loses its kiosk's order", order=_own_time_forgotten),
)


@dataclass
class Replica:
    """One kiosk: what arrived, which of its own the server has, its clock's error, its memory."""

    letter: str
    ways: Ways
    arrived: list[Entry] = field(default_factory=list)
    sent: set[str] = field(default_factory=set)
    ahead_ms: int = 0
    seq: int = 0
    last: Hybrid = (0, 0)

    def crash(self) -> None:
        """Start again with nothing but the log."""
        own = [one for one in self.arrived if one.kiosk == self.letter]
        self.seq = max((one.seq for one in own), default=0)
        self.last = max(((one.l, one.c) for one in own), default=(0, 0))
        self.sent = {one.id for one in own if one.received_ms is not None}

    def own(self) -> list[Entry]:
        """Return its own entries once each, in its sequence."""
        found = {one.id: one for one in self.arrived if one.kiosk == self.letter}
        return sorted(found.values(), key=lambda one: one.seq)

    def write(self, kind: str, job_unit: str, body: dict, person: str, **more: str) -> Entry:
        """Write an entry and check that all it has seen lies before it."""
        wall = self.now_ms + self.ahead_ms
        near = [(one.l, one.c) for one in self.arrived if one.l <= horizon(wall)]
        time, counter = self.ways.tick(self.last, max(near, default=(0, 0)), wall_ms=wall)
        assert (time, counter) > self.last, "time ran backwards"
        assert all((time, counter) > seen for seen in near), "an entry lies before what it saw"
        self.seq, self.last = self.seq + 1, (time, counter)
        given = {"id": f"{self.letter}-{self.seq}"} | more
        entry = Entry(
            kiosk=self.letter,
            seq=self.seq,
            l=time,
            c=counter,
            wall_ms=wall,
            person=person,
            kind=kind,
            job="GLAZE",
            unit=job_unit,
            body=body,
            **given,
        )
        self.arrived.append(entry)
        return entry

    now_ms: int = START_MS

    def take(self, entries: Arrived) -> None:
        """Take in what comes from the server."""
        known = {one.id for one in self.arrived}
        self.arrived += [one for one in entries if self.ways.adopts or one.id not in known]

    def ids(self) -> frozenset[tuple[str, int | None]]:
        """Return what it holds: entries, and whether their stamp is known."""
        best: dict[str, int | None] = {}
        for one in self.arrived:
            best[one.id] = best.get(one.id) or one.received_ms
        return frozenset(best.items())

    def view(self) -> object:
        """Return what its rules make of it: every unit, the job, and all that is asked."""
        return view(self.ways.read(self.arrived))

    def questions(self) -> list:
        """Return what it asks now."""
        _states, _job, asked = self.view()
        return asked


def view(entries: Arrived) -> tuple:
    """Return the states of units and job, and all questions."""
    states = [fold_unit(one for one in entries if one.unit == unit) for unit in UNITS]
    job = fold_job(entries)
    asked = list(job_questions(job, now=ASKED_AT, zone=ZONE)) if job else []
    for state in states:
        if state is not None:
            asked += questions(state, SETUP.steps(state.spec), now=ASKED_AT, zone=ZONE)
    return states, job, asked
