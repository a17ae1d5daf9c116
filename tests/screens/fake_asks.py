"""Questions of a shop written by hand; an answer takes its question off the list."""

from __future__ import annotations

from datetime import datetime

from kiosk.rules.asked import Question
from kiosk.rules.scanning import Answer, Outcome


class FakeAsks:
    """What is asked; `calls` remembers what was answered."""

    asked: tuple[Question, ...] = ()
    calls: list[tuple[object, ...]]

    def questions(self, now: datetime | None = None) -> tuple[Question, ...]:
        return self.asked

    def answer_question(self, question: str, choice: str, *, person: str = "") -> Answer:
        self._may_break()
        self.calls.append(("answer_question", question, choice, person))
        one = next((one for one in self.asked if one.id == question), None)
        reply = one.reply(choice) if one else None
        if reply is None:
            return Answer(Outcome.ALREADY, "This is asked no more", "It was answered.")
        self.asked = tuple(other for other in self.asked if other is not one)
        return Answer(Outcome.RECORDED, reply.words, one.words, entry="01", unit=one.unit)
