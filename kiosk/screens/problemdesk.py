"""Lead through a problem: with which part, what is wrong, and are you sure."""

from __future__ import annotations

from dataclasses import replace

from kiosk.rules.scanning import Answer
from kiosk.screens.answer import name_answer
from kiosk.screens.face import Choice, DeskFace, ShopFace
from kiosk.screens.flow import WaitScreen, ask_problem, ask_sure
from kiosk.screens.prints import Prints
from labels.codes import shown


class ProblemDesk:
    """The screens about a problem; a scan meanwhile says which part it is about."""

    def __init__(self, shop: ShopFace, desk: DeskFace, prints: Prints) -> None:
        self._shop, self._desk, self._prints = shop, desk, prints
        self.about: tuple[str, str] | None = None  # code and name; None while nobody asks

    def open(self, answer: Answer | None) -> None:
        """Ask what is wrong with the part of the last answer; without one, which part."""
        if answer is not None and (answer.unit or answer.part):
            code = answer.code or f"{answer.job}/{answer.unit}"
            self._ask_what(code, name_answer(replace(answer, size="")))
            return
        desk = self._desk
        title = "Scan the part or unit the problem is about"
        choices = (Choice("Number pad", desk.open_pad), Choice("Back", desk.open_bench))
        desk.put(WaitScreen(desk.trim, title, choices))
        self.about = ("", "")

    def take_code(self, text: str) -> None:
        """Let the problem be about this part."""
        self._ask_what(text, shown(text))

    def _ask_what(self, code: str, name: str) -> None:
        desk = self._desk
        desk.put(ask_problem(desk.trim, name, pick=self.ask_sure_of, back=desk.open_bench))
        self.about = (code, name)

    def ask_sure_of(self, what: str) -> None:
        """Ask whether a problem is to be recorded."""
        desk, (code, name) = self._desk, self.about or ("", "")
        person, prints = desk.post.person, self._prints

        def then(answer: Answer) -> None:
            desk.take_answer(answer)
            if what == "spoiled":
                prints.after(answer, person=person, recut=True)

        def yes() -> None:
            draw = not prints.is_on  # a printer prints the recut's label
            desk.ask(
                lambda: self._shop.problem(code, what, person=person, draw=draw),
                then,
                lost="The problem was not recorded. Try again.",
            )

        desk.put(ask_sure(desk.trim, name, what, yes=yes, back=desk.open_bench))
        self.about = (code, name)
