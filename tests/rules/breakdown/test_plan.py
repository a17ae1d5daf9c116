"""Whole breakdowns: both checks pass, areas add up, and what more sheets, kerf or tries may do."""

from dataclasses import replace
from itertools import count
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kiosk.rules.breakdown import recut, sawable
from kiosk.rules.breakdown.bench import set_up, starts
from kiosk.rules.breakdown.bound import least_sheets
from kiosk.rules.breakdown.choices import rank, show
from kiosk.rules.breakdown.model import Breakdown, Part, Stock, Task
from kiosk.rules.breakdown.plan import break_down
from tests.cutting import load

CALM = settings(max_examples=40, deadline=None, derandomize=True)
PLY = Stock(code="ply", length=244, width=122, trim=1)
# Fitting out a glaze store: shelves and cleats with the grain, the rest either way.
STORE = Task(
    parts=(
        Part(code="shelf", length=76, width=30, quantity=14, is_locked=True),
        Part(code="side", length=72, width=32, quantity=8),
        Part(code="back", length=76, width=72, quantity=3),
        Part(code="cleat", length=76, width=9, quantity=10, is_locked=True),
    ),
    stocks=(PLY,),
    kerf=1,
    least_offcut=15,
)


def cut_up(task: Task, *, tries: int = 60, seed: int = 1, **more) -> Breakdown:
    found, problems = break_down(task, draw=Random(seed).random, tries=tries, **more)
    assert problems == ()
    assert found is not None
    assert recut.find_faults(task, found) == ()
    assert sawable.find_faults(task, found) == ()
    return found


parts = st.lists(
    st.builds(
        Part,
        code=st.just("P"),
        length=st.integers(1, 100),
        width=st.integers(1, 60),
        quantity=st.integers(1, 4),
        is_locked=st.booleans(),
    ),
    min_size=1,
    max_size=7,
).map(lambda made: tuple(replace(part, code=f"P{n}") for n, part in enumerate(made)))
tasks = st.builds(
    Task,
    parts=parts,
    stocks=st.lists(
        st.builds(
            Stock,
            code=st.sampled_from("ABC"),
            length=st.just(106),
            width=st.integers(66, 110),
            count=st.none() | st.integers(0, 2),
            trim=st.integers(0, 3),
            is_offcut=st.booleans(),
        ),
        max_size=2,
    ).map(lambda more: (Stock(code="board", length=110, width=70, trim=2), *more)),
    kerf=st.integers(0, 5),
    levels=st.none() | st.integers(2, 5),
    least_offcut=st.integers(1, 40),
)


@CALM
@given(tasks, st.integers(0, 5))
def test_every_breakdown_passes_both_checks_and_adds_up_exactly(task, seed):
    found = cut_up(task, tries=24, seed=seed)

    assert found.left_out == ()
    assert found.bound <= found.taken
    for sheet in found.sheets:
        used = sum(part.length * part.width for part in sheet.parts)
        assert used <= (sheet.stock.length - 2 * sheet.stock.trim) * (
            sheet.stock.width - 2 * sheet.stock.trim
        )


@pytest.mark.parametrize("seed", range(3))
def test_the_same_numbers_give_the_same_breakdown(seed):
    assert cut_up(STORE, seed=seed) == cut_up(STORE, seed=seed)


def test_more_tries_are_never_worse():
    def worth(one: Breakdown) -> tuple[int, int]:
        return one.taken, 2 * one.settings + one.cuts

    first = cut_up(STORE, tries=0)
    assert worth(cut_up(STORE, tries=400)) < worth(first)


def test_a_search_saves_a_sheet_over_the_first_layout():
    tight = replace(STORE, parts=(*STORE.parts, Part(code="door", length=61, width=39, quantity=8)))

    assert cut_up(tight, tries=3000).taken < cut_up(tight, tries=0).taken


def test_one_more_sheet_is_never_worse():
    enough = cut_up(STORE).taken
    left, taken = [], []
    for number in range(1, enough + 3):
        found = cut_up(replace(STORE, stocks=(replace(PLY, count=number),)))
        left.append(len(found.left_out))
        taken.append(found.taken)

    assert left == sorted(left, reverse=True)
    assert left[0] > left[enough - 1] == 0
    assert taken == [*range(1, enough + 1), enough, enough]


def test_what_there_are_not_sheets_enough_for_is_left_out_by_code():
    found = cut_up(replace(STORE, stocks=(replace(PLY, count=1),)), tries=200)

    assert found.taken == 1
    assert set(found.left_out) <= {part.code for part in STORE.parts}
    assert len(found.left_out) + len(found.sheets[0].parts) == 35


