"""Exchange the log with the shop server in the background, for as long as the kiosk runs.

A thread of its own talks to the server and asks the shop through `ask`; nobody waits for it. A
server that is away is normal: the kiosk works on, and what waits is sent when it is back.
"""

from __future__ import annotations

import logging
import os
import select
from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from threading import Event, Thread
from time import monotonic
from typing import Final, Protocol, TypeVar

from kiosk.clock import Clock
from kiosk.rules.entries import to_ms
from kiosk.rules.exchanging import Exchanged, Standing
from kiosk.rules.words import say
from kiosk.store import StoreError
from kiosk.store.link import Door as Swapping
from kiosk.store.link import Link, Row, ServerAway, ServerRefused, Swapped, swap

LOG = logging.getLogger("cleatclock.exchange")
T = TypeVar("T")
# All choices. With the bell and the watchdog a cable that was pulled shows within 12 s.
EVERY_S: Final = 5.0  # the bell may not ring: the server is asked this often
FIRST_WAIT_S: Final = 1.0  # after no answer; twice as long each time, up to LONGEST_WAIT_S
LONGEST_WAIT_S: Final = 5.0  # a try costs the server in the shop next to nothing
REFUSED_WAIT_S: Final = 60.0  # somebody has to put something right first


__all__ = ["Door", "Exchange", "Exchanged", "Standing", "check_letter"]


class Door(Swapping, Protocol):
    """What the exchange asks of the shop."""

    def waiting(self) -> int:
        """Return how many entries made here no shop server is known to have."""
        ...

    def latest_by_kiosk(self) -> dict[str, datetime]:
        """Return when each kiosk made its latest entry here, by letter."""
        ...


class Ask(Protocol):
    """Runs a call on the thread that owns the shop, waits for it and returns what it returns."""

    def __call__(self, call: Callable[[], T]) -> T:
        """Run a call there; what it raises is raised here."""
        ...


