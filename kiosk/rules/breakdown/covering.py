"""Choose among whole sheets: those that hold all parts together, on few sheets, by HiGHS.

Each column is a sheet as it may be cut. A linear program says what each part is worth on a sheet,
`patterns` makes the sheet that pays best at those prices, and so on; sheets of a search are columns
as well, after Monaci and Toth, INFORMS Journal on Computing 18 (2006) 71-85 (from memory). Limits
are of nodes, not of time, so that the same columns give the same choice.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import Any, Final

from kiosk.rules.breakdown.bench import NO_LIMIT, Bench
from kiosk.rules.breakdown.patterns import fill, rasters
from kiosk.rules.breakdown.tree import Board, clone, leaves, refresh, remove

ROUNDS: Final = 40  # sheets made to prices at most (choice)
NODES: Final = 100  # nodes of the solver at most (measured: about a second)
COLUMNS: Final = 800  # sheets to choose from at most, the fullest (choice)
GAIN: Final = 1e-6  # what a new sheet must pay beyond its cost (choice: rounding errors are less)


@dataclass(frozen=True, slots=True)
class Column:
    """A sheet as it may be cut, and the kinds of the parts on it."""

    board: Board
    kinds: tuple[int, ...]


class Pool:
    """Different sheets that were found, the fullest ones."""

    def __init__(self) -> None:
        self.found: dict[tuple[int, tuple[int, ...]], Column] = {}

    def add(self, board: Board) -> bool:
        """Take a sheet in; False where one with the same parts is there. It must not change."""
        kinds = tuple(sorted(leaf.kind for leaf in leaves(board.root)))
        key = board.stock, kinds
        if key in self.found or not kinds:
            return False
        self.found[key] = Column(board, kinds)
        if len(self.found) > 2 * COLUMNS:
            self.thin()
        return True

    def thin(self) -> None:
        """Drop all but the fullest."""
        fullest = sorted(self.found.items(), key=lambda one: -_fill(one[1].board))
        self.found = dict(fullest[:COLUMNS])

    def columns(self) -> list[Column]:
        """Return the fullest sheets."""
        self.thin()
        return list(self.found.values())


def _fill(board: Board) -> float:
    return board.filled / board.area


def add_patterns(pool: Pool, bench: Bench, go_on: Callable[[], bool]) -> None:
    """Add the sheets that pay at the prices of those there are, then a row of sheets to the end."""
    need = [len(kind.parts) for kind in bench.kinds]
    grids = rasters(bench)
    prices = [kind.share for kind in bench.kinds]
    for _round in range(ROUNDS):
        if not go_on():
            return
        made = [fill(bench, grid, prices, need) for grid in grids]
        if not sum(pool.add(board) for board in made):
            break
        prices = _prices(pool.columns(), need, bench)
    left = list(need)
    while any(left) and go_on():
        worth = [price if more else 0.0 for price, more in zip(prices, left, strict=True)]
        board = max((fill(bench, grid, worth, left) for grid in grids), key=_fill)
        if not board.filled:
            return
        pool.add(board)
        for leaf in leaves(board.root):
            left[leaf.kind] -= 1


def _prices(columns: Sequence[Column], need: Sequence[int], bench: Bench) -> list[float]:
    """Return what one more part of each kind costs in sheets, by the linear program."""
    import numpy as np
    from scipy.optimize import linprog

    table = _table(columns, len(need))
    costs = [float(bench.is_new(column.board)) for column in columns]
    rows = _limits(columns, bench, NO_LIMIT)
    solved = linprog(
        [*costs, *(10.0 * kind.share for kind in bench.kinds)],
        A_ub=np.vstack(
            [
                np.hstack([-table, -np.eye(len(need))]),
                *(np.array([*row, *([0.0] * len(need))]) for row, _most in rows),
            ]
        ),
        b_ub=[*(-one for one in need), *(most for _row, most in rows)],
        method="highs",
    )
    return [max(0.0, -float(one)) for one in solved.ineqlin.marginals[: len(need)]]


def _table(columns: Sequence[Column], kinds: int) -> Any:
    """Return how many parts of each kind, in rows, are on each sheet."""
    import numpy as np

    return np.array([np.bincount(column.kinds, minlength=kinds) for column in columns], float).T


def _limits(columns: Sequence[Column], bench: Bench, most: int) -> list[tuple[list[float], float]]:
    """Return which columns there may be how many of: new sheets, and those of each stock."""
    found = [([float(bench.is_new(column.board)) for column in columns], float(most))]
    for number, stock in enumerate(bench.stocks):
        if stock.count is not None:
            row = [float(column.board.stock == number) for column in columns]
            found.append((row, float(stock.count)))
    return found


def choose(columns: Sequence[Column], bench: Bench, most: int) -> Bench | None:
    """Return the layout on so many new sheets at most that leaves the least area out.

    None where the solver found nothing within its limit.
    """
    chosen = _solve(columns, bench, most)
    if chosen is None:
        return None
    boards = [
        clone(column.board)
        for column, often in zip(columns, chosen, strict=True)
        for _number in range(often)
    ]
    layout = Bench(bench.kinds, bench.stocks, bench.sizes, bench.unit, bench.levels, boards)
    layout.out = _surplus(boards, [len(kind.parts) for kind in bench.kinds])
    _add_offcuts(layout)
    return layout


def _surplus(boards: Iterable[Board], left: list[int]) -> list[int]:
    """Take off what there is too much of, from the emptiest; return what lies nowhere."""
    for board in sorted(boards, key=_fill, reverse=True):
        for leaf in list(leaves(board.root)):
            left[leaf.kind] -= 1
            if left[leaf.kind] < 0:
                left[leaf.kind] = 0
                remove(board, leaf)
        refresh(board)
    return [kind for kind, count in enumerate(left) for _number in range(count)]


def _add_offcuts(layout: Bench) -> None:
    """Lay out the offcuts that were not chosen, as the search may use them."""
    for number, stock in enumerate(layout.stocks):
        if stock.is_offcut and stock.count:
            for _number in range(min(layout.left(number), len(layout.out))):
                layout.open(number)


def _solve(columns: Sequence[Column], bench: Bench, most: int) -> list[int] | None:
    import numpy as np
    from scipy.optimize import Bounds, LinearConstraint, milp

    need = np.array([len(kind.parts) for kind in bench.kinds], dtype=float)
    shares = [kind.share for kind in bench.kinds]
    table = _table(columns, len(need))
    rows = _limits(columns, bench, most)
    zeros = np.zeros((len(rows), len(need)))
    solved: Any = milp(
        [*([0.0] * len(columns)), *shares],
        integrality=[*([1] * len(columns)), *([0] * len(need))],
        bounds=Bounds(0, [*([float(NO_LIMIT)] * len(columns)), *need]),
        constraints=[
            LinearConstraint(np.hstack([table, np.eye(len(need))]), lb=need),
            LinearConstraint(
                np.hstack([np.array([row for row, _most in rows]), zeros]),
                ub=[limit for _row, limit in rows],
            ),
        ],
        options={"node_limit": NODES},
    )
    if solved.x is None:
        return None
    return [round(one) for one in solved.x[: len(columns)]]
