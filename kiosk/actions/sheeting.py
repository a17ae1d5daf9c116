"""Plan what a job is cut from, cut it line by line, and keep the stock of sheets and offcuts."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from kiosk.actions.recuts import Recuts
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


class Sheeting(Recuts):
    """The sheets of a shop's jobs."""

    def sheets(self, job: str) -> SheetsView | None:
        """Return the plan a job is cut by, with progress; None where none was kept."""
        raise NotImplementedError

    def begin_sheets(
        self,
        job: str,
        heard: Callable[[], object] | None = None,
        *,
        tries: int | None = None,
        processes: int | None = None,
    ) -> tuple[Problem, ...]:
        """Begin to look for layouts of all that a job has still to be cut; one search at a time.

        Args:
            job: its code.
            heard: called from the search's thread when there is news, and at the end.
            tries: how many, of each material; None: those of the kiosk.
            processes: 0: no process is started, the thread searches; None: one.

        Returns:
            What is wrong: with any, a search goes on for the materials that have none.
        """
        raise NotImplementedError

    def sheet_search(self) -> SearchView:
        """Return how far the search is; also after its end, until another begins."""
        raise NotImplementedError

    def end_sheets(self) -> None:
        """End the search; the best so far of each material can be kept."""
        raise NotImplementedError

    def wait_sheets(self) -> None:
        """Wait until the search has ended by itself; for commands, not for a screen."""
        raise NotImplementedError

    def sheet_choices(self) -> tuple[Choice, ...]:
        """Return what may be kept, by material, fewest sheets first; number 0 is the first.

        A layout that failed a check is not among them; `sheet_search` says so in its problems.
        """
        raise NotImplementedError

    def keep_sheets(
        self, job: str, chosen: Mapping[Material, int] | None = None, *, person: str = ""
    ) -> SheetsView:
        """Keep the layouts chosen as the job's plan; sheets begun before are taken over.

        Args:
            job: whose search it was.
            chosen: the number of a choice for each material; 0 where nothing is said.
            person: who says so.

        Raises:
            StoreError: nothing was recorded.
            LookupError: no search of this job has anything to keep.
        """
        raise NotImplementedError

    def make_cut(self, job: str, sheet_key: str, number: int, *, person: str = "") -> CutDone:
        """Record one line of a sheet as made, with all that follows from it, all or none.

        A line that frees parts is the same as their scans at cut. One made already says so. Earlier
        lines that its piece comes from count as made with it.

        Raises:
            StoreError: nothing was recorded.
        """
        raise NotImplementedError

    def place_spoiled(self, job: str, *, person: str = "") -> SheetsView | None:
        """Find a place for parts of a plan that were spoiled, and keep the plan so.

        Done by itself when a part is spoiled. None where no plan was kept.

        Raises:
            StoreError: nothing was recorded.
        """
        raise NotImplementedError

    def stock(self) -> StockView:
        """Return the sheets and offcuts there are."""
        raise NotImplementedError

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
        """Say how many sheets of a size there are, as typed; the last count of a size holds.

        Args:
            material: its name as on part lists.
            thickness: as typed, in the shop's units; '' where lists say none.
            length: along the grain, as typed.
            width: as typed.
            count: a whole number; '' for as many as it takes.
            trim: what each edge loses; '' for that of the settings.
            person: who says so.

        Raises:
            StoreError: nothing was recorded.
        """
        raise NotImplementedError

    def add_offcut(
        self, material: str, thickness: str, *, length: str, width: str, person: str = ""
    ) -> StockAnswer:
        """Add an offcut that was measured, as typed; it gets a code, and its label is due.

        Raises:
            StoreError: nothing was recorded.
        """
        raise NotImplementedError

    def throw_offcut(self, code: str, reason: str = "", *, person: str = "") -> StockAnswer:
        """Take an offcut out of stock; a plan that uses it says so from then on.

        Raises:
            StoreError: nothing was recorded.
        """
        raise NotImplementedError

    def put_back(self, sheet_key: str, *, person: str = "") -> StockAnswer:
        """Take back that a sheet was begun: it is in stock again. Refused once a part is cut.

        Raises:
            StoreError: nothing was recorded.
        """
        raise NotImplementedError
