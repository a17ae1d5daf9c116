"""Know what the log tells of sheets and offcuts: the stock, and the plan of each job."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import datetime

from kiosk.actions.recuts import Recuts
from kiosk.clock import Clock
from kiosk.config import Settings
from kiosk.rules.entries import Kind
from kiosk.rules.fold import UnitState
from kiosk.rules.lengths import Length, System, from_mm, tape
from kiosk.rules.scanning import Answer, Outcome
from kiosk.rules.sheets.model import KeptOffcut, PlannedSheet, SheetPlan, SheetSize
from kiosk.rules.sheets.planread import parse_plan
from kiosk.rules.sheets.stock import Stock, fold_stock
from kiosk.rules.sheets.tasks import (
    Reserved,
    Saw,
    reserved_by,
)
from kiosk.rules.words import _, join, say
from kiosk.store import Store


@dataclass(frozen=True, slots=True)
class _Known:
    """What the log tells of sheets at one turn.

    latest is the id of each job's latest plan, begun the keys of its sheets that are begun.
    """

    turn: tuple[int, datetime | None]
    stock: Stock
    latest: Mapping[str, str]
    begun: Mapping[str, tuple[str, ...]]


class SheetBook(Recuts):
    """What a shop knows of its sheets and offcuts."""

    def __init__(self, store: Store, settings: Settings, clock: Clock) -> None:
        super().__init__(store, settings, clock)
        self._sheets_known: _Known | None = None
        self._plans: dict[str, SheetPlan | None] = {}

    # -- what the log tells ----------------------------------------------------------------------

    def _known(self) -> _Known:
        turn = self.store.sheet_turn
        if self._sheets_known is None or self._sheets_known.turn != turn:
            entries = self.store.sheet_entries()
            latest = {one.job: one.id for one in entries if one.kind == Kind.SHEETS_PLANNED}
            begun: dict[str, tuple[str, ...]] = {}
            for one in entries:
                key = one.body.get("sheet")
                if one.kind == Kind.SHEET_USED and isinstance(key, str):
                    begun[one.job] = tuple(dict.fromkeys([*begun.get(one.job, ()), key]))
            self._sheets_known = _Known(turn, fold_stock(entries), latest, begun)
        return self._sheets_known

    def sheet_plan(self, job: str) -> SheetPlan | None:
        """Return the plan a job is cut by, unchecked; None where none is kept or understood.

        A sheet that was begun at another kiosk, unknown to who planned anew, stands before the
        others: it lies there half cut.
        """
        known = self._known()
        plan = self._parsed(known.latest.get(job, ""))
        if plan is None or job not in self.jobs():
            return None
        have = {one.key for one in plan.sheets}
        lost = [key for key in known.begun.get(job, ()) if key not in have]
        if not lost:
            return plan
        before = (self._parsed(key.rpartition("/")[0]) for key in lost)
        sheets = [one for of in before if of for one in of.sheets if one.key in lost]
        return replace(plan, sheets=(*dict.fromkeys(sheets), *plan.sheets))

    def _parsed(self, entry_id: str) -> SheetPlan | None:
        """Return the plan of an entry, read once."""
        if entry_id not in self._plans:
            entry = self.store.find_entry(entry_id)
            if entry is None or entry.kind != Kind.SHEETS_PLANNED:
                return None  # it may still come from another kiosk
            self._plans[entry_id] = parse_plan(entry)
        return self._plans[entry_id]

    def saw(self) -> Saw:
        """Return the blade of the settings, and the sheets they assume."""
        mine = self.settings
        return Saw(
            kerf=from_mm(mine.kerf_mm),
            trim=from_mm(mine.trim_mm),
            least_offcut=from_mm(mine.least_offcut_mm),
            length=from_mm(mine.sheet_length_mm),
            width=from_mm(mine.sheet_width_mm),
            system=self.job_system(),
        )

    def _waiting_sheets(self) -> Iterator[tuple[str, PlannedSheet]]:
        """Yield the sheets of open jobs' plans that are not begun, with their jobs."""
        used = self._known().stock.used
        for job in self.jobs().values():
            plan = self.sheet_plan(job.code) if job.open else None
            for one in plan.sheets if plan else ():
                if one.key not in used:
                    yield job.code, one

    def reserved(self, *, without: str = "") -> Reserved:
        """Return what plans of open jobs will take, but for that of one job."""
        return reserved_by(one for job, one in self._waiting_sheets() if job != without)

    def units_of(self, job: str) -> list[UnitState]:
        """Return the units of a job as they stand."""
        found = (self.store.state(job, unit) for unit in self.store.units_of(job))
        return [one for one in found if one is not None]

    # -- an offcut's code ------------------------------------------------------------------------

    def no_label(self, code: str) -> Answer | None:
        """Return the answer to a code that is on no part: an offcut's, a badge's, a card's."""
        known = self._known().stock.known.get(code)
        return super().no_label(code) if known is None else self._about_offcut(known)

    def _about_offcut(self, one: KeptOffcut) -> Answer:
        holder = next((job for job, of in self._waiting_sheets() if of.offcut == one.code), "")
        if one.code in self._known().stock.gone:
            state = _("It is used up or thrown away: take the label off.")
        elif holder:
            state = say("Reserved for {job}.", job=holder)
        else:
            state = _("It is free.")
        size = self.offcut_size(one)
        return Answer(
            Outcome.ELSEWHERE,
            say("This is an offcut of {material}", material=one.material.name),
            join([say("{size}, the grain along the first.", size=size), state]),
            code=one.code,
            size=size,
        )

    def offcut_size(self, one: KeptOffcut) -> str:
        """Return length × width × thickness in the units of its job, or of the shop."""
        sides = (one.length, one.width, one.material.thickness)
        return self._sides(sides, self.job_system(one.job))

    def _size_words(self, size: SheetSize) -> str:
        return self._sides((size.length, size.width, size.material.thickness), self.job_system())

    @staticmethod
    def _sides(sides: tuple[Length | None, ...], system: System) -> str:
        given = [side for side in sides if side is not None]
        inner = [tape(side, system, unit_mark=system == System.INCH) for side in given[:-1]]
        return join([*inner, tape(given[-1], system)], " × ")
