"""What a job has still to be cut becomes one task for each material."""

from dataclasses import replace

import pytest

from kiosk.rules.breakdown.model import Breakdown, Part
from kiosk.rules.entries import Kind
from kiosk.rules.fold import fold_unit
from kiosk.rules.lengths import System
from kiosk.rules.parts import as_body
from kiosk.rules.sheets.model import Material, SheetSize
from kiosk.rules.sheets.planned import left_out_of, renamed
from kiosk.rules.sheets.stock import size_key
from kiosk.rules.sheets.tasks import (
    Reserved,
    by_material,
    make_tasks,
    part_of,
    reserved_by,
    say_material,
    size_of_sheet,
    to_cut,
)
from tests.builders import a_unit, a_wall, an_entry, history
from tests.sheetbuild import (
    BIRCH,
    SAW,
    THIN,
    a_part,
    a_size,
    a_stock,
    an_offcut,
    laid_out,
    mm,
)


def state(*lines, unit=None):
    return fold_unit(history(*lines, unit=unit or a_unit()))


def waiting(*lines, unit=None):
    return [one.piece.code for one in to_cut([state(*lines, unit=unit)])]


def test_what_is_cut_or_spoiled_is_cut_no_more_and_its_recut_is():
    assert waiting() == ["A", "B"]
    assert waiting("cut A") == ["B"]
    assert waiting("cut A", "strike") == ["A", "B"]
    assert waiting("spoil A A2") == ["B", "A2"]


def test_what_is_glued_up_has_its_parts_but_for_a_recut_asked_for_after_that():
    assert waiting("cut A", "glue-up 10:00") == []
    assert waiting("cut A", "glue-up 10:00", "spoil A A2") == ["A2"]


def test_nothing_is_cut_for_a_wall_or_a_unit_that_is_gone():
    assert waiting(unit=replace(a_wall(), pieces=a_unit().pieces)) == []
    assert waiting("cut A", "gone") == []


def test_a_part_that_only_an_earlier_list_had_is_not_cut():
    shorter = replace(a_unit(), pieces=a_unit().pieces[:1])
    entries = history(unit=a_unit())
    entries.append(an_entry(Kind.UNIT_TAKEN, as_body(shorter), unit=shorter, seq=9))

    assert [one.piece.code for one in to_cut([fold_unit(entries)])] == ["A"]


def test_parts_of_one_material_and_thickness_are_cut_together():
    pieces = [
        a_part("A"),
        replace(a_part("B"), material=" Birch   Ply"),
        a_part("C", of=THIN),
        a_part("D", of=Material("", None)),
    ]

    found = {key: [one.code for one in some] for key, some in by_material(pieces).items()}

    assert found == {BIRCH: ["A", "B"], THIN: ["C"], Material("", None): ["D"]}


def test_grain_across_is_a_part_laid_the_other_way_round():
    assert part_of(a_part("A", grain="width")) == Part(
        code="A", length=mm(300), width=mm(600), is_locked=True
    )
    assert part_of(a_part("A", grain="length")).length == mm(600)
    assert not part_of(a_part("A")).is_locked


def stocks(stock, reserved=None):
    """Return what a task may cut from: code, count, and whether it is an offcut."""
    (of,), problems = make_tasks([a_part("A")], stock, saw=SAW, reserved=reserved)
    assert problems == ()
    found = [(one.code, one.count, one.is_offcut, one.trim) for one in of.task.stocks]
    return found, of.is_assumed


def test_where_nobody_counted_a_size_is_assumed():
    assert stocks(a_stock(a_size(of=THIN))) == ([("2440x1220", None, False, mm(5))], True)


def test_offcuts_come_first_and_are_not_trimmed():
    stock = a_stock(
        a_size(count=4),
        a_size(3000, 1500, trim=0),
        offcuts=[an_offcut("K1"), an_offcut("K2", of=THIN)],
        used=1,
    )

    assert stocks(stock) == (
        [
            ("K1", 1, True, 0),
            ("3000x1500", None, False, 0),
            ("2440x1220", 3, False, mm(5)),
        ],
        False,
    )


