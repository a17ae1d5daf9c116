"""A shop that is opened by the thread that uses it: its file belongs to that one thread."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import AbstractContextManager, ExitStack
from datetime import datetime

from kiosk.config import Settings
from kiosk.rules.floor import Due, Floor
from kiosk.rules.scanning import Answer
from kiosk.screens.face import ShopFace


class LateShop:
    """Opens the shop at the first call, hands every call on, and closes it at `close`.

    A shop that cannot be opened raises at every call and is tried again at the next: the screen
    says why, and goes on by itself once the disk or the file is back.
    """

    def __init__(
        self, opening: Callable[[], AbstractContextManager[ShopFace]], settings: Settings
    ) -> None:
        self._opening, self._settings = opening, settings
        self._held = ExitStack()
        self._shop: ShopFace | None = None

    @property
    def settings(self) -> Settings:
        """Return the settings; they need no open file."""
        return self._settings

    def close(self) -> None:
        """Close the shop; to be called by the thread that made the first call."""
        self._shop = None
        self._held.close()

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
        return self._open().scan(text, station=station, person=person, step=step, reason=reason)

    def strike_last(self, *, person: str = "") -> Answer:
        """Void the latest entry of this kiosk."""
        return self._open().strike_last(person=person)

    def problem(self, code: str, what: str, *, person: str = "", note: str = "") -> Answer:
        """Record a problem with a part or unit."""
        return self._open().problem(code, what, person=person, note=note)

    def lift(self, text: str, *, person: str = "") -> Answer:
        """Lift a unit's holds."""
        return self._open().lift(text, person=person)

    def floor(self, now: datetime | None = None) -> Floor:
        """Return the board."""
        return self._open().floor(now)

    def due(self, station: str, now: datetime | None = None) -> tuple[Due, ...]:
        """Return what a station has to do."""
        return self._open().due(station, now)

    def now(self) -> datetime:
        """Return the time."""
        return self._open().now()

    def news(self) -> bool:
        """Take in what others wrote; tell whether there was anything."""
        return self._open().news()

    def _open(self) -> ShopFace:
        if self._shop is None:
            self._shop = self._held.enter_context(self._opening())
        return self._shop
