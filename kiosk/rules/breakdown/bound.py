"""Say how many sheets it takes at least, whatever the layout.

A dual feasible function gives sizes other values so that what fits side by side still does. The sum
of the values' products is then at most that of the sheets, for each pair of functions. Those used
here add up: two values are never more than that of both sizes together; so each cut of a tree keeps
the promise and smaller sheets may stand beside large ones. They are from Fekete and Schepers,
Mathematical Programming 91 (2001) 11-31, and Carlier, Clautiaux and Moukrim, Computers & Operations
Research 34 (2007) 2223-2250 (from memory); plain area is the pair of two identities. A part that
may be turned counts with the smaller of its two products, as each layout uses one of the two.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import partial
from typing import Final

from kiosk.rules.breakdown.model import Stock, Task

Function = Callable[[int], int]
Item = tuple[int, tuple[int, int], tuple[int, int]]
"""How many there are, and both ways they may lie, the same twice where there is one."""

MOST: Final = 30  # thresholds of one kind and direction; fewer only make a bound weaker (choice)
ROUNDED: Final = 10  # denominators of the rounding functions (choice)


def least_sheets(task: Task) -> int:
    """Return how many new sheets are needed at least, after all offcuts; 0 where those may do.

    Parts that fit on no sheet are not counted. Where there are fewer sheets than needed, the answer
    is how many there are, as no layout takes more.
    """
    stocks = [
        ((one.length - 2 * one.trim + task.kerf, one.width - 2 * one.trim + task.kerf), one)
        for one in task.stocks
    ]
    old = [size for size, one in stocks if one.is_offcut and one.count != 0]
    new = [(size, one) for size, one in stocks if not one.is_offcut]
    items = list(_items(task, [size for size, _one in stocks]))
    large = [item for item in items if not _fits(item, old)]
    small = [(size, one) for size, one in stocks if any(_fits(item, [size]) for item in items)]
    return max(_least(items, small), _least(large, new) if old else 0)


def _fits(item: Item, sheets: Sequence[tuple[int, int]]) -> bool:
    return any(way[0] <= a and way[1] <= b for way in item[1:] for a, b in sheets)


def _least(items: Sequence[Item], stocks: Sequence[tuple[tuple[int, int], Stock]]) -> int:
    """Return the best bound over all pairs of functions."""
    if not items or not stocks:
        return 0
    sheets = [size for size, _one in stocks]
    lengths = sorted({way[0] for _n, *ways in items for way in ways})
    widths = sorted({way[1] for _n, *ways in items for way in ways})
    counts = [(one.is_offcut, one.count) for _size, one in stocks]
    behind = [
        (
            [g(a[1]) for _n, a, _b in items],
            [g(b[1]) for _n, _a, b in items],
            [g(width) for _l, width in sheets],
        )
        for g in functions(max(width for _l, width in sheets), widths)
    ]
    many = [item[0] for item in items]
    best = 0
    for f in functions(max(length for length, _w in sheets), lengths):
        one, other = [f(a[0]) for _n, a, _b in items], [f(b[0]) for _n, _a, b in items]
        room = [f(length) for length, _w in sheets]
        for straight, turned, high in behind:
            need = sum(
                n * min(a * c, b * d)
                for n, a, b, c, d in zip(many, one, other, straight, turned, strict=True)
            )
            areas = [a * b for a, b in zip(room, high, strict=True)]
            best = max(best, _sheets_for(need, areas, counts))
    return best


def functions(whole: int, sizes: Sequence[int]) -> list[Function]:
    """Return dual feasible functions on 0..whole, with thresholds taken from the sizes."""
    small = [size for size in sizes if 2 * size <= whole]
    steps = sorted({*small, *(size // 2 for size in small if size > 1), *(s // 3 for s in small)})
    return [
        partial(_threshold, whole, 0),
        *(partial(_threshold, whole, size) for size in _some([*small, whole // 2])),
        *(partial(_rounded, whole, k) for k in range(1, ROUNDED + 1)),
        *(partial(_steps, whole, size) for size in _some(steps) if size > 0),
    ]


def _items(task: Task, sheets: Sequence[tuple[int, int]]) -> Iterator[Item]:
    found: dict[tuple[tuple[int, int], tuple[int, int]], int] = {}
    for part in task.parts:
        way = part.length + task.kerf, part.width + task.kerf
        ways = [
            (length, width)
            for length, width in ([way] if part.is_locked else [way, way[::-1]])
            if any(length <= most and width <= wide for most, wide in sheets)
        ]
        if ways:
            key = min(ways), max(ways)
            found[key] = found.get(key, 0) + part.quantity
    for (one, other), count in found.items():
        yield count, one, other


def _some(sizes: Sequence[int]) -> list[int]:
    """Return at most MOST of the sizes, evenly spread."""
    step = max(1, -(-len(sizes) // MOST))
    return list(sizes[::step])


def _sheets_for(need: int, areas: Sequence[int], counts: Sequence[tuple[bool, int | None]]) -> int:
    """Return how many new sheets hold so much, the offcuts first and the best sheets next."""
    new: list[tuple[int, int | None]] = []
    for area, (is_offcut, count) in zip(areas, counts, strict=True):
        if not is_offcut:
            new.append((area, count))
        else:
            need -= need if count is None and area else area * (count or 0)
    taken = 0
    for area, count in sorted(new, key=lambda one: -one[0]):
        if need <= 0 or not area:
            break
        number = -(-need // area)
        number = number if count is None else min(number, count)
        taken += number
        need -= number * area
    return taken


def _threshold(whole: int, least: int, size: int) -> int:
    """Count what is smaller than least as nothing, and what leaves less than that as all."""
    if size < least:
        return 0
    return whole if size > whole - least else size


def _rounded(whole: int, k: int, size: int) -> int:
    """Round the share of the whole down to the next of k + 1 steps, unless it is one."""
    steps, over = divmod((k + 1) * size, whole)
    return steps * whole if over else k * size


def _steps(whole: int, step: int, size: int) -> int:
    """Count whole steps, and beyond the half what the other side has no room for."""
    if 2 * size < whole:
        return 2 * (size // step)
    if 2 * size == whole:
        return whole // step
    return 2 * (whole // step) - 2 * ((whole - size) // step)
