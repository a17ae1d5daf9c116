"""The lower bound: functions that keep what fits, worked cases, and never above a layout."""

from dataclasses import replace
from random import Random

from hypothesis import given, settings
from hypothesis import strategies as st

from kiosk.rules.breakdown.bound import functions, least_sheets
from kiosk.rules.breakdown.model import Part, Stock, Task
from kiosk.rules.breakdown.plan import break_down

CALM = settings(max_examples=40, deadline=None, derandomize=True)
BOARD = Stock(code="board", length=10, width=10)


def task(*parts: tuple[int, int, int], turns: bool = False, **more) -> Task:
    made = tuple(
        Part(code=f"P{number}", length=a, width=b, quantity=n, is_locked=not turns)
        for number, (a, b, n) in enumerate(parts)
    )
    return replace(Task(parts=made, stocks=(BOARD,), least_offcut=1), **more)


def test_two_values_never_exceed_that_of_both_sizes_together():
    for whole in (1, 7, 12, 30):
        for f in functions(whole, range(1, whole + 1)):
            values = [f(size) for size in range(whole + 1)]
            assert values[0] >= 0
            assert all(
                values[a] + values[b] <= values[a + b]
                for a in range(whole + 1)
                for b in range(whole + 1 - a)
            )


def test_area_alone():
    assert least_sheets(task((5, 5, 4))) == 1
    assert least_sheets(task((5, 5, 5))) == 2


def test_parts_over_half_the_sheet_lie_one_on_each():
    assert least_sheets(task((6, 6, 3))) == 3


def test_a_part_that_may_turn_counts_with_the_better_way():
    wide = (10, 4, 2), (4, 10, 1)
    assert least_sheets(task(*wide)) == 2
    assert least_sheets(task(*wide, turns=True)) == 2
    tall = ((4, 10, 2), (10, 2, 1), (2, 10, 1))
    assert least_sheets(task(*tall)) == 2
    assert least_sheets(task(*tall, turns=True)) == 2
    assert least_sheets(task((4, 10, 2), (10, 2, 1), turns=True)) == 1


def test_the_kerf_counts():
    assert least_sheets(task((5, 10, 2))) == 1
    assert least_sheets(task((5, 10, 2), kerf=1)) == 2


def test_the_trim_counts():
    trimmed = replace(BOARD, trim=1)
    assert least_sheets(task((4, 8, 2), stocks=(trimmed,))) == 1
    assert least_sheets(task((5, 8, 2), stocks=(trimmed,))) == 2


def test_offcuts_come_first():
    old = Stock(code="old", length=10, width=10, is_offcut=True)
    assert least_sheets(task((6, 6, 3), stocks=(replace(old, count=2), BOARD))) == 1
    assert least_sheets(task((6, 6, 3), stocks=(replace(old, count=3), BOARD))) == 0
    assert least_sheets(task((6, 6, 3), stocks=(replace(old, count=None), BOARD))) == 0
    small = Stock(code="small", length=5, width=5, count=9, is_offcut=True)
    assert least_sheets(task((6, 6, 3), stocks=(small, BOARD))) == 3
    assert least_sheets(task((6, 6, 3), (4, 4, 1), stocks=(small, BOARD))) == 3
    assert least_sheets(task((4, 4, 9), stocks=(small, BOARD))) == 0


def test_the_largest_sheets_are_counted_and_only_those_there_are():
    few = replace(BOARD, count=1)
    small = Stock(code="small", length=7, width=7)
    assert least_sheets(task((6, 6, 3), stocks=(small, few))) == 3
    tiny = Stock(code="tiny", length=5, width=5)
    assert least_sheets(task((5, 5, 9), stocks=(tiny, few))) == 6
    assert least_sheets(task((6, 6, 3), stocks=(few,))) == 1


def test_what_fits_on_no_sheet_is_not_counted():
    assert least_sheets(task((11, 1, 3), (10, 10, 1))) == 1


def test_many_sizes_give_a_bound_from_some_of_them():
    parts = tuple((300 + 7 * n, 200 + 11 * n, 1) for n in range(70))
    wide = Stock(code="wide", length=2440, width=1220)
    made = task(*parts, stocks=(wide,))
    area = sum(a * b for a, b, _n in parts)
    assert least_sheets(made) >= -(-area // (2440 * 1220))


@CALM
@given(
    st.lists(
        st.tuples(st.integers(1, 10), st.integers(1, 10), st.integers(1, 3)), min_size=1, max_size=6
    ),
    st.booleans(),
    st.integers(0, 2),
)
def test_the_bound_is_never_above_a_layout(parts, turns, kerf):
    made = task(*parts, turns=turns, kerf=kerf)

    found, _problems = break_down(made, draw=Random(1).random, tries=40)

    assert found is not None
    assert found.bound <= found.taken
