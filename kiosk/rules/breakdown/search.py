"""Look for a layout on fewer sheets: take pieces off, put them down again, keep what is near.

Ruin and recreate on the cutting tree with the goal "do without the emptiest sheet", after Gardeyn
and Wauters, European Journal of Operational Research (preprint arXiv 2508.19306); late acceptance
is from Burke and Bykov, European Journal of Operational Research 258 (2017) 70-78. The figures are
measured choices; the outcome hardly depends on them.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Final

from kiosk.rules.breakdown.bench import Bench, find_spot, spots
from kiosk.rules.breakdown.model import Draw
from kiosk.rules.breakdown.tree import Board, Spot, leaves, nodes, place, refresh, remove, twin

RUIN: Final = 11  # pieces taken off at once are 1 to so many
WIDE: Final = 3  # from so many sheets at most
HISTORY: Final = 60  # a layout as good as the one so many tries before is gone on from
KEPT: Final = 0.15  # what a leftover as large as a sheet is worth, in sheets left out
FULL: Final = 0.85  # sheets filled so far are kept to choose from (choice)
BLINK: Final = 0.06  # share of the sheets on which any place is taken, not the best one


@dataclass(slots=True)
class Hunt:
    """What a search goes by: the layout it changes, random numbers, and how long it may go on.

    keep gets each full sheet that is tried; none is changed afterwards.
    """

    bench: Bench
    draw: Draw
    left: int
    go_on: Callable[[], bool]
    keep: Callable[[Board], object] | None = None
    past: list[float] = field(default_factory=list)
    turn: int = 0

    def pick(self, count: int) -> int:
        """Return one of 0 to count - 1."""
        return int(self.draw() * count)

    def goes_on(self) -> bool:
        """Count a try; False when there are no more, or nobody wants any."""
        self.left -= 1
        return self.left >= 0 and self.go_on()

    def begin(self) -> None:
        """Forget what went before."""
        self.past, self.turn = [cost(self.bench)] * HISTORY, 0


def cost(bench: Bench) -> float:
    """Return the area without a place, less something for large leftovers, in sheets."""
    out = sum(bench.kinds[kind].share for kind in bench.out)
    return out - KEPT * sum(board.squares for board in bench.boards)


def fewest(hunt: Hunt, bound: int, heard: Callable[[Bench], None]) -> Bench:
    """Return the best layout found: no part without a place, then few sheets, then small ones.

    The hunt's bench is used up. heard gets each better one; it must copy what it keeps.
    """
    best = hunt.bench.copy()
    if not best.out and not _aim(hunt.bench, bound):
        return best
    hunt.begin()
    least = _out_area(best)
    while hunt.goes_on():
        _try(hunt)
        if _out_area(hunt.bench) < least or not hunt.bench.out:
            best, least = hunt.bench.copy(), _out_area(hunt.bench)
            heard(best)
            if not best.out:
                if not _aim(hunt.bench, bound):
                    break
                hunt.begin()
    return best


def _out_area(bench: Bench) -> float:
    return sum(bench.kinds[kind].share for kind in bench.out)


def _aim(bench: Bench, bound: int) -> bool:
    """Take away a sheet for the search to do without; False where there is nothing to gain.

    At the bound, or where the emptiest cannot be spared, a smaller sheet takes its place.
    """
    new = [board for board in bench.boards if bench.is_new(board)]
    if not new:
        return False
    emptiest = min(new, key=lambda board: (board.filled, -board.squares))
    if len(new) > bound:
        _clear(bench, emptiest)
        return True
    for board in sorted(new, key=lambda one: one.filled):
        smaller = _smaller(bench, board)
        if smaller is not None:
            _clear(bench, board)
            bench.open(smaller)
            return True
    return False


def _clear(bench: Bench, board: Board) -> None:
    bench.boards.remove(board)
    bench.out.extend(leaf.kind for leaf in leaves(board.root))


def _smaller(bench: Bench, board: Board) -> int | None:
    """Return the next smaller stock that there is, None if there is none."""
    area = board.root.length * board.root.width
    sizes = [
        (length * width, stock)
        for stock, (length, width) in enumerate(bench.sizes)
        if length * width < area and not bench.stocks[stock].is_offcut and bench.left(stock) > 0
    ]
    return max(sizes)[1] if sizes else None


def _try(hunt: Hunt) -> None:
    """Change the layout, and change it back where that is worse than what went before.

    Boards are copied before they are changed, so that those laid back still know their places.
    """
    bench = hunt.bench
    out, boards, was = bench.out, list(bench.boards), cost(bench)
    bench.out = list(out)
    touched: set[int] = set()
    _ruin(hunt, touched)
    _recreate(hunt, touched)
    if hunt.keep:
        for index in touched:
            if bench.boards[index].filled >= FULL * bench.boards[index].area:
                hunt.keep(bench.boards[index])
    now = cost(bench)
    slot = hunt.turn % HISTORY
    hunt.turn += 1
    if now > was and now > hunt.past[slot]:
        bench.out, bench.boards, now = out, boards, was
    hunt.past[slot] = now


def _ruin(hunt: Hunt, touched: set[int]) -> None:
    """Take some pieces off one sheet or a few."""
    boards = hunt.bench.boards
    from_ = [hunt.pick(len(boards)) for _number in range(1 + hunt.pick(WIDE))] if boards else []
    for _number in range(1 + hunt.pick(RUIN)):
        index = from_[hunt.pick(len(from_))] if from_ else 0
        if from_ and boards[index].root.kids:
            if index not in touched:
                touched.add(index)
                boards[index], _none = twin(boards[index], None)
            pieces = nodes(boards[index])
            hunt.bench.out.extend(remove(boards[index], pieces[hunt.pick(len(pieces))]))
    for index in touched:
        refresh(boards[index])


def _recreate(hunt: Hunt, touched: set[int]) -> None:
    """Put all parts down again, the large ones first as a rule."""
    bench, draw = hunt.bench, hunt.draw
    boards = bench.boards
    left: list[int] = []
    for kind in _order(hunt):
        found: tuple[int, Spot] | None = None
        least = 2.0  # no loss is more than one
        for index, board in enumerate(boards):
            best = board.best
            spot = best[kind] if kind in best else find_spot(bench, board, kind)
            if spot is None:
                continue
            if draw() < BLINK:
                spot = _any_spot(hunt, board, kind)
            if spot[0] < least:
                found, least = (index, spot), spot[0]
        if found is None:
            left.append(kind)
        else:
            _put(boards, found, kind, touched)
    bench.out = left


def _order(hunt: Hunt) -> list[int]:
    kinds, out, lot = hunt.bench.kinds, hunt.bench.out, hunt.draw()
    if lot < 0.5:
        return sorted(out, key=lambda kind: -kinds[kind].share)
    if lot < 0.75:
        return sorted(out, key=lambda kind: -max(kinds[kind].ways[0]))
    return sorted(out, key=lambda kind: -kinds[kind].share * (0.3 + hunt.draw()))


def _put(boards: list[Board], found: tuple[int, Spot], kind: int, touched: set[int]) -> None:
    """Place a part, on a copy where the board was not changed before."""
    index, spot = found
    if index not in touched:
        touched.add(index)
        boards[index], moved = twin(boards[index], spot)
        spot = moved or spot
    place(boards[index], spot, kind)


def _any_spot(hunt: Hunt, board: Board, kind: int) -> Spot:
    """Return a place that need not be the best, as if it lost nothing."""
    there = spots(hunt.bench, board, kind)
    return (0.0, *there[hunt.pick(len(there))][1:])
