"""Lead through what only a person can decide: the list, one question, and what was answered."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial

from kiosk.rules.asked import Question
from kiosk.rules.cards import BACK
from kiosk.rules.scanning import Answer, Outcome
from kiosk.rules.words import _, join, say
from kiosk.screens.askface import AskFace
from kiosk.screens.face import Choice, DeskFace
from kiosk.screens.flow import AskScreen
from kiosk.screens.rows import Listed, ListScreen, Row

NOT_SEEN = _("The questions could not be shown. Try again.")
NOT_KEPT = _("The answer was not recorded. Try again.")
EMPTY = _("Nothing is asked. What kiosks recorded fits together.")
Back = Callable[[], object]


class AskDesk:
    """The screens about questions."""

    def __init__(self, shop: AskFace, desk: DeskFace) -> None:
        self._shop, self._desk = shop, desk

    def open(self, back: Back, page: int = 0) -> None:
        """Show what is asked; back leads to where it was opened."""
        then = partial(self.show, back, page)
        self._desk.ask_here(self._shop.questions, then, lost=NOT_SEEN)

    def show(self, back: Back, page: int, asked: Sequence[Question]) -> None:
        """Show a page of questions."""
        rows = [
            Row(_about(one), one.words, partial(self.ask, one, back, page), "question")
            for one in asked
        ]
        line = _("Kiosks recorded what does not fit. Tap one to say how it was.")
        listed = Listed(_("Questions"), rows, line if rows else "", EMPTY, columns=1)
        turn = partial(self.open, back)
        self._desk.put(ListScreen(self._desk.trim, listed, turn=turn, back=back, page=page))

    def ask(self, one: Question, back: Back, page: int = 0) -> None:
        """Ask one question, a button for each answer."""
        choices = [
            Choice(reply.words, partial(self._answer, one, reply.key, back))
            for reply in one.replies
        ]
        choices.append(Choice(_("Back"), partial(self.open, back, page), card=BACK))
        screen = AskScreen(
            self._desk.trim, _about(one), choices, line=say("{words}", words=one.words), columns=2
        )
        self._desk.put(screen)

    def _answer(self, one: Question, key: str, back: Back) -> None:
        person = self._desk.post.person

        def then(answer: Answer) -> None:
            self._desk.told(good=answer.outcome == Outcome.RECORDED)
            self.show_answered(answer, back)

        self._desk.ask_here(
            lambda: self._shop.answer_question(one.id, key, person=person), then, lost=NOT_KEPT
        )

    def show_answered(self, answer: Answer, back: Back) -> None:
        """Show what an answer did, and how to take it back."""
        good = answer.outcome == Outcome.RECORDED
        choices = [Choice(_("Questions"), partial(self.open, back), "question")]
        if good:
            choices.append(Choice(_("Strike last"), self._desk.strike, "cross"))
        choices.append(Choice(_("To the bench"), self._desk.open_bench))
        line = join((answer.detail, answer.next), ". ")
        shape = "tick" if good else "question"
        screen = AskScreen(self._desk.trim, answer.message, choices, line=line, shape=shape)
        self._desk.put(screen)


def _about(one: Question) -> str:
    """Return what a question is about: a unit of a job, or the job."""
    return say("{unit} of {job}", unit=one.unit, job=one.job) if one.unit else one.job
