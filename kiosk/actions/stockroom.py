"""Keep the stock of sheets and offcuts: what was counted, added, thrown away and put back."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime

from kiosk.actions.recuts import Recuts
from kiosk.clock import Clock
from kiosk.config import Settings
from kiosk.rules.entries import Kind
from kiosk.rules.fold import UnitState
from kiosk.rules.lengths import Length, System, from_mm, show
from kiosk.rules.problems import Problem
from kiosk.rules.scanning import Answer, Outcome
from kiosk.rules.sheets.model import KeptOffcut, Material, PlannedSheet, SheetPlan, SheetSize
from kiosk.rules.sheets.planread import parse_plan
from kiosk.rules.sheets.stock import Stock, fold_stock, size_body, size_key
from kiosk.rules.sheets.tasks import (
    Reserved,
    Saw,
    assumed_size,
    by_material,
    reserved_by,
    to_cut,
)
from kiosk.rules.sheets.typed import Typed, read_size
from kiosk.rules.sheets.views import OffcutView, SizeView, StockAnswer, StockView
from kiosk.rules.words import _, join, say
from kiosk.store import Note, Store
from labels.codes import code_for, parse, shown


@dataclass(frozen=True, slots=True)
class _Known:
    """What the log tells of sheets at one turn: the stock, and each job's latest plan by id."""

    turn: tuple[int, datetime | None]
    stock: Stock
    latest: Mapping[str, str]


class StockRoom(Recuts):
    """The sheets and offcuts of a shop."""

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
            self._sheets_known = _Known(turn, fold_stock(entries), latest)
        return self._sheets_known

    def sheet_plan(self, job: str) -> SheetPlan | None:
        """Return the plan a job is cut by, unchecked; None where none is kept or understood."""
        entry_id = self._known().latest.get(job)
        if entry_id is None:
            return None
        if entry_id not in self._plans:
            entry = self.store.find_entry(entry_id)
            self._plans[entry_id] = parse_plan(entry) if entry else None
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
            system=self._system(mine.units),
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

    # -- what there is ---------------------------------------------------------------------------

    def stock(self) -> StockView:
        """Return the sheets and offcuts there are."""
        self.store.refresh()
        stock = self._known().stock
        planned = reserved_by(one for _job, one in self._waiting_sheets()).sheets
        holders = {one.offcut: job for job, one in self._waiting_sheets() if one.offcut}
        sizes = [
            SizeView(
                size=one.size,
                used=one.used,
                left=one.left,
                planned=planned.get(size_key(one.size), 0),
            )
            for one in stock.sizes.values()
        ]
        for material in self._materials():
            if not stock.of(material):
                size = assumed_size(material, self.saw())
                count = planned.get(size_key(size), 0)
                sizes.append(SizeView(size=size, planned=count, is_assumed=True))
        sizes.sort(key=lambda one: _place(one.size.material, one.size.length, one.size.width))
        offcuts = sorted(stock.offcuts, key=lambda one: _place(one.material, one.length, one.width))
        return StockView(
            sizes=tuple(sizes),
            offcuts=tuple(
                OffcutView(offcut=one, reserved=holders.get(one.code, "")) for one in offcuts
            ),
        )

    def _materials(self) -> list[Material]:
        """Return what open jobs have still to be cut from."""
        waiting = to_cut(self.store.states().values())
        return list(by_material(one.piece for one in waiting))

    # -- what people say of it -------------------------------------------------------------------

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
        typed = Typed(
            material=material,
            thickness=thickness,
            length=length,
            width=width,
            count=count,
            trim=trim,
        )
        size, problems = read_size(typed, unit=self.settings.units, trim=self.saw().trim)
        if size is None:
            return StockAnswer(problems=problems)
        body = size_body(size) | {"count": size.count, "trim": size.trim}
        note = Note(Kind.STOCK_COUNTED, body=body, person=person)
        (entry,) = self.store.write([note], self.now())
        many = _("any number") if size.count is None else str(size.count)
        message = say("In stock: {many} of {size}", many=many, size=self._size_words(size))
        return StockAnswer(message=message, detail=size.material.name, entry=entry.id)

    def add_offcut(
        self, material: str, thickness: str, *, length: str, width: str, person: str = ""
    ) -> StockAnswer:
        """Add an offcut that was measured, as typed; it gets a code, and its label is due.

        Raises:
            StoreError: nothing was recorded.
        """
        typed = Typed(material=material, thickness=thickness, length=length, width=width)
        size, problems = read_size(typed, unit=self.settings.units, trim=Length(0))
        if size is None:
            return StockAnswer(problems=problems)
        code = self._new_code()
        body = size_body(size) | {"code": code}
        (entry,) = self.store.write([Note(Kind.OFFCUT_KEPT, body=body, person=person)], self.now())
        return StockAnswer(
            message=say("Offcut {code} is in stock", code=shown(code)),
            detail=_("Print its label and stick it on."),
            code=code,
            entry=entry.id,
        )

    def throw_offcut(self, code: str, reason: str = "", *, person: str = "") -> StockAnswer:
        """Take an offcut out of stock; a plan that uses it says so from then on.

        Raises:
            StoreError: nothing was recorded.
        """
        self.store.refresh()
        compact = parse(code, layout=self.settings.scanner_layout).code or code
        stock = self._known().stock
        if compact not in stock.known:
            none = say("No offcut has the code {code}.", code=code)
            return StockAnswer(problems=(Problem(none, _("Check the code."), value=code),))
        if compact in stock.gone:
            gone = say("Offcut {code} is no longer in stock", code=shown(compact))
            return StockAnswer(message=gone, detail=_("Nothing was recorded."), code=compact)
        body = {"code": compact, "reason": reason}
        (entry,) = self.store.write([Note(Kind.OFFCUT_GONE, body=body, person=person)], self.now())
        message = say("Offcut {code} is out of stock", code=shown(compact))
        return StockAnswer(message=message, code=compact, entry=entry.id)

    def _new_code(self) -> str:
        (number,) = self.store.take_numbers(1)
        return code_for(self.settings.kiosk_letter, number)

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
        job = self.jobs().get(one.job)
        units = job.units if job and job.units else self.settings.units
        return self._sides((one.length, one.width, one.material.thickness), units)

    def _size_words(self, size: SheetSize) -> str:
        return self._sides((size.length, size.width, size.material.thickness), self.settings.units)

    @staticmethod
    def _system(units: str) -> System:
        return System.INCH if units == "inch" else System.MM

    @staticmethod
    def _sides(sides: tuple[Length | None, ...], units: str) -> str:
        system = StockRoom._system(units)
        given = [side for side in sides if side is not None]
        inner = [show(side, system, unit_mark=system == System.INCH) for side in given[:-1]]
        return join([*inner, show(given[-1], system)], " × ")


def _place(material: Material, length: Length, width: Length) -> tuple[object, ...]:
    return (material.name.casefold(), material.thickness or 0, -length, -width)
