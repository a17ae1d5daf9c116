"""Cutting problems of OR-Library as tasks, and the best value of one sheet by an exact recursion.

Sources and terms: tests/data/README.md.
"""

import csv
from collections import Counter
from functools import cache
from pathlib import Path

import numpy as np

from kiosk.rules.breakdown.model import Breakdown, Part, Stock, Task

DATA = Path(__file__).parent / "data" / "orlib.csv"

# Best values of one sheet with as many of each part as one likes, not turned, cut through: as
# published for gcut1 to gcut13 (Beasley, Journal of the Operational Research Society 36 (1985)
# 297-306, and later papers; from memory).
BEST_VALUES = {
    "gcut1": 56460,
    "gcut2": 60536,
    "gcut3": 61036,
    "gcut4": 61698,
    "gcut5": 246000,
    "gcut6": 238998,
    "gcut7": 242567,
    "gcut8": 246633,
    "gcut9": 971100,
    "gcut10": 982025,
    "gcut11": 980096,
    "gcut12": 979986,
    "gcut13": 8997780,
}


NAMES = (
    *(f"cgcut{number}" for number in range(1, 4)),
    *BEST_VALUES,
    *(f"ngcut{number}" for number in range(1, 13)),
)


@cache
def rows(name: str) -> tuple[int, int, tuple[tuple[int, int, int, int], ...]]:
    """Return the sheet's sides, and length, width, number and value of each part."""
    with DATA.open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            if row["inst"] == name:
                items = [item.split("*") for item in row["items_w*h*demand*value"].split()]
                parts = tuple((int(a), int(b), int(n), int(v)) for a, b, n, v in items)
                return int(row["W"]), int(row["H"]), parts
    raise KeyError(name)


def load(name: str, *, turns: bool, levels: int | None = None) -> Task:
    """Return a problem as packing on few sheets, without kerf; turns lets all parts be turned."""
    length, width, parts = rows(name)
    return Task(
        parts=tuple(
            Part(code=f"P{number}", length=a, width=b, quantity=n, is_locked=not turns)
            for number, (a, b, n, _value) in enumerate(parts, 1)
        ),
        stocks=(Stock(code=name, length=length, width=width),),
        levels=levels,
        least_offcut=1,
    )


def best_pattern(name: str) -> tuple[int, Counter[int]]:
    """Return the best value of one sheet, and how many of each part are on it.

    Dynamic programming over all sums of part sizes, as Beasley 1985. Shares nothing with kiosk.
    """
    length, width, parts = rows(name)
    xs, ys = _sums(length, [one[0] for one in parts]), _sums(width, [one[1] for one in parts])
    value = np.zeros((len(xs), len(ys)), dtype=np.int64)
    for a, b, _n, worth in parts:
        block = value[np.searchsorted(xs, a) :, np.searchsorted(ys, b) :]
        np.maximum(block, worth, out=block)
    at = [np.searchsorted(each, np.arange(side + 1), side="right") - 1 for each, side in
          ((xs, length), (ys, width))]  # fmt: skip
    for i, x in enumerate(xs):
        halves = xs[1 : np.searchsorted(xs, x // 2, side="right")]
        if len(halves):
            both = value[np.searchsorted(xs, halves)] + value[at[0][x - halves]]
            np.maximum(value[i], both.max(axis=0), out=value[i])
        for j, y in enumerate(ys):
            low = np.arange(1, np.searchsorted(ys, y // 2, side="right"))
            if len(low):
                best = (value[i, low] + value[i, at[1][y - ys[low]]]).max()
                value[i, j] = max(value[i, j], best)
    return int(value[-1, -1]), _counted(value, (xs, ys), at, parts)


def _sums(side: int, sizes: list[int]) -> np.ndarray:
    reached = np.zeros(side + 1, dtype=bool)
    reached[0] = True
    for size in sorted(set(sizes)):
        for at in range(size, side + 1):
            reached[at] |= reached[at - size]
    return np.flatnonzero(reached)


def _counted(value, sides, at, parts) -> Counter[int]:
    """Go back through the table to which parts make up the best value."""
    xs, ys = sides
    found: Counter[int] = Counter()
    waiting = [(len(xs) - 1, len(ys) - 1)]
    while waiting:
        i, j = waiting.pop()
        if not value[i, j]:
            continue
        fits = [
            number
            for number, (a, b, _n, worth) in enumerate(parts)
            if a <= xs[i] and b <= ys[j] and worth == value[i, j]
        ]
        if fits:
            found[fits[0]] += 1
            continue
        splits = [((k, j), (int(at[0][xs[i] - xs[k]]), j)) for k in range(1, i)]
        splits += [((i, k), (i, int(at[1][ys[j] - ys[k]]))) for k in range(1, j)]
        waiting.extend(
            next((one, other) for one, other in splits if value[one] + value[other] == value[i, j])
        )
    return found


def sheet_values(name: str, breakdown: Breakdown) -> list[int]:
    """Return what the parts on each sheet are worth."""
    worth = {f"P{number}": one[3] for number, one in enumerate(rows(name)[2], 1)}
    return [sum(worth[part.code] for part in sheet.parts) for sheet in breakdown.sheets]
