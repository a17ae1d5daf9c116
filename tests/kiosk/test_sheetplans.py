"""A job's sheets are looked for, kept as chosen, checked and mended."""

import pytest

from kiosk.actions.sheetkeeping import SheetsChanged
from kiosk.rules.entries import Kind
from kiosk.rules.scanning import Outcome
from kiosk.rules.sheets.checks import codes_on
from kiosk.rules.sheets.mending import place
from kiosk.store import Job, Note, StoreError
from tests.sheetfloor import FEW, ROWS, START, Floor, cut_until, keep, kinds, offcut_codes


@pytest.fixture
def floor(tmp_path):
    return Floor(tmp_path)


@pytest.fixture
def shop(floor):
    made = floor.open()
    floor.take_in(made)
    return made


def test_what_is_found_is_offered_by_material_and_kept_as_chosen(shop):
    news = []
    assert shop.sheet_search().job == ""
    assert shop.begin_sheets("JARS", lambda: news.append(1), **FEW) == ()
    shop.wait_sheets()

    search = shop.sheet_search()
    assert (search.job, search.is_running, search.share) == ("JARS", False, 1.0)
    assert [(one.parts, one.sheets, one.is_done) for one in search.materials] == [
        (21, 2, True),
        (3, 1, True),
    ]
    assert news
    choices = shop.sheet_choices()
    assert {one.number for one in choices if one.material.thickness == 18 * 1600} >= {0}
    view = shop.keep_sheets("JARS", {choices[0].material: 0}, person="Mara")
    assert [one.planned.sheet.name for one in view.sheets] == ["S1", "S2", "S3"]
    assert view.unplanned == ()
    assert view.faults == ()
    assert len(view.names) == 24
    assert all("nobody counted its sheets" in note for note in view.notes)
    assert shop.sheets("JARS").plan == view.plan


def test_a_job_in_inches_is_told_so_of_what_nobody_counted(shop):
    shop.set_job(Job("JARS", units="inch"))
    shop.begin_sheets("JARS", **FEW)
    shop.wait_sheets()

    notes = shop.keep_sheets("JARS").notes
    taken = 'nobody counted its sheets; they are taken to be 96 1/16" × 48 1/32".'
    assert f'Birch ply, 0.709": {taken}' in notes


def test_the_same_list_gives_the_same_plan(floor, shop):
    def layout(view):
        return [one.planned.sheet for one in view.sheets]

    first = keep(shop)
    begun = shop.sheet_search()
    second = keep(shop)
    assert begun.has_choices
    # names go on, as no name comes twice in a job
    assert [one.planned.sheet.name for one in second.sheets] == ["S4", "S5", "S6"]
    assert [one.parts for one in layout(second)] == [one.parts for one in layout(first)]


def test_a_process_of_its_own_finds_the_same(shop):
    first = keep(shop)
    assert shop.begin_sheets("JARS", tries=60) == ()
    shop.wait_sheets()
    again = shop.keep_sheets("JARS")

    parts = [one.planned.sheet.parts for one in again.sheets]
    assert parts == [one.planned.sheet.parts for one in first.sheets]


def test_a_search_that_is_ended_leaves_the_best_so_far(shop):
    heard = []

    def stop():
        heard.append(1)
        if len(heard) == 1:
            shop.end_sheets()

    shop.begin_sheets("JARS", stop, tries=10**8, processes=0)
    shop.wait_sheets()

    search = shop.sheet_search()
    assert not search.is_running
    assert search.has_choices
    assert shop.keep_sheets("JARS").sheets


def test_what_cannot_be_looked_for_is_said(floor, shop):
    (problem,) = shop.begin_sheets("NONE", **FEW)
    assert problem.message == "There is no open job NONE."
    floor.take_in(shop, "WIDE", "S1;Top;1;2600;1300;18;Birch ply;;\nS1;Shelf;1;600;300;12;Oak;;\n")
    (problem,) = shop.begin_sheets("WIDE", **FEW)
    assert problem.message.startswith("Birch ply, 18 mm, Top: ")
    shop.wait_sheets()
    assert shop.sheet_search().problems == (problem,)
    view = shop.keep_sheets("WIDE")
    assert [view.names[code].part for code in view.unplanned] == ["Top"]


