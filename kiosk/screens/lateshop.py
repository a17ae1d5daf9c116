"""A shop that is opened by the thread that uses it: its file belongs to that one thread."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import AbstractContextManager, ExitStack
from typing import Any

from kiosk.config import Settings
from kiosk.screens.face import ShopFace
from kiosk.settingstext import zone_of


class LateShop:
    """Opens the shop at the first call, hands every call on, and closes it at `close`.

    A shop that cannot be opened raises at every call and is tried again at the next: the screen
    says why, and goes on by itself once the disk or the file is back.
    """

    def __init__(
        self, opening: Callable[[], AbstractContextManager[ShopFace]], settings: Settings
    ) -> None:
        """Take what opens the shop; what follows from `settings` needs no open file."""
        self.adopt(settings)
        self._opening = opening
        self._held = ExitStack()
        self._shop: ShopFace | None = None

    def adopt(self, settings: Settings) -> None:
        """Go by these settings on the drawing thread from now on."""
        self.settings = settings
        self.zone = zone_of(settings)
        self.fahrenheit = settings.temperature == "F"

    def close(self) -> None:
        """Close the shop; to be called by the thread that made the first call."""
        self._shop = None
        self._held.close()

    def __getattr__(self, name: str) -> Any:  # Any: whatever the shop has of this name
        """Return what the shop has; a method opens the shop only when it is called."""
        if name.startswith("_"):
            raise AttributeError(name)
        if callable(getattr(ShopFace, name, None)):
            return lambda *args, **rest: getattr(self._open(), name)(*args, **rest)
        return getattr(self._open(), name)

    def _open(self) -> ShopFace:
        if self._shop is None:
            self._shop = self._held.enter_context(self._opening())
        return self._shop
