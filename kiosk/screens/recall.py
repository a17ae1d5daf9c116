"""Come back with the screen that was on before, and write down what is on now."""

from __future__ import annotations

import logging
from collections.abc import Callable
from typing import Protocol

from kiosk.appliance import Whereabouts
from kiosk.screens.desk import Desk
from kiosk.screens.worker import Worker

LOG = logging.getLogger("cleatclock.screens")


class Keeper(Protocol):
    """Whatever writes down where a kiosk stands."""

    def keep(self, now: Whereabouts) -> None:
        """Write it down, or raise OSError."""
        ...


class Recall:
    """Watches a desk once a second; writes happen off the drawing thread and only on a change."""

    def __init__(self, keeper: Keeper, start: Whereabouts) -> None:
        """Take where to write, and where the kiosk stood when it ended."""
        self._keeper, self._kept = keeper, start

    def come_back(self, desk: Desk) -> None:
        """Show the board on a bench that showed it."""
        if self._kept.home == "bench" and self._kept.shown == "board":
            desk.open_board()

    def look(self, desk: Desk, worker: Worker) -> None:
        """Have it written down where station, person or screen changed."""
        post = desk.post
        shown = "board" if desk.show is desk.board else "bench"
        now = Whereabouts(post.home, post.station, post.person, shown)
        if now == self._kept:
            return
        self._kept = now
        worker.ask(lambda: self._keeper.keep(now), _done, fail=_not_kept)


def stay(desk: Desk, lay_out: Callable[[], None]) -> None:
    """Lay a desk out anew without leaving the board it shows."""
    on_board = desk.show is desk.board
    lay_out()
    if on_board:
        desk.open_board()


def _done(_: None) -> None:
    pass


def _not_kept(error: Exception) -> None:
    # the next look keeps what changes then; until then a restart shows an older screen
    LOG.warning("where the kiosk stands was not written down: %s", error)
