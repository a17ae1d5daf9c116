"""Look once a minute whether the nightly copy is due, and have it made beside the work."""

from __future__ import annotations

import logging

from kiosk.actions.copying import Copying
from kiosk.actions.copynotes import Night
from kiosk.screens.face import ShopFace
from kiosk.screens.worker import Worker

LOG = logging.getLogger("cleatclock.screens")
LOOK_S = 60.0  # so often it is looked whether it is due (choice)


class NightWatch:
    """Has nightly copies made while the kiosk runs; says nothing but in the log and in Copies."""

    def __init__(self) -> None:
        self._looked_at: float | None = None
        self._is_busy = False

    def look(self, shop: ShopFace, worker: Worker, *, seconds: float) -> None:
        """Look, where it was not done for a minute.

        The shop's thread reads a short note; the copy is made in a process of its own.
        """
        if self._looked_at is None:
            self._looked_at = seconds  # not at once: a kiosk that has just started has much to do
        if seconds - self._looked_at < LOOK_S:
            return
        self._looked_at = seconds
        if self._is_busy:
            return
        self._is_busy = True

        def begin(copying: Copying | None) -> None:
            if copying is None:
                self._is_busy = False
            else:
                worker.aside(copying.run_night, self._done, fail=self._failed)

        def is_due() -> Copying | None:
            copying = shop.copying()
            return copying if copying.has_work() else None

        worker.ask(is_due, begin, fail=self._failed)

    def _done(self, night: Night) -> None:
        self._is_busy = False
        what = f"not made: {night.why}" if night.why else night.file
        LOG.info("nightly copy: %s; second folder: %s", what, night.second_state or "none")

    def _failed(self, error: Exception) -> None:
        self._is_busy = False
        LOG.error("the nightly copy was not made: %s", error)
