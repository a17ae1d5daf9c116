"""What the prints of a kiosk ask of a print desk, and what becomes of an order."""

from __future__ import annotations

import time
from collections.abc import Callable
from enum import StrEnum
from typing import Protocol

from kiosk.actions import Order
from kiosk.clock import SystemClock
from kiosk.printdesk import PrintDesk
from labels.printing import Line, open_printer


class Sent(StrEnum):
    """What became of an order."""

    ASKED = "asked"
    PRINTING = "printing"  # it is with the printer already
    OUT = "out"  # it came out just now
    AGAIN = "again"  # it had failed and is tried again
    WAITS = "waits"  # the printer has it or is to get it, and something is wrong


class PrintsFace(Protocol):
    """The part of `kiosk.printdesk.PrintDesk` that is used here."""

    def start(self) -> None:
        """Begin."""

    def stop(self) -> None:
        """End."""

    def submit(self, order: Order) -> Line:
        """Ask for an order to be printed; returns at once."""

    def retry(self, key: str) -> None:
        """Try a failed print again."""

    def cancel(self, key: str) -> None:
        """Drop a print."""

    def came_out(self, key: str) -> None:
        """Note that a failed print has come out, as somebody saw."""

    def lines(self) -> tuple[Line, ...]:
        """Return what is neither printed nor cancelled."""

    def line(self, key: str) -> Line | None:
        """Return the line of an order."""

    def order(self, key: str) -> Order | None:
        """Return an order by its key."""


MakePrints = Callable[[str, Callable[[Order], None], Callable[[Line], None]], PrintsFace]


def make_prints(
    printer: str, out: Callable[[Order], None], tell: Callable[[Line], None]
) -> PrintsFace:
    """Return the print desk of the printer the settings name."""
    there = open_printer(printer, seconds=time.monotonic)
    return PrintDesk(there, clock=SystemClock(), out=out, tell=tell)
