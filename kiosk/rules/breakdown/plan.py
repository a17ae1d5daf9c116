"""Break sheets down: as few sheets as can be found, then as little work at the saw as can be.

Few levels come first: two (rips, crosscuts) and three (and a trim) take far fewer fence settings
and hardly ever a sheet more; more levels are tried only where they may save a sheet.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Final

from kiosk.rules.breakdown.bench import Bench, set_up, starts
from kiosk.rules.breakdown.bound import least_sheets
from kiosk.rules.breakdown.choices import rank, show, to_tidy, worth_choosing
from kiosk.rules.breakdown.intake import find_problems
from kiosk.rules.breakdown.model import Breakdown, Draw, Task
from kiosk.rules.breakdown.search import Hunt, fewest
from kiosk.rules.breakdown.tidy import tidy
from kiosk.rules.problems import Problem

TRIES: Final = 24_000
USUAL: Final = 3  # levels of the first layout
LADDER: Final = ((2, 1), (3, 4), (4, 3), (None, 5))  # levels, and their part of the tries (choice)
SIZES: Final = 3  # part of the tries that goes to smaller sheets (choice)
TIDY: Final = 4  # part of the tries that goes to less work at the saw (choice)
HEARD: Final = 100  # progress is told so many times (choice)


@dataclass(slots=True)
class _Desk:
    """What the steps of a search share; best is the best layout of all, found the last of each.

    done and total count parts of the tries.
    """

    task: Task
    bound: int
    draw: Draw
    tries: int
    go_on: Callable[[], bool]
    heard: Callable[[Breakdown], None]
    progress: Callable[[float], None]
    best: Bench
    found: list[Bench] = field(default_factory=list)
    done: int = 0
    total: int = 1
    told: int = 0

    def take(self, bench: Bench) -> None:
        """Take a layout for the best where it is, and tell of it."""
        if rank(bench) < rank(self.best):
            self.best = bench.copy()
            self.heard(show(self.task, self.best, self.bound))

    def hunt(self, bench: Bench, tries: int) -> Hunt:
        """Return a search from a layout; each try it takes is told of."""
        taken = 0

        def go_on() -> bool:
            nonlocal taken
            taken += 1
            self.tell(min(taken, tries))
            return self.go_on()

        return Hunt(bench, self.draw, tries, go_on)

    def tell(self, more: int) -> None:
        """Say how far the search is, where that is a step further."""
        step = (self.done + more) * HEARD // self.total
        if step > self.told:
            self.told = step
            self.progress(step / HEARD)

    def end(self, tries: int) -> None:
        """Count tries as done, whether they were made or not."""
        self.done += tries
        self.tell(0)


def options(
    task: Task,
    *,
    draw: Draw,
    tries: int,
    go_on: Callable[[], bool] | None = None,
    heard: Callable[[Breakdown], None] | None = None,
    progress: Callable[[float], None] | None = None,
) -> tuple[tuple[Breakdown, ...], tuple[Problem, ...]]:
    """Return all breakdowns worth choosing, or nothing and what is wrong with the task.

    No other of them takes as few new sheets (of several sizes: and as little of them) and as few
    fence settings; fewest sheets first. The same random numbers and tries (0 or more) give the
    same breakdowns; with 0 they are first layouts. go_on is asked before each try and ends the
    search; heard gets each better breakdown, the first one at once; progress gets the share that
    is done, up to 1. Parts for which there are not sheets enough are left out, as few as can be.
    """
    problems = find_problems(task)
    if problems:
        return (), problems
    usual = min(USUAL, task.levels or USUAL)
    firsts = starts(set_up(task, usual))
    desk = _Desk(
        task=task,
        bound=least_sheets(task),
        draw=draw,
        tries=tries,
        go_on=go_on or (lambda: True),
        heard=heard or (lambda _one: None),
        progress=progress or (lambda _share: None),
        best=min(firsts, key=rank),
        found=firsts,
    )
    desk.heard(show(task, desk.best, desk.bound))
    return tuple(show(task, one, desk.bound) for one in _look(desk)), ()


def break_down(
    task: Task,
    *,
    draw: Draw,
    tries: int,
    go_on: Callable[[], bool] | None = None,
    heard: Callable[[Breakdown], None] | None = None,
) -> tuple[Breakdown | None, tuple[Problem, ...]]:
    """Return the breakdown on the fewest sheets, or None and what is wrong; see `options`."""
    found, problems = options(task, draw=draw, tries=tries, go_on=go_on, heard=heard)
    return (found[0] if found else None), problems


def _look(desk: _Desk) -> list[Bench]:
    """Return the layouts worth choosing of all that are found."""
    steps = _steps(desk.task.levels)
    is_sized = sum(not one.is_offcut for one in desk.task.stocks) > 1
    parts = sum(part for _levels, part in steps) + SIZES * is_sized + TIDY
    share = desk.tries // parts
    desk.total = max(1, share * parts)
    for levels, part in steps:
        _search(desk, levels, share * part)
    if is_sized:
        # no sheet can be spared any more: it remains to take smaller ones
        hunt = desk.hunt(desk.best.copy(), share * SIZES)
        fewest(hunt, desk.best.taken()[0], desk.take)
        desk.found.append(desk.best)
        desk.end(share * SIZES)
    chosen = to_tidy(desk.found)
    for bench in chosen:
        tries = share * TIDY // len(chosen)
        desk.found.append(tidy(desk.hunt(bench.copy(), tries)))
        desk.end(tries)
    desk.progress(1.0)
    return worth_choosing(desk.found)


def _steps(limit: int | None) -> tuple[tuple[int | None, int], ...]:
    """Return the limits of levels to try one after the other, the given one last."""
    below = [
        (one, part) for one, part in LADDER if one is not None and (limit is None or one < limit)
    ]
    return (*below, (limit, dict(LADDER).get(limit, dict(LADDER)[None])))


def _search(desk: _Desk, levels: int | None, tries: int) -> None:
    """Look for a better layout within so many levels, from the best of what there is."""
    is_met = not desk.best.out and desk.best.taken()[0] <= desk.bound
    if is_met and (levels is None or levels > USUAL):
        desk.end(tries)
        return
    some = starts(set_up(desk.task, levels))
    start = min(some, key=rank)
    desk.take(start)
    limit = start.levels
    known = [one.copy() for one in desk.found if one.levels <= limit]
    for one in known:
        one.levels = limit
    hunt = desk.hunt(min([start, *known], key=rank).copy(), tries)
    found = fewest(hunt, desk.bound, desk.take)
    desk.found += [*some, found]
    desk.end(tries)
