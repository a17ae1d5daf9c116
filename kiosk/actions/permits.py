"""Ask for a supervisor's word where an act needs one, and count the tries of a PIN."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime, timedelta

from kiosk import pins
from kiosk.actions.register import Register
from kiosk.rules.entries import Kind
from kiosk.rules.lockout import Tries, begin_try, left_of, wait_of
from kiosk.rules.permission import (
    Act,
    Permit,
    Supervisor,
    find_supervisor,
    mark_of,
    refuse,
    say_locked,
    say_wrong,
    supervisors_of,
)
from kiosk.rules.problems import Problem
from kiosk.rules.words import _, say
from kiosk.store import Note


class Permits(Register):
    """What of a shop needs a supervisor."""

    def supervisors(self) -> tuple[Supervisor, ...]:
        """Return who on the list has a PIN; where nobody has, nobody is asked for anything."""
        return supervisors_of(self.people(), self.store.shop_entries(Kind.PIN_SET))

    def refused(self, act: Act, permit: Permit | None) -> tuple[Problem, ...]:
        """Return what stands against an act that may need a supervisor."""
        return refuse(act, permit, self.supervisors())

    def marked(self, permit: Permit | None) -> dict[str, str]:
        """Return what the entry of an act that needed a permit says of it."""
        return mark_of(permit, self.supervisors())

    def pin_waits(self, now: datetime) -> Mapping[str, timedelta]:
        """Return how long nobody may try a PIN, by the badge's code, where one must wait.

        Args:
            now: by the machine's own clock, as for `allow`.
        """
        left = {code: left_of(tries, now) for code, tries in self.store.tries().items()}
        return {code: wait for code, wait in left.items() if wait}

    def allow(
        self, act: Act, name: str, pin: str, *, now: datetime, person: str = ""
    ) -> tuple[Permit | None, tuple[Problem, ...]]:
        """Return a supervisor's permit for an act where the PIN is right; takes tens of ms.

        Args:
            act: what is to be done.
            name: the supervisor's name, or the code of the badge.
            pin: as typed.
            now: by the machine's own clock, never a time somebody states: it ends waits.
            person: who asks for it.

        Raises:
            StoreError: nothing is allowed.
        """
        one = find_supervisor(self.supervisors(), name)
        if one is None:
            words = say("{name} is no supervisor.", name=name)
            names = ", ".join(known.name for known in self.supervisors())
            remedy = say("Supervisors are {names}.", names=names) if names else ""
            return None, (Problem(words, remedy or _("Nobody is one yet."), value=name),)
        # counted before it is looked at: no cut of the power gives a try for nothing
        before = self.store.change_tries(one.code, lambda tries: begin_try(tries, now))
        if wait := left_of(before, now):
            if not before.told:
                self._log_refusal(one, act, before, wait, now=now, person=person)
            return None, (Problem(_("Not now."), say_locked(wait)),)
        if pins.matches(one.hash, pin):
            self.store.change_tries(one.code, lambda _tries: Tries())
            return Permit(one.name, one.code, act), ()
        tries = begin_try(before, now)
        if wait := wait_of(tries.wrong):
            self._log_refusal(one, act, tries, wait, now=now, person=person)
        return None, (say_wrong(tries),)

    def _log_refusal(
        self,
        one: Supervisor,
        act: Act,
        tries: Tries,
        wait: timedelta,
        *,
        now: datetime,
        person: str,
    ) -> None:
        body = {
            "code": one.code,
            "act": str(act),
            "wrong": tries.wrong,
            "wait_s": round(wait.total_seconds()),
        }
        self.store.write([Note(Kind.PIN_REFUSED, body=body, person=person)], now)
