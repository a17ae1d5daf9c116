"""A shop whose kiosks are apart and together by turns: what people, time and machines do to it."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import HealthCheck, Phase, seed, settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    get_state_machine_test,
    invariant,
    rule,
)

from kiosk.rules.asked import effects
from kiosk.rules.entries import STRIKABLE, Entry, Kind
from kiosk.rules.parts import as_body
from tests.builders import a_unit
from tests.replicas import START_MS, UNITS, Replica, Ways, view

LISTS = ("AB", "B", "ABC")
OFFICE = (*LISTS, "gone", "two", "set", "close")
STEPS = ("glue-up", "coat-1", "coat-2", "hang")
PEOPLE = ("Ida", "Ivo")
LETTERS = ("K", "M", "N")
HOUR_MS = 3_600_000
JUMPS_MS = (0, -2 * HOUR_MS, 90_000, HOUR_MS, 115 * 24 * HOUR_MS)
SPANS_MS = (1, 40_000, 5 * 60_000, 3 * HOUR_MS)


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

        @rule(kiosk=kiosks, is_at_two=st.booleans(), data=st.data())
        def answer(self, kiosk: int, is_at_two: bool, data: st.DataObject) -> None:
            wanted = ""
            if is_at_two:  # both are to know the question, and neither the other's answer
                self.synchronise()
            for here in (self.kiosks[kiosk], self.kiosks[kiosk - 1])[: 1 + is_at_two]:
                asked = here.questions()
                # at two kiosks the same question, where both know it
                asked = [one for one in asked if one.id == wanted] or asked
                if not asked:
                    continue
                question = data.draw(st.sampled_from(asked))
                reply = data.draw(st.sampled_from(question.replies))
                wanted, key = question.id, f"{here.letter}-answer-{here.seq}"
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
