"""What the screens ask of a shop, and what every screen is given."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from typing import Protocol

from kiosk.config import Settings
from kiosk.rules.floor import Due, Floor
from kiosk.rules.scanning import Answer
from kiosk.theme import Sizes


class ShopFace(Protocol):
    """The part of `kiosk.actions.Shop` that screens use; called on the shop's thread only."""

    @property
    def settings(self) -> Settings:
        """Return the settings of this kiosk."""
        ...

    def scan(
        self,
        text: str,
        *,
        station: str,
        person: str = "",
        step: str | None = None,
        reason: str | None = None,
    ) -> Answer:
        """Record what a scan means."""
        ...

    def strike_last(self, *, person: str = "") -> Answer:
        """Void the latest entry of this kiosk."""
        ...

    def problem(self, code: str, what: str, *, person: str = "", note: str = "") -> Answer:
        """Record a problem with a part or unit."""
        ...

    def lift(self, text: str, *, person: str = "") -> Answer:
        """Lift a unit's holds."""
        ...

    def floor(self, now: datetime | None = None) -> Floor:
        """Return the board."""
        ...

    def due(self, station: str, now: datetime | None = None) -> tuple[Due, ...]:
        """Return what a station has to do."""
        ...

    def now(self) -> datetime:
        """Return the time."""
        ...

    def news(self) -> bool:
        """Take in what others wrote; tell whether there was anything."""
        ...


@dataclass(frozen=True, slots=True)
class Trim:
    """How a screen is laid out on this kiosk."""

    sizes: Sizes
    left_handed: bool = False


@dataclass(frozen=True, slots=True)
class Choice:
    """One large button: its words, what it does, and its mark."""

    words: str
    act: Callable[[], object]
    shape: str = ""


@dataclass(frozen=True, slots=True)
class Status:
    """What stands in the header of a bench."""

    station: str
    person: str = ""
    clock: str = ""
    mark: str = ""
    stale: str = ""
