"""Labels in the order the parts come off the saw, and the labels of offcuts."""

from __future__ import annotations

from dataclasses import replace

from kiosk.actions.labelfiles import Wanted
from kiosk.actions.printing import Chosen, Picked
from kiosk.actions.sheeting import Sheeting
from kiosk.rules.lengths import System, show
from kiosk.rules.sheets.lines import label_order
from kiosk.rules.sheets.model import KeptOffcut
from kiosk.rules.sheets.views import PartName
from kiosk.rules.words import _, join
from labels.artwork import LabelText


class SheetLabels(Sheeting):
    """A shop that labels what it cuts from sheets."""

    def part_names(self, job: str) -> dict[str, PartName]:
        """Return what the parts of a job are called, by their codes."""
        found = {}
        for unit in self.store.units_of(job):
            state = self.store.state(job, unit)
            for one in state.pieces if state else ():
                size = self.size_text(job, one.piece)
                found[one.piece.code] = PartName(one.piece.part, unit, size)
        return found

    def cut_order(self, job: str) -> tuple[str, ...]:
        """Return the codes of a job's parts in the order its plan frees them; none without one."""
        view = self.sheets(job)
        return label_order(view.plan) if view else ()

    def _parts(self, wanted: Wanted) -> list[Chosen]:
        """Return the parts' labels in cut order where a plan is kept; other parts come after."""
        rows = super()._parts(wanted)
        if wanted.order != "cut" or len(rows) < 2:
            return rows
        place = {code: number for number, code in enumerate(self.cut_order(wanted.job))}
        return sorted(rows, key=lambda row: place.get(row.label.code, len(place)))

    def _pick(self, wanted: Wanted, person: str) -> Picked:
        """Return the labels wanted, those of offcuts after those of parts, or every problem."""
        known = self._offcuts_named(wanted)
        if not known:
            return super()._pick(wanted, person)
        rest = [code for code in wanted.only if code not in known]
        stock, problems = self._stock(wanted)
        rows: tuple[Chosen, ...] = ()
        if rest:
            rows, stock, problems = super()._pick(replace(wanted, only=rest), person)
        if problems:
            return (), stock, problems
        labels = [Chosen(self._offcut_text(one), one.job, "") for one in known.values()]
        return (*rows, *labels), stock, ()

    def _offcuts_named(self, wanted: Wanted) -> dict[str, KeptOffcut]:
        """Return which of the codes wanted are offcuts in stock."""
        if wanted.units or wanted.people or not wanted.only:
            return {}
        known = {one.offcut.code: one.offcut for one in self.stock().offcuts}
        return {code: known[code] for code in wanted.only if code in known}

    def _offcut_text(self, offcut: KeptOffcut) -> LabelText:
        job = self.jobs().get(offcut.job)
        units = job.units if job else self.settings.units
        system = System.INCH if units == "inch" else System.MM
        sides = [offcut.length, offcut.width]
        if offcut.material.thickness is not None:
            sides.append(offcut.material.thickness)
        inner = [show(side, system, unit_mark=system == System.INCH) for side in sides[:-1]]
        return LabelText(
            code=offcut.code,
            title=_("Offcut"),
            size=join([*inner, show(sides[-1], system)], " × "),
            grain="length",  # of every sheet, so of what is left of one
            job=offcut.job,
            material=offcut.material.name,
        )
