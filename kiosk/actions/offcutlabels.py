"""Make labels of offcuts, alone or among those of a job's parts."""

from __future__ import annotations

from kiosk.actions.labelfiles import Wanted
from kiosk.actions.printing import Chosen, Picked
from kiosk.actions.sheetbook import SheetBook
from kiosk.rules.words import _
from labels.artwork import Label, LabelText


class OffcutLabels(SheetBook):
    """Labels of a shop's offcuts."""

    def _pick(self, wanted: Wanted, person: str) -> Picked:
        """Return the labels wanted: of offcuts too, alone or among a job's parts."""
        known = self._known().stock.known
        if wanted.job or wanted.people or not wanted.only or set(wanted.only) - known.keys():
            return super()._pick(wanted, person)
        stock, problems = self._stock(wanted)
        rows = tuple(Chosen(self._offcut_label(code), "", "") for code in wanted.only)
        return (() if problems else rows), stock, problems

    def _parts(self, wanted: Wanted) -> list[Chosen]:
        known = self._known().stock.known
        codes = [code for code in wanted.only if code in known]
        rows = [Chosen(self._offcut_label(code), wanted.job, "") for code in codes]
        return [*super()._parts(wanted), *rows]

    def _offcut_label(self, code: str) -> Label:
        one = self._known().stock.known[code]
        return LabelText(
            code=code,
            title=_("Offcut"),
            size=self.offcut_size(one),
            grain="length",
            job=one.job,
            material=one.material.name,
        )
