"""Make somebody a supervisor at the kiosk: a PIN typed twice, a new one, or none any more."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial

from kiosk.rules.cards import BACK
from kiosk.rules.people import Person
from kiosk.rules.permission import (
    LONGEST_PIN,
    SHORTEST_PIN,
    Act,
    How,
    Permit,
    Supervisor,
    check_pin,
)
from kiosk.rules.words import _, say
from kiosk.screens.face import Choice, DeskFace, Problems, ShopFace
from kiosk.screens.figurepad import Ask
from kiosk.screens.flow import AskScreen, say_problems
from kiosk.screens.pinpad import PinPad

NOT_SEEN = _("The supervisors could not be shown. Try again.")
NOT_KEPT = _("The PIN was not kept. Try again.")
WHAT_FOR = _(
    "Once somebody is one, a PIN is asked for: revised lists, going ahead against a refusal, jobs "
    "closed early or opened again, products, routes."
)
MARKS = _("A PIN marks who answers for what. Whoever has the shop's file has everything in it.")
NOT_SAME = _("The two are not the same. Type the new PIN again.")
Back = Callable[[], object]


class SupervisorDesk:
    """The screens about somebody's PIN; each act asks a supervisor where there is one."""

    def __init__(self, shop: ShopFace, desk: DeskFace) -> None:
        self._shop, self._desk = shop, desk

    def open(self, one: Person, back: Back) -> None:
        """Show whether somebody is a supervisor, and what can be done about it."""

        def then(supervisors: Sequence[Supervisor]) -> None:
            self.show(one, back, is_one=one.code in {other.code for other in supervisors})

        self._desk.ask_here(self._shop.supervisors, then, lost=NOT_SEEN)

    def show(self, one: Person, back: Back, *, is_one: bool) -> None:
        """Show what can be done about somebody's PIN."""
        desk, new = self._desk, partial(self.ask_permit, one, back)
        if is_one:
            title, line = say("{name} is a supervisor", name=one.name), MARKS
            choices = [
                Choice(_("New PIN"), new),
                Choice(_("No supervisor any more"), partial(self.ask_drop, one, back), "cross"),
            ]
        else:
            title, line = say("{name} is no supervisor", name=one.name), WHAT_FOR
            choices = [Choice(_("Make a supervisor"), new)]
        choices.append(Choice(_("Back"), back, card=BACK))
        desk.put(AskScreen(desk.trim, title, choices, line=line))

    # -- a PIN, typed twice ----------------------------------------------------------------------

    def ask_permit(self, one: Person, back: Back) -> None:
        """Ask a supervisor, where there is one, whether somebody may have a PIN."""
        go = partial(self.ask_new, one, back)
        self._desk.guard(Act.SUPERVISORS, go, first=one.code)

    def ask_new(self, one: Person, back: Back, permit: Permit | None, wrong: str = "") -> None:
        """Ask for the new PIN."""

        def use(pin: str) -> None:
            if problems := check_pin(pin):
                self.ask_new(one, back, permit, say_problems(problems))
            else:
                self.ask_again(one, back, permit, pin)

        question = say(
            "New PIN of {name}, {least} to {most} digits",
            name=one.name,
            least=SHORTEST_PIN,
            most=LONGEST_PIN,
        )
        self._put_pad(Ask(question, wrong=wrong), use, partial(self.open, one, back))

    def ask_again(self, one: Person, back: Back, permit: Permit | None, first: str) -> None:
        """Ask for the new PIN once more."""

        def use(pin: str) -> None:
            if pin != first:
                self.ask_new(one, back, permit, NOT_SAME)
            else:
                self._set(one, back, permit, pin)

        question = say("The new PIN of {name} once more", name=one.name)
        self._put_pad(Ask(question), use, partial(self.open, one, back))

    def _put_pad(self, ask: Ask, use: Callable[[str], object], back: Back) -> None:
        desk = self._desk
        desk.put(PinPad(desk.trim, ask, use=use, back=back))

    def _set(self, one: Person, back: Back, permit: Permit | None, pin: str) -> None:
        desk, shop, person = self._desk, self._shop, self._desk.post.person

        def then(found: tuple[How | None, Problems]) -> None:
            how, problems = found
            self._tell(one, back, say_how(one, how), problems)

        desk.ask_here(
            lambda: shop.set_pin(one.name, pin, permit=permit, person=person), then, lost=NOT_KEPT
        )

    # -- none any more ---------------------------------------------------------------------------

    def ask_drop(self, one: Person, back: Back) -> None:
        """Ask whether somebody is to be no supervisor any more."""
        desk = self._desk
        drop = partial(desk.guard, Act.SUPERVISORS, partial(self._drop, one, back), first=one.code)
        choices = (
            Choice(_("Take the PIN away"), drop, "cross"),
            Choice(_("Back"), partial(self.open, one, back), card=BACK),
        )
        title = say("{name}: no supervisor any more?", name=one.name)
        line = _("Where nobody else is one, nobody is asked for a PIN from then on.")
        desk.put(AskScreen(desk.trim, title, choices, line=line))

    def _drop(self, one: Person, back: Back, permit: Permit | None) -> None:
        desk, shop, person = self._desk, self._shop, self._desk.post.person

        def then(problems: Problems) -> None:
            words = say("{name} is no supervisor any more", name=one.name)
            self._tell(one, back, words, problems)

        desk.ask_here(
            lambda: shop.drop_pin(one.name, permit=permit, person=person), then, lost=NOT_KEPT
        )

    def _tell(self, one: Person, back: Back, words: str, problems: Problems) -> None:
        desk = self._desk
        desk.told(good=not problems)
        choices = (
            Choice(_("Go on"), partial(self.open, one, back)),
            Choice(_("To the bench"), desk.open_bench),
        )
        title = _("Nothing was changed") if problems else words
        line = say_problems(problems) if problems else MARKS
        shape = "question" if problems else "tick"
        desk.put(AskScreen(desk.trim, title, choices, line=line, shape=shape))


def say_how(one: Person, how: How | None) -> str:
    """Return how somebody came to a PIN."""
    if how == How.SET:
        return say("{name} is a supervisor now", name=one.name)
    return say("{name} has a new PIN", name=one.name)
