"""Print labels: at a network printer by IPP, or at a print queue of this computer."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from labels.printing.network import NetworkPrinter
from labels.printing.post import parse_place
from labels.printing.queue import QueuePrinter, discover, is_queue_name
from labels.printing.spool import Line, Spool
from labels.printing.values import (
    PDF,
    PNG,
    PWG_RASTER,
    Printer,
    PrintRefused,
    PrintState,
    Sheet,
    Stage,
    Ticket,
)

__all__ = [
    "PDF",
    "PNG",
    "PWG_RASTER",
    "Line",
    "NoPrinter",
    "PrintRefused",
    "PrintState",
    "Printer",
    "Sheet",
    "Spool",
    "Stage",
    "Ticket",
    "discover",
    "open_printer",
]


class NoPrinter:
    """Stands where there is no printer, and says why; see `Printer`."""

    def __init__(self, where: str, state: PrintState) -> None:
        self._where, self._state = where, state

    @property
    def where(self) -> str:
        """Return what was given as the printer."""
        return self._where

    def check(self) -> PrintState:
        """Return why there is no printer."""
        return self._state

    def dots(self) -> tuple[int, ...]:
        """Return nothing: there is no printer to know its dots."""
        return ()

    def submit(self, sheet: Sheet, *, key: str) -> Ticket:  # noqa: ARG002 - of the protocol
        """Refuse."""
        raise PrintRefused(self._state)

    def find(self, key: str) -> Ticket | None:  # noqa: ARG002
        """Return None: nothing is here."""
        return None

    def state(self, ticket: Ticket) -> PrintState:  # noqa: ARG002
        """Return why there is no printer."""
        return self._state

    def cancel(self, ticket: Ticket) -> PrintState:  # noqa: ARG002
        """Return why there is no printer."""
        return self._state

    def retry(self, ticket: Ticket, sheet: Sheet) -> Ticket:
        """Refuse."""
        return self.submit(sheet, key=ticket.key)


def open_printer(
    where: str,
    *,
    seconds: Callable[[], float],
    limit: float = 10.0,
    trust: Path | None = None,
) -> Printer:
    """Return the printer people named; nothing is asked of it yet, and nothing raises.

    Args:
        where: `ipp://host[:port]/path`, `ipps://…`, `http://…`, or the name of a queue. What is
            neither, or empty, gives a printer that says so and refuses every sheet.
        seconds: a clock that only runs forward, in seconds, such as `time.monotonic`.
        limit: seconds that one question may take.
        trust: for ipps, a PEM file with the printer's own certificate; without it the system's
            authorities decide. A certificate nobody vouches for is never taken.
    """
    name = where.strip()
    if "://" in name:
        place, problem = parse_place(name)
        if place is not None:
            return NetworkPrinter(place, where=name, seconds=seconds, limit=limit, trust=trust)
        return _no_printer(where, problem)
    if is_queue_name(name):
        return QueuePrinter(name, seconds=seconds, limit=limit)
    return _no_printer(where, f"{name} is no name of a print queue." if name else "")


def _no_printer(where: str, problem: str) -> NoPrinter:
    words, remedy = problem or "No printer is set.", "Choose one in the settings, or print the PDF."
    return NoPrinter(where, PrintState(Stage.FAILED, words, remedy, "no-printer"))
