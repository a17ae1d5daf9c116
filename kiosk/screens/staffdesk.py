"""Keep the shop's list of people at the kiosk: put on, taken off, and their badges printed."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from typing import cast

from kiosk.actions import Wanted
from kiosk.rules.cards import BACK
from kiosk.rules.people import Person, check_name, find_person, tidy_name
from kiosk.rules.permission import Act, Permit, Supervisor
from kiosk.rules.words import _, join, say, say_n
from kiosk.screens.face import Choice, DeskFace, Problems, ShopFace
from kiosk.screens.flow import AskScreen, say_problems
from kiosk.screens.hoursdesk import HoursDesk, HoursFace
from kiosk.screens.labelpress import LabelPress, Told
from kiosk.screens.prints import Prints
from kiosk.screens.rows import Listed, ListScreen, Row
from kiosk.screens.supervisordesk import SupervisorDesk
from kiosk.screens.wordpad import AskWords, WordPad
from labels.codes import shown

NOT_SEEN = _("The list of people could not be shown. Try again.")
NOT_KEPT = _("The list of people was not changed. Try again.")
LONGEST_TYPED = 40  # more than a badge holds, so that a name too long is told so; choice
People = Sequence[Person]


class StaffDesk:
    """The screens about who is on the list; `leave` signs somebody out who is taken off."""

    def __init__(
        self,
        shop: ShopFace,
        desk: DeskFace,
        prints: Prints,
        *,
        leave: Callable[[str], None],
        back: Callable[[], object],
    ) -> None:
        """Take `leave`, called on the shop's thread, and `back`, which asks who works here."""
        self._shop, self._desk, self._prints = shop, desk, prints
        self._leave, self._back = leave, back
        self.hours = HoursDesk(cast("HoursFace", shop), desk)
        self.supervisors = SupervisorDesk(shop, desk)
        self._held = frozenset[str]()  # the badges of supervisors, as the list was opened
        self._press = LabelPress(shop, desk, prints, told=self.show_told)

    def open(self) -> None:
        """Show everybody, those off the list last."""

        def call() -> tuple[People, frozenset[str]]:
            return self._shop.people(), frozenset(one.code for one in self._shop.supervisors())

        def then(found: tuple[People, frozenset[str]]) -> None:
            people, self._held = found
            self.show(people)

        self._desk.ask_here(call, then, lost=NOT_SEEN)

    def show(self, people: People, page: int = 0) -> None:
        """Show a page of everybody; a tap leads to one person."""
        rows = [
            Row(
                one.name,
                self._say_how(one),
                partial(self.show_person, one),
            )
            for one in sorted(people, key=lambda one: one.away)
        ]
        here = sum(not one.away for one in people)
        line = say_n("{n} person is on the list.", "{n} people are on the list.", here)
        empty = _("Nobody is on the list yet. Add somebody: a badge then signs in with one scan.")
        shown_list = Listed(_("The list of people"), rows, line, empty)
        extra = [Choice(_("Add somebody"), self.ask_name)]
        if here:
            extra.append(Choice(_("Print all badges"), self._print_all))
        desk, turn = self._desk, partial(self.show, people)
        desk.put(
            ListScreen(desk.trim, shown_list, turn=turn, back=self._back, page=page, extra=extra)
        )

    def _say_how(self, one: Person) -> str:
        if one.away:
            return _("off the list")
        badge = say("badge {code}", code=shown(one.code))
        return join((badge, _("supervisor") if one.code in self._held else ""), ", ")

    # -- one person ------------------------------------------------------------------------------

    def show_person(self, one: Person) -> None:
        """Show what can be done with somebody's badge, PIN and place on the list."""
        desk, again = self._desk, partial(self.show_person, one)
        if one.away:
            back_on = partial(self._set, one.name, on=True)
            choices = [Choice(_("Put back on the list"), back_on)]
            line = _("Off the list. The badge printed before signs in again once put back.")
        else:
            choices = [
                Choice(_("Print the badge"), partial(self._print, one)),
                Choice(_("Hours"), partial(self.hours.open, one, again)),
                Choice(_("Supervisor"), partial(self.supervisors.open, one, again)),
                Choice(_("Take off the list"), partial(self._take_off, one)),
            ]
            code = shown(one.code)
            line = say("On the list. The badge is {code}; a new print has the same.", code=code)
        choices.append(Choice(_("Back"), self.open, card=BACK))
        desk.put(AskScreen(desk.trim, one.name, choices, line=line))

    def _print(self, one: Person) -> None:
        stock = self._prints.chosen
        self._press.make(Wanted("", only=[one.code], stock=stock, people=True))

    def _print_all(self) -> None:
        self._press.make(Wanted("", stock=self._prints.chosen, people=True))

    def show_told(self, told: Told) -> None:
        """Say what became of badges."""
        desk = self._desk
        choices = (
            Choice(_("The list of people"), self.open),
            Choice(_("To the bench"), desk.open_bench),
        )
        shape = "tick" if told.good else "question"
        desk.put(AskScreen(desk.trim, told.title, choices, line=told.line, shape=shape))

    # -- on the list and off it ------------------------------------------------------------------

    def ask_name(self, typed: str = "", wrong: str = "") -> None:
        """Ask for the name of somebody new, on the screen or on a keyboard."""
        desk = self._desk
        ask = AskWords(
            _("Who is new? The name as it is to stand on the badge"),
            typed,
            wrong,
            longest=LONGEST_TYPED,
            done=_("Add"),
        )
        desk.put(WordPad(desk.trim, ask, use=self._add, back=self.open))

    def _add(self, typed: str) -> None:
        name = tidy_name(typed)
        problems = check_name(name)
        if problems:
            self.ask_name(name, say_problems(problems))
            return
        self._set(name, on=True, refused=partial(self.ask_name, name))

    def _take_off(self, one: Person) -> None:
        """Take somebody off the list; a supervisor only by a supervisor's word."""

        def go(permit: Permit | None) -> None:
            self._set(one.name, on=False, permit=permit)

        def is_one(supervisors: Sequence[Supervisor]) -> bool:
            return one.code in {other.code for other in supervisors}

        self._desk.guard(Act.SUPERVISORS, go, first=one.code, only=is_one)

    def _set(
        self,
        name: str,
        *,
        on: bool,
        refused: Callable[[str], object] | None = None,
        permit: Permit | None = None,
    ) -> None:
        desk, shop, person = self._desk, self._shop, self._desk.post.person

        def call() -> tuple[Person | None, Problems, bool]:
            before = find_person(shop.people(), name)
            if on:
                one, problems = shop.add_person(name, person=person)
            else:
                one, problems = shop.off_person(name, person=person, permit=permit)
                if one is not None:
                    self._leave(one.name)
            return one, problems, before is not None

        def then(found: tuple[Person | None, Problems, bool]) -> None:
            one, problems, was_known = found
            desk.told(good=one is not None)
            desk.show_who_works_here()
            if one is not None:
                self.show_kept(one, was_known=was_known)
            elif refused is not None:
                refused(say_problems(problems))
            else:
                self.show_told(Told(_("Nothing was changed"), say_problems(problems), good=False))

        desk.ask_here(call, then, lost=NOT_KEPT)

    def show_kept(self, one: Person, *, was_known: bool) -> None:
        """Say who is on the list now, or off it, and offer the badge and the way back."""
        desk = self._desk
        if one.away:
            title = say("{name} is off the list", name=one.name)
            line = _("The badge signs nobody in any more. What was recorded keeps the name.")
            choices = [Choice(_("Put back on the list"), partial(self._set, one.name, on=True))]
        else:
            title = say("{name} is on the list", name=one.name)
            line = _("The badge printed before signs in again.")
            if not was_known:
                code = shown(one.code)
                line = say("The badge is {code}. Print it: scanned, it signs in.", code=code)
            choices = [
                Choice(_("Print the badge"), partial(self._print, one)),
                Choice(_("Take off again"), partial(self._take_off, one)),
            ]
        choices.append(Choice(_("The list of people"), self.open))
        desk.put(AskScreen(desk.trim, title, choices, line=line, shape="tick"))
