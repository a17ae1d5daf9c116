"""Hold the sheets that are being laid out and the parts that lie beside them, and fill sheets.

Where a part goes: of all that is left of all sheets, both ways round where the grain allows and
both ways of dividing the rest, what loses least of the sum of squared leftover areas, which keeps
leftovers large. After Gardeyn and Wauters, European Journal of Operational Research (preprint arXiv
2508.19306), from whom the search is, too.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from operator import itemgetter
from typing import Final

from kiosk.rules.breakdown.model import Part, Stock, Task
from kiosk.rules.breakdown.tree import Board, Spot, clone, new_board, place

NO_LIMIT = 10**6


@dataclass(frozen=True, slots=True)
class Kind:
    """Parts of one size: all of them, ways to lay one (kerf included), area as a share."""

    parts: tuple[Part, ...]
    ways: tuple[tuple[int, int], ...]
    share: float


@dataclass(slots=True)
class Bench:
    """The sheets in use, how many of each stock are left, and the parts without a place.

    sizes are the sheets inside their trim, kerf included; count is the most there may be.
    """

    kinds: tuple[Kind, ...]
    stocks: tuple[Stock, ...]
    sizes: tuple[tuple[int, int], ...]
    unit: float
    levels: int
    boards: list[Board] = field(default_factory=list)
    out: list[int] = field(default_factory=list)

    def left(self, stock: int) -> int:
        """Return how many more sheets of a stock there are."""
        count = self.stocks[stock].count
        used = sum(board.stock == stock for board in self.boards)
        return NO_LIMIT if count is None else count - used

    def open(self, stock: int) -> Board:
        """Lay one more sheet on the bench."""
        board = new_board(stock, *self.sizes[stock], self.unit)
        self.boards.append(board)
        return board

    def is_new(self, board: Board) -> bool:
        """Tell whether a board is a sheet, not an offcut."""
        return not self.stocks[board.stock].is_offcut

    def taken(self) -> tuple[int, float]:
        """Return how many new sheets are in use, and their area in sheets of the largest."""
        areas = [
            board.area * self.unit for board in self.boards if board.filled and self.is_new(board)
        ]
        return len(areas), round(sum(areas), 9)

    def copy(self) -> Bench:
        """Return a bench with copies of all boards."""
        boards = [clone(board) for board in self.boards]
        return Bench(
            self.kinds, self.stocks, self.sizes, self.unit, self.levels, boards, list(self.out)
        )


def set_up(task: Task, levels: int | None) -> Bench:
    """Return a bench with the offcuts on it and all parts beside it."""
    kerf = task.kerf
    sizes = tuple(
        (stock.length - 2 * stock.trim + kerf, stock.width - 2 * stock.trim + kerf)
        for stock in task.stocks
    )
    unit = 1.0 / max(length * width for length, width in sizes)
    kinds = _kinds(task, unit)
    bench = Bench(kinds, task.stocks, sizes, unit, NO_LIMIT if levels is None else levels)
    bench.out = [kind for kind, one in enumerate(kinds) for _part in one.parts]
    for stock, one in enumerate(task.stocks):
        if one.is_offcut:
            for _number in range(_worth(one, len(bench.out))):
                bench.open(stock)
    return bench


def _worth(stock: Stock, parts: int) -> int:
    """Return how many offcuts of a kind are laid out; more than there are parts is no use."""
    return parts if stock.count is None else min(stock.count, parts)


def _kinds(task: Task, unit: float) -> tuple[Kind, ...]:
    """Put parts of one size and grain together."""
    found: dict[tuple[tuple[int, int], ...], list[Part]] = {}
    for part in task.parts:
        length, width = part.length + task.kerf, part.width + task.kerf
        is_fixed = part.is_locked or length == width
        ways = ((length, width),) if is_fixed else ((length, width), (width, length))
        same = ways if ways in found or is_fixed else ways[::-1]
        found.setdefault(same if same in found else ways, []).extend([part] * part.quantity)
    return tuple(
        Kind(tuple(parts), ways, ways[0][0] * ways[0][1] * unit) for ways, parts in found.items()
    )


def find_spot(bench: Bench, board: Board, kind: int) -> Spot | None:
    """Return where on a board a part loses least, None where it does not fit.

    The same as the first of `spots` that loses least, without making a list of them.
    """
    if kind in board.best:
        return board.best[kind]
    best: Spot | None = None
    least, unit, levels = 2.0, board.unit, bench.levels  # no loss is more than one
    for length, width in bench.kinds[kind].ways:
        for node, rips, level, rest, across, square in board.openings:
            size, other = (width, length) if rips else (length, width)
            if size > rest or other > across:
                continue
            beyond = across - other
            if level + (2 if beyond else 1) > levels:
                continue
            left = rest - size
            beside, behind = left * across * unit, size * beyond * unit
            loss = square - beside * beside - behind * behind
            if loss < least:
                least, best = loss, (loss, node, length, width, False)
            if beyond and left and level + 3 <= levels:
                behind, beside = rest * beyond * unit, left * other * unit
                loss = square - beside * beside - behind * behind
                if loss < least:
                    least, best = loss, (loss, node, length, width, True)
    board.best[kind] = best
    return best


def spots(bench: Bench, board: Board, kind: int) -> list[Spot]:
    """Return all places on a board where a part can go."""
    found: list[Spot] = []
    unit, levels = board.unit, bench.levels
    for length, width in bench.kinds[kind].ways:
        for node, rips, level, rest, across, square in board.openings:
            size, other = (width, length) if rips else (length, width)
            if size > rest or other > across:
                continue
            beyond = across - other
            if level + (2 if beyond else 1) > levels:
                continue
            beside, behind = (rest - size) * across * unit, size * beyond * unit
            loss = square - beside * beside - behind * behind
            found.append((loss, node, length, width, False))
            if beyond and size < rest and level + 3 <= levels:
                behind, beside = rest * beyond * unit, (rest - size) * other * unit
                loss = square - beside * beside - behind * behind
                found.append((loss, node, length, width, True))
    return found


def put_down(bench: Bench, order: Sequence[int]) -> None:
    """Place parts in this order, each where it loses least, on new sheets as needed.

    A new sheet is the largest of those there are that the part fits on. What fits nowhere is out.
    """
    for kind in order:
        found = None
        for board in bench.boards:
            spot = find_spot(bench, board, kind)
            if spot and (found is None or spot[0] < found[1][0]):
                found = board, spot
        if found is None:
            found = _on_a_new_sheet(bench, kind)
        if found is None:
            bench.out.append(kind)
        else:
            place(found[0], found[1], kind)


def _on_a_new_sheet(bench: Bench, kind: int) -> tuple[Board, Spot] | None:
    sizes = bench.sizes
    for stock in sorted(range(len(bench.stocks)), key=lambda one: -sizes[one][0] * sizes[one][1]):
        if not bench.stocks[stock].is_offcut and bench.left(stock) > 0:
            board = bench.open(stock)
            spot = find_spot(bench, board, kind)
            if spot:
                return board, spot
            bench.boards.pop()
    return None


def starts(bench: Bench) -> list[Bench]:
    """Return a layout for each of five orders: by area, longer side, sides, length and width."""
    return [_start(bench, key) for key in _ORDERS]


def _start(bench: Bench, key: Callable[[tuple[int, int]], int]) -> Bench:
    kinds, one = bench.kinds, bench.copy()
    order = sorted(one.out, key=lambda kind: (-key(kinds[kind].ways[0]), kinds[kind].ways, kind))
    one.out.clear()
    put_down(one, order)
    return one


def _area(way: tuple[int, int]) -> int:
    return way[0] * way[1]


_ORDERS: Final[tuple[Callable[[tuple[int, int]], int], ...]] = (
    _area,
    max,
    sum,
    itemgetter(0),
    itemgetter(1),
)