def test_where_nothing_can_be_looked_for_the_search_is_over_at_once(floor, shop):
    floor.take_in(shop, "WIDE", "S1;Top;1;2600;1300;18;Birch ply;;\n")

    assert len(shop.begin_sheets("WIDE")) == 1
    shop.wait_sheets()

    search = shop.sheet_search()
    assert (search.job, search.is_running, search.share) == ("WIDE", False, 1.0)
    assert not search.has_choices
    assert len(search.problems) == 1


def test_only_what_was_looked_for_can_be_kept(floor, shop):
    floor.take_in(shop, "POTS")
    with pytest.raises(LookupError, match="no layout of JARS"):
        shop.keep_sheets("JARS")
    shop.begin_sheets("JARS", **FEW)
    shop.wait_sheets()
    with pytest.raises(LookupError, match="no layout of POTS"):
        shop.keep_sheets("POTS")
    material = shop.sheet_choices()[0].material
    with pytest.raises(LookupError, match="no such choice"):
        shop.keep_sheets("JARS", {material: 99})
    assert shop.sheets("JARS") is None
    assert kinds(shop, Kind.SHEETS_PLANNED) == []


def test_parts_cut_while_people_looked_are_looked_for_again(shop):
    shop.begin_sheets("JARS", **FEW)
    shop.wait_sheets()
    piece = shop.store.state("JARS", "S1").pieces[0].piece
    assert shop.scan(piece.code, station="cut").outcome == Outcome.RECORDED

    with pytest.raises(SheetsChanged):
        shop.keep_sheets("JARS")
    assert piece.code not in {code for one in keep(shop).sheets for code in codes_on(one.planned)}


def test_a_plan_that_is_not_written_changes_nothing(shop, monkeypatch):
    shop.begin_sheets("JARS", **FEW)
    shop.wait_sheets()

    def refuse(*_given):
        raise StoreError("the disk is full")

    monkeypatch.setattr(shop.store, "write", refuse)
    with pytest.raises(StoreError):
        shop.keep_sheets("JARS")
    monkeypatch.undo()
    assert shop.sheets("JARS") is None


def test_a_sheet_that_fails_a_check_is_not_shown_and_its_parts_are_unplanned(shop):
    view = keep(shop)
    body = dict(shop.store.find_entry(view.plan.id).body)
    sheets = [dict(one) for one in body["sheets"]]
    sheets[0] = sheets[0] | {"kerf": sheets[0]["kerf"] + 1}
    shop.store.write([Note(Kind.SHEETS_PLANNED, "JARS", "", body | {"sheets": sheets})], START)

    again = shop.sheets("JARS")

    assert [one.planned.sheet.name for one in again.sheets] == ["S2", "S3"]
    assert again.faults[0].startswith("Sheet S1 is not shown, as it failed a check: ")
    assert set(again.unplanned) == set(codes_on(view.sheets[0].planned))
    assert shop.make_cut("JARS", view.sheets[0].key, 1).outcome == Outcome.UNKNOWN


def test_a_layout_that_fails_a_check_is_not_offered_and_said(shop, monkeypatch):
    from kiosk.actions import sheetlooking

    monkeypatch.setattr(sheetlooking, "find_faults", lambda *_given: ("it is crooked",))
    shop.begin_sheets("JARS", **FEW)
    shop.wait_sheets()

    assert shop.sheet_choices() == ()
    search = shop.sheet_search()
    assert not search.has_choices
    assert "failed a check and is left out: it is crooked." in search.problems[0].message


def test_a_plan_that_is_not_understood_is_passed_over(shop):
    keep(shop)
    shop.store.write([Note(Kind.SHEETS_PLANNED, "JARS", "", {"version": 2})], START)

    assert shop.sheets("JARS") is None


def test_parts_that_a_revised_list_dropped_are_shown_as_such(floor, shop):
    view = keep(shop)
    floor.take_in(shop, rows="".join(ROWS.splitlines(True)[1:]), revise=True)

    again = shop.sheets("JARS")

    unlisted = {code for one in again.sheets for code in one.unlisted}
    assert {view.names[code].part for code in unlisted} == {"Side"}
    assert again.faults == ()
    sheet = next(one for one in again.sheets if one.unlisted)
    line = next(line for line in sheet.lines if set(line.frees) & sheet.unlisted)
    done = shop.make_cut("JARS", sheet.key, line.number)
    assert done.is_recorded
    assert line.number in shop.sheets("JARS").sheet(sheet.key).done


