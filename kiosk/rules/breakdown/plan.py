"""Break sheets down: as few sheets as can be found, then as little work at the saw as can be.

Few levels come first: three (rips, crosscuts, a trim) take far fewer fence settings and hardly ever
a sheet more; more levels are tried only where they may save a sheet.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from kiosk.rules.breakdown.bench import NO_LIMIT, Bench, set_up, starts
from kiosk.rules.breakdown.bound import least_sheets
from kiosk.rules.breakdown.intake import find_problems
from kiosk.rules.breakdown.model import Breakdown, Draw, Task
from kiosk.rules.breakdown.saw import sheets_of
from kiosk.rules.breakdown.search import Hunt, fewest
from kiosk.rules.breakdown.tidy import tidy, work
from kiosk.rules.problems import Problem

LADDER: Final = (3, 4, None)
TIDY: Final = 4  # one part in so many of the tries goes to less work at the saw (choice)


@dataclass(slots=True)
class _Desk:
    """What is shared between the steps of the ladder; best is the best layout of all."""

    task: Task
    bound: int
    heard: Callable[[Breakdown], None]
    best: Bench

    def take(self, bench: Bench) -> None:
        """Take a layout for the best where it is, and tell of it."""
        if _rank(bench) < _rank(self.best):
            self.best = bench.copy()
            self.heard(self.show())

    def show(self) -> Breakdown:
        """Return the best layout with its cuts."""
        limit = self.best.levels
        return Breakdown(
            sheets=sheets_of(self.task, self.best),
            bound=self.bound,
            levels=None if limit == NO_LIMIT else limit,
            left_out=self._left_out(),
        )

    def _left_out(self) -> tuple[str, ...]:
        out, codes = self.best.out, []
        for kind, one in enumerate(self.best.kinds):
            count = out.count(kind)
            codes += [part.code for part in one.parts[len(one.parts) - count :]]
        return tuple(codes)


def break_down(
    task: Task,
    *,
    draw: Draw,
    tries: int,
    go_on: Callable[[], bool] | None = None,
    heard: Callable[[Breakdown], None] | None = None,
) -> tuple[Breakdown | None, tuple[Problem, ...]]:
    """Return the best breakdown found, or None and what is wrong with the task.

    The same random numbers and tries (0 or more) give the same breakdown; with 0 it is the first
    layout. go_on is asked before each try and ends the search; heard gets each better breakdown,
    the first one at once. Parts for which there are not sheets enough are left out.
    """
    problems = find_problems(task)
    if problems:
        return None, problems
    may = go_on or (lambda: True)
    steps, sizes = _steps(task.levels), sum(not one.is_offcut for one in task.stocks)
    desk = _Desk(task, least_sheets(task), heard or (lambda _one: None), _first(task, steps[0]))
    desk.heard(desk.show())
    share = (tries - tries // TIDY) // (len(steps) + (sizes > 1))
    for levels in steps:
        if desk.best.out or desk.best.taken()[0] > desk.bound or levels == steps[0]:
            _search(desk, levels, (draw, share, may))
    if sizes > 1:
        # no sheet can be spared any more: it remains to take smaller ones
        hunt = Hunt(desk.best.copy(), draw, share, may)
        fewest(hunt, desk.best.taken()[0], desk.take)
    hunt = Hunt(desk.best.copy(), draw, tries // TIDY, may)
    desk.best = tidy(hunt)
    return desk.show(), ()


def _steps(limit: int | None) -> tuple[int | None, ...]:
    """Return the limits of levels to try one after the other, the given one last."""
    below = [one for one in LADDER if one is not None and (limit is None or one < limit)]
    return (*below, limit)


def _first(task: Task, levels: int | None) -> Bench:
    return min(starts(set_up(task, levels)), key=_rank)


def _rank(bench: Bench) -> tuple[float, int, float, int]:
    """Return what a layout is measured by: parts left out, new sheets, their area, work."""
    out = sum(bench.kinds[kind].share for kind in bench.out)
    return (round(out, 9), *bench.taken(), work(bench) if not bench.out else 0)


def _search(desk: _Desk, levels: int | None, how: tuple[Draw, int, Callable[[], bool]]) -> None:
    """Look for a better layout within so many levels, from the best of what there is."""
    draw, tries, may = how
    start = _first(desk.task, levels)
    desk.take(start)
    known = desk.best.copy()
    known.levels = start.levels
    hunt = Hunt(min(known, start, key=_rank), draw, tries, may)
    fewest(hunt, desk.bound, desk.take)
