"""What keeps a task from being broken down is said, all at once, and never raised."""

from dataclasses import replace
from random import Random

from kiosk.rules.breakdown.intake import find_problems
from kiosk.rules.breakdown.model import Part, Stock, Task
from kiosk.rules.breakdown.plan import break_down
from kiosk.rules.lengths import LONGEST, PER_MM

SHELF = Part(code="shelf", length=800, width=300)
BOARD = Stock(code="board", length=1000, width=500)
GOOD = Task(parts=(SHELF,), stocks=(BOARD,), kerf=3)


def said(**more) -> list[str]:
    return [problem.message for problem in find_problems(replace(GOOD, **more))]


def part(**more) -> list[str]:
    return said(parts=(replace(SHELF, **more),))


def stock(**more) -> list[str]:
    return said(stocks=(replace(BOARD, **more),))


def test_a_good_task_has_no_problem():
    assert said() == []
    assert said(levels=2, kerf=0) == []
    assert part(length=BOARD.length, width=BOARD.width) == []


def test_the_kerf_is_that_of_a_blade():
    assert said(kerf=-1) == said(kerf=20 * PER_MM + 1)
    assert said(kerf=-1) == ["The kerf is less than nothing, or more than 20 mm."]


def test_one_level_is_too_few():
    assert said(levels=1) == ["With fewer than two levels hardly any part can be cut."]


def test_an_offcut_has_a_size():
    assert said(least_offcut=0) == ["The least size of an offcut is nothing or less."]


def test_sheets_are_sizes_that_can_be():
    assert said(stocks=()) == ["There is no sheet to cut from."]
    sides = ["Sheet board: a side is nothing or less, or more than 20 m."]
    assert stock(length=0) == stock(width=LONGEST + 1) == sides
    assert stock(count=-1) == ["Sheet board: there are less than none of it."]
    trim = ["Sheet board: the trim is less than nothing, or takes all of it."]
    assert stock(trim=-1) == stock(trim=250) == trim


def test_parts_are_sizes_that_can_be():
    assert said(parts=()) == ["There is no part to cut."]
    sides = ["Part shelf: a side is nothing or less, or more than 20 m."]
    assert part(length=0) == part(width=LONGEST + 1) == sides
    assert part(quantity=0) == ["Part shelf: it is wanted less than once."]
    assert part(code="") == ["A part has no code."]
    assert said(parts=(SHELF, SHELF)) == ["Part shelf is there twice."]


def test_a_part_larger_than_any_sheet_inside_its_trim_is_named():
    large = ["Part shelf is larger than any sheet inside its trim."]
    assert part(length=1001) == part(length=1001, is_locked=True) == large
    assert said(stocks=(replace(BOARD, trim=101),)) == large
    assert said(stocks=(replace(BOARD, count=0),)) == large


def test_a_part_that_fits_only_across_the_grain_is_named():
    assert part(length=300, width=800) == []
    assert part(length=300, width=800, is_locked=True) == ["Part shelf fits only across the grain."]


def test_all_problems_come_at_once_with_their_rows():
    bad = replace(
        GOOD,
        kerf=-1,
        parts=(SHELF, replace(SHELF, code="rail", length=0, quantity=0)),
    )

    found, problems = break_down(bad, draw=Random(1).random, tries=1)

    assert found is None
    assert [problem.row for problem in problems] == [None, 2, 2]
    assert all(problem.remedy for problem in problems)
