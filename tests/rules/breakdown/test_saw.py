"""The order of cuts: a worked sheet, exact fits, whole sheets, equal measures together."""

from itertools import pairwise
from random import Random

from kiosk.rules.breakdown import recut, sawable
from kiosk.rules.breakdown.bench import set_up, starts
from kiosk.rules.breakdown.choices import rank, show
from kiosk.rules.breakdown.model import Breakdown, Direction, Part, Stock, Task
from kiosk.rules.breakdown.plan import break_down
from kiosk.rules.breakdown.saw import effort, settled
from kiosk.rules.breakdown.tree import Node

RIP, CROSSCUT = Direction.RIP, Direction.CROSSCUT


def cut_up(task: Task, tries: int = 0) -> Breakdown:
    found, problems = break_down(task, draw=Random(1).random, tries=tries)
    assert problems == ()
    assert found is not None
    assert recut.find_faults(task, found) == ()
    assert sawable.find_faults(task, found) == ()
    return found


def lines(found: Breakdown, sheet: int = 0) -> list[tuple[object, ...]]:
    return [
        (cut.number, cut.piece_in, cut.direction, cut.measure, cut.piece_out, cut.part, cut.rest)
        for cut in found.sheets[sheet].cuts
    ]


def test_a_sheet_worked_by_hand():
    # Board 1000 x 500, trim 10: 980 x 480 inside. Two shelves 600 x 200 make strips of 200; each
    # leaves 980 - 600 - 4 = 376 beside it, the door 374 x 200 fits there, and the blade takes
    # the last 2. Beyond the strips are 480 - 2 x 204 = 72.
    task = Task(
        parts=(
            Part(code="shelf", length=600, width=200, quantity=2, is_locked=True),
            Part(code="door", length=374, width=200, is_locked=True),
        ),
        stocks=(Stock(code="board", length=1000, width=500, trim=10),),
        kerf=4,
        levels=2,
        least_offcut=70,
    )

    found = cut_up(task)

    assert lines(found) == [
        (1, "S1", RIP, 490, "S1", "", ""),
        (2, "S1", RIP, 480, "S1", "", ""),
        (3, "S1", CROSSCUT, 990, "S1", "", ""),
        (4, "S1", CROSSCUT, 980, "S1", "", ""),
        (5, "S1", RIP, 200, "S1.1", "", "S1"),
        (6, "S1", RIP, 200, "S1.2", "", "S1.3"),
        (7, "S1.1", CROSSCUT, 600, "S1.1.1", "shelf", "S1.1.2"),
        (8, "S1.2", CROSSCUT, 600, "S1.2.1", "shelf", "S1.2"),
        (9, "S1.2", CROSSCUT, 374, "S1.2.2", "door", ""),
    ]
    (sheet,) = found.sheets
    assert [(cut.rest_length, cut.rest_width) for cut in sheet.cuts[4:]] == [
        (980, 276),
        (980, 72),
        (376, 200),
        (376, 200),
        (0, 0),
    ]
    assert {(one.piece, one.x, one.y, one.length, one.width) for one in sheet.offcuts} == {
        ("S1.3", 10, 418, 980, 72),
        ("S1.1.2", 614, 10, 376, 200),
    }
    # fence at 200, at 600, at 374
    assert found.settings == 3
    assert found.cuts == 9
    assert found.largest_offcut == 376 * 200
    assert (found.taken, found.bound, found.levels, found.left_out) == (1, 1, 2, ())


def test_the_last_of_an_exact_fit_is_freed_as_what_remains():
    task = Task(
        parts=(Part(code="strip", length=100, width=48, quantity=2, is_locked=True),),
        stocks=(Stock(code="board", length=100, width=100),),
        kerf=4,
    )

    found = cut_up(task)

    assert lines(found) == [(1, "S1", RIP, 48, "S1.1", "strip", "S1.2")]
    assert found.sheets[0].cuts[0].rest_part == "strip"
    assert found.largest_offcut == 0


