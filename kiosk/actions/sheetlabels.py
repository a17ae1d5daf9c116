"""Labels in the order the parts come off the saw."""

from __future__ import annotations

from kiosk.actions.labelfiles import Wanted
from kiosk.actions.printing import Chosen
from kiosk.actions.sheeting import Sheeting
from kiosk.rules.sheets.lines import label_order


class SheetLabels(Sheeting):
    """A shop that labels parts as they are cut."""

    def cut_order(self, job: str) -> tuple[str, ...]:
        """Return the codes of a job's parts in the order its plan frees them; none without one."""
        plan = self.sheet_plan(job)
        return label_order(plan) if plan else ()

    def _parts(self, wanted: Wanted) -> list[Chosen]:
        """Return the labels in cut order where a plan is kept; what lies on no sheet comes last."""
        rows = super()._parts(wanted)
        if wanted.order != "cut" or len(rows) < 2:
            return rows
        place = {code: number for number, code in enumerate(self.cut_order(wanted.job))}
        return sorted(rows, key=lambda row: place.get(row.label.code, len(place)))
