"""Measure the breakdown of sheets: against bounds, proved and published numbers, and the clock.

.venv/bin/python -m tests.bench.bench_breakdown            half an hour of one core
.venv/bin/python -m tests.bench.bench_breakdown --quick    a minute or two
With --sets and the path of a wheel published sets are read from that, see `cuttingsets`.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from random import Random

from kiosk.rules.breakdown import recut, sawable
from kiosk.rules.breakdown.model import Breakdown, Task
from kiosk.rules.breakdown.plan import TRIES, options
from tests.bench import cuttingsets
from tests.bench.cuttinglists import LISTS, filled, shop_task, thinned
from tests.bench.rectangles import best_sawable
from tests.cutting import BEST_VALUES, NAMES, best_pattern, load

Line = tuple[str, float, str, str]
SET_TRIES = 12_000  # about three seconds where the bound is not met
HOW = {False: "not turned", True: "turned"}
# Sums over cgcut, gcut and ngcut, not turned and turned: best layouts known, some not proved best
# (computed by others, several minutes of search and a solver).
KNOWN = {False: 164, True: 150}


@dataclass(slots=True)
class Sum:
    """What came of several tasks: sheets, bounds, the worst over its bound, seconds, packer."""

    sheets: int = 0
    bound: int = 0
    over: int = 0
    seconds: list[float] = field(default_factory=list)
    packer: int = 0
    fewer: int = 0
    refused: int = 0

    def add(self, task: Task, tries: int) -> Breakdown:
        """Break a task down, and let the general packer do so."""
        found, took = cut_up(task, tries)
        self.sheets, self.bound = self.sheets + found[0].taken, self.bound + found[0].bound
        self.over = max(self.over, found[0].taken - found[0].bound)
        self.seconds.append(took)
        best, refused = best_sawable(task)
        self.packer += best or 0
        self.fewer += best is not None and best < found[0].taken
        self.refused += refused
        return found[0]

    def join(self, other: Sum) -> None:
        """Add what came of others."""
        self.sheets, self.bound = self.sheets + other.sheets, self.bound + other.bound
        self.over = max(self.over, other.over)
        self.seconds += other.seconds
        self.packer, self.fewer = self.packer + other.packer, self.fewer + other.fewer
        self.refused += other.refused

    def beside(self) -> str:
        """Say what the sheets are to be compared with."""
        mean, most = sum(self.seconds) / len(self.seconds), max(self.seconds)
        return (
            f"bound {self.bound}, ratio {self.sheets / self.bound:.4f}, worst {self.over} over; "
            f"packer {self.packer} (fewer {self.fewer} times, {self.refused} runs refused); "
            f"{mean:.1f} s each, {most:.1f} at most"
        )


def run(*, is_full: bool = True, wheel: Path | None = None) -> Iterator[Line]:
    """Yield each measure with what it is compared with."""
    tries = TRIES if is_full else TRIES // 10
    yield from _first_layouts()
    yield from _single_sheets(is_full=is_full)
    yield from _shop_lists(tries)
    yield from _fills(tries, 10 if is_full else 2)
    yield from _library(SET_TRIES if is_full else SET_TRIES // 10)
    if wheel is None:
        yield "published sets", 0, "lists", "left out: no wheel given with --sets"
    else:
        yield from _published(wheel, is_full=is_full)


def cut_up(task: Task, tries: int) -> tuple[tuple[Breakdown, ...], float]:
    """Return breakdowns that both checks accept, and the seconds of processor time they took."""
    started = time.process_time()
    found, problems = options(task, draw=Random(1).random, tries=tries)
    took = time.process_time() - started
    assert found, problems
    for one in found:
        assert recut.find_faults(task, one) == ()
        assert sawable.find_faults(task, one) == ()
    return found, took


def _first_layouts() -> Iterator[Line]:
    for name, rows in LISTS.items():
        took = min(_first(shop_task(rows, None)) for _number in range(3))
        count = sum(row[3] for row in rows)
        yield f"first layout, {name}", took * 1000, "ms", f"{count} parts; 200 in 100 at most"


def _first(task: Task) -> float:
    """Return the seconds until the first layout is heard of."""
    heard: list[float] = []
    started = time.process_time()
    options(
        task,
        draw=Random(1).random,
        tries=1,
        go_on=lambda: False,
        heard=lambda _one: heard.append(time.process_time()),
    )
    return heard[0] - started


def _single_sheets(*, is_full: bool) -> Iterator[Line]:
    names = [name for name in BEST_VALUES if is_full or name != "gcut13"]
    exact = sum(best_pattern(name)[0] == BEST_VALUES[name] for name in names)
    yield "gcut, best single sheets", exact, "exact", f"of {len(names)} published"


def _library(tries: int) -> Iterator[Line]:
    for turns, how in HOW.items():
        total = Sum()
        for name in NAMES:
            total.add(load(name, turns=turns), tries)
        beside = f"best known {KNOWN[turns]}; {total.beside()}"
        yield f"OR-Library, {how}", total.sheets, "sheets", beside


def _published(wheel: Path, *, is_full: bool) -> Iterator[Line]:
    listed = cuttingsets.read(wheel)
    tries, most = (SET_TRIES, 99) if is_full else (SET_TRIES // 10, 1)
    for turns, how in HOW.items():
        every = Sum()
        for number, lists in cuttingsets.classes(listed):
            total = Sum()
            for one in lists[:most]:
                total.add(one.task(turns=turns), tries)
            every.join(total)
            published = f"published {cuttingsets.PUBLISHED[number][turns]} for all ten"
            beside = f"{published}, sawable or not; {total.beside()}"
            yield f"class {number}, 60 parts, {how}", total.sheets, "sheets", beside
        published = sum(one[turns] for one in cuttingsets.PUBLISHED.values())
        beside = f"published {published}; {every.beside()}"
        yield f"all classes, {how}", every.sheets, "sheets", beside
        for name, lists, known in (
            (
                "Bengtsson",
                cuttingsets.bengtsson(listed),
                f"published {cuttingsets.PUBLISHED_BENG}; ",
            ),
            ("furniture orders", cuttingsets.furniture(listed), ""),
        ):
            total = Sum()
            for one in lists[: 3 * most]:
                total.add(one.task(turns=turns), tries)
            yield f"{name}, {how}", total.sheets, "sheets", known + total.beside()


def _shop_lists(tries: int) -> Iterator[Line]:
    for name, rows in LISTS.items():
        for levels in (3, None):
            task = shop_task(rows, levels)
            found, took = cut_up(task, tries)
            trade = ", ".join(f"{one.taken}: {one.settings} settings" for one in found)
            packer, refused = best_sawable(task)
            beside = (
                f"area {filled(task):.2f}, bound {found[0].bound}; {trade}; "
                f"packer {packer}, {refused} of 72 not sawable; {took:.1f} s"
            )
            how = f"{levels} levels" if levels else "any levels"
            yield f"{name}, {how}", found[0].taken, "sheets", beside


def _fills(tries: int, lists: int) -> Iterator[Line]:
    """Thin lists to so much of the sheets of the bound, and count how many need no sheet more."""
    for low, high, levels, aim in (
        (0.86, 0.88, 3, 1.0),
        (0.89, 0.90, 3, 1.0),
        (0.93, 0.94, None, 1.0),
        (0.945, 0.955, None, 0.5),
    ):
        met, total = 0, Sum()
        for seed in range(lists):
            found = total.add(thinned(seed, (low, high), levels), tries)
            met += found.taken == found.bound
        how = f"{levels} levels" if levels else "any levels"
        beside = f"of {lists}; {aim * lists:.0f} aimed at; {total.beside()}"
        yield f"filled to {low:.0%}-{high:.1%}, {how}", met, "at bound", beside


def main() -> None:
    """Print a line for each measure."""
    given = sys.argv[1:]
    wheel = Path(given[given.index("--sets") + 1]) if "--sets" in given else None
    for name, value, unit, beside in run(is_full="--quick" not in given, wheel=wheel):
        print(f"{name:38} {value:9,.3f} {unit:8} {beside}", flush=True)


if __name__ == "__main__":
    main()