def test_a_part_as_large_as_its_sheet_needs_no_cut_but_the_trims():
    whole = Part(code="top", length=100, width=50)
    bare = cut_up(Task(parts=(whole,), stocks=(Stock(code="board", length=100, width=50),)))
    assert bare.sheets[0].cuts == ()
    assert bare.sheets[0].whole == "top"

    trimmed = Stock(code="board", length=104, width=54, trim=2)
    cut = cut_up(Task(parts=(whole,), stocks=(trimmed,), kerf=3))
    assert [one.part for one in cut.sheets[0].cuts] == ["", "", "", "top"]
    assert cut.sheets[0].whole == ""


def test_a_sheet_may_be_crosscut_first():
    task = Task(
        parts=(
            Part(code="wide", length=30, width=100, is_locked=True),
            Part(code="long", length=66, width=48, quantity=2, is_locked=True),
        ),
        stocks=(Stock(code="board", length=100, width=100),),
        kerf=4,
    )

    found = cut_up(task, tries=200)

    assert found.taken == 1
    assert found.sheets[0].cuts[0].direction is CROSSCUT


def test_a_remainder_thinner_than_the_blade_is_dust():
    task = Task(
        parts=(Part(code="strip", length=100, width=47, quantity=2, is_locked=True),),
        stocks=(Stock(code="board", length=100, width=100),),
        kerf=4,
    )

    found = cut_up(task)

    assert [cut.rest for cut in found.sheets[0].cuts] == ["S1", ""]


def test_equal_measures_of_a_level_stand_together_the_widest_first():
    task = Task(
        parts=(
            Part(code="A", length=70, width=30, quantity=3, is_locked=True),
            Part(code="B", length=50, width=20, quantity=4, is_locked=True),
            Part(code="C", length=25, width=20, quantity=5, is_locked=True),
        ),
        stocks=(Stock(code="board", length=244, width=122),),
        kerf=1,
        levels=3,
    )
    for sheet in cut_up(task, tries=100).sheets:
        runs = [sheet.cuts[0]]
        runs += [b for a, b in pairwise(sheet.cuts)
                 if (a.direction, a.measure) != (b.direction, b.measure)]  # fmt: skip
        for one, other in pairwise(runs):
            assert one.direction is not other.direction or one.measure > other.measure


def test_the_work_reckoned_while_tidying_is_that_of_the_cut_list():
    task = Task(
        parts=tuple(
            Part(code=f"P{n}", length=40 + 7 * n, width=30 + 5 * n, quantity=3) for n in range(6)
        ),
        stocks=(Stock(code="board", length=244, width=122, trim=1),),
        kerf=1,
        levels=3,
    )
    bench = min(starts(set_up(task, 3)), key=rank)
    found = show(task, bench, 1)
    efforts = [effort(board) for board in bench.boards]

    assert recut.find_faults(task, found) == ()
    assert found.cuts - 4 * found.taken == sum(cuts for _settings, cuts in efforts)
    assert found.settings == sum(settings for settings, _cuts in efforts)


def test_pieces_as_large_as_what_they_are_cut_from_are_no_cuts():
    def node(length, width, rips, kids=(), *, rest=0, kind=-1):
        return Node(length, width, rips, 0, None, rest, kind, list(kids))

    def part(length, width):
        return node(length, width, True, kind=0)

    # a rip as wide as the sheet, in it a crosscut as long as the sheet, in that two rips of 30
    inner = node(100, 70, True, [part(100, 30), part(100, 30)], rest=10)
    whole = node(100, 100, True, [node(100, 70, False, [inner]), part(100, 20)], rest=10)

    plain = settled(whole)

    assert [(kid.length, kid.width, kid.kind) for kid in plain.kids] == [
        (100, 30, 0), (100, 30, 0), (100, 20, 0),
    ]  # fmt: skip
    assert plain.rest == 20
