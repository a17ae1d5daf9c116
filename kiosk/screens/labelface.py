"""What the screens about labels and printing ask of a shop."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from kiosk.actions import Kept, LabelRun, Order, Ordered, PartHit, Unfinished, Wanted
    from kiosk.actions.lookup import Found
    from kiosk.rules.parts import Piece
    from kiosk.rules.problems import Problem
    from kiosk.rules.scanning import Answer
    from kiosk.store import Job
    from labels.stocks import Stock


class FolderFace(Protocol):
    """The part of a shop's file that is used here: where it lies."""

    @property
    def folder(self) -> Path:
        """Return the folder the shop's file is in."""
        ...

    @property
    def file(self) -> Path:
        """Return the shop's file itself."""
        ...


class LabelFace(Protocol):
    """The part of `kiosk.actions.Shop` that labels need; called on the shop's thread only."""

    @property
    def store(self) -> FolderFace:
        """Return the shop's file."""
        ...

    def jobs(self) -> Mapping[str, Job]:
        """Return all jobs by code."""
        ...

    def find_parts(self, words: str) -> list[PartHit]:
        """Return the parts of open jobs that all words fit."""
        ...

    def find_unit(self, text: str) -> Found | Answer:
        """Return the unit a text means, or the answer that it means none."""
        ...

    def size_text(self, job: str, piece: Piece) -> str:
        """Return length × width × thickness in the job's units."""
        ...

    def stocks(self) -> Mapping[str, Stock]:
        """Return the label stocks by key."""
        ...

    def labels(self, wanted: Wanted, out: Path, *, person: str = "") -> LabelRun:
        """Write labels to a PDF or PNG and log them."""
        ...

    def orders(self, wanted: Wanted, *, person: str = "", leave: Collection[str] = ()) -> Ordered:
        """Draw labels for a printer, or name every problem."""
        ...

    def order_at_once(
        self, answer: Answer, *, recut: bool = False, stock: str = ""
    ) -> tuple[Order | None, tuple[Problem, ...]]:
        """Draw the label that is due after what was recorded, or name every problem."""
        ...

    def came_out(self, order: Order, *, person: str = "") -> None:
        """Log that the labels of an order have come out of the printer."""
        ...

    def keep_print(self, kept: Kept) -> None:
        """Keep a print until it is out or dropped."""
        ...

    def drop_print(self, key: str) -> None:
        """Forget a print."""
        ...

    def unfinished(self) -> tuple[Kept, ...]:
        """Return what was kept and is to be drawn again."""
        ...

    def draw_kept(self, kept: Kept) -> Unfinished:
        """Draw the labels of a kept print again."""
        ...
