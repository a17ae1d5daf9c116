"""Making a layout easier to saw: never more work, never another sheet, then a larger offcut."""

from random import Random

import pytest

from kiosk.rules.breakdown.bench import Bench, set_up, starts
from kiosk.rules.breakdown.model import Part, Stock, Task
from kiosk.rules.breakdown.search import Hunt
from kiosk.rules.breakdown.tidy import tidy, work

TASK = Task(
    parts=tuple(
        Part(code=f"P{n}", length=40 + 7 * n, width=30 + 5 * n, quantity=4) for n in range(6)
    ),
    stocks=(Stock(code="board", length=244, width=122, trim=1),),
    kerf=1,
)


def tidied(start: Bench, *, seed: int, tries: int) -> Bench:
    return tidy(Hunt(start.copy(), Random(seed).random, tries, lambda: True))


@pytest.mark.parametrize("seed", range(5))
def test_a_tidied_layout_takes_less_work_and_no_sheet_more(seed):
    for start in starts(set_up(TASK, 4)):
        before = work(start)
        last = before
        for tries in (1, 4, 16, 64):
            after = tidied(start, seed=seed, tries=tries)
            assert work(after) <= last
            assert after.taken() == start.taken()
            assert after.out == []
            last = work(after)
        assert last < before


def test_of_equal_work_the_larger_offcut_is_kept():
    # two parts side by side or one behind the other: the same cuts, but not the same remainder
    task = Task(
        parts=(Part(code="a", length=50, width=40), Part(code="b", length=60, width=40)),
        stocks=(Stock(code="board", length=244, width=122),),
        kerf=1,
    )

    def largest(bench: Bench) -> float:
        return max(one[3] * one[4] for board in bench.boards for one in board.openings)

    for start in starts(set_up(task, None)):
        after = tidied(start, seed=1, tries=60)
        assert (-work(after), largest(after)) >= (-work(start), largest(start))