def test_a_spoiled_part_finds_an_offcut(shop):
    keep(shop)
    added = shop.add_offcut("Birch ply", "18", length="800", width="400")
    _sheet, done = cut_until(
        shop, lambda _sheet, done: any(shop.store.find_piece(code) for code in done.labels)
    )

    answer = shop.problem(done.labels[0], "spoiled", draw=False)

    assert "is cut from offcut" in answer.detail
    last = shop.sheets("JARS").sheets[-1]
    assert codes_on(last.planned) == (answer.code,)
    assert last.planned.offcut in {added.code, *offcut_codes(shop)}
    (held,) = [one for one in shop.stock().offcuts if one.offcut.code == last.planned.offcut]
    assert held.reserved == "JARS"


def test_a_spoiled_part_goes_onto_a_sheet_that_is_not_begun_and_the_begun_one_stays(shop):
    before = keep(shop)
    sheet, done = cut_until(shop, lambda _sheet, done: done.labels)

    answer = shop.problem(done.labels[0], "spoiled", draw=False)

    after = shop.sheets("JARS")
    assert after.sheet(sheet.key).planned == before.sheet(sheet.key).planned
    assert done.labels[0] in after.sheet(sheet.key).spoiled
    assert answer.code in {code for one in after.sheets for code in codes_on(one.planned)}
    assert after.unplanned == ()
    assert after.faults == ()


def test_a_part_spoiled_before_it_is_cut_leaves_its_place_to_its_recut(shop):
    before = keep(shop)
    code = codes_on(before.sheets[0].planned)[0]

    answer = shop.problem(code, "spoiled", draw=False)

    assert "takes the place of the spoiled one" in answer.detail
    after = shop.sheets("JARS")
    placed = {code for one in after.sheets for code in codes_on(one.planned)}
    assert answer.code in placed
    assert code not in placed


def test_who_holds_a_spoiled_part_does_not_wait_for_long(shop, monkeypatch):
    from kiosk.actions import sheetkeeping

    keep(shop)
    _sheet, done = cut_until(shop, lambda _sheet, done: done.labels)
    seconds, given = [0.0], []
    monkeypatch.setattr(sheetkeeping, "thread_time", lambda: seconds[0])

    def hear(plan, piece, *, means, spoiled):
        given.append(means)
        return place(plan, piece, means=means, spoiled=spoiled)

    monkeypatch.setattr(sheetkeeping, "place", hear)
    shop.problem(done.labels[0], "spoiled", draw=False)

    (means,) = given
    assert means.go_on()
    seconds[0] = sheetkeeping.MENDING_SECONDS
    assert not means.go_on()


def test_a_spoiled_part_without_a_plan_has_no_place_and_that_is_no_fault(shop):
    piece = shop.store.state("JARS", "S1").pieces[0].piece

    assert shop.spoil(piece.code).outcome == Outcome.RECORDED
    assert shop.place_spoiled("JARS") is None


def test_where_the_place_is_not_kept_the_part_is_spoiled_all_the_same(shop, monkeypatch):
    keep(shop)
    _sheet, done = cut_until(shop, lambda _sheet, done: done.labels)
    write = shop.store.write

    def no_plan(notes, now):
        if notes[0].kind == Kind.SHEETS_PLANNED:
            raise StoreError("the disk is full")
        return write(notes, now)

    monkeypatch.setattr(shop.store, "write", no_plan)
    answer = shop.spoil(done.labels[0])
    monkeypatch.undo()

    assert answer.outcome == Outcome.RECORDED
    assert "Where it is cut was not kept: the disk is full" in answer.detail
    assert shop.sheets("JARS").unplanned == (answer.code,)
    assert shop.place_spoiled("JARS").unplanned == ()
    plans = len(kinds(shop, Kind.SHEETS_PLANNED))
    assert shop.place_spoiled("JARS").unplanned == ()
    assert len(kinds(shop, Kind.SHEETS_PLANNED)) == plans
