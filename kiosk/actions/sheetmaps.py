"""Show layouts that are not kept yet, and write the sheets of a job on paper."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from pathlib import Path

from kiosk.actions.sheetlabels import SheetLabels
from kiosk.figure.sheetpages import SheetHead, draw_sheet_pages
from kiosk.rules.sheets.checks import codes_on
from kiosk.rules.sheets.lines import cut_lines
from kiosk.rules.sheets.model import PlannedSheet, SheetPlan
from kiosk.rules.sheets.planned import renamed
from kiosk.rules.sheets.views import Choice, PartName, SheetsView, SheetView


class SheetMaps(SheetLabels):
    """A shop that shows sheets before they are kept, and has them on paper."""

    def show_choices(self, job: str, chosen: Sequence[Choice]) -> SheetsView:
        """Return layouts that are not kept as a plan shows them, under names of their own.

        The plan has no id, and nothing of it is cut. What is begun by a plan that is kept is not
        among its sheets.
        """
        planned = (sheet for one in chosen for sheet in one.planned)
        named = [
            renamed(one, origin="", name=f"S{number}") for number, one in enumerate(planned, 1)
        ]
        plan = SheetPlan(
            id="",
            job=job,
            made=self.now(),
            sheets=tuple(named),
            bounds=tuple((one.material, one.bound) for one in chosen),
            left_out=tuple(code for one in chosen for code in one.left_out),
        )
        placed = {code for one in named for code in codes_on(one)}
        waiting = (piece.code for piece in self._pieces_to_plan(job))
        return SheetsView(
            plan=plan,
            sheets=tuple(map(_uncut, named)),
            names=self._part_names(job),
            unplanned=tuple(code for code in waiting if code not in placed),
            notes=tuple(self._plan_notes(plan)),
        )

    def _part_names(self, job: str) -> dict[str, PartName]:
        """Return what the parts of a job are called, by their codes."""
        found = {}
        for unit in self.units_of(job):
            for one in unit.pieces:
                size = self.size_text(job, one.piece)
                found[one.piece.code] = PartName(one.piece.part, unit.spec.unit, size)
        return found

    def write_maps(
        self, view: SheetsView, out: Path, *, paper: str = "", only: Collection[str] = ()
    ) -> tuple[Path, ...]:
        """Write maps and cuts to a PDF, or to PNG pictures, one a page; return the files.

        Args:
            view: a plan as `sheets` shows it, or layouts that are not kept.
            out: the file, `.pdf` or `.png`; its folder must exist.
            paper: a4 or letter; empty: as in the settings.
            only: names of the sheets that are wanted, such as S3; empty: all, and what to fetch.

        Raises:
            OSError: the disk refused.
        """
        job = self.jobs()[view.plan.job]
        head = SheetHead(
            job=job.code,
            at=self.now().astimezone(self.zone),
            name=job.name,
            shop=self.settings.shop,
            system=self.job_system(job.code),
            grained=self._grained(job.code),
        )
        chosen = paper or self.settings.paper
        return draw_sheet_pages(view, out, head=head, paper=chosen, only=only)

    def _grained(self, job: str) -> frozenset[str]:
        """Return the codes of the parts whose grain matters."""
        pieces = (one.piece for unit in self.units_of(job) for one in unit.pieces)
        return frozenset(one.code for one in pieces if one.grain)


def _uncut(planned: PlannedSheet) -> SheetView:
    lines = cut_lines(planned)
    first = lines[0].number if lines else None
    return SheetView(planned=planned, lines=lines, next=first, parts=len(codes_on(planned)))
