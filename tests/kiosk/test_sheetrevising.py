"""A job's list is revised, or its stock changes, while its sheets are planned or cut."""

import pytest

from kiosk.actions.sheetkeeping import SheetsChanged
from kiosk.rules.entries import Kind
from kiosk.rules.sheets.checks import codes_on
from tests.sheetfloor import (
    FEW,
    ROWS,
    Floor,
    counted,
    cut_next,
    cut_until,
    keep,
    kinds,
    meet,
    offcut_codes,
)


@pytest.fixture
def floor(tmp_path):
    return Floor(tmp_path)


@pytest.fixture
def shop(floor):
    made = floor.open()
    floor.take_in(made)
    return made


def without(word, rows=ROWS):
    return "".join(row for row in rows.splitlines(True) if word not in row)


def planned_codes(view):
    return [code for one in view.plan.sheets for code in codes_on(one)]


def test_parts_of_a_begun_sheet_that_fails_a_check_now_can_be_laid_out_anew(floor, shop):
    keep(shop)
    sheet, _done = cut_until(shop, lambda _sheet, done: done.labels)
    floor.take_in(shop, rows=ROWS.replace("764;200", "766;200"), revise=True)
    assert shop.sheets("JARS").sheet(sheet.key) is None

    view = keep(shop)

    assert view.unplanned == ()
    (fault,) = view.faults
    assert "failed a check" in fault


def test_a_part_moved_to_another_material_is_planned_once(floor, shop):
    backs = {code for code in planned_codes(keep(shop)) if is_back(shop, code)}
    floor.take_in(shop, rows=ROWS.replace("500;6;Birch ply", "500;6;Oak"), revise=True)
    assert set(shop.sheets("JARS").unplanned) == backs

    view = keep(shop)

    assert len(planned_codes(view)) == len(set(planned_codes(view))) == 24
    assert view.faults == ()
    (oak,) = [one.planned for one in view.sheets if one.planned.material.name == "Oak"]
    assert set(codes_on(oak)) == backs


def is_back(shop, code):
    return shop.sheets("JARS").names[code].part == "Back"


def test_a_sheet_of_which_no_part_is_asked_for_is_not_to_be_cut_and_leaves_the_plan(floor, shop):
    keep(shop)
    floor.take_in(shop, rows=without("Back"), revise=True)
    view = shop.sheets("JARS")
    (idle,) = [one for one in view.sheets if one.is_idle]
    while (sheet := shop.sheets("JARS").next_sheet) is not None:
        assert sheet.key != idle.key
        cut_next(shop)

    floor.take_in(shop, rows=without("Back") + "S1;Lid;1;300;200;18;Birch ply;;\n", revise=True)
    assert idle.key not in {one.key for one in keep(shop).plan.sheets}


def test_a_material_written_otherwise_on_what_is_left_is_the_same(floor):
    shop = floor.open()
    floor.take_in(
        shop,
        rows="S1;A;1;2300;1100;18;Birch ply;;\nS1;B;2;2300;1100;18;birch  PLY;;\n",
    )
    first = next(one for one in keep(shop).sheets if "A" in names_on(shop, one))
    for line in first.lines:
        shop.make_cut("JARS", first.key, line.number)

    view = keep(shop)

    assert len(planned_codes(view)) == len(set(planned_codes(view))) == 3
    assert len(view.plan.bounds) == 1


def names_on(shop, sheet):
    names = shop.sheets("JARS").names
    return {names[code].part for code in codes_on(sheet.planned)}


def test_a_recut_that_a_list_dropped_is_neither_cut_nor_begins_its_sheet(floor, shop):
    keep(shop)
    _sheet, done = cut_until(shop, lambda _sheet, done: done.labels)
    recut = shop.problem(done.labels[0], "spoiled", draw=False).code
    name = shop.sheets("JARS").names[recut]
    floor.take_in(shop, rows=without(f"{name.unit};{name.part}"), revise=True)

    (sheet,) = [one for one in shop.sheets("JARS").sheets if recut in codes_on(one.planned)]

    assert recut in sheet.unlisted
    assert recut not in sheet.cut
    assert not sheet.is_begun


