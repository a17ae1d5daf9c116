"""Make people supervisors, give them PINs, and take the PINs away."""

from __future__ import annotations

from collections.abc import Sequence

from kiosk import pins
from kiosk.actions.permits import Permits
from kiosk.rules.entries import Kind
from kiosk.rules.lockout import Tries
from kiosk.rules.people import Person, find_person, tidy_name
from kiosk.rules.permission import (
    Act,
    How,
    Permit,
    check_pin,
    find_supervisor,
    how_set,
    is_last_way,
)
from kiosk.rules.problems import Problem
from kiosk.rules.words import _, say
from kiosk.store import Note


class Supervising(Permits):
    """The supervisors of a shop."""

    def set_pin(
        self, name: str, pin: str, *, permit: Permit | None = None, person: str = ""
    ) -> tuple[How | None, tuple[Problem, ...]]:
        """Give somebody on the list a PIN, which makes a supervisor; takes tens of ms.

        Args:
            name: somebody on the list.
            pin: 6 to 12 digits.
            permit: of a supervisor, where there is one; one's own changes one's own PIN.
            person: who does it.

        Returns:
            How they came to it, or None and what is wrong.

        Raises:
            StoreError: nothing was kept.
        """
        one = find_person(self.people(), name)
        problems = self.unlisted(name) or self.refused(Act.SUPERVISORS, permit) or check_pin(pin)
        if one is None or problems:
            return None, problems
        how = how_set(one.code, permit, self.supervisors())
        self._keep(one, pin, how, permit, person)
        return how, ()

    def reset_pins(
        self, names: Sequence[str], new: Sequence[str], *, person: str = ""
    ) -> tuple[Problem, ...]:
        """Give the last supervisors new PINs without asking for one: by who has the shop's file.

        Args:
            names: all supervisors there are, else it is refused.
            new: a PIN for each.
            person: who does it.

        Raises:
            StoreError: nothing more was kept.
        """
        problems = self.may_reset(names)
        problems = problems or tuple(wrong for pin in new for wrong in check_pin(pin))
        if problems:
            return problems
        supervisors = self.supervisors()
        for name, pin in zip(names, new, strict=True):
            one = find_supervisor(supervisors, name)
            if one is not None:
                self._keep(Person(one.name, one.code), pin, How.BY_FILE, None, person)
        return ()

    def may_reset(self, names: Sequence[str]) -> tuple[Problem, ...]:
        """Return what stands against new PINs for these without a supervisor's word.

        Refused while another supervisor is left who could be asked.
        """
        supervisors = self.supervisors()
        found = {name: find_supervisor(supervisors, name) for name in names}
        for name, one in found.items():
            if one is None:
                words = say("{name} is no supervisor.", name=name)
                return (Problem(words, _("There is nothing to reset."), value=name),)
        codes = {one.code for one in found.values() if one is not None}
        if is_last_way(codes, supervisors):
            return ()
        left = ", ".join(one.name for one in supervisors if one.code not in codes)
        words = say("{names} can be asked: a supervisor resets another one's PIN.", names=left)
        return (Problem(words, _("With --supervisor NAME, or name all who forgot theirs.")),)

    def drop_pin(
        self, name: str, *, permit: Permit | None = None, person: str = ""
    ) -> tuple[Problem, ...]:
        """Take somebody's PIN away: no supervisor any more.

        Raises:
            StoreError: nothing was kept.
        """
        one = find_supervisor(self.supervisors(), name)
        if one is None:
            words = say("{name} is no supervisor.", name=tidy_name(name))
            return (Problem(words, _("There is nothing to take away."), value=name),)
        problems = self.refused(Act.SUPERVISORS, permit)
        if not problems:
            self.store.write([self.dropped(one.code, permit, person)], self.now())
        return problems

    def dropped(self, code: str, permit: Permit | None, person: str) -> Note:
        """Return the note that takes the PIN of a badge away."""
        body = {"code": code, **self.marked(permit)}
        return Note(Kind.PIN_SET, body=body, person=person)

    def _keep(self, one: Person, pin: str, how: How, permit: Permit | None, person: str) -> None:
        kept = {"code": one.code, "hash": pins.hash_pin(pin), "how": str(how)}
        body = {**kept, **self.marked(permit)}
        self.store.write([Note(Kind.PIN_SET, body=body, person=person)], self.now())
        # a new PIN has not been tried yet; who set it was allowed to
        self.store.change_tries(one.code, lambda _tries: Tries())

    def unlisted(self, name: str) -> tuple[Problem, ...]:
        """Return that nobody on the list has this name, nothing where somebody has."""
        one = find_person(self.people(), name)
        if one is not None and not one.away:
            return ()
        words = say("Nobody on the list is called {name}.", name=tidy_name(name) or "?")
        return (Problem(words, _("Put them on the list first."), value=name),)
