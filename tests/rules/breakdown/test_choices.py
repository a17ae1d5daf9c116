"""Breakdowns worth choosing: fewer sheets against fewer settings, none worse in both."""

from dataclasses import replace
from itertools import pairwise
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kiosk.rules.breakdown import recut, sawable
from kiosk.rules.breakdown.bench import Bench, set_up, starts
from kiosk.rules.breakdown.bound import least_sheets
from kiosk.rules.breakdown.choices import sheets, to_tidy, worth_choosing
from kiosk.rules.breakdown.model import Breakdown, Part, Stock, Task
from kiosk.rules.breakdown.plan import break_down, options
from kiosk.rules.breakdown.tidy import settings_and_cuts
from tests.bench.cuttinglists import thinned

CALM = settings(max_examples=8, deadline=None, derandomize=True)
BOARD = Stock(code="board", length=100, width=70, trim=1)
# Two sheets hold these, but three take fewer fence settings.
TIGHT = thinned(0, (0.93, 0.94), None)


def choices(task: Task, *, tries: int, seed: int = 1, **more) -> tuple[Breakdown, ...]:
    found, problems = options(task, draw=Random(seed).random, tries=tries, **more)
    assert problems == ()
    for one in found:
        assert recut.find_faults(task, one) == ()
        assert sawable.find_faults(task, one) == ()
    return found


@pytest.mark.no_cover
def test_one_sheet_more_spares_settings():
    few, more = choices(TIGHT, tries=3_000)

    assert (few.taken, few.bound) == (2, 2)
    assert (more.taken, more.levels) == (3, 2)
    assert few.levels is None or few.levels > 2
    assert more.settings < few.settings


parts = st.lists(
    st.tuples(st.integers(8, 60), st.integers(8, 40), st.integers(1, 6), st.booleans()),
    min_size=2,
    max_size=6,
).map(
    lambda rows: tuple(
        Part(code=f"P{number}", length=a, width=b, quantity=n, is_locked=is_locked)
        for number, (a, b, n, is_locked) in enumerate(rows)
    )
)
tasks = st.builds(
    Task, parts=parts, stocks=st.just((BOARD,)), kerf=st.integers(0, 3), least_offcut=st.just(5)
)


@CALM
@given(tasks)
def test_no_choice_is_worse_than_another_in_both(task):
    found = choices(task, tries=200)

    for few, more in pairwise(found):
        assert few.taken < more.taken
        assert few.settings > more.settings
    assert all(one.left_out == () for one in found)
    first, _problems = break_down(task, draw=Random(1).random, tries=200)
    assert first == found[0]
    assert found == choices(task, tries=200)


@CALM
@given(tasks, st.integers(1, 3))
def test_one_sheet_more_in_stock_is_never_worse(task, count):
    def left(number):
        one = choices(replace(task, stocks=(replace(BOARD, count=number),)), tries=400)[0]
        sizes = {part.code: part.length * part.width for part in task.parts}
        return sum(sizes[code] for code in one.left_out), one

    (less, few), (least, more) = left(count), left(count + 1)

    assert least <= less
    if not few.left_out:
        assert more.taken <= few.taken


@CALM
@given(tasks, st.integers(1, 4))
def test_a_thicker_blade_takes_no_fewer_sheets_than_a_thin_one_needs(task, more):
    found = choices(replace(task, kerf=task.kerf + more), tries=100)[0]

    assert found.taken >= least_sheets(task)
    assert found.taken >= found.bound


def test_parts_are_left_out_only_where_all_must():
    task = Task(
        parts=(Part(code="A", length=60, width=40, quantity=6),),
        stocks=(replace(BOARD, count=2),),
        least_offcut=5,
    )
    (one,) = choices(task, tries=60)
    assert one.left_out == ("A", "A")

    enough = replace(task, stocks=(replace(BOARD, count=9),))
    assert [found.left_out for found in choices(enough, tries=60)] == [()]


def test_what_is_wrong_with_a_task_is_said():
    found, problems = options(Task(parts=(), stocks=(BOARD,)), draw=Random(1).random, tries=9)

    assert found == ()
    assert len(problems) == 1


@pytest.mark.parametrize("tries", [0, 1, 37, 400])
def test_progress_grows_up_to_all(tries):
    told: list[float] = []
    task = replace(TIGHT, levels=3)

    choices(task, tries=tries, progress=told.append)

    assert told == sorted(set(told))
    assert told[-1] == 1.0
    assert tries < 400 or len(told) > 5


def layouts(task: Task) -> list[Bench]:
    return [one for levels in (2, 3, None) for one in starts(set_up(task, levels))]


def test_of_equal_layouts_that_with_fewer_cuts_is_kept():
    found = layouts(TIGHT)
    chosen = worth_choosing(found)
    for one in chosen:
        for other in found:
            if sheets(other) == sheets(one):
                assert settings_and_cuts(one) <= settings_and_cuts(other)


def test_what_takes_far_more_sheets_is_no_choice():
    found = layouts(replace(TIGHT, parts=TIGHT.parts[:2]))
    wide = found[0].copy()
    for kind in range(len(wide.kinds)):
        board = wide.open(0)
        board.filled = 1 + kind
    assert sheets(wide)[1] > sheets(found[0])[1] + 1

    assert wide not in worth_choosing([*found, wide])
    assert wide not in to_tidy([*found, wide])
    assert to_tidy([wide]) == [wide]
