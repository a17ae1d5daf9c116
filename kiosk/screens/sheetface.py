"""What the screens of sheets and of the stock ask of a shop."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from kiosk.actions.paperprints import PaperPrinter
    from kiosk.rules.problems import Problem
    from kiosk.rules.sheets.model import Material
    from kiosk.rules.sheets.views import (
        Choice,
        CutDone,
        SearchView,
        SheetsView,
        StockAnswer,
        StockView,
    )


class StockFace(Protocol):
    """The part of `kiosk.actions.Shop` that the stock needs; called on the shop's thread only."""

    def stock(self) -> StockView:
        """Return the sheets and offcuts there are."""
        ...

    def count_sheets(
        self,
        material: str,
        thickness: str,
        *,
        length: str,
        width: str,
        count: str = "",
        trim: str = "",
        person: str = "",
    ) -> StockAnswer:
        """Say how many sheets of a size there are, as typed."""
        ...

    def add_offcut(
        self, material: str, thickness: str, *, length: str, width: str, person: str = ""
    ) -> StockAnswer:
        """Add an offcut that was measured, as typed."""
        ...

    def throw_offcut(self, code: str, reason: str = "", *, person: str = "") -> StockAnswer:
        """Take an offcut out of stock."""
        ...


class SheetFace(StockFace, Protocol):
    """The part of `kiosk.actions.Shop` that sheets need; called on the shop's thread only."""

    def sheets(self, job: str) -> SheetsView | None:
        """Return the plan a job is cut by, with progress; None where none was kept."""
        ...

    def begin_sheets(
        self, job: str, heard: Callable[[], object] | None = None
    ) -> tuple[Problem, ...]:
        """Begin to look for layouts; heard is called on another thread when there is news."""
        ...

    def sheet_search(self) -> SearchView:
        """Return how far the search is."""
        ...

    def end_sheets(self) -> None:
        """End the search; the best so far can be kept."""
        ...

    def sheet_choices(self) -> tuple[Choice, ...]:
        """Return what may be kept, by material, fewest sheets first."""
        ...

    def keep_sheets(
        self, job: str, chosen: Mapping[Material, int] | None = None, *, person: str = ""
    ) -> SheetsView:
        """Keep the layouts chosen as the job's plan."""
        ...

    def make_cut(self, job: str, sheet_key: str, number: int, *, person: str = "") -> CutDone:
        """Record one line of a sheet as made, with all that follows from it."""
        ...

    def write_maps(self, view: SheetsView, out: Path, *, paper: str = "") -> tuple[Path, ...]:
        """Write maps and cuts to a PDF; return the file."""
        ...

    def paper_printer(self) -> PaperPrinter:
        """Return the printer for sheets of paper; to be used on any thread."""
        ...
