"""Lead through prints that did not come out, one after the other."""

from __future__ import annotations

from functools import partial

from kiosk.screens.face import DeskFace
from kiosk.screens.prints import Prints
from kiosk.screens.troublescreen import TroubleActs, TroubleScreen


class TroubleDesk:
    """The screen of a print in trouble; it follows what becomes of it."""

    def __init__(self, desk: DeskFace, prints: Prints) -> None:
        self._desk, self._prints = desk, prints
        self._screen: TroubleScreen | None = None

    def open(self, at: int = 0) -> None:
        """Show one of the troubles, counted round and round; without any, the bench."""
        troubles, desk = self._prints.troubles(), self._desk
        if not troubles:
            self._screen = None
            desk.open_bench()
            return
        at %= len(troubles)
        trouble = troubles[at]
        following = partial(self.open, at + 1) if len(troubles) > 1 else None
        acts = TroubleActs(
            partial(self._retry, trouble.key),
            partial(self._prints.cancel, trouble.key),
            following,
            desk.open_bench,
        )
        self._screen = TroubleScreen(desk.trim, trouble, acts, count=len(troubles))
        desk.put(self._screen)

    def refresh(self) -> None:
        """Show the same trouble anew where it changed; where it is over, the next one."""
        screen, troubles = self._screen, self._prints.troubles()
        if screen is None or self._desk.show is not screen:
            return
        if screen.trouble in troubles and screen.count == len(troubles):
            return
        keys = [one.key for one in troubles]
        self.open(keys.index(screen.trouble.key) if screen.trouble.key in keys else 0)

    def _retry(self, key: str) -> None:
        self._prints.retry(key)
