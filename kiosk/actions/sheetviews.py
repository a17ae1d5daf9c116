"""Show the plan a job's sheets are cut by with its progress; what fails a check is not shown."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from kiosk.actions.stockroom import StockRoom
from kiosk.clock import Clock
from kiosk.config import Settings
from kiosk.rules.fold import PieceState, UnitState
from kiosk.rules.parts import Piece
from kiosk.rules.sheets.checks import codes_on, find_faults, say_fault
from kiosk.rules.sheets.lines import cut_lines
from kiosk.rules.sheets.model import CutLine, PlannedSheet, SheetPlan
from kiosk.rules.sheets.progress import progress
from kiosk.rules.sheets.tasks import assumed_size, say_material, to_cut
from kiosk.rules.sheets.views import PartName, SheetsView, SheetView
from kiosk.rules.words import Phrase, say
from kiosk.store import Store
from labels.codes import shown


@dataclass(frozen=True, slots=True)
class _Parts:
    """The parts of a job: all by code, those that wait to be cut, those nobody asks for."""

    states: Mapping[str, PieceState]
    units: Mapping[str, str]
    waiting: frozenset[str]
    gone: frozenset[str]

    @property
    def wanted(self) -> dict[str, Piece]:
        return {code: one.piece for code, one in self.states.items()}


@dataclass(frozen=True, slots=True)
class _Checked:
    """A plan's sheets with what is wrong with each, and the names of the job's parts.

    It holds as long as the job's pieces, its units of measure and the plan's sheets are these.
    """

    wanted: Mapping[str, Piece]
    of: tuple[str, ...]
    faults: tuple[tuple[str, ...], ...]
    lines: tuple[tuple[CutLine, ...], ...]
    names: Mapping[str, PartName]


class SheetViews(StockRoom):
    """The plans of a shop's jobs as they are shown."""

    def __init__(self, store: Store, settings: Settings, clock: Clock) -> None:
        super().__init__(store, settings, clock)
        self._checked: dict[str, _Checked] = {}

    def sheets(self, job: str) -> SheetsView | None:
        """Return the plan a job is cut by, with progress; None where none was kept."""
        self.store.refresh()
        return self._view(job)

    def _view(self, job: str, notes: Sequence[str] = ()) -> SheetsView | None:
        plan = self.sheet_plan(job)
        if plan is None:
            return None
        parts = self._parts_of(self.units_of(job))
        checked = self._check(plan, parts)
        sound = [one for one, wrong in zip(plan.sheets, checked.faults, strict=True) if not wrong]
        doubled = self._doubled(sound)
        rows = [
            (one, lines, doubled.get(one.key) or (wrong and say_fault(one, wrong)))
            for one, lines, wrong in zip(plan.sheets, checked.lines, checked.faults, strict=True)
        ]
        shown_ones = tuple(self._sheet(one, lines, parts) for one, lines, why in rows if not why)
        placed = {code for one in shown_ones for code in codes_on(one.planned)}
        return SheetsView(
            plan=plan,
            sheets=shown_ones,
            names=checked.names,
            faults=tuple(why for _one, _lines, why in rows if why),
            unplanned=tuple(code for code in parts.states if code in parts.waiting - placed),
            notes=(*notes, *self._plan_notes(plan)),
        )

    def _doubled(self, sheets: Sequence[PlannedSheet]) -> dict[str, Phrase]:
        """Return why sheets are not shown whose parts lie on one that is begun, by their keys.

        So it is where one kiosk planned anew while another cut: no part is to be cut twice. sheets
        are those that passed every check: from any other nobody can cut its parts.
        """
        used = self._known().stock.used
        begun = {
            code: one.sheet.name for one in sheets if one.key in used for code in codes_on(one)
        }
        found = {}
        for one in sheets:
            other = next((begun[code] for code in codes_on(one) if code in begun), "")
            if other and one.key not in used:
                found[one.key] = say(
                    "Sheet {name} is not shown: parts of it lie on {other}, which is begun. Look "
                    "for layouts again.",
                    name=one.sheet.name,
                    other=other,
                )
        return found

    @staticmethod
    def _parts_of(units: Iterable[UnitState]) -> _Parts:
        listed = list(units)
        states = {piece.piece.code: piece for unit in listed for piece in unit.pieces}
        names = {piece.piece.code: unit.spec.unit for unit in listed for piece in unit.pieces}
        waiting = frozenset(one.piece.code for one in to_cut(listed))
        gone = frozenset(
            piece.piece.code
            for unit in listed
            for piece in unit.pieces
            if not piece.done and (unit.gone or not (piece.wanted or piece.spoiled))
        )
        return _Parts(states, names, waiting, gone)

    def _check(self, plan: SheetPlan, parts: _Parts) -> _Checked:
        """Return what is wrong with the sheets of a plan; asked anew only for other pieces."""
        wanted = parts.wanted
        known = self._checked.get(plan.id)
        of = (str(self.job_system(plan.job)), *(one.key for one in plan.sheets))
        if known is None or known.wanted != wanted or known.of != of:
            faults = tuple(tuple(map(str, find_faults(one, wanted))) for one in plan.sheets)
            lines = tuple(cut_lines(one) for one in plan.sheets)
            names = {
                code: PartName(piece.part, parts.units[code], self.size_text(plan.job, piece))
                for code, piece in wanted.items()
            }
            known = _Checked(wanted, of, faults, lines, names)
            self._checked[plan.id] = known
        return known

    def _sheet(self, planned: PlannedSheet, lines: tuple[CutLine, ...], parts: _Parts) -> SheetView:
        stock = self._known().stock
        codes = frozenset(codes_on(planned))
        unlisted = frozenset(
            code for code in codes if code not in parts.states or code in parts.gone
        )
        spoiled = frozenset(code for code in codes - unlisted if parts.states[code].spoiled)
        uncut = frozenset(code for code in spoiled if not parts.states[code].done)
        cut = codes - unlisted - parts.waiting - uncut
        made = stock.made.get(planned.key, frozenset())
        is_begun = planned.key in stock.used or bool(made) or bool(cut)
        # a part spoiled without a scan was cut, unless its sheet still lies there whole
        cut |= uncut if is_begun else frozenset()
        found = progress(lines, cut=cut, made=made, dropped=unlisted)
        return SheetView(
            planned=planned,
            lines=lines,
            done=found.done,
            next=found.next,
            parts=len(codes - unlisted),
            cut=cut,
            spoiled=spoiled,
            unlisted=unlisted,
            is_begun=is_begun,
        )

    def any_sheet(self, job: str, key: str) -> SheetView | None:
        """Return how far a sheet of a job's plan is cut, also of one that is not shown."""
        plan = self.sheet_plan(job)
        planned = next((one for one in plan.sheets if one.key == key), None) if plan else None
        if planned is None:
            return None
        return self._sheet(planned, cut_lines(planned), self._parts_of(self.units_of(job)))

    def _plan_notes(self, plan: SheetPlan) -> list[Phrase]:
        stock, saw = self._known().stock, self.saw()
        there = {"", *(one.code for one in stock.offcuts)}
        system = self.job_system(plan.job)
        notes = []
        for material in dict.fromkeys(one.material for one in plan.sheets if not one.offcut):
            if not stock.of(material):
                usual = assumed_size(material, saw)
                size = self._sides((usual.length, usual.width), system)
                notes.append(
                    say(
                        "{material}: nobody counted its sheets; they are taken to be {size}.",
                        material=say_material(material, system),
                        size=size,
                    )
                )
        notes += [
            say(
                "{sheet} is to be cut from offcut {code}, which is no longer in stock.",
                sheet=one.sheet.name,
                code=shown(one.offcut),
            )
            for one in plan.sheets
            if one.offcut not in there and one.key not in stock.used
        ]
        return notes