class Exchange:
    """One kiosk's exchange with the server: a thread from `start` to `stop`."""

    def __init__(
        self,
        url: str,
        *,
        passfile: Path,
        letter: str,
        door: Callable[[], Door],
        ask: Ask,
        clock: Clock,
        told: Callable[[Exchanged], None],
    ) -> None:
        """Take how to reach the server and the shop; told gets each change, on the thread.

        door is asked anew each time, on the thread that owns the shop.
        """
        self._url, self._passfile, self._letter = url, passfile, letter
        self._door, self._clock, self._told = _Far(door, ask), clock, told
        self.state = Exchanged(Standing.JOINING, clock.now(), letter=letter)
        self._stopping, self._asked = Event(), Event()
        self._link: Link | None = None
        self._bell, self._button = os.pipe()
        os.set_blocking(self._bell, False)
        os.set_blocking(self._button, False)
        self._thread = Thread(target=self._run, name="exchange", daemon=True)

    def start(self) -> None:
        """Begin."""
        self._thread.start()

    def wake(self) -> None:
        """Tell that there are entries to send; from any thread.

        They are sent now where the server is there; one that is away is not tried more often for
        each scan.
        """
        with suppress(OSError):  # a full pipe rings as well
            os.write(self._button, b".")

    def now(self) -> None:
        """Begin the next round now, as a person asks for it; from any thread."""
        self._asked.set()
        self.wake()

    def stop(self) -> None:
        """End; what is asked of the server just now is broken off, and sent again another time."""
        self._stopping.set()
        self.wake()
        if (link := self._link) is not None:
            link.shut()
        if self._thread.is_alive():
            self._thread.join(timeout=LONGEST_WAIT_S)

    def _run(self) -> None:
        wait = FIRST_WAIT_S
        while not self._stopping.is_set():
            try:
                self._talk()
            except ServerRefused as error:
                self._say(Standing.REFUSED, str(error))
                wait = REFUSED_WAIT_S
            except (ServerAway, StoreError) as error:
                wait = min(wait, LONGEST_WAIT_S)
                wait = FIRST_WAIT_S if self.state.standing is Standing.TOGETHER else wait
                self._say(Standing.APART, str(error))
            except Exception as error:
                if self._stopping.is_set():
                    return  # the shop's thread has ended before this one
                LOG.exception("the exchange failed")
                self._say(Standing.APART, say("the exchange failed: {error}", error=error))
            self._rest(wait)
            wait = min(wait * 2, LONGEST_WAIT_S)

    def _talk(self) -> None:
        """Connect and exchange until the line breaks or the kiosk ends."""
        self._link = link = Link.open(self._url, passfile=self._passfile)
        try:
            check_letter(link.letter, self._letter)
            self.state = replace(self.state, names=link.names())
            link.listen()
            while not self._stopping.is_set():
                self._asked.clear()
                self._quiet()  # what is written from here on rings for the round after this one
                self._round(link)
                link.wait(EVERY_S, self._bell)
        finally:
            self._link = None
            link.close()

    def _round(self, link: Link) -> None:
        found = swap(self._door, link, clock=lambda: to_ms(self._clock.now()), told=self._count)
        self._heard(found)

    def _count(self, _sent: int, taken: int) -> None:
        """Tell at once of what came in with a long round, as a fresh kiosk's first."""
        if taken:
            self._told(replace(self.state, taken=self.state.taken + taken))

    def _heard(self, found: Swapped) -> None:
        now, before = self._clock.now(), self.state
        standing = Standing.REFUSED if found.wrong else Standing.TOGETHER
        self.state = replace(
            before,
            standing=standing,
            since=before.since if before.standing is standing else now,
            last=now,
            sent=before.sent + found.sent,
            taken=before.taken + found.taken,
            waiting=self._door.waiting(),
            ahead_ms=found.ahead_ms,
            words=found.wrong,
            latest=self._door.latest_by_kiosk(),
        )
        self._told(self.state)

    def _say(self, standing: Standing, words: str) -> None:
        if self._stopping.is_set():
            return
        since = self.state.since if self.state.standing is standing else self._clock.now()
        waiting = self.state.waiting
        with suppress(Exception):  # a disk that fails is said by whoever scans
            waiting = self._door.waiting()
        if (standing, words) != (self.state.standing, self.state.words):
            LOG.info("%s: %s", standing, words)
        self.state = replace(
            self.state, standing=standing, since=since, words=words, waiting=waiting
        )
        self._told(self.state)

    def _rest(self, seconds: float) -> None:
        """Wait, or until somebody asks for a round or the kiosk ends."""
        until = monotonic() + seconds
        while not self._stopping.is_set() and not self._asked.is_set():
            left = until - monotonic()
            if left <= 0:
                break
            select.select([self._bell], [], [], left)
            self._quiet()
        self._asked.clear()

    def _quiet(self) -> None:
        with suppress(BlockingIOError):
            while os.read(self._bell, 4096):
                pass


class _Far:
    """The shop's door, opened on the shop's thread."""

    def __init__(self, door: Callable[[], Door], ask: Ask) -> None:
        self._door, self._ask = door, ask

    def outbox(self, count: int) -> Sequence[Row]:
        return self._ask(lambda: self._door().outbox(count))

    def heads(self) -> dict[str, tuple[int, str]]:
        return self._ask(lambda: self._door().heads())

    def link_at(self, kiosk: str, seq: int) -> str | None:
        return self._ask(lambda: self._door().link_at(kiosk, seq))

    def match_sent(self, heads: Mapping[str, int]) -> bool:
        return self._ask(lambda: self._door().match_sent(heads))

    def take_receipts(self, received: Sequence[tuple[str, int]]) -> None:
        self._ask(lambda: self._door().take_receipts(received))

    def take_in(self, rows: Sequence[Row]) -> object:
        return self._ask(lambda: self._door().take_in(rows))

    def waiting(self) -> int:
        return self._ask(lambda: self._door().waiting())

    def latest_by_kiosk(self) -> dict[str, datetime]:
        return self._ask(lambda: self._door().latest_by_kiosk())


def check_letter(given: str, own: str) -> None:
    """Refuse to send under a letter that is another kiosk's.

    Raises:
        ServerRefused: the server knows this kiosk by another letter than it works under.
    """
    if given != own:
        raise ServerRefused(
            say(
                "the server knows this kiosk as {given}, but it works as {own}: join again with the"
                " line that `cleatclock server add-kiosk` prints",
                given=given,
                own=own,
            )
        )
