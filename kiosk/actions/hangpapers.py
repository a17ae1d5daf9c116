"""Write load cards and the drawing a wall is hung by: to files, and to the paper printer."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from kiosk.actions.hanging import HangingDesk
from kiosk.actions.labelfiles import Wanted, safe_name
from kiosk.actions.paperprints import DaySheets, PaperPrints
from kiosk.actions.printing import Printing
from kiosk.figure.loadcard import draw_load_cards
from kiosk.figure.loadfacts import LoadCard
from kiosk.figure.wallfield import HUNG, READY
from kiosk.figure.wallpages import WallHead, draw_wall_pages
from kiosk.rules.hanging.hangviews import HangingView
from kiosk.rules.problems import Problem
from kiosk.rules.route import State
from kiosk.rules.words import _, say

_PROGRESS: Final[Mapping[State, str]] = {State.HUNG: HUNG, State.READY_TO_HANG: READY}
_BEARING: Final = ("wall", "panel", "door")  # what has a card only where one is asked for (choice)


@dataclass(frozen=True, slots=True)
class HangPaper:
    """What was written: the files, of which units or walls, or why nothing was.

    sheets is what the paper printer can be sent, None where no PDF was written.
    """

    files: tuple[Path, ...] = ()
    named: tuple[str, ...] = ()
    problems: tuple[Problem, ...] = ()
    sheets: DaySheets | None = None


class HangPapers(HangingDesk, Printing, PaperPrints):
    """A shop that puts on paper how its units hang."""

    def write_cards(
        self,
        job: str,
        out: Path | None = None,
        *,
        four: bool = False,
        units: Sequence[str] = (),
        paper: str = "",
        person: str = "",
    ) -> HangPaper:
        """Write load cards; a unit without a code of its own is given one, as for its label.

        Args:
            job: its code.
            out: the file, `.pdf` or `.png`; its folder must exist. None: a PDF beside the shop's
                file, over the older one.
            four: four to a page.
            units: of which; empty: all that may be loaded, those not rated and not checked too.
            paper: a4 or letter; empty: as in the settings.
            person: who asks, for the log where codes are given.

        Raises:
            OSError: the disk refused.
            StoreError: a unit could not be given its code; nothing was written.
        """
        view, problems = self._hang_paper(job, out)
        wanted, wrong = ([], ()) if problems else self._cards_wanted(job, view, units)
        if problems or wrong:
            return HangPaper(problems=(*problems, *wrong))
        cards = self._cards(job, view, wanted, person)
        file = out or self.store.folder / f"{safe_name(job)}-load-cards.pdf"
        files = draw_load_cards(cards, file, paper=paper or self.settings.paper, four=four)
        return self._written(files, wanted, paper)

    def write_wall(
        self, job: str, wall: str = "", out: Path | None = None, *, paper: str = ""
    ) -> HangPaper:
        """Write the drawing one wall is hung by, with screws, shims, panels and order.

        Args:
            job: its code.
            wall: the id of the wall's unit; empty where only one is measured.
            out: as for `write_cards`.
            paper: a4 or letter; empty: as in the settings.

        Raises:
            OSError: the disk refused.
        """
        view, problems = self._hang_paper(job, out)
        walls = {one.wall.wall: one for one in view.walls}
        name = wall or (next(iter(walls)) if len(walls) == 1 else "")
        problems = problems or tuple(self._wall_wanted(job, name, list(walls)))
        if problems:
            return HangPaper(problems=problems)
        state = self.store.state(job, name)
        head = WallHead(
            at=self.now().astimezone(self.zone),
            name=state.spec.name if state and state.spec.name != name else "",
            job_name=self._job_name(job),
            shop=self.settings.shop,
            system=self.job_system(job),
            progress=self._progress(job),
        )
        file = out or self.store.folder / f"{safe_name(f'{job}-{name}')}-wall.pdf"
        used = paper or self.settings.paper
        files = draw_wall_pages(view, walls[name], file, head=head, paper=used)
        return self._written(files, [name], paper)

    def _written(self, files: tuple[Path, ...], named: Sequence[str], paper: str) -> HangPaper:
        is_pdf = files[0].suffix.lower() == ".pdf"
        sheets = DaySheets(files[0], self.paper_printer(paper=paper)) if is_pdf else None
        return HangPaper(files, tuple(named), sheets=sheets)

    def _hang_paper(self, job: str, out: Path | None) -> tuple[HangingView, tuple[Problem, ...]]:
        """Return the check of a job, and what is wrong with what is asked for."""
        problems = list(self._hang_no_job(job))
        if out is not None and out.suffix.lower() not in (".pdf", ".png"):
            words = say("This cannot be written as {name}.", name=out.name)
            problems.append(Problem(words, _("Use .pdf or .png.")))
        view = HangingView(job=job) if problems else self.hanging(job)
        return view, tuple(problems)

    def _cards_wanted(
        self, job: str, view: HangingView, units: Sequence[str]
    ) -> tuple[list[str], tuple[Problem, ...]]:
        """Return the units to write cards of, and what is wrong with those asked for."""
        have = [*(one.unit for one in view.units), *view.unmeasured]
        problems = tuple(
            Problem(
                say("{job} has no unit {unit} that hangs.", job=job, unit=one),
                _("Look at the part list."),
                value=one,
            )
            for one in units
            if one not in have
        )
        wanted = list(units) or [one for one in have if self._is_loaded(job, one)]
        if not wanted:
            words = say("{job} has no unit that hangs.", job=job)
            problems = (Problem(words, _("Look at the part list.")),)
        return wanted, problems

    def _wall_wanted(self, job: str, name: str, walls: Sequence[str]) -> Iterator[Problem]:
        """Yield what is wrong with a wall to be drawn."""
        if not walls:
            words = say("Nobody measured a wall of {job}.", job=job)
            yield Problem(words, _("Measure it first."), value=name)
        elif name not in walls:
            words = say("{wall} is no measured wall of {job}.", wall=name or "?", job=job)
            yield Problem(words, say("Measured are {names}.", names=", ".join(walls)), value=name)

    def _is_loaded(self, job: str, unit: str) -> bool:
        state = self.store.state(job, unit)
        return state is not None and state.spec.kind not in _BEARING and not state.gone

    def _cards(
        self, job: str, view: HangingView, units: Sequence[str], person: str
    ) -> list[LoadCard]:
        codes = {
            one.unit: one.label.code for one in self._units(Wanted(job, units, units=True), person)
        }
        found = []
        for unit in units:
            state = self.store.state(job, unit)
            found.append(
                LoadCard(
                    unit=unit, name=state.spec.name if state else "", code=codes.get(unit, ""),
                    job=job, job_name=self._job_name(job), shop=self.settings.shop,
                    at=self.now(), zone=self.zone, hanging=view.unit(unit),
                    carries=tuple(one.unit for one in view.units if one.carried_by == unit),
                    system=self.job_system(job),
                )
            )  # fmt: skip
        return found

    def _job_name(self, job: str) -> str:
        known = self.jobs().get(job)
        return known.name if known and known.name != job else ""

    def _progress(self, job: str) -> dict[str, str]:
        """Return which units hang and which are ready to."""
        return {
            one.unit: _PROGRESS[one.state]
            for one in self.standings()
            if one.job == job and one.state in _PROGRESS
        }
