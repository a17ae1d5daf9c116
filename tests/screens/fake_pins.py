"""Supervisors of a shop written by hand: their PINs are known here, nothing is hashed."""

from __future__ import annotations

from datetime import timedelta

from kiosk.rules.permission import How, Permit, Supervisor
from kiosk.rules.problems import Problem


class FakePins:
    """Nobody is a supervisor, unless `pins` says whose PIN is which, by badge code."""

    calls: list[tuple[object, ...]]

    def __init__(self) -> None:
        super().__init__()
        self.pins: dict[str, str] = {}
        self.waits: dict[str, timedelta] = {}

    def supervisors(self):
        return tuple(
            Supervisor(one.name, one.code, "x") for one in self.people() if one.code in self.pins
        )

    def pin_waits(self, now):
        return self.waits

    def allow(self, act, name, pin, *, now, person=""):
        if self.pins.get(name) != pin:
            return None, (Problem("The PIN is wrong.", "4 tries left."),)
        (one,) = [one for one in self.supervisors() if one.code == name]
        return Permit(one.name, one.code, act), ()

    def set_pin(self, name, pin, *, permit=None, person=""):
        self.calls.append(("set_pin", name, permit, person))
        return How.SET, ()

    def drop_pin(self, name, *, permit=None, person=""):
        self.calls.append(("drop_pin", name, permit, person))
        return ()
