"""Make a layout easier to saw without taking a sheet more: fewer fence settings, fewer cuts.

Some sheets are emptied and filled anew, equal parts one after the other, with few levels or many.
Of layouts that take the same work the one with the largest offcut is kept.
"""

from __future__ import annotations

from typing import Final

from kiosk.rules.breakdown.bench import NO_LIMIT, Bench, put_down
from kiosk.rules.breakdown.saw import effort
from kiosk.rules.breakdown.search import Hunt
from kiosk.rules.breakdown.tree import Board, leaves, new_board

SETTING: Final = 2  # setting the fence takes as long as so many cuts (choice)
FEW: Final = (2, 3, NO_LIMIT)  # levels a sheet is filled anew with: few make plain strips (choice)
WIDE: Final = 3  # so many sheets are filled anew at most


def work(bench: Bench) -> int:
    """Return how much there is to do at the saw, in cuts."""
    return sum(_work(board) for board in bench.boards)


def settings_and_cuts(bench: Bench) -> tuple[int, int]:
    """Return how often the fence is set, and how many cuts it takes; trims are not counted."""
    efforts = [effort(board) for board in bench.boards]
    return sum(settings for settings, _cuts in efforts), sum(cuts for _settings, cuts in efforts)


def largest(bench: Bench) -> float:
    """Return the largest leftover of all sheets in use, as a share of a sheet."""
    return max((_left(board) for board in bench.boards if board.filled), default=0.0)


def _work(board: Board) -> int:
    settings, cuts = effort(board)
    return SETTING * settings + cuts


def _left(board: Board) -> float:
    """Return the largest leftover as a share of a sheet."""
    return max((one[3] * one[4] * board.unit for one in board.openings), default=0.0)


def tidy(hunt: Hunt) -> Bench:
    """Return the layout with as little work as was found; never one that takes more sheets."""
    bench = hunt.bench
    boards = [index for index, board in enumerate(bench.boards) if board.filled]
    while boards and hunt.goes_on():
        chosen = {boards[hunt.pick(len(boards))] for _number in range(1 + hunt.pick(WIDE))}
        _fill_anew(hunt, sorted(chosen))
    return bench


def _fill_anew(hunt: Hunt, chosen: list[int]) -> None:
    """Empty these sheets and fill them in another order; undo it where that is no gain."""
    bench = hunt.bench
    old = [bench.boards[index] for index in chosen]
    kinds = [leaf.kind for board in old for leaf in leaves(board.root)]
    weights = {kind: bench.kinds[kind].share * (0.1 + hunt.draw()) for kind in sorted(set(kinds))}
    levels = min(bench.levels, FEW[hunt.pick(len(FEW))])
    small = Bench(bench.kinds, (), bench.sizes, bench.unit, levels)
    small.boards = [new_board(board.stock, *bench.sizes[board.stock], bench.unit) for board in old]
    put_down(small, sorted(kinds, key=lambda kind: (-weights[kind], kind)))
    if not small.out and _worth(small.boards) <= _worth(old):
        for index, board in zip(chosen, small.boards, strict=True):
            bench.boards[index] = board


def _worth(boards: list[Board]) -> tuple[int, float]:
    return sum(map(_work, boards)), -max(map(_left, boards))
