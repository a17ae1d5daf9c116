"""Lead through a problem: with which part, what is wrong, and are you sure."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import partial

from kiosk.actions import PartAt
from kiosk.rules.cards import BACK
from kiosk.rules.scanning import Answer, Outcome
from kiosk.rules.words import _, join, say
from kiosk.screens.answer import name_answer
from kiosk.screens.face import Choice, DeskFace, ShopFace
from kiosk.screens.flow import AskScreen, WaitScreen, ask_problem, ask_sure
from kiosk.screens.prints import Prints
from kiosk.screens.wordpad import AskWords, WordPad
from labels.codes import shown

A_PAGE = 6  # parts to pick from; with More and Back as many as a 10-inch screen holds
NOTE = _("A few words for the log, here or on a keyboard; or go on without")


@dataclass(frozen=True, slots=True)
class About:
    """What a problem is about: its code, its name, and whether that is one part."""

    code: str = ""
    name: str = ""
    is_part: bool = False
    what: str = ""  # the problem, while the part is still asked for


class ProblemDesk:
    """The screens about a problem; a scan meanwhile says which part it is about."""

    def __init__(self, shop: ShopFace, desk: DeskFace, prints: Prints) -> None:
        self._shop, self._desk, self._prints = shop, desk, prints
        self.about: About | None = None  # None while nobody asks

    def open(self, answer: Answer | None) -> None:
        """Ask what is wrong with the part of the last answer; without one, which part."""
        about = _about(answer)
        if about is not None:
            self._ask_what(about)
            return
        self._wait(About(), _("Scan the part or unit the problem is about"))

    def pick_now(self, what: str, answer: Answer | None) -> bool:
        """Go on with a problem somebody named at once; tell whether it is known of which part."""
        about = self.about if self.about and self.about.code else _about(answer)
        if about is None:
            return False
        self.about = about
        self.pick(what)
        return True

    def ask_spoiled(self, code: str) -> None:
        """Ask whether the part of a code is spoiled."""
        self.about = About(what="spoiled")
        self.take_code(code)

    def take_code(self, text: str) -> None:
        """Let the problem be about this part."""
        what = self.about.what if self.about else ""

        def then(answer: Answer) -> None:
            about = _about(answer) if answer.outcome == Outcome.RECORDED else None
            if about is None:
                self._desk.take_answer(answer)
            elif what and about.is_part:
                self._ask_sure(about, what)
            else:
                self._ask_what(about)

        lost = _("The part was not looked up. Scan it again.")
        self._desk.ask(lambda: self._shop.about(text), then, lost=lost)

    def _put(self, screen: object, about: About) -> None:
        self._desk.put(screen)
        self.about = about  # another screen forgets it

    def _wait(self, about: About, title: str) -> None:
        desk = self._desk
        choices = (
            Choice(_("Number pad"), desk.open_pad),
            Choice(_("Back"), desk.open_bench, card=BACK),
        )
        self._put(WaitScreen(desk.trim, title, choices), about)

    def _ask_what(self, about: About) -> None:
        desk = self._desk
        screen = ask_problem(desk.trim, about.name, pick=self.pick, back=desk.open_bench)
        self._put(screen, about)

    def pick(self, what: str) -> None:
        """Go on with what is wrong: which part it is, a note, or whether it is to be recorded."""
        about = self.about or About()
        if what == "missing":
            self._ask_which(about)
        elif what == "spoiled" and not about.is_part:
            title = _("Scan the label of the spoiled part")
            self._wait(replace(about, what=what), title)
        elif what == "other":
            self._ask_note(about)
        else:
            self._ask_sure(about, what)

    def ask_sure_of(self, what: str) -> None:
        """Ask whether a problem with the part that is asked about is to be recorded."""
        self._ask_sure(self.about or About(), what)

    # -- which part ------------------------------------------------------------------------------

    def _ask_which(self, about: About) -> None:
        """Ask which part is missing: its own label cannot be scanned."""
        before = self._desk.show

        def then(parts: Sequence[PartAt]) -> None:
            if self._desk.show is not before:
                return
            if parts:
                self.show_parts(about, parts, 0)
            else:
                self._ask_sure(about, "missing")

        lost = _("The parts could not be shown. Try again.")
        self._desk.ask(lambda: self._shop.parts_at(about.code), then, lost=lost)

    def show_parts(self, about: About, parts: Sequence[PartAt], first: int) -> None:
        """Show a page of parts to pick the missing one from, beginning at `first`."""
        desk = self._desk
        choices = [
            Choice(join([part.part, shown(part.code)]), partial(self._missing, part))
            for part in parts[first : first + A_PAGE]
        ]
        if len(parts) > A_PAGE:
            following = first + A_PAGE if first + A_PAGE < len(parts) else 0
            choices.append(Choice(_("More"), partial(self.show_parts, about, parts, following)))
        choices.append(Choice(_("Back"), partial(self._ask_what, about), card=BACK))
        line = _("Those not gathered yet come first.")
        screen = AskScreen(desk.trim, _("Which part is missing?"), choices, line=line)
        self._put(screen, about)

    def _missing(self, part: PartAt) -> None:
        name = join([part.part, shown(part.code)])
        self._ask_sure(About(part.code, name, is_part=True), "missing")

    # -- a note, and the last question -----------------------------------------------------------

    def _ask_note(self, about: About) -> None:
        def use(note: str) -> None:
            self._ask_sure(about, "other", note)

        back = partial(self._ask_what, about)
        ask = AskWords(NOTE, may_be_empty=True, longest=60, done=_("Go on"))
        pad = WordPad(self._desk.trim, ask, use=use, back=back)
        self._put(pad, about)

    def _ask_sure(self, about: About, what: str, note: str = "") -> None:
        desk, prints = self._desk, self._prints
        person = desk.post.person

        def then(answer: Answer) -> None:
            is_void = what == "spoiled" and answer.outcome == Outcome.RECORDED
            if is_void and (said := prints.cancel_label(about.code)):
                answer = replace(answer, detail=join([answer.detail, said]))
            desk.take_answer(answer)
            if is_void:
                prints.after(answer, person=person, recut=True)

        def yes() -> None:
            draw = not prints.is_on  # a printer prints the recut's label
            desk.ask(
                lambda: self._shop.problem(
                    about.code, what, person=person, note=note, draw=draw, stock=prints.chosen
                ),
                then,
                lost=_("The problem was not recorded. Try again."),
            )

        said = say("Note: {note}", note=note) if note else ""
        screen = ask_sure(desk.trim, about.name, what, yes=yes, back=desk.open_bench, note=said)
        self._put(screen, about)


def _about(answer: Answer | None) -> About | None:
    """Return what an answer is about, None where it names no unit and no part."""
    if answer is None or not (answer.unit or answer.part):
        return None
    code = answer.code or f"{answer.job}/{answer.unit}"
    name = name_answer(replace(answer, size=""))
    return About(code, name, is_part=bool(answer.part))
