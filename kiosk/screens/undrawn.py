"""Labels that come by themselves: drawn on the shop's thread, or kept as a trouble in words."""

from __future__ import annotations

import logging
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from typing import Any, Final, Protocol

from kiosk.actions import Kept, Order, Unfinished, Wanted
from kiosk.actions.labelfiles import say_lost
from kiosk.rules.scanning import Answer
from kiosk.rules.words import say, say_n
from kiosk.screens.face import Problems, ShopFace
from kiosk.screens.flow import say_problems
from kiosk.screens.troubles import Trouble
from kiosk.screens.worker import Worker
from labels.codes import shown

LOG = logging.getLogger("cleatclock.screens")
UNDRAWN: Final = "undrawn-"


class PrintsHere(Protocol):
    """What is asked of the prints of the kiosk."""

    chosen: str

    @property
    def is_on(self) -> bool:
        """Tell whether there is a printer."""
        ...

    def submit(self, *orders: Order, person: str) -> Any:
        """Ask for orders to be printed."""
        ...

    def keep(self, kept: Kept) -> None:
        """Keep a print through a restart."""
        ...

    def forget(self, key: str) -> None:
        """Forget a print."""
        ...

    def changed(self) -> None:
        """Show that what is in trouble changed."""
        ...


@dataclass(frozen=True, slots=True)
class _One:
    trouble: Trouble
    kept: Kept
    again: Callable[[], object]


class Undrawn:
    """What could not be drawn; all is called on the drawing thread."""

    def __init__(self, shop: ShopFace, worker: Worker, prints: PrintsHere) -> None:
        self._shop, self._worker, self._prints = shop, worker, prints
        self._held: dict[str, _One] = {}

    def troubles(self) -> tuple[Trouble, ...]:
        """Return what could not be drawn."""
        return tuple(one.trouble for one in self._held.values())

    def after(self, answer: Answer, *, person: str, recut: bool = False) -> None:
        """Print the label that is due after what was recorded: a recut's, or a scan's if set."""
        if not self._prints.is_on:
            return
        # what is due was found out by then; only a label that cannot be drawn is kept by this
        units = answer.step == "glue-up" and not recut
        names = [answer.unit if units else answer.code]
        wanted = Wanted(answer.job, names, units=units, stock=self._prints.chosen)
        kept = Kept(f"{UNDRAWN}{answer.unit if units else answer.code}", wanted, person)
        again = partial(self.after, answer, person=person, recut=recut)

        def then(drawn: tuple[Order | None, Problems]) -> None:
            order, problems = drawn
            if problems:
                self._hold(kept, say_problems(problems), again)
                return
            if self.drop(kept.key):
                self._prints.forget(kept.key)
                self._prints.changed()
            if order is not None and self._prints.is_on:
                self._prints.submit(order, person=person)

        def fail(error: Exception) -> None:
            LOG.error("a label was not drawn: %s", error, exc_info=error)
            self._hold(kept, say_lost(error), again)

        stock = self._prints.chosen
        self._worker.ask(
            lambda: self._shop.order_at_once(answer, recut=recut, stock=stock), then, fail=fail
        )

    def _take(self, found: Unfinished) -> None:
        kept = found.kept
        if found.wrong or not found.orders:
            self._hold(kept, found.wrong, partial(self.draw, kept))
            return
        self.drop(kept.key)
        if all(order.key != kept.key for order in found.orders):
            self._prints.forget(kept.key)
        if self._prints.is_on:
            self._prints.submit(*found.orders, person=kept.person)
        self._prints.changed()

    def draw(self, kept: Kept) -> None:
        """Draw and print what was kept through a restart."""

        def fail(error: Exception) -> None:
            LOG.error("a label was not drawn: %s", error, exc_info=error)
            self._hold(kept, say_lost(error), partial(self.draw, kept))

        self._worker.ask(lambda: self._shop.draw_kept(kept), self._take, fail=fail)

    def _hold(self, kept: Kept, words: str, again: Callable[[], object]) -> None:
        # without codes it was asked for by name: of a unit, or by a code that was never drawn
        codes = tuple(kept.before) or tuple(kept.wanted.only)
        if len(codes) > 1:
            name = say_n("{n} label", "{n} labels", len(codes))
        elif kept.wanted.units:
            name = say("Label of unit {unit}", unit=kept.wanted.only[0])
        else:
            name = say("Label {code}", code=shown(codes[0]))
        by_hand = bool(kept.wanted.job)
        trouble = Trouble(kept.key, name, codes, words, by_hand=by_hand)
        self._held[kept.key] = _One(trouble, kept, again)
        self._prints.keep(kept)
        self._prints.changed()

    def retry(self, key: str) -> bool:
        """Draw it again; return whether it is one of these."""
        one = self._held.get(key)
        if one is not None:
            one.again()
        return one is not None

    def drop(self, key: str) -> bool:
        """Drop it; return whether it was one of these."""
        return self._held.pop(key, None) is not None

    def came_out(self, order: Order) -> None:
        """Drop what has come out by other means."""
        names = {name for row in order.rows for name in (row.label.code, row.unit)}
        for key, one in list(self._held.items()):
            same = one.kept.wanted.units == order.wanted.units
            if (
                same
                and one.kept.wanted.job == order.wanted.job
                and names.issuperset(one.kept.wanted.only)
            ):
                self.drop(key)
                self._prints.forget(key)
                self._prints.changed()
