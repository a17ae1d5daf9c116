"""Sign in by name where no badge is at hand: a list of people, or a name typed."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial

from kiosk.rules.cards import BACK
from kiosk.rules.people import Person, check_name, find_person, tidy_name
from kiosk.rules.words import _, join, say
from kiosk.screens.face import Choice, DeskFace, ShopFace
from kiosk.screens.flow import AskScreen, say_problems
from kiosk.screens.wordpad import AskWords, WordPad

A_PAGE = 4  # with the other buttons as many as a 10-inch screen holds


class PeopleDesk:
    """Who works at this bench."""

    def __init__(
        self,
        shop: ShopFace,
        desk: DeskFace,
        *,
        sign_in: Callable[[str], object],
        signed_in: Callable[[], str],
        staff: Callable[[], object],
        back: Callable[[], object],
    ) -> None:
        """Take `signed_in`, which says who is, and `staff`, which opens the list to change it."""
        self._shop, self._desk, self._back, self._sign_in = shop, desk, back, sign_in
        self._signed_in, self._staff = signed_in, staff

    def open(self) -> None:
        """Show who is on the list."""
        before = self._desk.show

        def then(people: Sequence[Person]) -> None:
            if self._desk.show is before:
                self.show(people)

        lost = _("The list of people could not be shown. Try again.")
        self._desk.ask(self._shop.people, then, lost=lost)

    def show(self, people: Sequence[Person], page: int = 0) -> None:
        """Show a page of those on the list; a tap signs in, or out who is signed in."""
        desk = self._desk
        here = [one for one in people if not one.away]
        first = page * A_PAGE
        who = desk.post.person
        choices = [
            Choice(
                one.name,
                partial(self._sign_in, one.name),
                "tick" if one.name == who else "",
            )
            for one in here[first : first + A_PAGE]
        ]
        if len(here) > A_PAGE:
            following = page + 1 if first + A_PAGE < len(here) else 0
            choices.append(Choice(_("More"), partial(self.show, people, following)))
        choices.append(Choice(_("Type a name"), partial(self.ask_name, people)))
        if signed := self._signed_in():
            out = say("Sign out {name}", name=signed)
            choices.append(Choice(out, partial(self._sign_in, signed), "cross"))
        choices.append(Choice(_("The list of people"), self._staff))
        choices.append(Choice(_("Back"), self._back, card=BACK))
        now = say("{name} works here.", name=who) if who else _("Nobody is signed in.")
        line = join([now, _("A badge scanned at the bench signs in or out.")])
        desk.put(AskScreen(desk.trim, _("Who works here?"), choices, line=line))

    def ask_name(self, people: Sequence[Person], typed: str = "", wrong: str = "") -> None:
        """Ask for a name to be typed, on the screen or on a keyboard."""
        desk = self._desk

        def use(typed: str) -> None:
            name = tidy_name(typed)
            problems = check_name(name)
            if problems:
                self.ask_name(people, name, say_problems(problems))
                return
            known = find_person([one for one in people if not one.away], name)
            self._sign_in(known.name if known else name)

        back = partial(self.show, people)
        ask = AskWords(
            _("Your name, here or on a keyboard"), typed, wrong, longest=60, done=_("Sign in")
        )
        desk.put(WordPad(desk.trim, ask, use=use, back=back))
