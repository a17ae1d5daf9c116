"""Put people on the shop's list and off it, and print their badges and the answer cards."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from kiosk.actions.labelfiles import Wanted
from kiosk.actions.openprints import OpenPrints
from kiosk.actions.printing import Chosen, LabelRun
from kiosk.actions.supervising import Supervising
from kiosk.language import shown as in_words
from kiosk.rules.cards import CARDS
from kiosk.rules.entries import Kind
from kiosk.rules.people import Person, check_name, find_person, tidy_name
from kiosk.rules.permission import Act, Permit, find_supervisor
from kiosk.rules.problems import Problem
from kiosk.rules.words import _, say
from kiosk.store import Note
from labels.artwork import PlaceText
from labels.codes import code_for


class People(OpenPrints, Supervising):
    """The people of a shop, their badges, and the cards."""

    def add_person(
        self, name: str, *, person: str = ""
    ) -> tuple[Person | None, tuple[Problem, ...]]:
        """Put somebody on the list with a badge code of their own, or back on with the old one.

        Raises:
            StoreError: nothing was kept.
        """
        name = tidy_name(name)
        known = find_person(self.people(), name)
        problems = check_name(name)
        if known is not None and not known.away:
            words = say("{name} is on the list already.", name=known.name)
            problems = (Problem(words, _("Two of one name need a letter more each.")),)
        if problems:
            return None, problems
        if known is not None:
            return self._set(Person(name, known.code), person), ()
        (number,) = self.store.take_numbers(1)
        code = code_for(self.settings.kiosk_letter, number)
        return self._set(Person(name, code), person), ()

    def off_person(
        self, name: str, *, person: str = "", permit: Permit | None = None
    ) -> tuple[Person | None, tuple[Problem, ...]]:
        """Take somebody off the list: the badge signs nobody in any more; the log keeps the name.

        A supervisor goes with the PIN, which does not come back with the badge; that needs a
        permit, as taking the PIN away does.

        Raises:
            StoreError: nothing was kept.
        """
        known = find_person(self.people(), name)
        if known is None:
            here = ", ".join(one.name for one in self.people() if not one.away)
            words = say("Nobody on the list is called {name}.", name=tidy_name(name) or "?")
            remedy = say("On it are {names}.", names=here) if here else _("The list is empty.")
            return None, (Problem(words, remedy, value=name),)
        if known.away:
            return known, ()
        notes: list[Note] = []
        if find_supervisor(self.supervisors(), known.code) is not None:
            problems = self.refused(Act.SUPERVISORS, permit)
            if problems:
                return None, problems
            notes = [self.dropped(known.code, permit, person)]
        return self._set(Person(known.name, known.code, away=True), person, notes), ()

    def _set(self, one: Person, by: str, beside: Sequence[Note] = ()) -> Person:
        body = {"name": one.name, "code": one.code} | ({"away": True} if one.away else {})
        notes = [*beside, Note(Kind.PERSON_SET, body=body, person=by)]
        self.store.write(notes, self.now())
        return one

    def badges(self, out: Path, *, names: Sequence[str] = (), stock: str = "") -> LabelRun:
        """Write the badges of everybody on the list, or of those named, on label stock.

        Raises:
            LabelError: a badge could not be drawn, or did not read back; nothing was written.
        """
        here = [one for one in self.people() if not one.away]
        wanted = here
        problems: tuple[Problem, ...] = ()
        if names:
            found = {name: find_person(here, name) for name in names}
            wanted = [one for one in found.values() if one is not None]
            lost = ", ".join(name for name, one in found.items() if one is None)
            if lost:
                words = say("Nobody on the list is called {name}.", name=lost)
                problems = (Problem(words, _("Put them on the list first.")),)
        elif not here:
            words = _("Nobody is on the list.")
            problems = (Problem(words, _("Add somebody: cleatclock people --add NAME.")),)
        return self._named([PlaceText(one.code, one.name) for one in wanted], out, stock, problems)

    def cards(self, out: Path, *, stock: str = "") -> LabelRun:
        """Write the answer cards on label stock; they are the same in every shop.

        Raises:
            LabelError: a card could not be drawn, or did not read back; nothing was written.
        """
        return self._named(
            [PlaceText(one.code, in_words(one.title)) for one in CARDS], out, stock, ()
        )

    def _named(
        self, texts: Sequence[PlaceText], out: Path, stock: str, problems: tuple[Problem, ...]
    ) -> LabelRun:
        wanted = Wanted("", stock=stock)
        chosen, wrong = self._stock(wanted)
        if out.suffix.lower() not in (".pdf", ".png"):
            words = say("Labels cannot be written as {file}.", file=out.name)
            wrong = (*wrong, Problem(words, _("Use .pdf or .png.")))
        if problems or wrong or chosen is None:
            return LabelRun(problems=(*problems, *wrong))
        rows = tuple(Chosen(text, "", "") for text in texts)
        return self._to_file(rows, chosen, wanted, out, "")
