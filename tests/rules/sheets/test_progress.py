"""How far a sheet is cut follows from what was recorded, whatever was forgotten."""

from hypothesis import given
from hypothesis import strategies as st

from kiosk.rules.sheets.checks import codes_on
from kiosk.rules.sheets.lines import cut_lines
from kiosk.rules.sheets.progress import Progress, needed, progress
from tests.sheetbuild import a_part, laid_out

PIECES = [a_part(f"A{n}", 700, 290) for n in range(7)] + [
    a_part(f"C{n}", 700, 80, bevel=45.0, grain="length") for n in range(3)
]
_OF, (SHEET,) = laid_out(PIECES)
LINES = cut_lines(SHEET)
CODES = sorted(codes_on(SHEET))
FREEING = {code: line for line in LINES for code in line.frees}


def test_at_first_the_first_line_is_next():
    assert progress(LINES, cut=(), made=()) == Progress(frozenset(), 1)
    assert progress((), cut=(), made=()) == Progress(frozenset(), None)


def test_a_line_recorded_by_itself_is_made_with_all_it_needs():
    trims = [line.number for line in LINES if line.is_trim]
    last = trims[-1]

    assert needed(LINES, last) == tuple(trims[:-1])
    assert progress(LINES, cut=(), made={last}).done == set(trims)


def test_a_part_that_is_cut_makes_its_line_and_those_before_it():
    line = FREEING["A3"]
    others = set(line.frees) - {"A3"}

    found = progress(LINES, cut={"A3", *others}, made=())

    assert line.number in found.done
    assert found.done == {*needed(LINES, line.number), line.number}
    assert not any(set(one.frees) for one in LINES if one.number in found.done - {line.number})


def test_a_line_that_frees_two_is_made_once_both_are_cut():
    line = next(line for line in LINES if len(line.frees) == 2)
    first, second = line.frees

    assert line.number not in progress(LINES, cut={first}, made=()).done
    assert line.number in progress(LINES, cut={first, second}, made=()).done
    assert line.number in progress(LINES, cut={first}, made=(), dropped={second}).done


def test_a_part_nobody_asks_for_does_not_make_its_line_by_itself():
    line = FREEING["A3"]

    assert line.number not in progress(LINES, cut=(), made=(), dropped=line.frees).done


def test_parts_freed_by_a_line_that_is_made_but_not_recorded_come_last():
    made = {line.number for line in LINES}

    found = progress(LINES, cut={code for code in CODES if code != "A3"}, made=made)

    assert found.done == made
    assert found.next == FREEING["A3"].number
    assert progress(LINES, cut=CODES, made=made).next is None


@given(st.sets(st.sampled_from(CODES)), st.sets(st.integers(1, len(LINES))))
def test_what_is_made_needs_nothing_that_is_not(cut, made):
    found = progress(LINES, cut=cut, made=made)

    assert made <= found.done
    assert all(set(needed(LINES, number)) <= found.done for number in found.done)
    more = progress(LINES, cut=cut, made=made | {len(LINES)})
    assert found.done <= more.done


def test_line_by_line_the_whole_sheet_is_cut():
    cut, made, count = set(), set(), 0
    while (number := progress(LINES, cut=cut, made=made).next) is not None:
        line = LINES[number - 1]
        assert set(needed(LINES, number)) <= progress(LINES, cut=cut, made=made).done
        cut |= set(line.frees)
        if not line.frees:
            made.add(number)
        count += 1
    assert cut == set(CODES)
    assert count == len(LINES)
