"""Ask people about what kiosks recorded that does not fit, and write down what they answer."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from kiosk.actions.core import Core
from kiosk.rules.asked import BRIEF, Question, Reply, effects
from kiosk.rules.entries import Entry, Kind, to_ms
from kiosk.rules.fold import UnitState
from kiosk.rules.jobquestions import job_questions
from kiosk.rules.naming import Natural, natural
from kiosk.rules.questions import questions
from kiosk.rules.scanning import Answer, Outcome
from kiosk.rules.words import _, join, say
from kiosk.store import Note


class Asking(Core):
    """The questions a shop has for its people."""

    def questions(self, now: datetime | None = None) -> tuple[Question, ...]:
        """Return what is asked: about jobs first, then about units; in one order at all kiosks."""
        moment = now or self.now()
        found: list[Question] = []
        for job in self.store.unsure_jobs():
            found += job_questions(job, now=moment, zone=self.zone)
        for state in self.store.unsure_units():
            found += self._of_unit(state, moment)
        return tuple(sorted(found, key=_place))

    def asked_line(self, state: UnitState, now: datetime) -> str:
        """Return what is asked about a unit in one line, empty for nothing."""
        found = self._of_unit(state, now)
        if not found:
            return ""
        briefs = dict.fromkeys(BRIEF[one.what] for one in found)
        return say("Question: {briefs}.", briefs=join(briefs, ", "))

    def _of_unit(self, state: UnitState, now: datetime) -> tuple[Question, ...]:
        return questions(state, self.setup.steps(state.spec), now=now, zone=self.zone)

    def answer_question(self, question: str, choice: str, *, person: str = "") -> Answer:
        """Write down an answer and what it brings about, all or none.

        Args:
            question: its id.
            choice: the key of one of its answers.
            person: who answers.

        Raises:
            StoreError: nothing was recorded.
        """
        self.store.refresh()
        now = self.now()
        asked = next((one for one in self.questions(now) if one.id == question), None)
        if asked is None:
            detail = _("It was answered, or what was recorded since has settled it.")
            return Answer(Outcome.ALREADY, _("This is asked no more"), detail)
        reply = asked.reply(choice)
        if reply is None:
            keys = ", ".join(one.key for one in asked.replies)
            detail = say("Its answers are: {keys}.", keys=keys)
            return Answer(Outcome.UNKNOWN, say("No such answer: {key}", key=choice), detail)
        answer = self.store.new_id(now)
        self.store.write(self._deeds(asked, reply, answer, person), now)
        state = self.store.state(asked.job, asked.unit) if asked.unit else None
        return Answer(
            Outcome.RECORDED,
            reply.words,
            asked.words,
            entry=answer,
            job=asked.job,
            unit=asked.unit,
            unit_name=state.spec.name if state else "",
        )

    def _deeds(self, asked: Question, reply: Reply, answer: str, person: str) -> list[Note]:
        """Return what an answer writes, its own entry last."""
        notes = []
        for one in effects(asked, reply, answer=answer, at_ms=to_ms(self.now())):
            own = answer if one.kind == Kind.QUESTION_ANSWERED else None
            note = Note(one.kind, asked.job, one.unit, one.body, one.person or person, own)
            if one.kind == Kind.STRUCK and not one.unit:
                # an answer about a whole job is taken back in each unit it changed
                units = self.store.units_answered(asked.job, str(one.body["target"]))
                notes += [replace(note, unit=unit) for unit in units]
            notes.append(note)
        return notes

    def taken_back(self, entry: Entry, person: str) -> list[Note]:
        """Return what voids an answer about a whole job in each unit it changed."""
        if entry.kind != Kind.QUESTION_ANSWERED or entry.unit:
            return []
        units = self.store.units_answered(entry.job, entry.id)
        body = {"target": entry.id}
        return [Note(Kind.STRUCK, entry.job, unit, body, person) for unit in units]


def _place(one: Question) -> tuple[bool, Natural, Natural, str]:
    return (bool(one.unit), natural(one.job), natural(one.unit), one.id)
