"""Say which of several layouts are worth choosing: one more sheet may spare many fence settings."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Final

from kiosk.rules.breakdown.bench import NO_LIMIT, Bench
from kiosk.rules.breakdown.model import Breakdown, Task
from kiosk.rules.breakdown.saw import sheets_of
from kiosk.rules.breakdown.tidy import largest, settings_and_cuts, work

MORE: Final = 10  # a layout may take a sheet more, or one in so many, to be worth a look (choice)
EACH: Final = 2  # so many layouts of each number of sheets are made easier to saw (choice)

Sheets = tuple[float, int, float]
"""Area left out, new sheets, their area; the first two decide, then smaller sheets."""


def sheets(bench: Bench) -> Sheets:
    """Return what a layout takes: area of parts left out, new sheets, area of those."""
    return (round(out_area(bench), 9), *bench.taken())


def out_area(bench: Bench) -> float:
    """Return the area of the parts without a place, in sheets of the largest size."""
    return sum(bench.kinds[kind].share for kind in bench.out)


def rank(bench: Bench) -> tuple[float, int, float, int]:
    """Return what a layout is measured by: what it takes, then the work at the saw."""
    return (*sheets(bench), work(bench) if not bench.out else 0)


def to_tidy(benches: Iterable[Bench]) -> list[Bench]:
    """Return which layouts to make easier to saw: few of each number of sheets, the best first."""
    found: dict[Sheets, list[Bench]] = {}
    for bench in sorted(_near(benches), key=rank):
        found.setdefault(sheets(bench), []).append(bench)
    return [bench for group in found.values() for bench in group[:EACH]]


def worth_choosing(benches: Iterable[Bench]) -> list[Bench]:
    """Return the layouts no other of which takes as few sheets and settings, fewest sheets first.

    Of equal ones the one with fewer cuts is kept, then that with the largest offcut. None leaves
    out more than another, or takes far more sheets.
    """
    chosen: list[Bench] = []
    fewest = NO_LIMIT
    for bench in sorted(_near(benches), key=_order):
        settings, _cuts = settings_and_cuts(bench)
        if settings < fewest:
            chosen.append(bench)
            fewest = settings
    return chosen


def _near(benches: Iterable[Bench]) -> list[Bench]:
    """Return what leaves out as little as any, and takes little more than the fewest sheets."""
    taken = [(bench, *sheets(bench)) for bench in benches]
    least, count = min(one[1:3] for one in taken)
    most = count + max(1, count // MORE)
    return [bench for bench, out, new, _area in taken if out == least and new <= most]


def _order(bench: Bench) -> tuple[Sheets, tuple[int, int], float]:
    return sheets(bench), settings_and_cuts(bench), -largest(bench)


def show(task: Task, bench: Bench, bound: int) -> Breakdown:
    """Return a layout with its cuts."""
    return Breakdown(
        sheets=sheets_of(task, bench),
        bound=bound,
        levels=None if bench.levels == NO_LIMIT else bench.levels,
        left_out=_left_out(bench),
    )


def _left_out(bench: Bench) -> tuple[str, ...]:
    codes: list[str] = []
    for kind, one in enumerate(bench.kinds):
        parts: Sequence[str] = [part.code for part in one.parts]
        codes += parts[len(parts) - bench.out.count(kind) :]
    return tuple(codes)
