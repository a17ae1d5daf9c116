"""Measure the breakdown of sheets: against bounds, proved and published numbers, and the clock.

.venv/bin/python -m tests.bench.bench_breakdown            some ten minutes of one core
.venv/bin/python -m tests.bench.bench_breakdown --quick    a minute
"""

from __future__ import annotations

import sys
import time
from collections.abc import Iterator
from dataclasses import replace
from random import Random

from kiosk.rules.breakdown import recut, sawable
from kiosk.rules.breakdown.bound import least_sheets
from kiosk.rules.breakdown.model import Breakdown, Part, Stock, Task
from kiosk.rules.breakdown.plan import break_down
from kiosk.rules.lengths import PER_MM
from tests.cutting import BEST_VALUES, NAMES, best_pattern, load

Line = tuple[str, float, str, str]
TRIES = 24_000
# Sums over cgcut, gcut and ngcut, not turned and turned: best layouts known, some not proved best
# (computed by others, several minutes of search and a solver).
KNOWN = {False: 164, True: 150}
# Berkey and Wang, Journal of the Operational Research Society 38 (1987) 423-429: sides 1 to the
# first figure on squares of the second; from memory. The parts here are drawn anew, as their lists
# may not be copied: ratios to the bound compare, totals do not. On their own lists of 60 parts
# (classes 1 to 6) the best published layouts, which need not be sawable, take 1.015 times the
# bound not turned (590 to 581 sheets), and 1.009 turned (570 to 565).
CLASSES = ((10, 10), (10, 30), (35, 40), (35, 100), (100, 100), (100, 300))
# What a ceramics studio fits out: code, length and width in mm, quantity, whether the grain counts.
Row = tuple[str, int, int, int, bool]
GLAZE: tuple[Row, ...] = (
    ("shelf", 764, 300, 14, True), ("side", 720, 320, 8, False), ("back", 764, 720, 3, False),
    ("cleat", 764, 90, 14, True), ("rail", 764, 100, 10, True),
)  # fmt: skip
KILN: tuple[Row, ...] = (
    ("shelf", 880, 400, 18, True), ("side", 1500, 400, 6, True), ("bat", 460, 460, 20, False),
    ("divider", 380, 290, 24, False), ("cleat", 880, 90, 20, True), ("door", 596, 716, 6, True),
    ("plinth", 880, 70, 12, True),
)  # fmt: skip
BATCH: tuple[Row, ...] = (
    ("shelf", 764, 280, 48, True), ("side", 800, 300, 24, True), ("back", 764, 400, 24, False),
    ("front", 380, 150, 48, True), ("runner", 270, 60, 32, False), ("cleat", 764, 90, 24, True),
)  # fmt: skip
ONE_OFFS: tuple[Row, ...] = tuple(
    (f"P{n}", 220 + 67 * (n * 7 % 19), 90 + 31 * (n * 5 % 17), 2 + n % 6, n % 3 == 0)
    for n in range(22)
)
LISTS = {"glaze store": GLAZE, "kiln room": KILN, "batch of 12": BATCH, "one-offs": ONE_OFFS}
PLY = Stock(code="ply", length=2440 * PER_MM, width=1220 * PER_MM, trim=5 * PER_MM)
KERF = 32 * PER_MM // 10
SHEET = (PLY.length - 2 * PLY.trim + KERF) * (PLY.width - 2 * PLY.trim + KERF)


def run(*, tries: int = TRIES, is_full: bool = True) -> Iterator[Line]:
    """Yield each measure with what it is compared with."""
    yield from _first_layouts()
    yield from _single_sheets(is_full=is_full)
    yield from _library(tries)
    yield from _classes(tries, 10 if is_full else 2)
    yield from _shop_lists(tries)
    yield from _fills(tries, 10 if is_full else 3)


def _cut_up(task: Task, tries: int) -> tuple[Breakdown, float]:
    """Return a breakdown that both checks accept, and the seconds of processor time it took."""
    started = time.process_time()
    found, problems = break_down(task, draw=Random(1).random, tries=tries)
    took = time.process_time() - started
    assert found is not None, problems
    assert recut.find_faults(task, found) == ()
    assert sawable.find_faults(task, found) == ()
    return found, took


def _task(rows: tuple[Row, ...], levels: int | None) -> Task:
    parts = tuple(
        Part(code=code, length=a * PER_MM, width=b * PER_MM, quantity=n, is_locked=is_locked)
        for code, a, b, n, is_locked in rows
    )
    return Task(parts=parts, stocks=(PLY,), kerf=KERF, levels=levels)


def _first_layouts() -> Iterator[Line]:
    for name, rows in LISTS.items():
        task = _task(rows, 3)
        count = sum(row[3] for row in rows)
        took = min(_cut_up(task, 0)[1] for _number in range(3))
        yield f"first layout, {name}", took * 1000, "ms", f"{count} parts; 200 in 100 at most"


