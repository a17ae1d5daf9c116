"""Both checks refuse what they should: seeded faults, and a layout no saw can make."""

from dataclasses import replace
from random import Random

import pytest

from kiosk.rules.breakdown import recut, sawable
from kiosk.rules.breakdown.model import Breakdown, Cut, Direction, Part, Placed, Sheet, Stock, Task
from kiosk.rules.breakdown.plan import break_down

SHELVES = Part(code="shelf", length=764, width=300, quantity=9, is_locked=True)
RAILS = Part(code="rail", length=700, width=100, quantity=8)
BACKS = Part(code="back", length=690, width=415, quantity=3)
PLY = Stock(code="ply", length=2440, width=1220, trim=5)
TASK = Task(parts=(SHELVES, RAILS, BACKS), stocks=(PLY,), kerf=3, levels=4, least_offcut=100)


def layout(task: Task = TASK, *, seed: int = 1) -> Breakdown:
    found, problems = break_down(task, draw=Random(seed).random, tries=60)
    assert problems == ()
    assert found is not None
    return found


def with_cuts(one: Breakdown, change) -> Breakdown:
    """Change the cuts of the first sheet."""
    sheet = one.sheets[0]
    changed = replace(sheet, cuts=tuple(change(list(sheet.cuts))))
    return replace(one, sheets=(changed, *one.sheets[1:]))


def with_parts(one: Breakdown, change) -> Breakdown:
    sheet = one.sheets[0]
    changed = replace(sheet, parts=tuple(change(list(sheet.parts))))
    return replace(one, sheets=(changed, *one.sheets[1:]))


def at(cuts: list[Cut], index: int, **more) -> list[Cut]:
    cuts[index] = replace(cuts[index], **more)
    return cuts


SEEDS = range(4)


@pytest.mark.parametrize("seed", SEEDS)
def test_a_sound_breakdown_passes_both(seed):
    one = layout(seed=seed)

    assert recut.find_faults(TASK, one) == ()
    assert sawable.find_faults(TASK, one) == ()


@pytest.mark.parametrize("seed", SEEDS)
def test_a_moved_fence_is_refused_at_every_cut(seed):
    one = layout(seed=seed)
    for index, cut in enumerate(one.sheets[0].cuts):
        for by in (-1, 1):
            moved = with_cuts(one, lambda cuts, i=index, m=cut.measure + by: at(cuts, i, measure=m))
            assert recut.find_faults(TASK, moved)


@pytest.mark.parametrize("seed", SEEDS)
def test_a_dropped_cut_is_refused(seed):
    one = layout(seed=seed)
    for index in range(len(one.sheets[0].cuts)):

        def drop(cuts, i=index):
            del cuts[i]
            return [replace(cut, number=number) for number, cut in enumerate(cuts, 1)]

        assert recut.find_faults(TASK, with_cuts(one, drop))


@pytest.mark.parametrize("seed", SEEDS)
def test_a_cut_the_other_way_is_refused(seed):
    one = layout(seed=seed)
    for index, cut in enumerate(one.sheets[0].cuts):
        ways = {Direction.RIP: Direction.CROSSCUT, Direction.CROSSCUT: Direction.RIP}
        turned = with_cuts(
            one, lambda cuts, i=index, way=ways[cut.direction]: at(cuts, i, direction=way)
        )
        assert recut.find_faults(TASK, turned)


def test_swapped_labels_are_refused():
    one = layout()
    cuts = one.sheets[0].cuts
    labelled = [index for index, cut in enumerate(cuts) if cut.part]
    first = labelled[0]
    for other in labelled:
        if cuts[other].part != cuts[first].part:

            def swap(cuts, i=first, j=other):
                one, two = cuts[i].part, cuts[j].part
                return at(at(cuts, i, part=two), j, part=one)

            assert recut.find_faults(TASK, with_cuts(one, swap))
    assert {cuts[index].part for index in labelled} > {cuts[first].part}


def test_a_part_across_the_grain_is_refused():
    free = replace(TASK, parts=tuple(replace(part, is_locked=False) for part in TASK.parts))
    locked = replace(TASK, parts=tuple(replace(part, is_locked=True) for part in TASK.parts))
    one = layout(free)
    assert any(part.is_turned for sheet in one.sheets for part in sheet.parts)

    assert any("grain" in fault for fault in recut.find_faults(locked, one))
    assert any("turned" in fault for fault in sawable.find_faults(locked, one))


def test_a_layout_made_without_kerf_is_refused_with_it():
    exact = Task(
        parts=(Part(code="half", length=50, width=100, quantity=2),),
        stocks=(Stock(code="board", length=100, width=100),),
        least_offcut=1,
    )
    one = layout(exact)
    assert one.taken == 1

    sawn = replace(exact, kerf=1)
    assert recut.find_faults(sawn, one)
    assert sawable.find_faults(sawn, one) == ("S1: two parts lie closer than the blade is thick",)


def faults(one: Breakdown, task: Task = TASK) -> str:
    return " / ".join((*recut.find_faults(task, one), *sawable.find_faults(task, one)))


