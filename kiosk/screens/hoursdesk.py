"""Show when somebody works, at what, and on which days not; set what differs from the shop."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial
from typing import Final, Protocol

from kiosk.rules.people import Person
from kiosk.rules.problems import Problem
from kiosk.rules.words import Phrase, _, join, say, say_n
from kiosk.rules.workday import FIELDS, WEEKDAYS, Hours
from kiosk.screens.face import DeskFace
from kiosk.screens.flow import say_problems
from kiosk.screens.rows import Listed, ListScreen, Row
from kiosk.screens.wordpad import AskWords, WordPad

NOT_SEEN = _("The hours could not be shown. Try again.")
NOT_KEPT = _("The hours were not kept. Try again.")
# What each of FIELDS is called, and how it is written.
ASKED: Final = {
    "opens": (_("comes"), _("When does {name} come? Such as 07:30")),
    "closes": (_("goes"), _("When does {name} go? Such as 17:00")),
    "break_starts": (_("break from"), _("When does the break of {name} begin? Such as 12:00")),
    "break_minutes": (_("break, minutes"), _("How many minutes is the break of {name}?")),
    "days": (_("days"), _("Which days does {name} work? Such as Mon-Thu, Sat")),
    "stations": (_("stations"), _("Where does {name} work? cut, assemble, finish, install")),
    "away": (_("away"), _("When is {name} away? Such as 2026-05-01..2026-05-08")),
}


class HoursFace(Protocol):
    """The part of `kiosk.actions.Shop` that hours need; called on the shop's thread only."""

    def shop_hours(self) -> Hours:
        """Return the hours of the shop itself."""
        ...

    def hours(self) -> Mapping[str, Mapping[str, str]]:
        """Return what differs from them, by badge code."""
        ...

    def set_hours(
        self, name: str, texts: Mapping[str, str], *, person: str = ""
    ) -> tuple[Person | None, tuple[Problem, ...]]:
        """Set what of somebody's hours differs."""
        ...


class HoursDesk:
    """The screens of one person's hours."""

    def __init__(self, shop: HoursFace, desk: DeskFace) -> None:
        self._shop, self._desk = shop, desk

    def open(self, one: Person, back: Callable[[], object]) -> None:
        """Show somebody's hours; back leads to where they were asked."""

        def call() -> tuple[Hours, Mapping[str, str]]:
            return self._shop.shop_hours(), self._shop.hours().get(one.code, {})

        def then(found: tuple[Hours, Mapping[str, str]]) -> None:
            self.show(one, *found, back=back)

        self._desk.ask_here(call, then, lost=NOT_SEEN)

    def show(
        self,
        one: Person,
        usual: Hours,
        own: Mapping[str, str],
        *,
        back: Callable[[], object],
        page: int = 0,
    ) -> None:
        """Show a page of what there is to set; a tap sets it."""
        rows = [
            Row(
                ASKED[field][0],
                _("of their own") if own.get(field) else _("as in the shop"),
                partial(self.ask, one, field, own.get(field, ""), back=back),
                "tick" if own.get(field) else "",
                own.get(field) or say_usual(usual, field),
            )
            for field in FIELDS
        ]
        line = _("Tap a line to change it; a tick marks what differs from the shop's hours.")
        listed = Listed(say("Hours of {name}", name=one.name), rows, line)

        def turn(number: int) -> None:
            self.show(one, usual, own, back=back, page=number)

        self._desk.put(ListScreen(self._desk.trim, listed, turn=turn, back=back, page=page))

    def ask(
        self, one: Person, field: str, typed: str, wrong: str = "", *, back: Callable[[], object]
    ) -> None:
        """Ask for one of somebody's hours; nothing typed is as in the shop."""

        def use(text: str) -> None:
            person = self._desk.post.person

            def then(found: tuple[Person | None, tuple[Problem, ...]]) -> None:
                if found[1]:
                    self.ask(one, field, text, say_problems(found[1]), back=back)
                else:
                    self._desk.told(good=True)
                    self.open(one, back)

            call = partial(self._shop.set_hours, one.name, {field: text}, person=person)
            self._desk.ask_here(call, then, lost=NOT_KEPT)

        # the template is a marked one of ASKED, which a catalogue knows as it is
        question = say(ASKED[field][1], name=one.name)
        ask = AskWords(question, typed, wrong, may_be_empty=True)
        leave = partial(self.open, one, back)
        self._desk.put(WordPad(self._desk.trim, ask, use=use, back=leave))


def say_usual(usual: Hours, field: str) -> Phrase | str:
    """Return the shop's own value of a field as it is shown."""
    match field:
        case "opens":
            return f"{usual.opens:%H:%M}"
        case "closes":
            return f"{usual.closes:%H:%M}"
        case "break_starts":
            return f"{usual.break_starts:%H:%M}"
        case "break_minutes":
            return say("{minutes:g} min", minutes=usual.break_minutes)
        case "days":
            return join((WEEKDAYS[day] for day in usual.days), ", ")
        case "stations":
            return _("all")
        case _:
            if not usual.away:
                return _("never")
            return say_n("{n} closed time", "{n} closed times", len(usual.away))