def test_a_list_revised_while_people_looked_is_looked_for_again(floor, shop):
    shop.begin_sheets("JARS", **FEW)
    shop.wait_sheets()
    floor.take_in(shop, rows=ROWS.replace("700;500", "710;500"), revise=True)

    with pytest.raises(SheetsChanged):
        shop.keep_sheets("JARS")
    assert keep(shop).faults == ()


def test_a_half_cut_sheet_that_is_not_shown_is_not_put_back(floor, shop):
    counted(shop)
    keep(shop)
    sheet, _done = cut_until(shop, lambda _sheet, done: done.labels)
    floor.take_in(shop, rows=ROWS.replace("764;200", "766;200"), revise=True)
    assert shop.sheets("JARS").sheet(sheet.key) is None

    assert shop.put_back(sheet.key).problems
    assert len(kinds(shop, Kind.SHEET_USED)) == 1


def test_a_half_cut_sheet_that_is_not_shown_stays_begun_where_its_first_cut_is_struck(floor, shop):
    keep(shop)
    _sheet, first = cut_next(shop)
    cut_until(shop, lambda _sheet, done: done.labels)
    floor.take_in(shop, rows=ROWS.replace("764;200", "766;200"), revise=True)

    shop.strike(first.entry)

    assert len(kinds(shop, Kind.SHEET_USED)) == 1


def test_a_recut_that_does_not_count_keeps_nobody_from_cutting_its_sheet(floor, shop, tmp_path):
    (tmp_path / "other").mkdir()
    there = Floor(tmp_path / "other")
    other = there.open("M")
    keep(shop)
    meet(shop, other)
    _sheet, done = cut_until(shop, lambda _sheet, done: done.labels)
    meet(shop, other)
    for at, one in ((1, shop), (2, other)):  # both spoil one part before they hear of each other
        floor.wait(at)
        there.clock.set(floor.clock.now())
        one.problem(done.labels[0], "spoiled", draw=False)
    meet(shop, other)
    assert any(one.unlisted for one in shop.sheets("JARS").sheets)

    while shop.sheets("JARS").next_sheet is not None:
        cut_next(shop)

    assert all(one.is_cut_up for one in shop.sheets("JARS").sheets)


def test_an_offcut_that_is_gone_with_a_struck_cut_is_said(floor, shop):
    keep(shop)
    _sheet, done = cut_until(shop, lambda _sheet, done: set(done.labels) & offcut_codes(shop))
    floor.take_in(shop, "POTS", "P1;Shelf;1;300;200;18;Birch ply;;\n")
    (sheet,) = keep(shop, "POTS").sheets
    assert sheet.planned.offcut in done.labels

    shop.strike(done.entry)

    (note,) = [one for one in shop.sheets("POTS").notes if "no longer in stock" in one]
    assert note.startswith("S1 is to be cut from offcut")


def test_sheets_that_another_job_took_or_that_were_counted_away_refuse_the_layout(floor, shop):
    counted(shop)
    other = floor.open("M")
    floor.take_in(shop, "POTS")
    shop.begin_sheets("JARS", **FEW)
    shop.wait_sheets()

    counted(shop, "1")
    with pytest.raises(SheetsChanged):
        shop.keep_sheets("JARS")
    counted(shop, "3")
    keep(other, "POTS")
    with pytest.raises(SheetsChanged):
        shop.keep_sheets("JARS")
    counted(shop, "4")
    assert shop.keep_sheets("JARS").sheets


def test_sheets_of_another_size_counted_meanwhile_refuse_the_layout(shop):
    shop.begin_sheets("JARS", **FEW)
    shop.wait_sheets()
    counted(shop, length="1525", width="1525")

    with pytest.raises(SheetsChanged):
        shop.keep_sheets("JARS")
