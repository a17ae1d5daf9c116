"""Lead through prints that did not come out, one after the other."""

from __future__ import annotations

from functools import partial
from typing import Protocol

from kiosk.rules.words import _, say
from kiosk.screens.face import DeskFace, Status
from kiosk.screens.prints import Prints
from kiosk.screens.troublescreen import TroubleActs, TroubleScreen


class ClockDesk(DeskFace, Protocol):
    """A desk that knows what the clock in its header says."""

    def status(self) -> Status:
        """Return what stands in the header of the bench."""
        ...


class TroubleDesk:
    """The screen of a print in trouble; it follows what becomes of it."""

    def __init__(self, desk: ClockDesk, prints: Prints) -> None:
        self._desk, self._prints = desk, prints
        self._screen: TroubleScreen | None = None

    def open(self, at: int = 0, said: str = "") -> None:
        """Show one of the troubles, counted round and round; without any, the bench."""
        troubles, desk, prints = self._prints.troubles(), self._desk, self._prints
        if not troubles:
            self._screen = None
            desk.open_bench()
            return
        at %= len(troubles)
        trouble = troubles[at]
        following = partial(self.open, at + 1) if len(troubles) > 1 else None
        acts = TroubleActs(
            partial(self._retry, trouble.key),
            partial(prints.cancel, trouble.key),
            following,
            desk.open_bench,
            partial(prints.mark_out, trouble.key),
        )
        self._screen = TroubleScreen(desk.trim, trouble, acts, count=len(troubles), said=said)
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
        """Try again, and say so where nothing else on the screen would change."""
        self._prints.retry(key)
        keys = [one.key for one in self._prints.troubles()]
        if key not in keys:
            return
        time = self._desk.status().clock
        said = say("Tried again at {time}.", time=time) if time else _("Tried again.")
        self.open(keys.index(key), said)
