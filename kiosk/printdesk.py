"""Print in the background: hand labels over, follow them, and tell what happens to each."""

from __future__ import annotations

import logging
import threading
from collections.abc import Callable
from typing import Final

from kiosk.actions.orders import Order
from kiosk.clock import Clock
from labels.printing import Line, Printer, Spool, Stage

LOG = logging.getLogger("cleatclock.printing")
STEP_S: Final = 1.0  # how often the printer is asked while something waits (choice)
END_S: Final = 2.0  # a printer that does not answer keeps no kiosk from closing longer (choice)


class PrintDesk:
    """The prints of one kiosk at one printer, on a thread of its own.

    out is called with each order that has come out, tell with each line that has changed; both on
    the thread that changed it. An order that is asked for again while it waits, prints or is out
    prints nothing twice; one that failed stays in `lines` until it is tried again or cancelled.
    """

    def __init__(
        self,
        printer: Printer,
        *,
        clock: Clock,
        out: Callable[[Order], None],
        tell: Callable[[Line], None] = lambda _line: None,
    ) -> None:
        """Take a printer; nothing is asked of it before the first order."""
        self.printer, self._clock, self._out, self._tell = printer, clock, out, tell
        self._orders: dict[str, Order] = {}
        self._spool = Spool(printer, tell=self._changed)
        self._wake, self._ending = threading.Event(), threading.Event()
        self._thread: threading.Thread | None = None

    def start(self) -> None:
        """Begin; may be called twice."""
        if self._thread is None:
            self._ending = threading.Event()  # the thread before may still wait for the printer
            self._thread = threading.Thread(
                target=self._run, args=(self._ending,), name="printing", daemon=True
            )
            self._thread.start()

    def stop(self) -> None:
        """End after the present step; what has not come out is not logged as printed."""
        thread, self._thread = self._thread, None
        self._ending.set()
        self._wake.set()
        if thread is not None:
            thread.join(END_S)

    def submit(self, order: Order) -> Line:
        """Ask for an order to be printed; returns at once."""
        self._orders.setdefault(order.key, order)
        line = self._spool.submit(order.sheet, key=order.key, now=self._clock.now())
        self._wake.set()
        return line

    def retry(self, key: str) -> None:
        """Try a failed print again."""
        self._spool.retry(key, now=self._clock.now())
        self._wake.set()

    def cancel(self, key: str) -> None:
        """Drop a print."""
        self._spool.cancel(key)
        self._wake.set()

    def came_out(self, key: str) -> None:
        """Note that a failed print has come out, as somebody saw."""
        self._spool.came_out(key)

    def lines(self) -> tuple[Line, ...]:
        """Return what is neither printed nor cancelled, in the order asked for."""
        return self._spool.lines()

    def line(self, key: str) -> Line | None:
        """Return the line of an order, settled ones too."""
        return self._spool.line(key)

    def order(self, key: str) -> Order | None:
        """Return an order by its key."""
        return self._orders.get(key)

    def step(self) -> int:
        """Do what is to be done now; return how many are not settled. Waits for the printer."""
        return self._spool.step(self._clock.now())

    def _run(self, ending: threading.Event) -> None:
        while not ending.is_set():
            left = self._try_step()
            self._wake.wait(STEP_S if left else None)
            self._wake.clear()

    def _try_step(self) -> int:
        """Step; what goes wrong once must not end the printing of everything after it."""
        try:
            return self.step()
        except Exception:
            LOG.exception("printing stumbled and goes on")
            return len(self.lines()) + 1  # look again soon

    def _changed(self, line: Line) -> None:
        order = self._orders.get(line.key)
        if line.state.stage is Stage.DONE and order is not None:
            self._out(order)
        self._tell(line)
