"""Kiosks and a server in memory, apart and together: the project's own fold, order and time.

A replica keeps what arrived, as it arrived: in any order, several times, with the server's stamp
or without. What it makes of that is asked of the rules. `Ways` says how; each mutant has one wrong.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace

from hypothesis import HealthCheck, Phase, seed, settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    get_state_machine_test,
    invariant,
    rule,
)

from db.hybrid import Hybrid, horizon, next_time
from kiosk.rules.asked import effects
from kiosk.rules.entries import STRIKABLE, Entry, Kind, to_ms
from kiosk.rules.fold import fold_unit
from kiosk.rules.jobfold import fold_job
from kiosk.rules.jobquestions import job_questions
from kiosk.rules.parts import as_body
from kiosk.rules.questions import questions
from tests.builders import SETUP, ZONE, a_unit, at

UNITS = ("S1", "S2")
LISTS = ("AB", "B", "ABC")
OFFICE = (*LISTS, "gone", "two", "set", "close")
STEPS = ("glue-up", "coat-1", "coat-2", "hang")
PEOPLE = ("Ida", "Ivo")
LETTERS = ("K", "M", "N")
HOUR_MS = 3_600_000
JUMPS_MS = (0, -2 * HOUR_MS, 90_000, HOUR_MS, 115 * 24 * HOUR_MS)
SPANS_MS = (1, 40_000, 5 * 60_000, 3 * HOUR_MS)
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


def machine_of(ways: Ways) -> type[RuleBasedStateMachine]:
    """Return the shop whose kiosks work in one of the ways."""
    kiosks, units = st.sampled_from(range(len(LETTERS))), st.sampled_from(UNITS)
    people, steps = st.sampled_from(PEOPLE), st.sampled_from(STEPS)
    pauses = st.sampled_from((0, 0, 1))

    class Apart(RuleBasedStateMachine):
        def __init__(self) -> None:
            super().__init__()
            self.now_ms = START_MS
            self.kiosks = [Replica(letter, ways) for letter in LETTERS]
            self.server: dict[str, Entry] = {}
            first = self.kiosks[0]
            first.write(Kind.JOB_OPENED, "", {"name": "Glaze store"}, "Ida")
            first.write(Kind.LIST_TAKEN, "", {"revised": False}, "Ida")
            for unit in UNITS:
                first.write(Kind.UNIT_TAKEN, unit, as_body(a_unit(unit)), "Ida")
            self.synchronise()

        # -- what people do ----------------------------------------------------------------------

        @rule(kiosk=kiosks, unit=units, step=steps, person=people, pause=pauses)
        def scan(self, kiosk: int, unit: str, step: str, person: str, pause: int) -> None:
            self.time_passes(pause)
            self.kiosks[kiosk].write(Kind.STEP_DONE, unit, {"step": step}, person)

        @rule(kiosk=kiosks, unit=units, step=steps, pause=pauses)
        def scan_at_two(self, kiosk: int, unit: str, step: str, pause: int) -> None:
            self.scan(kiosk, unit, step, PEOPLE[0], 0)
            self.scan(kiosk - 1, unit, step, PEOPLE[1], pause)

        @rule(kiosk=kiosks, unit=units, part=st.sampled_from("ABCR"), person=people)
        def cut(self, kiosk: int, unit: str, part: str, person: str) -> None:
            body = {"step": "cut", "part": part}
            self.kiosks[kiosk].write(Kind.STEP_DONE, unit, body, person)

        @rule(kiosk=kiosks, unit=units, step=steps, data=st.data())
        def undo(self, kiosk: int, unit: str, step: str, data: st.DataObject) -> None:
            here = self.kiosks[kiosk]
            here.write(Kind.STEP_DONE, unit, {"step": step}, "Ida")
            known = [one for one in here.arrived if one.kind in STRIKABLE]
            target = data.draw(st.sampled_from(known[-4:]))
            here.write(Kind.STRUCK, target.unit, {"target": target.id}, "Ida")

        @rule(kiosk=kiosks, unit=units, what=st.sampled_from(("hold", "lift", "spoil")))
        def trouble(self, kiosk: int, unit: str, what: str) -> None:
            here = self.kiosks[kiosk]
            holds = [one for one in here.arrived if one.kind == Kind.HOLD_PUT and one.unit == unit]
            if what == "spoil":
                body = {"part": "A", "recut": "R" if here.letter == "K" else f"R{here.letter}"}
                here.write(Kind.PART_SPOILED, unit, body, "Ivo")
            elif what == "hold" or not holds:
                here.write(Kind.HOLD_PUT, unit, {"reason": "wet wood"}, "Ida")
            else:
                here.write(Kind.HOLD_LIFTED, unit, {"target": holds[-1].id}, "Ivo")

        @rule(
            kiosk=kiosks, unit=units, what=st.sampled_from((*LISTS, "gone", "two", "set", "close"))
        )
        def office(self, kiosk: int, unit: str, what: str) -> None:
            here = self.kiosks[kiosk]
            if what in LISTS:
                here.write(Kind.UNIT_TAKEN, unit, as_body(a_unit(unit, parts=what)), "Ida")
            elif what == "gone":
                here.write(Kind.UNIT_GONE, unit, {}, "Ida")
            elif what == "two":
                here.write(Kind.LIST_TAKEN, "", {"revised": False}, "Ivo")
                here.write(Kind.UNIT_TAKEN, "S2", as_body(a_unit("S2", parts="BC")), "Ivo")
            else:
                kind = Kind.JOB_CLOSED if what == "close" else Kind.JOB_OPENED
                here.write(kind, "", {"name": "Glaze store"}, "Ida")

        @rule(kiosk=kiosks, data=st.data())
        def answer(self, kiosk: int, data: st.DataObject) -> None:
            here = self.kiosks[kiosk]
            asked = here.questions()
            if asked:
                question = data.draw(st.sampled_from(asked))
                reply = data.draw(st.sampled_from(question.replies))
                key = f"{here.letter}-answer-{here.seq}"
                for deed in effects(question, reply, answer=key, at_ms=here.now_ms):
                    more = {"id": key} if deed.kind == Kind.QUESTION_ANSWERED else {}
                    person = deed.person or "Ida"
                    here.write(deed.kind, deed.unit, dict(deed.body), person, **more)

        # -- what time and machines do -------------------------------------------------------------

        @rule(kiosk=kiosks, jump=st.sampled_from(JUMPS_MS), span=st.sampled_from(SPANS_MS))
        def clocks(self, kiosk: int, jump: int, span: int) -> None:
            self.time_passes(span)
            self.kiosks[kiosk].ahead_ms = jump

        @rule(kiosk=kiosks, span=st.sampled_from(SPANS_MS))
        def crash(self, kiosk: int, span: int) -> None:
            self.time_passes(span)
            self.kiosks[kiosk].crash()

        def time_passes(self, span: int) -> None:
            self.now_ms += span
            for one in self.kiosks:
                one.now_ms = self.now_ms

        @rule(kiosk=kiosks, share=st.integers(1, 6), mix=st.randoms(), is_heard=st.booleans())
        def push(self, kiosk: int, share: int, mix: object, is_heard: bool) -> None:
            here = self.kiosks[kiosk]
            batch = [one for one in here.own() if one.id not in here.sent][:share]
            mix.shuffle(batch)
            for one in batch:
                self.server.setdefault(one.id, replace(one, received_ms=self.now_ms))
            if is_heard:
                here.sent |= {one.id for one in batch}

        @rule(kiosk=kiosks, share=st.integers(1, 12), mix=st.randoms())
        def pull(self, kiosk: int, share: int, mix: object) -> None:
            here = self.kiosks[kiosk]
            known = {one.id for one in here.arrived}
            fresh = [one for one in self.server.values() if one.id not in known]
            again = list(self.server.values())
            for some in (fresh, again):
                mix.shuffle(some)
            batch = fresh[:share] + again[:3]
            mix.shuffle(batch)
            here.take(batch)

        def synchronise(self) -> None:
            for here in self.kiosks:
                for one in here.own():
                    self.server.setdefault(one.id, replace(one, received_ms=self.now_ms))
                here.sent = {one.id for one in here.own()}
            for here in self.kiosks:
                here.take(list(self.server.values()))

        # -- what must hold ------------------------------------------------------------------------

        @invariant()
        def who_holds_the_same_sees_the_same(self) -> None:
            for here, there in ((0, 1), (1, 2)):
                one, other = self.kiosks[here], self.kiosks[there]
                if one.ids() == other.ids():
                    assert one.view() == other.view(), "two kiosks with one log differ"

        def teardown(self) -> None:
            self.synchronise()
            oracle = view(ways.read(list(self.server.values())))
            for here in self.kiosks:
                assert here.view() == oracle, "a kiosk differs from the server"
                stamped = [self.server[one.id] for one in here.own()]
                in_order = sorted(stamped, key=ways.order)
                assert in_order == stamped, "a kiosk's entries are not in its own order"

    return Apart


def run(ways: Ways, *, examples: int, steps: int, number: int, shrinks: bool = False) -> None:
    """Let kiosks that work in one of the ways run apart; an AssertionError says what broke."""
    phases = (Phase.generate, Phase.shrink) if shrinks else (Phase.generate,)
    given = settings(
        max_examples=examples,
        stateful_step_count=steps,
        phases=phases,
        deadline=None,
        database=None,
        suppress_health_check=list(HealthCheck),
        report_multiple_bugs=False,
    )
    seed(number)(get_state_machine_test(machine_of(ways), settings=given))()
