"""Ask about what two kiosks recorded of one unit that does not fit: nothing is dropped unasked.

What counts meanwhile is for the fold to say; here stands only what a person must decide.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta, tzinfo

from kiosk.rules.asked import Deed, Question, Reply, Telling, ask_again, given_before, strike
from kiosk.rules.entries import Kind, to_ms
from kiosk.rules.fold import PieceState, UnitState
from kiosk.rules.naming import name_some
from kiosk.rules.parts import as_body
from kiosk.rules.reasons import say_reason, say_step, say_unlisted
from kiosk.rules.records import Done, Hold, Recorded, is_answered
from kiosk.rules.route import Step
from kiosk.rules.steps import BuiltOver, built_over
from kiosk.rules.words import _, capital, join, say, say_n

# The same person, so soon again, recorded one and the same step twice. Choice, docs/rules.md.
DOUBLE_WITHIN = timedelta(minutes=10)
# Kiosks' clocks may differ by this much: so long before a hold a step counts as met. Choice.
AROUND = timedelta(minutes=1)
_MOST = 4  # names said in one question; the story of the unit has them all (choice)


def questions(
    state: UnitState, steps: tuple[Step, ...], *, now: datetime, zone: tzinfo
) -> tuple[Question, ...]:
    """Return what is to be asked about a unit, the same whatever arrived first.

    Args:
        state: the unit folded from the log.
        steps: those of its route.
        now: the moment asked about, aware; only how times are said depends on it.
        zone: the shop's zone.
    """
    return tuple(_Asker(state, steps, Telling(now, zone)).ask()) if state.may_ask else ()


def is_double(first: Done, second: Done) -> bool:
    """Tell whether two records of a step are one: by the same person, within ten minutes."""
    return first.person == second.person and abs(second.at - first.at) <= DOUBLE_WITHIN


def doubles(state: UnitState) -> frozenset[str]:
    """Return the entries that recorded a step twice and about which nobody is asked."""
    return frozenset(
        one.done.entry
        for one in state.again
        if (first := _first(state, one)) is not None and is_double(first, one.done)
    )


def _first(state: UnitState, one: Recorded) -> Done | None:
    """Return the record that counts in place of this one, None for a part nobody knows."""
    if not one.part:
        return state.done.get(one.step)
    piece = state.piece(one.part)
    return piece.done.get(one.step) if piece else None


def _some(names: list[str]) -> str:
    return name_some(list(dict.fromkeys(names)), most=_MOST)


class _Asker:
    """One unit asked about: keeps its givens so that each question stays short."""

    def __init__(self, state: UnitState, steps: tuple[Step, ...], tell: Telling) -> None:
        self.state, self.steps, self.tell = state, steps, tell
        self.by_name = {step.name: step for step in steps}

    def ask(self) -> Iterator[Question]:
        yield from self.ask_twice()
        if met := self.met():
            yield self.held(met)
        for over in built_over(self.state, self.steps):
            yield self.struck(over)
        yield from self.ask_unlisted()
        if self.state.left_over:
            yield self.gone()
        spec = self.state.spec
        for torn in self.state.torn:
            yield ask_again(torn, spec.job, spec.unit, self.tell, self.state.answers)

    def ask_twice(self) -> Iterator[Question]:
        for one in self.state.again:
            first = _first(self.state, one)
            if first is None or is_double(first, one.done):
                continue
            if not self.settled("twice", first.entry, one.done.entry):
                yield self.twice(one, first)

    def ask_unlisted(self) -> Iterator[Question]:
        spare = [one for one in self.state.unlisted if not one.replaces]
        if spare := [one for one in spare if not self.settled("spare", one.piece.code)]:
            yield self.spare(spare)
        for one in self.state.unlisted:
            if one.replaces and not self.settled("recut", one.piece.code):
                yield self.recut(one)

    # -- the sorts of question -------------------------------------------------------------------

    def twice(self, one: Recorded, first: Done) -> Question:
        what = self.title(one.step, one.part)
        second, following = one.done, self.next_of(one)
        one_who, other_who = self.tell.who(first), self.tell.who(second)
        words = say(
            "{what} was recorded twice ({first}, {second}). Which counts?",
            what=what,
            first=one_who,
            second=other_who,
        )
        replies = [Reply("same", say("It was the same {what}", what=what))]
        if following is not None:
            words = say(
                "{what} was recorded twice ({first}, {second}): was the second one {next}?",
                what=what,
                first=one_who,
                second=other_who,
                next=following.title,
            )
            body = {"step": following.name, "at_ms": to_ms(second.at)}
            if second.early:
                body["early"] = second.early
            made = Deed(Kind.STEP_DONE, body, person=second.person)
            said = say("The second was {next}", next=following.title)
            replies.append(Reply("next", said, (strike(second.entry), made)))
        said = say("Strike the first: {who}", who=one_who)
        replies.append(Reply("strike-first", said, (strike(first.entry),)))
        said = say("Strike the second: {who}", who=other_who)
        replies.append(Reply("strike-second", said, (strike(second.entry),)))
        return self.question("twice", words, replies, (first.entry, second.entry))

    def held(self, met: list[tuple[Hold, str, Done]]) -> Question:
        holds = {hold.entry: hold for hold, _title, _done in met}
        done = {one.entry: (title, one) for _hold, title, one in met}
        what = _some([title for title, _one in done.values()])
        last = max((one for _title, one in done.values()), key=lambda one: (one.at, one.entry))
        words = say(
            "{what} was recorded ({who}) though the unit was put on hold ({time}): {reason}",
            what=what,
            who=self.tell.who(last),
            time=self.tell.time(min(hold.at for hold in holds.values())),
            reason=join(dict.fromkeys(say_reason(one.reason) for one in holds.values()), ", "),
        )
        lifts = tuple(Deed(Kind.HOLD_LIFTED, {"target": hold}) for hold in holds)
        replies = (
            Reply("lift", _("It goes on: lift the hold"), lifts),
            Reply("strike", say("Strike {what}", what=what), tuple(map(strike, done))),
            Reply("both", _("Both are so: done, and on hold")),
        )
        others = [one for one in done if one != last.entry]
        return self.question("held", words, replies, (*holds, *others, last.entry))

    def struck(self, over: BuiltOver) -> Question:
        record, step = over.record, over.step
        what = self.title(record.step, record.part)
        later = _some([one.title for one, _done in over.later])
        words = say(
            "{what} ({who}) was struck, but {later} is recorded: was it done after all?",
            what=what,
            who=self.tell.who(record.done),
            later=later,
        )
        body: dict[str, object] = {"step": step.name, "at_ms": to_ms(record.done.at)}
        if record.part:
            body["part"] = record.part
        if record.done.early:
            body["early"] = record.done.early
        again = Deed(Kind.STEP_DONE, body, person=record.done.person)
        strikes = tuple(strike(done.entry) for _step, done in over.later)
        replies = (
            Reply("done", say("It was done: record {what} again", what=what), (again,)),
            Reply("strike", say("Not done: strike {later} too", later=later), strikes),
        )
        about = (*(done.entry for _step, done in over.later), record.done.entry)
        return self.question("struck", words, replies, about)

    def spare(self, left: list[PieceState]) -> Question:
        names = _some([one.piece.part for one in left])
        words = say_n(
            "{parts} was cut, but the list no longer has it",
            "{parts} were cut, but the list no longer has them",
            len(left),
            parts=names,
        )
        plain = ", ".join(one.piece.part for one in left)
        held = Deed(Kind.HOLD_PUT, {"reason": say_unlisted(plain)})
        replies = (
            Reply("spare", _("Keep as a spare")),
            Reply("wanted", _("Still wanted: put on hold until the list is revised"), (held,)),
        )
        done = [one for piece in left for one in piece.done.values()]
        last = max(done, key=lambda one: (one.at, one.entry)).entry
        return self.question("spare", words, replies, (*(one.piece.code for one in left), last))

    def recut(self, one: PieceState) -> Question:
        spoiled = self.state.piece(one.replaces)
        other = self.state.piece(spoiled.recut) if spoiled else None
        words = say("{part} was recut on two kiosks; one recut is too many", part=one.piece.part)
        replies = [Reply("spare", _("Keep as a spare"))]
        if spoiled is not None and other is not None and not other.done:
            deeds = (strike(spoiled.spoiled_by),)
            said = _("Use this one; the other is not cut yet")
            replies.append(Reply("use", said, deeds))
        last = max(one.done.values(), key=lambda done: (done.at, done.entry)).entry
        return self.question("recut", words, replies, (one.piece.code, last))

    def gone(self) -> Question:
        words = _("A revised list left the unit out, but it was begun")
        listed = Deed(Kind.UNIT_TAKEN, as_body(self.state.spec))
        replies = (
            Reply("off", _("It is off: put it away")),
            Reply("wanted", _("It is still wanted: back on the list"), (listed,)),
        )
        return self.question("gone", words, replies, (self.state.gone_by, *self.state.left_over))

    # -- inside ----------------------------------------------------------------------------------

    def question(
        self,
        what: str,
        words: str,
        replies: list[Reply] | tuple[Reply, ...],
        about: tuple[str, ...],
    ) -> Question:
        spec = self.state.spec
        key = f"{what}:{about[-1]}"
        after = given_before(self.state.answers, key)
        said = capital(words)
        return Question(key, what, spec.job, spec.unit, said, tuple(replies), about, after)

    def settled(self, what: str, *ids: str) -> bool:
        return is_answered(self.state.answers, what, *ids)

    def met(self) -> list[tuple[Hold, str, Done]]:
        """Return what other kiosks recorded from when a hold was put that still stands.

        A recut that is cut and gathered is what a hold waits for; it meets none. Who put a hold
        by an answer was told what had been recorded until then.
        """
        done = [(self.title(name), one) for name, one in self.state.done.items()]
        for piece in self.state.pieces:
            if not piece.replaces:
                code = piece.piece.code
                done += [(self.title(name, code), one) for name, one in piece.done.items()]
        return [
            (hold, title, one)
            for hold in self.state.holds
            for title, one in done
            if one.kiosk != hold.kiosk
            and one.at >= (hold.at if hold.answer else hold.at - AROUND)
            and not self.settled("held", hold.entry, one.entry)
        ]

    def next_of(self, one: Recorded) -> Step | None:
        """Return the step of the next number, where the route has it and it is not recorded."""
        stem, _dash, number = one.step.rpartition("-")
        if one.part or not stem or not number.isdigit():
            return None
        step = self.by_name.get(f"{stem}-{int(number) + 1}")
        return None if step is None or step.name in self.state.done else step

    def title(self, name: str, part: str = "") -> str:
        step = self.by_name.get(name)
        title = step.title if step else say_step(name)
        piece = self.state.piece(part) if part else None
        return join((title, piece.piece.part if piece else part), ": ")
