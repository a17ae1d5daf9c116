"""The sheets of a shop written by hand: a real small plan, and what was asked of it."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace

from kiosk.actions import DaySheets
from kiosk.rules.problems import Problem
from kiosk.rules.sheets.lines import cut_lines
from kiosk.rules.sheets.views import CutDone, SearchView, SheetsView, StockAnswer, StockView
from kiosk.screens.buysamples import sample_buying
from kiosk.screens.sheetsamples import (
    JOB,
    sample_choices,
    sample_search,
    sample_stock,
    sample_view,
)


class FakeSheets:
    """`steps` cuts are made of the plan; without `has_plan` there is none yet.

    `search` is what goes on; `cut_refused` makes cuts refused in these words.
    """

    def __init__(self) -> None:
        super().__init__()
        self.has_plan, self.steps = True, 0
        self.search = SearchView()
        self.ways = sample_choices()
        self.stocked: StockView = sample_stock()
        self.sheet_calls: list[tuple[object, ...]] = []
        self.cut_refused = self.stock_refused = ""
        self.begin_problems: tuple[Problem, ...] = ()
        self.unplanned: tuple[str, ...] = ()
        self.heard_sheets = None

    def standings(self):
        return [SimpleNamespace(job="GLAZE", unit=one.spec.unit) for one in self.units]

    def sheets(self, job: str) -> SheetsView | None:
        if not self.has_plan or job != JOB:
            return None
        return replace(sample_view(steps=self.steps), unplanned=self.unplanned)

    def begin_sheets(self, job, heard=None, *, tries=None, processes=None):
        self.sheet_calls.append(("begin", job))
        self.heard_sheets = heard
        if not self.begin_problems:
            self.search = replace(sample_search(), job=job)
        return self.begin_problems

    def sheet_search(self) -> SearchView:
        return self.search

    def end_sheets(self) -> None:
        self.sheet_calls.append(("end",))
        self.search = replace(self.search, is_running=False, share=1.0)

    def sheet_choices(self):
        return self.ways if self.search.has_choices else ()

    def keep_sheets(self, job, chosen=None, *, person=""):
        self.sheet_calls.append(("keep", job, dict(chosen or {}), person))
        self.has_plan = True
        return self.sheets(job)

    def make_cut(self, job, sheet_key, number, *, person="") -> CutDone:
        self.sheet_calls.append(("cut", sheet_key, number, person))
        view = self.sheets(job)
        one = view.sheet(sheet_key)
        if self.cut_refused:
            return CutDone(outcome="on_hold", message=self.cut_refused, next=one.next)
        line = next(line for line in cut_lines(one.planned) if line.number == number)
        self.steps += 1
        after = self.sheets(job).sheet(sheet_key)
        return CutDone(
            outcome="recorded",
            message=f"Cut {number} made",
            labels=line.frees,
            entry="e1",
            next=after.next,
        )

    def stock(self) -> StockView:
        return self.stocked

    def count_sheets(self, material, thickness, *, length, width, count="", trim="", person=""):
        self.sheet_calls.append(("count", material, thickness, length, width, count, trim))
        return self._answer("Counted")

    def add_offcut(self, material, thickness, *, length, width, person=""):
        self.sheet_calls.append(("offcut", material, thickness, length, width))
        return replace(self._answer("Offcut added"), code="K7F3Q97")

    def throw_offcut(self, code, reason="", *, person=""):
        self.sheet_calls.append(("throw", code, reason))
        return self._answer("Offcut gone")

    def write_maps(self, view, out, *, paper=""):
        self.sheet_calls.append(("maps", view.plan.job, out.name))
        return (out,)

    def buying(self, jobs=(), *, whole=False, allowance=None):
        self.sheet_calls.append(("buying", tuple(jobs)))
        return sample_buying(*jobs)

    def buying_sheets(self, buying, *, paper=""):
        self.sheet_calls.append(("print", buying.jobs))
        return DaySheets(Path("buy.pdf"), self.paper_printer())

    def _answer(self, words: str) -> StockAnswer:
        if self.stock_refused:
            return StockAnswer(problems=(Problem(self.stock_refused, "Type less."),))
        return StockAnswer(message=words)
