"""Look for layouts of what a job has still to be cut, and offer what may be kept."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from kiosk.actions.sheetsearch import Search, SheetSearch
from kiosk.actions.sheetviews import SheetViews
from kiosk.breaker import Found, Limit
from kiosk.clock import Clock
from kiosk.config import Settings
from kiosk.rules.breakdown.model import Breakdown
from kiosk.rules.lengths import Length, System
from kiosk.rules.parts import Piece
from kiosk.rules.problems import Problem
from kiosk.rules.sheets.checks import codes_on, find_faults, find_lost
from kiosk.rules.sheets.model import PlannedSheet
from kiosk.rules.sheets.planned import left_out_of, planned_sheets
from kiosk.rules.sheets.tasks import (
    MaterialTask,
    make_tasks,
    say_material,
    to_cut,
)
from kiosk.rules.sheets.views import Choice, MaterialSearch, SearchView
from kiosk.rules.words import _, say
from kiosk.store import Store


@dataclass(frozen=True, slots=True)
class _Offered:
    """What may be kept of the layouts found so far, and why others may not."""

    of: tuple[tuple[MaterialTask, ...], tuple[tuple[Breakdown, ...], ...]]
    choices: tuple[Choice, ...]
    problems: tuple[Problem, ...]


class SheetLooking(SheetViews):
    """The search for a job's sheets."""

    def __init__(self, store: Store, settings: Settings, clock: Clock) -> None:
        super().__init__(store, settings, clock)
        self._sheet_search = SheetSearch()
        self._offered: _Offered | None = None

    def begin_sheets(
        self,
        job: str,
        heard: Callable[[], object] | None = None,
        *,
        tries: int | None = None,
        processes: int | None = None,
    ) -> tuple[Problem, ...]:
        """Begin to look for layouts of all that a job has still to be cut; one search at a time.

        Args:
            job: its code.
            heard: called from the search's thread when there is news, and at the end.
            tries: how many, of each material; None: those of the kiosk.
            processes: 0: no process is started, the thread searches; None: one.

        Returns:
            What is wrong: with any, a search goes on for the materials that can be cut.
        """
        self.store.refresh()
        known = self.jobs().get(job)
        if known is None or not known.open:
            none = say("There is no open job {job}.", job=job)
            return (Problem(none, _("Choose one of the open jobs."), value=job),)
        pieces = self._pieces_to_plan(job)
        if not pieces:
            none = say("{job} has nothing that is still to be cut.", job=job)
            return (Problem(none, _("What is begun is cut by the plan it has."), value=job),)
        tasks, problems = make_tasks(
            pieces, self._known().stock, saw=self.saw(), reserved=self.reserved(without=job)
        )
        limit = Limit() if tries is None else Limit(tries=tries)
        self._sheet_search.begin(
            job, tasks, problems, heard=heard, limit=limit, processes=processes
        )
        return problems

    def _pieces_to_plan(self, job: str) -> list[Piece]:
        """Return what waits to be cut and is on no sheet that is begun."""
        view, waiting = self._view(job), to_cut(self.units_of(job))
        begun = {
            code
            for one in (view.sheets if view else ())
            if one.is_begun
            for code in codes_on(one.planned)
        }
        return [one.piece for one in waiting if one.piece.code not in begun]

    def sheet_search(self) -> SearchView:
        """Return how far the search is; also after its end, until another begins."""
        search = self._sheet_search.now()
        offered = self._offers(search)
        found = search.found or (None,) * len(search.tasks)
        return SearchView(
            job=search.job,
            is_running=search.is_running,
            share=search.share,
            seconds=search.seconds,
            materials=tuple(map(_seen, search.tasks, found)),
            problems=(*search.problems, *offered.problems),
            has_choices=bool(offered.choices),
        )

    def end_sheets(self) -> None:
        """End the search; the best so far of each material can be kept."""
        self._sheet_search.end()

    def wait_sheets(self) -> None:
        """Wait until the search has ended by itself; for commands, not for a screen."""
        self._sheet_search.wait()

    def sheet_choices(self) -> tuple[Choice, ...]:
        """Return what may be kept, by material, fewest sheets first; number 0 is the first.

        A layout that failed a check is not among them; `sheet_search` says so in its problems.
        """
        return self._offers(self._sheet_search.now()).choices

    def _offers(self, search: Search) -> _Offered:
        """Return the choices of a search as it stands, and what failed a check."""
        of = tuple(one.options if one else () for one in search.found)
        if self._offered is None or self._offered.of != (search.tasks, of):
            choices: list[Choice] = []
            problems: list[Problem] = []
            for task, options in zip(search.tasks, of, strict=False):
                own, wrong = _choices(options, task, self.saw().system)
                choices += own
                problems += wrong
            self._offered = _Offered((search.tasks, of), tuple(choices), tuple(problems))
        return self._offered


def _choices(
    options: tuple[Breakdown, ...], of: MaterialTask, system: System
) -> tuple[list[Choice], list[Problem]]:
    """Return the layouts of a material that pass every check, and what is wrong with others."""
    wanted = {piece.code: piece for piece in of.pieces}
    choices: list[Choice] = []
    problems: list[Problem] = []
    for one in options:
        planned = planned_sheets(one, of, origin="", first=1)
        faults = [fault for sheet in planned for fault in find_faults(sheet, wanted)]
        faults += find_lost(planned, left_out_of(one, of), wanted)
        if faults:
            words = say(
                "{material}: a layout failed a check and is left out: {fault}.",
                material=say_material(of.material, system),
                fault=faults[0],
            )
            problems.append(Problem(words, _("Choose another one, and tell who looks after it.")))
        else:
            choices.append(_choice(one, of, planned, len(choices)))
    return choices, problems


def _choice(
    one: Breakdown, of: MaterialTask, planned: tuple[PlannedSheet, ...], number: int
) -> Choice:
    rests = [rest for sheet in one.sheets for rest in sheet.offcuts]
    largest = max(rests, key=lambda rest: rest.length * rest.width, default=None)
    return Choice(
        material=of.material,
        number=number,
        planned=planned,
        sheets=one.taken,
        offcuts=len(one.sheets) - one.taken,
        bound=one.bound,
        cuts=one.cuts,
        settings=one.settings,
        levels=one.levels,
        largest_offcut=(Length(largest.length), Length(largest.width)) if largest else None,
        left_out=left_out_of(one, of),
    )


def _seen(of: MaterialTask, found: Found | None) -> MaterialSearch:
    seen = MaterialSearch(material=of.material, parts=len(of.pieces))
    if found is None or not found.options:
        return seen
    best = found.options[0]
    return replace(
        seen,
        sheets=best.taken,
        offcuts=len(best.sheets) - best.taken,
        bound=best.bound,
        settings=best.settings,
        left_out=len(left_out_of(best, of)),
        is_done=found.is_done,
    )