def _single_sheets(*, is_full: bool) -> Iterator[Line]:
    names = [name for name in BEST_VALUES if is_full or name != "gcut13"]
    exact = sum(best_pattern(name)[0] == BEST_VALUES[name] for name in names)
    yield "gcut, best single sheets", exact, "exact", f"of {len(names)} published"


def _library(tries: int) -> Iterator[Line]:
    for turns in (False, True):
        sheets = bound = 0
        spent = 0.0
        for name in NAMES:
            found, took = _cut_up(load(name, turns=turns), tries)
            sheets, bound, spent = sheets + found.taken, bound + found.bound, spent + took
        how = "turned" if turns else "not turned"
        beside = f"bound {bound}, ratio {sheets / bound:.3f}; best known {KNOWN[turns]}"
        yield f"OR-Library, {how}", sheets, "sheets", f"{beside}; {spent:.0f} s in all"


def _classes(tries: int, lists: int) -> Iterator[Line]:
    totals = {False: [0, 0], True: [0, 0]}
    for number, (most, side) in enumerate(CLASSES, 1):
        for turns in (False, True):
            sheets = bound = over = 0
            for seed in range(lists):
                found, _took = _cut_up(_drawn(seed, (most, side), turns=turns), tries)
                sheets, bound = sheets + found.taken, bound + found.bound
                over = max(over, found.taken - found.bound)
            totals[turns][0] += sheets
            totals[turns][1] += bound
            how = "turned" if turns else "not turned"
            beside = f"bound {bound}; worst {over} over it"
            yield f"class {number}, 60 parts, {how}", sheets, "sheets", beside
    for turns, (sheets, bound) in totals.items():
        how = "turned" if turns else "not turned"
        yield f"all classes, {how}", sheets / bound, "x bound", "at most 1.025"


def _drawn(seed: int, sides: tuple[int, int], *, turns: bool) -> Task:
    random = Random(f"{seed} {sides}")
    parts = tuple(
        Part(
            code=f"P{number}",
            length=random.randint(1, sides[0]),
            width=random.randint(1, sides[0]),
            is_locked=not turns,
        )
        for number in range(60)
    )
    return Task(parts=parts, stocks=(Stock(code="S", length=sides[1], width=sides[1]),))


def _shop_lists(tries: int) -> Iterator[Line]:
    for name, rows in LISTS.items():
        full = _full(rows)
        for levels in (2, 3, 4, None):
            found, took = _cut_up(_task(rows, levels), tries)
            how = f"{levels} levels" if levels else "any levels"
            effort = f"{found.cuts} cuts, {found.settings} settings; {took:.1f} s"
            beside = f"area {full:.2f}, bound {found.bound}; {effort}"
            yield f"{name}, {how}", found.taken, "sheets", beside


def _full(rows: tuple[Row, ...]) -> float:
    """Return how many sheets the parts of a list fill by their area, kerf included."""
    parts = _task(rows, 3).parts
    return sum((one.length + KERF) * (one.width + KERF) * one.quantity for one in parts) / SHEET


def _fills(tries: int, lists: int) -> Iterator[Line]:
    """Thin lists to so much of the sheets of the bound, and count how many need no sheet more."""
    for low, high, levels, aim in (
        (0.86, 0.88, 3, 1.0),
        (0.89, 0.90, 3, 1.0),
        (0.93, 0.94, None, 1.0),
        (0.945, 0.955, None, 0.5),
    ):
        met, spent, made = 0, 0.0, 0
        for seed in range(lists):
            task = _thinned(seed, (low, high), levels)
            found, took = _cut_up(task, tries)
            met, spent, made = met + (found.taken == found.bound), spent + took, made + 1
        how = f"{levels} levels" if levels else "any levels"
        beside = f"of {made}; {aim * made:.0f} aimed at; {spent / made:.1f} s each"
        yield f"filled to {low:.0%}-{high:.1%}, {how}", met, "at bound", beside


def _thinned(seed: int, fill: tuple[float, float], levels: int | None) -> Task:
    """Draw parts from a shop list until they fill whole sheets so far, kerf included."""
    random = Random(f"{seed} {fill}")
    while True:
        task = _task(random.choice(list(LISTS.values())), levels)
        pool = [replace(part, quantity=1) for part in task.parts for _n in range(part.quantity)]
        random.shuffle(pool)
        sheets, area, chosen = random.randint(2, 5), 0, dict[str, Part]()
        for part in pool:
            more = (part.length + KERF) * (part.width + KERF)
            if area + more <= fill[1] * sheets * SHEET:
                area += more
                had = chosen.get(part.code)
                chosen[part.code] = replace(part, quantity=had.quantity + 1 if had else 1)
        thin = replace(task, parts=tuple(chosen.values()))
        if area >= fill[0] * sheets * SHEET and least_sheets(thin) == sheets:
            return thin


def main() -> None:
    """Print a line for each measure."""
    is_quick = "--quick" in sys.argv
    for name, value, unit, beside in run(tries=3_000 if is_quick else TRIES, is_full=not is_quick):
        print(f"{name:38} {value:12,.3f} {unit:8} {beside}", flush=True)


if __name__ == "__main__":
    main()
