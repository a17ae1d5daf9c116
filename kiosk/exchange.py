"""Exchange the log with the shop server in the background, for as long as the kiosk runs.

A thread of its own talks to the server and asks the shop through `ask`; nobody waits for it. A
server that is away is normal: the kiosk works on, and what waits is sent when it is back.
"""

from __future__ import annotations

import logging
import os
import select
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import datetime
from enum import StrEnum
from pathlib import Path
from threading import Event, Thread
from typing import Any, Final, Protocol, TypeVar

from kiosk.clock import Clock
from kiosk.rules.entries import to_ms
from kiosk.rules.words import say
from kiosk.store import StoreError
from kiosk.store.link import Door, Link, ServerAway, ServerRefused, Swapped, swap

LOG = logging.getLogger("cleatclock.exchange")
T = TypeVar("T")
# All choices. With the bell and the watchdog a cable that was pulled shows within 12 s.
EVERY_S: Final = 5.0  # the bell may not ring: the server is asked this often
FIRST_WAIT_S: Final = 1.0  # after no answer; twice as long each time, up to LONGEST_WAIT_S
LONGEST_WAIT_S: Final = 30.0
REFUSED_WAIT_S: Final = 60.0  # somebody has to put something right first


class Standing(StrEnum):
    """How a kiosk stands to the server."""

    JOINING = "joining"  # nothing heard yet
    TOGETHER = "together"
    APART = "apart"  # no answer; it is tried again
    REFUSED = "refused"  # somebody has to put something right


@dataclass(frozen=True, slots=True)
class Exchanged:
    """How the exchange stands.

    since is when this standing began, last when the last round ended well; sent and taken count
    entries since the start; ahead_ms is how far this machine's clock is ahead of the server's.
    words say why it is apart or refused.
    """

    standing: Standing
    since: datetime
    last: datetime | None = None
    sent: int = 0
    taken: int = 0
    ahead_ms: int = 0
    words: str = ""


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
        door: Door,
        ask: Ask,
        clock: Clock,
        told: Callable[[Exchanged], None],
    ) -> None:
        """Take how to reach the server and the shop; told gets each change, on the thread."""
        self._url, self._passfile, self._letter = url, passfile, letter
        self._door, self._clock, self._told = _Far(door, ask), clock, told
        self.state = Exchanged(Standing.JOINING, clock.now())
        self._stopping = Event()
        self._bell, self._button = os.pipe()
        os.set_blocking(self._bell, False)
        os.set_blocking(self._button, False)
        self._thread = Thread(target=self._run, name="exchange", daemon=True)

    def start(self) -> None:
        """Begin."""
        self._thread.start()

    def wake(self) -> None:
        """Begin the next round now; from any thread."""
        with suppress(OSError):  # a full pipe rings as well
            os.write(self._button, b".")

    def stop(self) -> None:
        """End; waits as long as a watchdog does."""
        self._stopping.set()
        self.wake()
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
                wait = FIRST_WAIT_S if self.state.standing is Standing.TOGETHER else wait
                self._say(Standing.APART, str(error))
            except Exception as error:
                LOG.exception("the exchange failed")
                self._say(Standing.APART, say("the exchange failed: {error}", error=error))
            if not self._stopping.is_set():
                self._rest(wait)
            wait = min(wait * 2, LONGEST_WAIT_S)

    def _talk(self) -> None:
        """Connect and exchange until the line breaks or the kiosk ends."""
        link = Link.open(self._url, passfile=self._passfile)
        try:
            check_letter(link.letter, self._letter)
            link.listen()
            while not self._stopping.is_set():
                self._round(link)
                link.wait(EVERY_S, self._bell)
                self._quiet()
        finally:
            link.close()

    def _round(self, link: Link) -> None:
        found = swap(self._door, link, clock=lambda: to_ms(self._clock.now()))
        self._heard(found)

    def _heard(self, found: Swapped) -> None:
        now = self._clock.now()
        before = self.state
        self.state = Exchanged(
            Standing.TOGETHER,
            before.since if before.standing is Standing.TOGETHER else now,
            now,
            before.sent + found.sent,
            before.taken + found.taken,
            found.ahead_ms,
        )
        self._told(self.state)

    def _say(self, standing: Standing, words: str) -> None:
        since = self.state.since if self.state.standing is standing else self._clock.now()
        self.state = replace(self.state, standing=standing, since=since, words=words)
        self._told(self.state)

    def _rest(self, seconds: float) -> None:
        """Wait, or until woken."""
        select.select([self._bell], [], [], seconds)
        self._quiet()

    def _quiet(self) -> None:
        with suppress(BlockingIOError):
            while os.read(self._bell, 4096):
                pass


class _Far:
    """The shop's door, opened on the shop's thread."""

    def __init__(self, door: Door, ask: Ask) -> None:
        self._door, self._ask = door, ask

    def outbox(self, count: int) -> Any:
        return self._ask(lambda: self._door.outbox(count))

    def heads(self) -> dict[str, tuple[int, str]]:
        return self._ask(self._door.heads)

    def take_receipts(self, received: Any) -> None:
        self._ask(lambda: self._door.take_receipts(received))

    def take_in(self, rows: Any) -> object:
        return self._ask(lambda: self._door.take_in(rows))


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
