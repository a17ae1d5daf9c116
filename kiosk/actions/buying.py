"""Say what to buy for jobs: from where their units stand, their sheets' plans and the stock."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from typing import Final

from kiosk.actions.labelfiles import safe_name
from kiosk.actions.paperprints import DaySheets, PaperPrints
from kiosk.actions.sheeting import Sheeting
from kiosk.figure.buying import Head, draw_buying
from kiosk.figure.paper import write_pages
from kiosk.language import shown
from kiosk.rules.buying.figures import parse_figures
from kiosk.rules.buying.left import find_left
from kiosk.rules.buying.model import BuyingList, Left
from kiosk.rules.buying.reckon import Work, reckon
from kiosk.rules.buying.sheets import Planned, Supply, take_plans
from kiosk.rules.lengths import System
from kiosk.rules.naming import natural
from kiosk.rules.problems import Problem
from kiosk.rules.sheets.model import Material
from kiosk.rules.sheets.stock import size_key
from kiosk.rules.sheets.tasks import assumed_size
from kiosk.rules.words import _, say

OWN_FIGURES: Final = "buying.toml"  # beside the shop's file, as settings.toml is
_LONGEST: Final = 40  # letters of jobs in a file's name (choice)


class Buying(Sheeting, PaperPrints):
    """What a shop has to buy."""

    def buying(
        self, jobs: Collection[str] = (), *, whole: bool = False, allowance: int | None = None
    ) -> BuyingList:
        """Return what to buy for some jobs, together as one list.

        Args:
            jobs: their codes; none: all that are open. One that is not open is among the problems.
            whole: as if nothing were done, planned sheets begun or in stock yet.
            allowance: in percent, 0 to 100; None: as in the settings.
        """
        known = [code for code, job in self.jobs().items() if job.open]
        wanted = tuple(sorted(dict.fromkeys(jobs) if jobs else known, key=natural))
        mine = tuple(code for code in wanted if code in known)
        figures, wrong = self.buying_figures()
        planned, faults = self._plans_of(mine, whole=whole)
        work = Work(
            jobs=mine,
            left=self._left(mine, whole=whole),
            planned=planned,
            supply=self._supply(planned, whole=whole),
            system=self._lengths_in(mine),
            allowance=self.settings.buying_allowance_percent if allowance is None else allowance,
            whole=whole,
        )
        found = reckon(work, self.setup, figures)
        none = tuple(_no_job(code) for code in wanted if code not in known)
        return replace(found, problems=(*none, *wrong, *faults, *found.problems))

    def buying_figures(self) -> tuple[Mapping[str, Fraction], tuple[Problem, ...]]:
        """Return the figures the shop reckons by, its own over the usual, and what is wrong."""
        own = self.store.folder / OWN_FIGURES
        try:
            text = own.read_text("utf-8-sig") if own.is_file() else ""
        except (OSError, UnicodeDecodeError) as error:
            words = say("{own} cannot be read: {error}", own=own, error=error)
            problem = Problem(words, _("Mend it or take it away; the usual figures are used."))
            return parse_figures("")[0], (problem,)
        return parse_figures(text)

    def write_buying(self, buying: BuyingList, out: Path, *, paper: str = "") -> tuple[Path, ...]:
        """Write the list to a PDF, or to PNG pictures, one a page; return the files.

        Args:
            buying: as it was answered.
            out: the file; its folder must exist.
            paper: a4 or letter; empty: as in the settings.

        Raises:
            OSError: the disk refused.
        """
        now = self.now()
        head = Head(self.settings.shop, now.astimezone(self.zone))
        pages = draw_buying(buying, head, paper=paper or self.settings.paper)
        return write_pages(pages, out, title=shown(_("What to buy")), made=now)

    def buying_sheets(self, buying: BuyingList, *, paper: str = "") -> DaySheets:
        """Write the list as a PDF beside the shop's file, to be printed.

        An older list of the same day and jobs is replaced, others never.

        Raises:
            OSError: the disk refused.
        """
        on = self.now().astimezone(self.zone).date()
        jobs = safe_name("-".join(buying.jobs))[:_LONGEST].strip("-_")
        name = "-".join(filter(None, ("buy", f"{on:%Y-%m-%d}", jobs)))
        (file,) = self.write_buying(buying, self.store.folder / f"{name}.pdf", paper=paper)
        return DaySheets(file, self.paper_printer(paper=paper))

    # -- inside ----------------------------------------------------------------------------------

    def _left(self, jobs: Sequence[str], *, whole: bool) -> tuple[Left, ...]:
        setup = self.setup
        return tuple(
            find_left(state, setup.steps(state.spec), whole=whole)
            for (job, _unit), state in sorted(self.store.states().items())
            if job in jobs and not state.gone
        )

    def _plans_of(self, jobs: Sequence[str], *, whole: bool) -> tuple[Planned, tuple[Problem, ...]]:
        """Return what the jobs' plans settle, without sheets that failed a check."""
        views = [view for job in jobs if (view := self.sheets(job)) is not None]
        sheets = [one for view in views for one in view.sheets]
        spared = frozenset(one.key for one in sheets if one.is_idle or (one.is_begun and not whole))
        remedy = _("Its parts are reckoned without a plan; look for a new one.")
        faults = tuple(Problem(fault, remedy) for view in views for fault in view.faults)
        return take_plans([one.planned for one in sheets], spared), faults

    def _supply(self, planned: Planned, *, whole: bool) -> Supply:
        mine = {size_key(size): count for size, count in planned.sheets.items()}
        counted = [one for one in self.stock().sizes if not one.is_assumed]
        saw = self.saw()
        sizes = [
            # what other jobs' plans take of the stock is not free for these
            replace(
                one.size,
                count=None
                if one.left is None
                else max(0, one.left - max(0, one.planned - mine.get(size_key(one.size), 0))),
            )
            for one in counted
        ]
        return Supply(
            usual=assumed_size(Material("", None), saw),
            sizes=tuple(sizes),
            kerf=saw.kerf,
            ignores_stock=whole,
        )

    def _lengths_in(self, jobs: Sequence[str]) -> System:
        """Return how lengths are said: in inches where all jobs are."""
        systems = set(map(self.job_system, jobs))
        return System.INCH if systems == {System.INCH} else System.MM


def _no_job(code: str) -> Problem:
    words = say("No open job is called {job}.", job=code)
    return Problem(words, _("See the open jobs with: cleatclock job"), column="job", value=code)
