"""What the screens about supervisors ask of a shop."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta
from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from kiosk.rules.permission import Act, How, Permit, Supervisor
    from kiosk.rules.problems import Problem

    Problems = tuple[Problem, ...]


class PinFace(Protocol):
    """The part of `kiosk.actions.Shop` that PINs need; called on the shop's thread only."""

    def supervisors(self) -> Sequence[Supervisor]:
        """Return who on the list has a PIN."""
        ...

    def pin_waits(self, now: datetime) -> Mapping[str, timedelta]:
        """Return how long nobody may try a PIN, by the badge's code, where one must wait."""
        ...

    def allow(
        self, act: Act, name: str, pin: str, *, now: datetime, person: str = ""
    ) -> tuple[Permit | None, Problems]:
        """Return a supervisor's permit for an act where the PIN is right."""
        ...

    def set_pin(
        self, name: str, pin: str, *, permit: Permit | None = None, person: str = ""
    ) -> tuple[How | None, Problems]:
        """Give somebody on the list a PIN."""
        ...

    def drop_pin(self, name: str, *, permit: Permit | None = None, person: str = "") -> Problems:
        """Take somebody's PIN away."""
        ...
