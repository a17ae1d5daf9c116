"""The prints of one kiosk: hand them to the printer, say what is in trouble, log what came out."""

from __future__ import annotations

import logging
from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from typing import Any, Final

from kiosk.actions import Kept, Order
from kiosk.rules.words import _, say_n
from kiosk.screens.face import ShopFace
from kiosk.screens.printface import MakePrints, PrintsFace, Sent, make_prints
from kiosk.screens.troubles import Trouble, see_trouble
from kiosk.screens.undrawn import Undrawn
from kiosk.screens.worker import Worker
from labels.printing import Line, Stage

LOG = logging.getLogger("cleatclock.screens")
AGAIN_S: Final = 10.0  # what came out and could not be logged is tried again this often (choice)


class Prints:
    """The prints of a kiosk; where the settings name no printer, `is_on` is False.

    chosen is the label stock somebody chose at this kiosk; empty: the settings'.
    """

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
        self.chosen = ""
        self._undrawn = Undrawn(shop, worker, self)
        self.after = self._undrawn.after

    @property
    def is_on(self) -> bool:
        """Tell whether there is a printer."""
        return self._desk is not None

    @property
    def where(self) -> str:
        """Return the printer as people name it, empty for none."""
        return self._shop.settings.printer if self.is_on else ""

    @property
    def stock(self) -> str:
        """Return the key of the label stock that is in the printer."""
        return self.chosen or self._shop.settings.label_stock

    def start(self) -> None:
        """Begin where a printer is set, with what was not out when the kiosk ended."""
        printer = self._shop.settings.printer.strip()
        if printer and self._desk is None:
            self._desk = self._make(printer, self._out, self._tell)
            self._desk.start()
            # named inside: whoever asks a late shop opens it, and that is for its own thread
            self._on_shop(lambda: self._shop.unfinished(), self._resume)

    def stop(self) -> None:
        """End; what has not come out counts as not printed, and is looked for at the next start."""
        desk, self._desk = self._desk, None
        if desk is not None:
            desk.stop()

    def _resume(self, found: Iterable[Kept]) -> None:
        for kept in found:  # each by itself, so that scans come in between
            self._undrawn.draw(kept)

    # -- asking ----------------------------------------------------------------------------------

    def submit(self, *orders: Order, person: str) -> Sent:
        """Ask for orders to be printed, each once; to be called with a printer only.

        What failed on another label stock and is printed with them is dropped.
        """
        sent = [self._submit(order, person) for order in orders]
        codes = {code for order in orders for code in order.codes}
        for line, old in self._lines():
            failed = line.state.stage is Stage.FAILED and not line.unwanted
            if failed and old.stock != orders[0].stock and codes.issuperset(old.codes):
                self.cancel(line.key)
        self._changed()
        return Sent.ASKED if Sent.ASKED in sent else sent[0]

    def _submit(self, order: Order, person: str) -> Sent:
        desk = self._desk
        assert desk is not None, "there is no printer"
        order = replace(order, key=_fresh_key(desk, order.key))
        old = desk.line(order.key)
        self._people.setdefault(order.key, person)
        sent = Sent.ASKED if old is None else self._state_of([order.key])
        desk.submit(order)
        if old is None:
            self.keep(Kept(order.key, order.wanted, person, order.before))
        return sent

    def again(self, keys: Sequence[str]) -> Sent:
        """Try again what failed of these prints; return how they stand."""
        sent = self._state_of(keys)
        for key in keys:
            self.retry(key)  # does nothing but to one that failed
        return sent

    def _state_of(self, keys: Sequence[str]) -> Sent:
        lines = [line for line in map(self._line, keys) if line is not None]
        if any(line.state.stage is Stage.FAILED for line in lines):
            return Sent.AGAIN
        if lines and all(line.settled for line in lines):
            return Sent.OUT
        return Sent.WAITS if self.why(keys) else Sent.PRINTING

    def _line(self, key: str) -> Line | None:
        return self._desk.line(key) if self._desk is not None else None

    def why(self, keys: Sequence[str]) -> str:
        """Return in words what keeps the first of these prints that is in trouble."""
        return next((one.words for one in self.troubles() if one.key in keys), "")

    def waiting(self, stock: str) -> dict[str, str]:
        """Return the codes of labels that are neither printed nor cancelled, with their keys.

        What failed on another stock waits for nothing: on this one it is printed anew.
        """
        return {
            code: line.key
            for line, order in self._lines()
            for code in order.codes
            if not line.unwanted and (line.state.stage is not Stage.FAILED or order.stock == stock)
        }

    def _lines(self) -> list[tuple[Line, Order]]:
        desk = self._desk
        found = [(line, desk.order(line.key)) for line in desk.lines()] if desk else []
        return [(line, order) for line, order in found if order is not None]

    # -- trouble ---------------------------------------------------------------------------------

    def troubles(self) -> tuple[Trouble, ...]:
        """Return every print that waits with a reason, is stopped or failed."""
        seen = (see_trouble(order, line) for line, order in self._lines())
        return (*self._undrawn.troubles(), *(one for one in seen if one is not None))

    def changed(self) -> None:
        """Show that what is in trouble changed; to be called on the drawing thread."""
        self._changed()

    def retry(self, key: str) -> None:
        """Try again."""
        if not self._undrawn.retry(key) and self._desk is not None:
            self._desk.retry(key)
            self._changed()

    def mark_out(self, key: str) -> None:
        """Note that a print has come out, as somebody saw: it is logged."""
        if self._desk is not None:
            self._desk.came_out(key)
            self._changed()

    def cancel(self, key: str) -> None:
        """Drop a print; its labels count as not printed."""
        if not self._undrawn.drop(key) and self._desk is not None:
            self._desk.cancel(key)
        self.forget(key)
        self._changed()

    def cancel_label(self, code: str) -> str:
        """Drop a label that is void, and return in words what became of it among others.

        Of labels that only wait, the others are drawn again without it. What the printer has
        already comes out whole.
        """
        said = ""
        for line, order in self._lines():
            if order.codes == (code,):
                self.cancel(line.key)
            elif code in order.codes and not line.unwanted:
                if line.is_with_printer or line.doubtful:
                    said = _("The printer has the old label already: throw it away.")
                    continue
                person = self._people.get(line.key, "")
                self.cancel(line.key)
                self._undrawn.draw(Kept(f"{line.key}-rest", order.wanted, person))
                others = len(order.codes) - 1
                said = say_n(
                    "The old label is left out of {n} that waits.",
                    "The old label is left out of {n} that wait.",
                    others,
                )
        return said

    # -- what the printer's thread tells ---------------------------------------------------------

    def _tell(self, line: Line) -> None:
        if line.state.stage is Stage.CANCELLED:
            self.forget(line.key)
        self._later(lambda _dt: self._changed(), 0)

    def _out(self, order: Order) -> None:
        person = self._people.get(order.key, "")

        def then(_: None) -> None:
            self._undrawn.came_out(order)

        def fail(error: Exception) -> None:
            LOG.error("%s came out and is not logged: %s", order.title, error, exc_info=error)
            self._later(lambda _dt: self._out(order), AGAIN_S)

        self._worker.ask(lambda: self._shop.came_out(order, person=person), then, fail=fail)

    # -- what is kept through a restart ----------------------------------------------------------

    def keep(self, kept: Kept) -> None:
        """Keep a print until it is out or dropped."""
        self._on_shop(lambda: self._shop.keep_print(kept))

    def forget(self, key: str) -> None:
        """Forget a print."""
        self._on_shop(lambda: self._shop.drop_print(key))

    def _on_shop(
        self, call: Callable[[], Any], then: Callable[[Any], None] = lambda _: None
    ) -> None:
        def fail(error: Exception) -> None:
            LOG.error("open prints: %s", error, exc_info=error)

        self._worker.ask(call, then, fail=fail)


def _fresh_key(desk: PrintsFace, key: str) -> str:
    """Return the key, or where its print was cancelled one that was not: it is wanted after all."""
    number, fresh = 2, key
    while (line := desk.line(fresh)) is not None and _is_dropped(line):
        fresh, number = f"{key}-{number}", number + 1
    return fresh


def _is_dropped(line: Line) -> bool:
    return line.unwanted or line.state.stage is Stage.CANCELLED
