"""Run the exchange with the shop server beside the screens, and know how it stands."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Protocol, TypeVar

from kiosk.clock import Clock, SystemClock
from kiosk.config import PASSFILE, Settings
from kiosk.rules.exchanging import BRIEF, SHAPES, Exchanged, Standing, say_alarm, say_mark
from kiosk.rules.words import _
from kiosk.screens.face import Linked, ShopFace
from kiosk.screens.worker import Worker

T = TypeVar("T")
Later = Callable[[Callable[[float], None]], object]


class ExchangeThread(Protocol):
    """The part of `kiosk.exchange.Exchange` that is used here."""

    def start(self) -> None:
        """Begin."""
        ...

    def wake(self) -> None:
        """Tell that there are entries to send."""
        ...

    def now(self) -> None:
        """Begin the next round now."""
        ...

    def stop(self) -> None:
        """End."""
        ...


Told = Callable[[Exchanged], None]
Make = Callable[[Settings, Path, ShopFace, Worker, Told], ExchangeThread]


def make_exchange(
    settings: Settings, folder: Path, shop: ShopFace, worker: Worker, told: Told
) -> ExchangeThread:
    """Return the exchange the settings name, not begun; told gets each change on its thread."""
    from kiosk.exchange import Exchange  # only where a server is set: it brings the driver

    return Exchange(
        settings.server,
        passfile=folder / PASSFILE,
        letter=settings.kiosk_letter,
        door=shop.door,
        ask=worker.call,
        clock=SystemClock(),
        told=told,
    )


class ExchangeFeed:
    """The exchange of a kiosk; where the settings name no server, it does nothing."""

    def __init__(
        self,
        shop: ShopFace,
        worker: Worker,
        *,
        later: Later,
        changed: Callable[[bool], None],
        make: Make = make_exchange,
    ) -> None:
        """Take `changed`, told on the drawing thread, with whether entries came in."""
        self._shop, self._worker, self._make = shop, worker, make
        self._later, self._changed = later, changed
        self._thread: ExchangeThread | None = None
        self._is_wanted = self._is_asked = False
        self.state: Exchanged | None = None
        self.clock: Clock = SystemClock()

    def start(self) -> None:
        """Begin where a server is set."""
        self._is_wanted = bool(self._shop.settings.server)
        self.tick()

    def tick(self) -> None:
        """Begin, if that could not be done before: the shop's file may be back."""
        if self._is_wanted and self._thread is None and not self._is_asked:
            self._is_asked = True
            self._worker.ask(self._prepare, self._begin, fail=self._not_begun)

    def _prepare(self) -> ExchangeThread:
        """Return the exchange; on the shop's thread, as loading it takes a moment."""
        folder, settings = self._shop.settings_file.parent, self._shop.settings
        return self._make(settings, folder, self._shop, self._worker, self._told)

    def _begin(self, made: ExchangeThread) -> None:
        self._is_asked = False
        if self._is_wanted and self._thread is None:
            self._thread = made
            self._thread.start()

    def _not_begun(self, error: Exception) -> None:
        self._is_asked = False
        if isinstance(error, ImportError):
            self._is_wanted = False
            words = _(
                "The driver for PostgreSQL is missing: python -m pip install 'psycopg[binary]'"
            )
            self.show(Exchanged(Standing.REFUSED, self.clock.now(), words=words))

    def wake(self) -> None:
        """Tell that something was recorded."""
        if self._thread is not None:
            self._thread.wake()

    def now(self) -> None:
        """Exchange now, as somebody asks for it."""
        if self._thread is not None:
            self._thread.now()

    def stop(self) -> None:
        """End."""
        self._is_wanted = False
        thread, self._thread = self._thread, None
        if thread is not None:
            thread.stop()

    def link(self) -> Linked:
        """Return how the kiosk stands to the others, nothing where it is alone."""
        if self.state is None:
            return "", "", ""
        words = say_mark(self.state, now=self.clock.now(), zone=self._shop.zone)
        return SHAPES[self.state.standing], words, BRIEF[self.state.standing]

    def alarm(self) -> str:
        """Return what somebody has to be told across the screen, or nothing."""
        return say_alarm(self.state)

    def show(self, state: Exchanged) -> None:
        """Take how it stands now; on the drawing thread."""
        came_in = state.taken != (self.state.taken if self.state else 0)
        self.state = state
        self._changed(came_in)

    def _told(self, state: Exchanged) -> None:
        self._later(lambda _dt: self.show(state))
