"""Write the sheets of a job on paper: maps, and the cuts in order."""

from __future__ import annotations

from pathlib import Path

from kiosk.actions.sheetlabels import SheetLabels
from kiosk.figure.sheetpages import SheetHead, draw_sheet_pages
from kiosk.rules.lengths import System
from kiosk.rules.sheets.views import SheetsView


class SheetMaps(SheetLabels):
    """A shop that has its sheets on paper."""

    def write_maps(self, view: SheetsView, out: Path, *, paper: str = "") -> tuple[Path, ...]:
        """Write maps and cuts to a PDF, or to PNG pictures, one a page; return the files.

        Args:
            view: a plan as `sheets` shows it, or layouts that are not kept.
            out: the file, `.pdf` or `.png`; its folder must exist.
            paper: a4 or letter; empty: as in the settings.

        Raises:
            OSError: the disk refused.
        """
        job = self.jobs()[view.plan.job]
        head = SheetHead(
            job=job.code,
            at=self.now().astimezone(self.zone),
            name=job.name,
            shop=self.settings.shop,
            system=System.INCH if job.units == "inch" else System.MM,
            grained=self._grained(job.code),
        )
        return draw_sheet_pages(view, out, head=head, paper=paper or self.settings.paper)

    def _grained(self, job: str) -> frozenset[str]:
        """Return the codes of the parts whose grain matters."""
        states = (self.store.state(job, unit) for unit in self.store.units_of(job))
        pieces = (one.piece for state in states if state for one in state.pieces)
        return frozenset(one.code for one in pieces if one.grain)