def test_a_larger_kerf_takes_no_fewer_sheets_than_its_bound():
    bounds = []
    for kerf in (0, 1, 2, 4, 8):
        task = replace(STORE, kerf=kerf)
        found = cut_up(task)
        bounds.append(found.bound)
        assert found.taken >= least_sheets(task) == found.bound
        # what can be sawn with a thick blade can be sawn with a thin one
        assert found.taken >= bounds[0]
    assert bounds == sorted(bounds)


def test_offcuts_are_used_before_a_new_sheet_and_left_alone_where_needless():
    old = Stock(code="old", length=200, width=80, count=2, is_offcut=True)
    with_old = cut_up(replace(STORE, stocks=(PLY, old)), tries=200)
    without = cut_up(STORE, tries=200)
    assert with_old.taken < without.taken
    assert with_old.sheets[0].stock == old

    small = Part(code="only", length=60, width=60)
    one = cut_up(replace(STORE, stocks=(PLY, old), parts=(small,)))
    assert [sheet.stock.code for sheet in one.sheets] == ["old"]
    assert [sheet.stock for sheet in with_old.sheets].count(old) == 2
    assert (one.taken, one.bound) == (0, 0)


def test_offcuts_without_number_are_as_many_as_it_takes():
    old = Stock(code="old", length=100, width=80, is_offcut=True)
    found = cut_up(replace(STORE, stocks=(old,)))

    assert found.taken == 0
    assert found.left_out == ()


def test_a_smaller_sheet_is_taken_where_it_does():
    half = Stock(code="half", length=122, width=122, trim=1)
    small = replace(STORE, parts=(replace(STORE.parts[0], quantity=3),))

    found = cut_up(replace(small, stocks=(PLY, half)))

    assert [sheet.stock.code for sheet in found.sheets] == ["half"]


def test_a_smaller_sheet_is_taken_even_where_the_bound_is_not_met():
    # gcut1 takes five sheets and its bound is four: see test_orlib
    task = load("gcut1", turns=False)
    small = Stock(code="small", length=170, width=190)

    found = cut_up(replace(task, stocks=(*task.stocks, small)), tries=400)

    assert (found.bound, found.taken) == (4, 5)
    assert "small" in [sheet.stock.code for sheet in found.sheets]


def test_a_part_that_needs_the_larger_sheet_gets_it():
    half = Stock(code="half", length=122, width=250)
    long_part = Part(code="rail", length=240, width=20, is_locked=True)

    found = cut_up(replace(STORE, stocks=(half, PLY), parts=(*STORE.parts, long_part)))

    assert any(
        part.code == "rail" and sheet.stock is PLY for sheet in found.sheets for part in sheet.parts
    )


def test_fewer_levels_are_kept_and_more_are_tried_last():
    found = cut_up(replace(STORE, levels=2))
    assert found.levels == 2
    assert cut_up(replace(STORE, levels=3)).levels in (2, 3)
    assert cut_up(replace(STORE, levels=5), tries=300).levels in (2, 3, 4, 5)


def test_more_levels_are_not_tried_where_the_bound_is_met():
    # with any number of levels the first layout takes as many sheets, and less work
    task = Task(
        parts=(
            Part(code="A", length=87, width=53, quantity=2),
            Part(code="B", length=12, width=45),
            Part(code="C", length=12, width=31, quantity=2),
            Part(code="D", length=48, width=45, quantity=3, is_locked=True),
        ),
        stocks=(Stock(code="board", length=122, width=100),),
        kerf=1,
        least_offcut=10,
    )

    found = cut_up(task, tries=0)

    assert (found.taken, found.bound) == (2, 2)
    assert found.levels in (2, 3)


def test_each_better_breakdown_is_heard_and_sound():
    heard: list[Breakdown] = []
    found = cut_up(STORE, tries=400, heard=heard.append)

    first = min(starts(set_up(STORE, 3)), key=rank)
    assert heard[0] == show(STORE, first, least_sheets(STORE))
    assert [one.taken for one in heard] == sorted((one.taken for one in heard), reverse=True)
    assert found.taken == heard[-1].taken
    for one in heard:
        assert recut.find_faults(STORE, one) == ()
        assert sawable.find_faults(STORE, one) == ()


def test_the_search_ends_when_nobody_wants_more():
    asked = count()
    found = cut_up(STORE, tries=10**6, go_on=lambda: next(asked) < 20)

    assert next(asked) <= 30
    assert found.left_out == ()


def test_equal_parts_of_two_lines_share_their_size_and_keep_their_codes():
    task = replace(
        STORE,
        parts=(
            Part(code="left", length=60, width=40),
            Part(code="right", length=40, width=60),
            Part(code="square", length=50, width=50),
        ),
    )

    found = cut_up(task)

    assert sorted(part.code for sheet in found.sheets for part in sheet.parts) == [
        "left", "right", "square",
    ]  # fmt: skip
