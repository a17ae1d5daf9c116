"""Layouts put together of known sheets: worked cases, patterns against a plain recursion."""

from dataclasses import replace
from functools import cache
from itertools import count
from random import Random
from types import SimpleNamespace

import pytest
import scipy.optimize

from kiosk.rules.breakdown import covering, patterns, plan, recut, sawable
from kiosk.rules.breakdown.bench import Bench, put_down, set_up, starts
from kiosk.rules.breakdown.choices import rank, show
from kiosk.rules.breakdown.covering import Pool, add_patterns, choose
from kiosk.rules.breakdown.model import Part, Stock, Task
from kiosk.rules.breakdown.patterns import fill, rasters
from kiosk.rules.breakdown.plan import options
from kiosk.rules.breakdown.search import FULL, Hunt, fewest
from kiosk.rules.breakdown.tree import Board, leaves, remove
from tests.bench.cuttinglists import thinned

BOARD = Stock(code="board", length=100, width=100)
# Halves fill a sheet two by two, and so do large parts with a small one each.
TASK = Task(
    parts=(
        Part(code="half", length=100, width=50, quantity=4, is_locked=True),
        Part(code="large", length=100, width=70, quantity=2, is_locked=True),
        Part(code="small", length=100, width=30, quantity=2, is_locked=True),
    ),
    stocks=(BOARD,),
    least_offcut=5,
)
HALF, LARGE, SMALL = range(3)


def sheet(bench: Bench, *kinds: int) -> Board:
    one = Bench(bench.kinds, bench.stocks, bench.sizes, bench.unit, bench.levels)
    put_down(one, kinds)
    assert one.out == []
    assert len(one.boards) == 1
    return one.boards[0]


def pool_of(bench: Bench, *boards: tuple[int, ...]) -> Pool:
    pool = Pool()
    for kinds in boards:
        assert pool.add(sheet(bench, *kinds))
    return pool


def checked(task: Task, bench: Bench) -> Bench:
    found = show(task, bench, 0)
    assert recut.find_faults(task, found) == ()
    assert sawable.find_faults(task, found) == ()
    return bench


def test_the_sheets_that_hold_all_are_chosen_and_used_again():
    bench = set_up(TASK, 3)
    pool = pool_of(bench, (HALF, HALF), (HALF, SMALL), (LARGE, SMALL), (LARGE,))

    found = checked(TASK, choose(pool.columns(), bench, 4))

    assert found.out == []
    assert sorted(sorted(leaf.kind for leaf in leaves(board.root)) for board in found.boards) == [
        [HALF, HALF], [HALF, HALF], [LARGE, SMALL], [LARGE, SMALL],
    ]  # fmt: skip


def test_with_too_few_sheets_the_least_area_is_left_out():
    bench = set_up(TASK, 3)
    pool = pool_of(bench, (HALF, HALF), (HALF, SMALL), (LARGE,))

    found = checked(TASK, choose(pool.columns(), bench, 3))

    # three sheets with two halves each would hold 2.0, two of them and a large part 2.7
    assert sorted(found.out) == [LARGE, SMALL, SMALL]


def test_what_there_is_too_much_of_is_taken_off_again():
    one = replace(TASK, parts=(replace(TASK.parts[0], quantity=3),))
    bench = set_up(one, 3)
    pool = pool_of(bench, (HALF, HALF))

    found = checked(one, choose(pool.columns(), bench, 2))

    assert found.out == []
    assert sorted(board.filled for board in found.boards) == [100 * 50, 100 * 100]


def test_offcuts_come_before_sheets_and_are_no_more_than_there_are():
    old = Stock(code="old", length=100, width=50, count=2, is_offcut=True)
    task = replace(TASK, stocks=(BOARD, old))
    bench = set_up(task, 3)
    small = Bench(bench.kinds, bench.stocks, bench.sizes, bench.unit, bench.levels)
    small.open(1)
    put_down(small, [HALF])
    pool = pool_of(bench, (HALF, HALF), (LARGE, SMALL))
    pool.add(small.boards[0])

    found = checked(task, choose(pool.columns(), bench, 3))

    assert found.out == []
    assert [board.stock for board in found.boards].count(1) == 2
    few = choose(pool_of(bench, (HALF, HALF)).columns(), bench, 2)
    assert len(few.out) == 4
    # what was not chosen lies there for a search to use
    assert [board.stock for board in few.boards].count(1) == 2


def test_a_pool_keeps_each_sheet_once_and_the_fullest(monkeypatch):
    bench = set_up(TASK, 3)
    pool = pool_of(bench, (HALF, HALF), (HALF,), (SMALL,))
    assert not pool.add(sheet(bench, HALF))
    monkeypatch.setattr(covering, "COLUMNS", 1)
    assert pool.add(sheet(bench, SMALL, SMALL))
    assert [column.kinds for column in pool.columns()] == [(HALF, HALF)]


def test_prices_lead_to_the_sheets_that_hold_all():
    bench = set_up(TASK, 3)
    pool = pool_of(bench, (HALF, SMALL), (LARGE,), (HALF,))

    add_patterns(pool, bench, lambda: True)

    assert checked(TASK, choose(pool.columns(), bench, 4)).out == []


@pytest.mark.parametrize("after", [0, 1, 4])
def test_no_more_sheets_are_made_after_a_no(after):
    bench = set_up(TASK, 3)
    pool, asked = Pool(), count()

    add_patterns(pool, bench, lambda: next(asked) < after)

    assert next(asked) == after + 1
    assert len(pool.columns()) <= after


