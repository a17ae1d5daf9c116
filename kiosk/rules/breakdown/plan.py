"""Break sheets down: as few sheets as can be found, then as little work at the saw as can be.

Few levels come first: two (rips, crosscuts) and three (and a trim) take far fewer fence settings
and hardly ever a sheet more; more levels are tried only where they may save a sheet.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from kiosk.rules.breakdown.bench import Bench, set_up, starts
from kiosk.rules.breakdown.bound import least_sheets
from kiosk.rules.breakdown.choices import rank, show, to_tidy, worth_choosing
from kiosk.rules.breakdown.covering import Pool, add_patterns, choose
from kiosk.rules.breakdown.desk import Desk
from kiosk.rules.breakdown.intake import find_problems
from kiosk.rules.breakdown.model import Breakdown, Draw, Task
from kiosk.rules.breakdown.search import fewest
from kiosk.rules.breakdown.tidy import tidy
from kiosk.rules.problems import Problem

TRIES: Final = 40_000
USUAL: Final = 3  # levels of the first layout
LADDER: Final = ((2, 1), (3, 4), (4, 2), (None, 10))  # levels, and their part of the tries (choice)
TURNS: Final = 2  # so often a step searches, then chooses among sheets (choice)
COPIES: Final = 4  # sheets are made by prices where so many parts of one size are wanted (choice)
SIZES: Final = 3  # part of the tries that goes to smaller sheets (choice)
TIDY: Final = 3  # part of the tries that goes to less work at the saw (choice)


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
    desk = Desk(
        task=task,
        bound=least_sheets(task),
        draw=draw,
        tries=tries,
        go_on=go_on or (lambda: True),
        heard=heard or (lambda _one: None),
        progress=progress or (lambda _share: None),
        best=min(firsts, key=rank),
        pool=Pool(),
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


def _look(desk: Desk) -> list[Bench]:
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


def _search(desk: Desk, levels: int | None, tries: int) -> None:
    """Look for a better layout within so many levels, from the best of what there is."""
    if desk.is_over or (desk.is_met and (levels is None or levels > USUAL)):
        desk.end(tries)
        return
    some = starts(set_up(desk.task, levels))
    start = min(some, key=rank)
    desk.take(start)
    known = [one.copy() for one in desk.found if one.levels <= start.levels]
    for one in known:
        one.levels = start.levels
    desk.found += some
    start = min([start, *known], key=rank)
    for _number in range(TURNS):
        found = fewest(desk.hunt(start.copy(), tries // TURNS), desk.bound, desk.take)
        desk.found.append(found)
        if desk.is_met or not tries or found.levels < USUAL:
            break
        start = _chosen(desk, found)
    desk.end(tries)


def _chosen(desk: Desk, found: Bench) -> Bench:
    """Return a layout put together of known sheets, with one new sheet less than the best has.

    It may leave parts out. Where the solver finds none, the last one found is returned.
    """
    if found.levels == USUAL and max(len(kind.parts) for kind in found.kinds) >= COPIES:
        add_patterns(desk.pool, found, desk.may)
    columns = desk.pool.columns()
    most = desk.best.taken()[0] - (not desk.best.out)
    chosen = choose(columns, found, most) if columns and desk.may() else None
    if chosen is None:
        return found
    if not chosen.out:
        desk.take(chosen)
        desk.found.append(chosen)
    return chosen