def test_what_other_jobs_will_cut_is_not_there():
    stock = a_stock(a_size(count=4), offcuts=[an_offcut("K1"), an_offcut("K2")])
    reserved = Reserved(frozenset({"K1"}), {size_key(a_size()): 3})

    assert [one[:2] for one in stocks(stock, reserved)[0]] == [("K2", 1), ("2440x1220", 1)]
    more = replace(reserved, sheets={size_key(a_size()): 9})
    assert [one[:2] for one in stocks(stock, more)[0]] == [("K2", 1), ("2440x1220", 0)]


def test_where_no_sheet_is_left_it_is_said():
    tasks, (problem,) = make_tasks([a_part("A"), a_part("B", of=THIN)], a_stock(a_size(count=0)),
                                   saw=SAW)  # fmt: skip

    assert [one.material for one in tasks] == [THIN]
    assert problem.message == "birch ply, 18 mm: there is no sheet of it left."


def test_a_part_larger_than_any_sheet_is_named_and_its_material_waits():
    pieces = [a_part("A"), a_part("B", 2600, 300), a_part("C", 2500, 1300)]

    tasks, problems = make_tasks(pieces, a_stock(), saw=SAW)

    assert tasks == ()
    assert [one.message.split(": ")[0] for one in problems] == [
        "birch ply, 18 mm, part B",
        "birch ply, 18 mm, part C",
    ]


def test_what_is_wrong_with_the_stock_is_said_without_a_part():
    saw = replace(SAW, kerf=mm(99))

    tasks, (problem,) = make_tasks([a_part("A")], a_stock(), saw=saw)

    assert tasks == ()
    assert problem.message.startswith("birch ply, 18 mm: The kerf")


def cleats(count, **fields):
    return [a_part(f"C{n}", 700, 80, bevel=45.0, **fields) for n in range(count)]


def test_cleats_lie_in_strips_and_one_that_cannot_is_laid_out_square_and_named():
    pieces = [*cleats(3), a_part("A"), replace(a_part("X", 700, 80), bevel=88.0)]

    (of,), (problem,) = make_tasks(pieces, a_stock(), saw=SAW)

    assert len(of.strips) == 2
    assert {part.code for part in of.task.parts} == {one.code for one in of.strips} | {"A", "X"}
    assert "X" in problem.message


def test_what_is_left_out_is_said_by_the_cleats_codes():
    pieces = [a_part(f"A{n}", 2400, 1200) for n in range(2)] + cleats(2)
    of, sheets = laid_out(pieces, a_stock(a_size(count=2)))
    found = Breakdown(sheets=(), bound=0, levels=None, left_out=("A0", of.strips[0].code))

    assert left_out_of(found, of) == ("A0", "C0", "C1")
    assert len(sheets) == 2


def test_sheets_are_named_from_a_number_on_with_all_their_pieces():
    _of, sheets = laid_out([a_part(f"A{n}", 1200, 600) for n in range(9)], first=4)

    assert [one.key for one in sheets] == ["P1/S4", "P1/S5", "P1/S6"]
    other = renamed(sheets[0], origin="P2", name="S12")
    assert other.key == "P2/S12"
    names = {cut.piece_in for cut in other.sheet.cuts} | {one.piece for one in other.sheet.offcuts}
    assert {name.split(".")[0] for name in names} == {"S12"}
    assert renamed(other, origin="P1", name="S4") == sheets[0]


def test_what_a_sheet_that_is_not_begun_reserves():
    stock = a_stock(a_size(), offcuts=[an_offcut("K1")])
    _of, sheets = laid_out([a_part(f"A{n}", 600, 350) for n in range(2)], stock)

    assert [one.offcut for one in sheets] == ["K1", ""]
    size = SheetSize(material=BIRCH, length=mm(2440), width=mm(1220), trim=mm(5))
    assert size_of_sheet(sheets[1]) == size
    assert reserved_by([*sheets, sheets[1]]) == Reserved(frozenset({"K1"}), {size_key(size): 2})


@pytest.mark.parametrize(
    ("material", "system", "words"),
    [
        (BIRCH, System.MM, "birch ply, 18 mm"),
        (Material("oak", mm(19.05)), System.INCH, 'oak, 3/4"'),
        (Material("oak", None), System.MM, "oak"),
        (Material("", None), System.MM, "Unnamed material"),
    ],
)
def test_a_material_is_called_by_name_and_thickness(material, system, words):
    assert say_material(material, system) == words
