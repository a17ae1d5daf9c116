"""The prints of one kiosk: hand them to the printer, say what is in trouble, log what came out."""

from __future__ import annotations

import logging
import time
from collections.abc import Callable
from dataclasses import replace
from enum import StrEnum
from functools import partial
from typing import Final, Protocol

from kiosk.actions import Order
from kiosk.clock import SystemClock
from kiosk.printdesk import PrintDesk
from kiosk.rules.labelwords import say_drawing
from kiosk.rules.scanning import Answer
from kiosk.rules.words import say
from kiosk.screens.face import Problems, ShopFace
from kiosk.screens.flow import say_problems
from kiosk.screens.troubles import Trouble, see_trouble
from kiosk.screens.worker import Worker
from labels.codes import shown
from labels.printing import Line, Stage, open_printer

LOG = logging.getLogger("cleatclock.screens")
AGAIN_S: Final = 10.0  # what came out and could not be logged is tried again this often (choice)
UNDRAWN: Final = "undrawn-"


class Sent(StrEnum):
    """What became of an order."""

    ASKED = "asked"
    PRINTING = "printing"  # it is with the printer already
    OUT = "out"  # it came out just now
    AGAIN = "again"  # it had failed and is tried again


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


class Prints:
    """The prints of a kiosk; where the settings name no printer, `is_on` is False."""

    def __init__(
        self,
        shop: ShopFace,
        worker: Worker,
        *,
        later: Callable[[Callable[[float], None], float], object],
        changed: Callable[[], None],
        make: MakePrints = make_prints,
    ) -> None:
        """Take `changed`, called on the drawing thread when a print changed.

        later runs a function on the drawing thread after some seconds, from any thread.
        """
        self._shop, self._worker = shop, worker
        self._later, self._changed, self._make = later, changed, make
        self._desk: PrintsFace | None = None
        self._people: dict[str, str] = {}
        self._undrawn: dict[str, tuple[Trouble, Callable[[], None]]] = {}

    @property
    def is_on(self) -> bool:
        """Tell whether there is a printer."""
        return self._desk is not None

    @property
    def where(self) -> str:
        """Return the printer as people name it, empty for none."""
        return self._shop.settings.printer if self.is_on else ""

    def start(self) -> None:
        """Begin where a printer is set."""
        printer = self._shop.settings.printer.strip()
        if printer and self._desk is None:
            self._desk = self._make(printer, self._out, lambda _line: self._tell())
            self._desk.start()

    def stop(self) -> None:
        """End; what has not come out counts as not printed."""
        desk, self._desk = self._desk, None
        if desk is not None:
            desk.stop()

    # -- asking ----------------------------------------------------------------------------------

    def submit(self, order: Order, *, person: str) -> Sent:
        """Ask for an order to be printed, once; to be called with a printer only."""
        desk = self._desk
        assert desk is not None, "there is no printer"
        order = replace(order, key=_fresh_key(desk, order.key))
        old = desk.line(order.key)
        self._people.setdefault(order.key, person)
        desk.submit(order)
        self._changed()
        if old is None:
            return Sent.ASKED
        if old.state.stage is Stage.FAILED:
            return Sent.AGAIN
        return Sent.OUT if old.settled else Sent.PRINTING

    def waiting(self) -> dict[str, str]:
        """Return the codes of labels that are neither printed nor cancelled, with their keys."""
        desk, found = self._desk, {}
        for line in desk.lines() if desk else ():
            order = desk.order(line.key) if desk and not line.unwanted else None
            for row in order.rows if order else ():
                found[row.label.code] = line.key
        return found

    def after(self, answer: Answer, *, person: str, recut: bool = False) -> None:
        """Print the label that is due after what was recorded: a recut's, or a scan's if set."""
        if self._desk is None:
            return

        def then(drawn: tuple[Order | None, Problems]) -> None:
            order, problems = drawn
            if problems:
                self._not_drawn(answer, person, recut=recut, words=say_problems(problems))
                return
            if self._undrawn.pop(f"{UNDRAWN}{answer.code}", None):
                self._changed()
            if order is not None and self.is_on:
                self.submit(order, person=person)

        def fail(error: Exception) -> None:
            LOG.error("a label was not drawn: %s", error, exc_info=error)
            words = say_drawing(error) or type(error).__name__
            self._not_drawn(answer, person, recut=recut, words=words)

        self._worker.ask(lambda: self._shop.order_at_once(answer, recut=recut), then, fail=fail)

    def _not_drawn(self, answer: Answer, person: str, *, recut: bool, words: str) -> None:
        key, name = f"{UNDRAWN}{answer.code}", say("Label {code}", code=shown(answer.code))
        again = partial(self.after, answer, person=person, recut=recut)
        self._undrawn[key] = (Trouble(key, name, (answer.code,), words), again)
        self._changed()

    # -- trouble ---------------------------------------------------------------------------------

    def troubles(self) -> tuple[Trouble, ...]:
        """Return every print that waits with a reason, is stopped or failed."""
        desk = self._desk
        found = [trouble for trouble, _ in self._undrawn.values()]
        for line in desk.lines() if desk else ():
            order = desk.order(line.key) if desk else None
            trouble = see_trouble(order, line) if order is not None else None
            if trouble is not None:
                found.append(trouble)
        return tuple(found)

    def retry(self, key: str) -> None:
        """Try again."""
        if key in self._undrawn:
            _trouble, again = self._undrawn[key]
            again()
        elif self._desk is not None:
            self._desk.retry(key)
            self._changed()

    def cancel(self, key: str) -> None:
        """Drop a print; its labels count as not printed."""
        if key not in self._undrawn and self._desk is not None:
            self._desk.cancel(key)
        self._undrawn.pop(key, None)
        self._changed()

    # -- what the printer's thread tells ---------------------------------------------------------

    def _tell(self) -> None:
        self._later(lambda _dt: self._changed(), 0)

    def _out(self, order: Order) -> None:
        person = self._people.get(order.key, "")

        def fail(error: Exception) -> None:
            LOG.error("%s came out and is not logged: %s", order.title, error, exc_info=error)
            self._later(lambda _dt: self._out(order), AGAIN_S)

        self._worker.ask(
            lambda: self._shop.came_out(order, person=person), lambda _: None, fail=fail
        )


def _fresh_key(desk: PrintsFace, key: str) -> str:
    """Return the key, or where its print was cancelled one that was not: it is wanted after all."""
    number, fresh = 2, key
    while (line := desk.line(fresh)) is not None and line.state.stage is Stage.CANCELLED:
        fresh, number = f"{key}-{number}", number + 1
    return fresh
