"""Labels drawn for a printer: what to hand over in how many prints, and what to log once out."""

from __future__ import annotations

import hashlib
import tempfile
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

from kiosk.actions.labelfiles import Wanted, kind_of
from kiosk.actions.printing import Chosen
from kiosk.actions.recuts import Recuts
from kiosk.rules.problems import Problem
from kiosk.rules.scanning import Answer, Outcome
from kiosk.rules.words import say_n
from labels.codes import shown
from labels.pages import write_pdf
from labels.printing import PDF, Sheet
from labels.stocks import Stock

# Labels of one print: when the roll ends in the middle of it, so many may come out twice. Choice.
A_PRINT: Final = 20
_NO_LABELS: Final = Wanted("")


@dataclass(frozen=True, slots=True)
class Order:
    """Labels drawn and read back for a printer: what to hand over, and what to log once it is out.

    key is the same for the same labels of a shop on the same stock until they have come out, so
    that a second tap prints nothing twice. wanted names exactly these labels.
    """

    key: str
    sheet: Sheet
    rows: tuple[Chosen, ...]
    stock: str
    wanted: Wanted = _NO_LABELS

    @property
    def title(self) -> str:
        """Return what it is in words: one label's code, or how many labels."""
        first = self.rows[0].label.code
        if len(self.rows) == 1:
            return shown(first)
        return say_n("{n} label", "{n} labels", len(self.rows))

    @property
    def codes(self) -> tuple[str, ...]:
        """Return the codes of its labels."""
        return tuple(row.label.code for row in self.rows)

    @property
    def before(self) -> dict[str, int]:
        """Return how often each of its labels had been printed."""
        return {row.label.code: row.before for row in self.rows}


@dataclass(frozen=True, slots=True)
class Ordered:
    """The prints of labels that were wanted; with problems there are none.

    held are codes left out as asked, void those of spoiled parts.
    """

    orders: tuple[Order, ...] = ()
    held: tuple[str, ...] = ()
    problems: tuple[Problem, ...] = ()
    void: tuple[str, ...] = ()


class Ordering(Recuts):
    """Labels of a shop for a printer."""

    def orders(self, wanted: Wanted, *, person: str = "", leave: Collection[str] = ()) -> Ordered:
        """Draw labels for a printer, or name every problem; nothing is logged before they are out.

        Many labels are several prints, each logged by itself; leave are codes to leave out.

        Raises:
            LabelError: a label could not be drawn, or did not read back.
        """
        rows, stock, problems = self._pick(wanted, person)
        if problems or stock is None:
            return Ordered(problems=problems)
        held = tuple(row.label.code for row in rows if row.label.code in leave)
        left = [row for row in rows if row.label.code not in leave]
        void = tuple(self._void(wanted))
        wanted = replace(wanted, stock=stock.key, new=False)
        return Ordered(
            tuple(
                self._draw(replace(wanted, only=_names(part, wanted), skip=skip), part, stock)
                for part, skip in parted(left, stock, wanted.skip)
            ),
            held,
            void=void,
        )

    def _draw(self, wanted: Wanted, rows: tuple[Chosen, ...], stock: Stock) -> Order:
        with tempfile.TemporaryDirectory(prefix="cleatclock-") as folder:
            out = Path(folder) / "labels.pdf"
            texts = [row.label for row in rows]
            write_pdf(texts, stock, dpi=self.settings.label_dpi, skip=wanted.skip, out=out)
            data = out.read_bytes()
        width, height = stock.page_mm
        many = f"{wanted.job or kind_of(wanted)} {len(rows)} labels"
        title = many if len(rows) > 1 else shown(texts[0].code)
        sheet = Sheet(data, PDF, width, height, self.settings.label_dpi, title)
        return Order(self._print_key(rows, stock, wanted.skip), sheet, rows, stock.key, wanted)

    def _print_key(self, rows: Sequence[Chosen], stock: Stock, skip: int) -> str:
        """Return what the printer is to know a print by, through a restart of either."""
        named = [f"{row.label.code}-{row.before}" for row in rows]
        if rows[0].unit:
            # two shops count alike and may share a printer: no entry of theirs has the same id
            shop = self.store.history(rows[0].job, rows[0].unit)[0].id
        else:  # nobody counts how often a place's label or a badge was printed
            shop = f"{self.now():%Y%m%d%H%M%S%f}"
        said = ",".join((*named, stock.key, str(skip), shop))
        return f"{named[0]}-{hashlib.sha256(said.encode()).hexdigest()[:16]}"

    def came_out(self, order: Order, *, person: str = "") -> None:
        """Log that the labels of an order have come out of the printer.

        Raises:
            StoreError: it is not logged.
        """
        self._log(order.rows, order.stock, order.wanted.reason, person)

    def order_at_once(
        self, answer: Answer, *, recut: bool = False, stock: str = ""
    ) -> tuple[Order | None, tuple[Problem, ...]]:
        """Draw the label that is due after what was recorded, or name every problem; see `orders`.

        Where the shop prints at once: a part's when it was cut, a unit's when it was glued up; not
        where it was printed before. recut: the label of a recut, wherever there is a printer.
        """
        if answer.outcome != Outcome.RECORDED:
            return None, ()
        wanted = Wanted(answer.job, only=[answer.code]) if recut else self._due_after(answer)
        if wanted is None:
            return None, ()
        found = self.orders(replace(wanted, stock=stock))
        return (found.orders[0] if found.orders else None), found.problems

    def _due_after(self, answer: Answer) -> Wanted | None:
        if not self.settings.print_at_once:
            return None
        state = self.store.state(answer.job, answer.unit)
        if state is None:
            return None
        if answer.step == "cut" and answer.code and not state.printed.get(answer.code):
            return Wanted(answer.job, only=[answer.code])
        if answer.step == "glue-up" and not any(map(state.printed.get, state.codes)):
            return Wanted(answer.job, only=[answer.unit], units=True)
        return None


def parted(
    rows: Sequence[Chosen], stock: Stock, skip: int
) -> Iterator[tuple[tuple[Chosen, ...], int]]:
    """Give the labels of one print after the other, of sheets whole ones, with what to skip."""
    most, at = stock.per_page * max(1, A_PRINT // stock.per_page), 0
    while at < len(rows):
        part = tuple(rows[at : at + most - skip])
        yield part, skip
        at, skip = at + len(part), 0


def _names(rows: Sequence[Chosen], wanted: Wanted) -> list[str]:
    return [row.unit if wanted.units else row.label.code for row in rows]