def test_what_fits_on_no_new_sheet_is_in_no_pattern():
    old = Stock(code="old", length=200, width=50, count=1, is_offcut=True)
    task = replace(
        TASK,
        parts=(*TASK.parts, Part(code="long", length=180, width=40)),
        stocks=(BOARD, old),
    )
    bench = set_up(task, 3)
    pool = Pool()

    add_patterns(pool, bench, lambda: True)

    assert {kind for column in pool.columns() for kind in column.kinds} == {HALF, LARGE, SMALL}


def test_nothing_is_made_where_nothing_fits_on_a_new_sheet_or_there_is_none():
    old = Stock(code="old", length=200, width=50, count=1, is_offcut=True)
    long_part = Part(code="long", length=180, width=40)
    for stocks in ((BOARD, old), (old,)):
        pool = Pool()
        add_patterns(
            pool, set_up(replace(TASK, parts=(long_part,), stocks=stocks), 3), lambda: True
        )
        assert pool.columns() == []


def test_few_rounds_and_few_sums_still_give_sheets_that_can_be_sawn(monkeypatch):
    monkeypatch.setattr(covering, "ROUNDS", 1)
    monkeypatch.setattr(patterns, "SUMS", 1)
    parts = tuple(
        Part(code=f"P{n}", length=11 + 5 * n, width=9 + 4 * n, quantity=4) for n in range(5)
    )
    task = replace(TASK, parts=parts)
    bench = set_up(task, 3)
    pool = Pool()

    add_patterns(pool, bench, lambda: True)

    assert checked(task, choose(pool.columns(), bench, 4)).out == []


def test_a_solver_that_finds_nothing_is_no_loss(monkeypatch):
    task = thinned(1, (0.93, 0.94), None)  # takes long to be brought down to its bound
    asked = []
    monkeypatch.setattr(plan, "LEAST", 10)  # the solver is asked even where so few tries are wanted
    monkeypatch.setattr(
        scipy.optimize, "milp", lambda *_a, **_more: asked.append(1) or SimpleNamespace(x=None)
    )

    found, problems = options(task, draw=Random(1).random, tries=400)

    assert problems == ()
    assert asked
    assert (found[0].taken, found[0].left_out) == (found[0].bound + 1, ())


def test_what_the_solver_puts_together_is_taken_or_gone_on_from(monkeypatch):
    task = thinned(1, (0.93, 0.94), None)
    asked = []

    def put_together(_columns, _bench, most):
        made = min(starts(set_up(task, 3)), key=rank)
        asked.append(most)
        if len(asked) > 1:  # one that leaves a piece out
            made.out = remove(made.boards[-1], made.boards[-1].root.kids[0])
        return made

    monkeypatch.setattr(plan, "LEAST", 10)
    monkeypatch.setattr(plan, "choose", put_together)

    found, problems = options(task, draw=Random(1).random, tries=400)

    assert problems == ()
    assert len(asked) > 1
    assert asked[0] >= found[0].bound
    for one in found:
        assert one.left_out == ()
        assert recut.find_faults(task, one) == ()
        assert sawable.find_faults(task, one) == ()


def test_a_search_keeps_only_full_sheets_and_only_where_somebody_wants_them():
    task = thinned(1, (0.93, 0.94), None)
    start = min(starts(set_up(task, 3)), key=rank)

    def searched(keep):
        return fewest(Hunt(start.copy(), Random(1).random, 400, lambda: True, keep), 2, id)

    kept: list[Board] = []
    assert show(task, searched(kept.append), 4) == show(task, searched(None), 4)
    assert kept
    assert all(
        sum(leaf.length * leaf.width for leaf in leaves(board.root))
        >= FULL * board.root.length * board.root.width
        for board in kept
    )


def best(levels: int, sides: tuple[int, int], prices: dict[tuple[int, int], float]) -> float:
    """Cut a sheet in all ways there are, by plain recursion over whole sizes."""

    @cache
    def value(left: int, length: int, width: int, *, rips: bool) -> float:
        found = prices.get((length, width), 0.0)
        if not left:
            return found
        side = width if rips else length
        for off in range(1, side + 1):
            piece = (length, off) if rips else (off, width)
            rest = (length, width - off) if rips else (length - off, width)
            more = value(left, *rest, rips=rips) if off < side else 0.0
            found = max(found, value(left - 1, *piece, rips=not rips) + more)
        return found

    return value(levels, *sides, rips=True)


@pytest.mark.parametrize("seed", range(12))
def test_a_pattern_is_worth_what_trying_all_cuts_gives(seed):
    random = Random(seed)
    sides = random.randint(9, 14), random.randint(8, 12)
    rows = {(random.randint(2, 7), random.randint(2, 6)) for _number in range(4)}
    task = Task(
        parts=tuple(
            Part(code=f"P{n}", length=a, width=b, quantity=99, is_locked=True)
            for n, (a, b) in enumerate(sorted(rows))
        ),
        stocks=(Stock(code="board", length=sides[0], width=sides[1]),),
        least_offcut=1,
    )
    bench = set_up(task, 3)
    prices = [a * b * random.uniform(0.5, 1.0) for a, b in sorted(rows)]

    (raster,) = rasters(bench)
    board = fill(bench, raster, prices, [99] * len(rows))

    worth = sum(prices[leaf.kind] for leaf in leaves(board.root))
    by_size = dict(zip(sorted(rows), prices, strict=True))
    assert worth == pytest.approx(best(3, sides, by_size))
    assert board.filled == sum(leaf.length * leaf.width for leaf in leaves(board.root))


def test_a_pattern_holds_no_more_than_is_left_and_is_filled_with_the_rest():
    bench = set_up(TASK, 3)
    (raster,) = rasters(bench)

    board = fill(bench, raster, [0.5, 0.1, 0.1], [1, 0, 1])

    assert sorted(leaf.kind for leaf in leaves(board.root)) == [HALF, SMALL]