def test_each_fault_of_a_cut_list_is_named():
    one = layout()
    cuts = one.sheets[0].cuts
    last = len(cuts) - 1
    freed = next(index for index, cut in enumerate(cuts) if cut.part)
    split = next(index for index, cut in enumerate(cuts) if cut.rest and not cut.is_trim)

    def said(index, **more):
        return faults(with_cuts(one, lambda cuts: at(cuts, index, **more)))

    assert "no piece S9 to cut" in said(last, piece_in="S9")
    assert "no piece" in said(last, piece_in=cuts[freed].piece_out)
    assert "outside the piece" in said(0, measure=0)
    assert "outside the piece" in said(0, measure=PLY.width)
    assert "out of order" in said(0, number=7)
    assert "another size" in said(split, rest_length=1)
    assert "two pieces" in said(split, piece_out=cuts[split].rest)
    assert "wanted" in said(freed, part="")
    assert "nobody asked for a part door" in said(freed, part="door")
    assert "offcuts are not" in faults(
        replace(one, sheets=tuple(replace(sheet, offcuts=()) for sheet in one.sheets))
    )


def test_more_changes_of_direction_than_allowed_are_refused():
    one = next(one for one in (layout(seed=seed) for seed in SEEDS))
    few = replace(one, levels=1)

    assert "too often" in faults(few)
    assert faults(replace(one, levels=None)) == ""


def test_a_part_cut_too_often_or_left_out_twice_is_refused():
    one = layout()

    assert "wanted 9 times" in faults(replace(one, left_out=("shelf",)))
    assert "not those of the list" in faults(replace(one, left_out=("shelf",)))
    assert "not those of the list" in faults(replace(one, sheets=one.sheets[:-1]))


def test_the_sheet_must_add_up():
    one = layout()
    larger = replace(TASK, parts=(replace(SHELVES, width=301), RAILS, BACKS))

    assert "not the whole sheet" in faults(one, larger)
    assert "another size" in faults(one, larger)


def test_each_fault_of_a_place_is_named():
    one = layout()

    def said(**more):
        return faults(with_parts(one, lambda parts: [replace(parts[0], **more), *parts[1:]]))

    first, second = one.sheets[0].parts[:2]
    assert "outside its trimmed edges" in said(x=4)
    assert "outside its trimmed edges" in said(x=PLY.length - 5 - first.length + 1)
    assert "outside its trimmed edges" in said(y=4)
    assert "outside its trimmed edges" in said(y=PLY.width - 5 - first.width + 1)
    assert "closer than the blade" in said(x=second.x, y=second.y)
    assert "another size or turned" in said(length=first.length - 1)
    assert "another size or turned" in said(is_turned=not first.is_turned)
    assert "nobody asked for a part door" in said(code="door")


def test_sheets_that_are_not_there_are_refused():
    one = layout(replace(TASK, parts=(replace(SHELVES, quantity=16),)))
    assert one.taken == 2
    for count, is_sound in ((0, False), (1, False), (2, True), (None, True)):
        stocks = (replace(PLY, count=count),)
        sheets = tuple(replace(sheet, stock=stocks[0]) for sheet in one.sheets)
        task = replace(TASK, parts=(replace(SHELVES, quantity=16),), stocks=stocks)
        assert (sawable.find_faults(task, replace(one, sheets=sheets)) == ()) is is_sound
    assert "not so many" in faults(one, replace(TASK, stocks=(replace(PLY, code="mdf"),)))


# Six rectangles that can be sawn apart; two free places that lie on both sides of a cut line look
# like one, and a part laid there can no longer be sawn out.
MERGED = ((0, 0, 3, 2), (3, 0, 1, 2), (4, 0, 2, 4), (3, 4, 3, 2), (2, 4, 1, 2), (0, 2, 2, 4))


def test_a_place_across_a_cut_line_cannot_be_sawn():
    def boxes(*places):
        return [(x, y, x + a, y + b) for x, y, a, b in places]

    assert sawable.is_sawable(boxes(*MERGED), 0)
    assert sawable.is_sawable(boxes(*MERGED, (2, 2, 1, 2), (3, 2, 1, 2)), 0)
    assert not sawable.is_sawable(boxes(*MERGED, (2, 2, 2, 2)), 0)


def test_a_blade_needs_room_to_part_boxes():
    assert sawable.is_sawable([(0, 0, 2, 2), (3, 0, 5, 2)], 1)
    assert not sawable.is_sawable([(0, 0, 2, 2), (2, 0, 4, 2)], 1)


def test_a_breakdown_with_such_a_place_is_refused():
    places = (*MERGED, (2, 2, 2, 2))
    task = Task(
        parts=tuple(
            Part(code=f"P{n}", length=a, width=b) for n, (_x, _y, a, b) in enumerate(places)
        ),
        stocks=(Stock(code="board", length=6, width=6),),
        least_offcut=1,
    )
    parts = tuple(
        Placed(code=f"P{n}", x=x, y=y, length=a, width=b) for n, (x, y, a, b) in enumerate(places)
    )
    sheet = Sheet(name="S1", stock=task.stocks[0], parts=parts, cuts=(), offcuts=())

    found = sawable.find_faults(task, Breakdown(sheets=(sheet,), bound=1, levels=None))

    assert found == ("S1: the parts cannot be parted by cuts that go through",)
