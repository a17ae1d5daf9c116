"""Fill one sheet so that its parts are worth most, where each part has a price.

Three levels: rips make strips, crosscuts make pieces of a strip, rips make a piece's parts, which
are all as long as the piece. The best such pattern, with as many of each part as one likes, is
found by recursion over sums of sizes, after Gilmore and Gomory, Operations Research 13 (1965)
94-120. What nobody asked for is then taken off, and the rest filled as any other sheet is.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final

from kiosk.rules.breakdown.bench import Bench, find_spot
from kiosk.rules.breakdown.tree import Board, cut_off, leaves, new_board, place, refresh, remove

if TYPE_CHECKING:
    import numpy as np

    Numbers = np.ndarray[Any, np.dtype[Any]]

WIDTHS: Final = 120  # widths of strips at most; those of few parts come first (choice)
SUMS: Final = 3_000  # sums of lengths or widths at most; fewer lose some exact fits (choice)


@dataclass(frozen=True, slots=True)
class Raster:
    """Which sizes there can be on a sheet, and which remain when one of the pieces is cut off.

    stacks hold for each length of a piece the parts that are as long, with their widths. xs and ys
    are sums of lengths and of widths of strips; of each and each piece, x_left and y_left say which
    of them remains, -1 where the piece is too large.
    """

    stock: int
    lengths: tuple[int, ...]
    stacks: tuple[tuple[tuple[int, int], ...], ...]
    sums: tuple[tuple[int, ...], ...]
    widths: tuple[int, ...]
    x_left: Numbers
    y_left: Numbers


def rasters(bench: Bench) -> list[Raster]:
    """Return the raster of each size of new sheets; parts that do not fit one are left out."""
    new = [number for number, stock in enumerate(bench.stocks) if not stock.is_offcut]
    return [_raster(bench, stock) for stock in new]


def _raster(bench: Bench, stock: int) -> Raster:
    long, wide = bench.sizes[stock]
    found: dict[int, list[tuple[int, int]]] = {}
    for kind, one in enumerate(bench.kinds):
        for length, width in one.ways:
            if length <= long and width <= wide:
                found.setdefault(length, []).append((kind, width))
    lengths = sorted(found)
    count = [len(one.parts) for one in bench.kinds]
    reached = [
        _reached([(width, count[kind]) for kind, width in found[length]], wide)
        for length in lengths
    ]
    fewest: dict[int, int] = {}
    for sums in reached:
        for size, parts in sums.items():
            fewest[size] = min(parts, fewest.get(size, parts))
    widths = sorted(sorted(fewest, key=lambda size: (fewest[size], -size))[:WIDTHS])
    many = [(length, sum(count[kind] for kind, _w in found[length])) for length in lengths]
    return Raster(
        stock,
        tuple(lengths),
        tuple(tuple(found[length]) for length in lengths),
        tuple(tuple(sorted(sums)) for sums in reached),
        tuple(widths),
        _left(_thinned(_reached(many, long), long), lengths),
        _left(_thinned(_reached([(width, wide // width) for width in widths], wide), wide), widths),
    )


def _reached(sizes: Iterable[tuple[int, int]], most: int) -> dict[int, int]:
    """Return the sums of sizes, each so often at most, and of how few pieces each can be made."""
    reached = {0: 0}
    for size, often in sorted(sizes, reverse=True):
        for start, pieces in list(reached.items()):
            for number in range(1, min(often, (most - start) // size) + 1):
                end = start + number * size
                if pieces + number < reached.get(end, most):
                    reached[end] = pieces + number
        if len(reached) > 10 * SUMS:
            reached = dict(sorted(reached.items(), key=lambda one: one[1])[: 10 * SUMS])
    del reached[0]
    return reached


def _thinned(reached: dict[int, int], most: int) -> list[int]:
    """Return the sums of the fewest pieces, with nothing and the whole."""
    chosen = sorted(reached, key=lambda size: (reached[size], size))[:SUMS]
    return sorted({0, most, *chosen})


def _left(sums: Sequence[int], sizes: Sequence[int]) -> Numbers:
    import numpy as np

    at = np.asarray(sums)
    left: Numbers = np.searchsorted(at, at[:, None] - np.asarray(sizes)[None, :], side="right") - 1
    return left


def fill(bench: Bench, raster: Raster, prices: Sequence[float], left: Sequence[int]) -> Board:
    """Return a sheet filled by prices of each kind, with no more of one than are left."""
    stacks = [_stack_values(one, sums, prices) for one, sums in
              zip(raster.stacks, raster.sums, strict=True)]  # fmt: skip
    board = new_board(raster.stock, *bench.sizes[raster.stock], bench.unit)
    for width, pieces in _strips(raster, stacks):
        strip = cut_off(board.root, raster.widths[width])
        for number in pieces:
            piece = cut_off(strip, raster.lengths[number])
            for kind, size in _stack(stacks[number], raster.sums[number], raster.widths[width]):
                part = cut_off(piece, size)
                part.kind, part.rest = kind, 0
                board.filled += part.length * part.width
    _keep_to(bench, board, list(left))
    return board


Values = tuple[list[float], list[tuple[int, int, int]]]
"""Of each sum the best value up to it, and its last part: kind, width and the sum before."""


def _stack_values(
    parts: Sequence[tuple[int, int]], sums: Sequence[int], prices: Sequence[float]
) -> Values:
    at = {0: 0.0}
    values, last = [], []
    best, chosen = 0.0, (-1, 0, 0)
    for size in sums:
        value, what = -1.0, (-1, 0, 0)
        for kind, width in parts:
            before = at.get(size - width)
            if before is not None and before + prices[kind] > value:
                value, what = before + prices[kind], (kind, width, size - width)
        at[size] = value
        if value > best:
            best, chosen = value, what
        values.append(best)
        last.append(chosen)
    return values, last


def _stack(values: Values, sums: Sequence[int], width: int) -> list[tuple[int, int]]:
    """Return the parts of the best stack that is so wide at most."""
    found: list[tuple[int, int]] = []
    number = bisect_right(sums, width) - 1
    while number >= 0 and values[1][number][0] >= 0:
        kind, size, before = values[1][number]
        found.append((kind, size))
        number = bisect_right(sums, before) - 1
    return found


def _strips(raster: Raster, stacks: Sequence[Values]) -> list[tuple[int, list[int]]]:
    """Return the widths of the best strips and the lengths of their pieces, by number."""
    import numpy as np

    worth = np.zeros((len(raster.lengths), len(raster.widths)))
    for row, (sums, (values, _last)) in enumerate(zip(raster.sums, stacks, strict=True)):
        at = np.searchsorted(np.asarray(sums), np.asarray(raster.widths), side="right") - 1
        worth[row] = np.where(at >= 0, np.asarray(values)[at], 0.0)
    best = _knapsack(raster.x_left, worth)
    whole = _knapsack(raster.y_left, best[-1][:, None])
    found = []
    for width in _back(raster.y_left, best[-1], whole[:, 0]):
        found.append((width, _back(raster.x_left, worth[:, width], best[:, width])))
    return found


def _knapsack(left: Numbers, worth: Numbers) -> Numbers:
    """Return the best value at each sum, in columns that are worth something else each."""
    import numpy as np

    best = np.zeros((len(left), worth.shape[1]))
    for row in range(1, len(left)):
        fits = np.flatnonzero(left[row] >= 0)
        best[row] = best[row - 1]
        if len(fits):
            np.maximum(best[row], (best[left[row, fits]] + worth[fits]).max(axis=0), out=best[row])
    return best


def _back(left: Numbers, worth: Numbers, best: Numbers) -> list[int]:
    """Return which pieces make up the value of the last sum."""
    found: list[int] = []
    row = len(best) - 1
    while best[row] > 0:
        if best[row - 1] == best[row]:
            row -= 1
            continue
        gain = [best[before] + value if before >= 0 else -1.0
                for before, value in zip(left[row], worth, strict=True)]  # fmt: skip
        piece = max(range(len(gain)), key=gain.__getitem__)
        found.append(piece)
        row = int(left[row, piece])
    return found


def _keep_to(bench: Bench, board: Board, left: list[int]) -> None:
    """Take off what there is too much of, and lay on what else finds a place."""
    for leaf in list(leaves(board.root)):
        left[leaf.kind] -= 1
        if left[leaf.kind] < 0:
            left[leaf.kind] += 1
            remove(board, leaf)
    refresh(board)
    small = Bench(bench.kinds, bench.stocks, bench.sizes, bench.unit, bench.levels)
    for kind in sorted(range(len(left)), key=lambda one: -bench.kinds[one].share):
        while left[kind] and (spot := find_spot(small, board, kind)):
            place(board, spot, kind)
            left[kind] -= 1
