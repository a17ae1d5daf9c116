"""A job's sheets at the kiosk: looked for, kept, cut line by line, mended; and the stock."""

from datetime import UTC, datetime, timedelta

import pytest

from kiosk.actions import Shop
from kiosk.actions.labelfiles import Wanted
from kiosk.actions.sheetkeeping import SheetsChanged
from kiosk.clock import FixedClock
from kiosk.rules.entries import Kind
from kiosk.rules.scanning import Outcome
from kiosk.rules.sheets.checks import codes_on
from kiosk.settingstext import load
from kiosk.store import Job, Note, Store, StoreError

START = datetime(2026, 3, 9, 7, 30, tzinfo=UTC)  # a Monday
HEAD = "Unit;Part;Qty;Length (mm);Width (mm);Thickness (mm);Material;Bevel;Grain\n"
ROWS = "".join(
    f"S{n};Side;2;600;300;18;Birch ply;;length\n"
    f"S{n};Board;3;764;200;18;Birch ply;;\n"
    f"S{n};Cleat;2;700;80;18;Birch ply;45;length\n"
    f"S{n};Back;1;700;500;6;Birch ply;;\n"
    for n in (1, 2, 3)
)
SHEET = {"length": "2440", "width": "1220"}
FEW = {"tries": 60, "processes": 0}


class Floor:
    """One shop file, and kiosks on it that share a clock."""

    def __init__(self, folder):
        self.folder, self.clock = folder, FixedClock(START)

    def open(self, letter="K", more=""):
        settings, wrong = load(f'zone = "UTC"\nkiosk_letter = "{letter}"\n{more}')
        assert not wrong
        return Shop(Store.open(self.folder / "shop.db", letter), settings, self.clock)

    def take_in(self, shop, job="JARS", rows=ROWS, **more):
        (self.folder / "list.csv").write_text(HEAD + rows, "utf-8")
        taken = shop.take_in(self.folder / "list.csv", Job(job), **more)
        assert taken.problems == ()

    def wait(self, minutes):
        self.clock.set(self.clock.now() + timedelta(minutes=minutes))


@pytest.fixture
def floor(tmp_path):
    return Floor(tmp_path)


@pytest.fixture
def shop(floor):
    made = floor.open()
    floor.take_in(made)
    return made


def keep(shop, job="JARS", **more):
    assert shop.begin_sheets(job, **FEW) == ()
    shop.wait_sheets()
    return shop.keep_sheets(job, **more)


def cut_next(shop, job="JARS"):
    sheet = shop.sheets(job).next_sheet
    done = shop.make_cut(job, sheet.key, sheet.next, person="Mara")
    assert done.is_recorded, done
    return sheet, done


def cut_until(shop, stop, job="JARS"):
    """Cut line by line until a cut is what is asked for."""
    while True:
        sheet, done = cut_next(shop, job)
        if stop(sheet, done):
            return sheet, done


def kinds(shop, kind):
    return [one for one in shop.store.sheet_entries() if one.kind == kind]


def is_cut(shop, code):
    key = shop.store.find_piece(code)
    return bool(shop.store.state(*key).piece(code).done)


def offcut_codes(shop):
    return {one.offcut.code for one in shop.stock().offcuts}


# -- looking and keeping ---------------------------------------------------------------------------


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
    assert problem.message.startswith("Birch ply 18 mm, Top: ")
    shop.wait_sheets()
    assert shop.sheet_search().problems == (problem,)
    view = shop.keep_sheets("WIDE")
    assert [view.names[code].part for code in view.unplanned] == ["Top"]


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


# -- cutting ---------------------------------------------------------------------------------------


def test_line_by_line_all_is_cut_with_its_labels_in_that_order(shop):
    plan = keep(shop)
    due = []
    while shop.sheets("JARS").next_sheet is not None:
        _sheet, done = cut_next(shop)
        due += done.labels

    view = shop.sheets("JARS")
    assert all(one.is_cut_up and one.is_begun for one in view.sheets)
    parts = [code for code in due if shop.store.find_piece(code)]
    assert sorted(parts) == sorted(plan.names)
    assert all(is_cut(shop, code) for code in parts)
    assert set(due) - set(parts) == offcut_codes(shop)
    assert sum(len(one.planned.sheet.offcuts) for one in view.sheets) == len(offcut_codes(shop))
    assert shop.begin_sheets("JARS", **FEW)[0].message.startswith("JARS has nothing")


def test_a_cut_that_frees_a_part_is_its_scan_and_begins_its_sheet(shop):
    keep(shop)
    sheet, done = cut_until(shop, lambda _sheet, done: done.labels)

    code = done.labels[0]
    entry = shop.store.find_entry(done.entry)
    assert entry.kind == Kind.STEP_DONE
    assert (entry.body["part"], entry.person) == (code, "Mara")
    assert len(kinds(shop, Kind.SHEET_USED)) == 1
    assert shop.scan(code, station="cut").outcome == Outcome.ALREADY
    assert shop.sheets("JARS").sheet(sheet.key).cut == {*done.labels} - offcut_codes(shop)


def test_a_cut_made_already_or_unknown_records_nothing(shop):
    keep(shop)
    sheet, _done = cut_next(shop)
    before = shop.store.tally()

    again = shop.make_cut("JARS", sheet.key, 1)
    assert (again.outcome, again.next) == (Outcome.ALREADY, 2)
    assert shop.make_cut("JARS", sheet.key, 999).outcome == Outcome.UNKNOWN
    assert shop.make_cut("JARS", "old/S1", 1).outcome == Outcome.UNKNOWN
    assert shop.make_cut("NONE", sheet.key, 1).outcome == Outcome.UNKNOWN
    assert shop.store.tally() == before


def test_a_later_cut_counts_those_it_needs_as_made_and_frees_their_parts(shop):
    view = keep(shop)
    sheet = view.sheets[0]
    last = [line for line in sheet.lines if line.frees and not line.tilt][-1]

    done = shop.make_cut("JARS", sheet.key, last.number)

    assert "count as made with it" in done.detail
    after = shop.sheets("JARS").sheet(sheet.key)
    made = [line for line in sheet.lines if line.number in after.done]
    freed = {code for line in made for code in line.frees}
    assert last.number in after.done
    assert after.cut == freed
    assert freed <= set(done.labels)


def test_a_part_scanned_at_cut_begins_its_sheet_and_keeps_what_it_leaves(shop):
    view = keep(shop)
    sheet, line = next(
        (sheet, line)
        for sheet in view.sheets
        for line in sheet.lines
        if line.frees and line.keeps_offcut
    )
    answer = shop.scan(line.frees[0], station="cut", person="Mara")

    assert answer.outcome == Outcome.RECORDED
    assert len(kinds(shop, Kind.SHEET_USED)) == 1
    (kept,) = [one for one in kinds(shop, Kind.OFFCUT_KEPT) if one.body["piece"] == line.rest]
    assert kept.body["sheet"] == sheet.key
    assert "print its label" in answer.detail or "print their labels" in answer.detail
    shop.scan(line.frees[0], station="cut")
    assert len([one for one in kinds(shop, Kind.OFFCUT_KEPT)
                if one.body["piece"] == line.rest]) == 1  # fmt: skip


def test_a_scan_of_a_part_without_a_plan_writes_nothing_more(shop):
    piece = shop.store.state("JARS", "S1").pieces[0].piece
    shop.scan(piece.code, station="cut")

    assert shop.store.sheet_entries() == ()


def test_a_unit_on_hold_refuses_the_cut_of_its_part(shop):
    keep(shop)
    sheet = shop.sheets("JARS").sheets[0]
    line = next(line for line in sheet.lines if line.frees)
    unit = shop.sheets("JARS").names[line.frees[0]].unit
    shop.hold(f"JARS/{unit}", "waits for the customer")
    before = shop.store.tally()

    done = shop.make_cut("JARS", sheet.key, line.number)

    assert done.outcome == Outcome.ON_HOLD
    assert done.message.startswith(f"{unit}: ")
    assert shop.store.tally() == before


def test_a_cut_is_written_whole_or_not_at_all(shop, monkeypatch):
    keep(shop)
    sheet = shop.sheets("JARS").sheets[0]
    writings = []
    write = shop.store.write
    monkeypatch.setattr(
        shop.store, "write", lambda notes, now: (writings.append(len(notes)), write(notes, now))[1]
    )
    line = next(line for line in sheet.lines if line.keeps_offcut and line.frees)
    shop.make_cut("JARS", sheet.key, line.number)

    assert len(writings) == 1
    assert writings[0] >= 3


def test_strike_last_takes_a_cut_back_with_all_it_brought_about(shop):
    keep(shop)
    sheet = shop.sheets("JARS").sheets[0]
    line = next(line for line in sheet.lines if line.keeps_offcut and line.frees)
    before = shop.sheets("JARS")
    done = shop.make_cut("JARS", sheet.key, line.number)
    assert offcut_codes(shop)

    struck = shop.strike_last()

    assert (struck.outcome, struck.entry) == (Outcome.RECORDED, done.entry)
    assert shop.sheets("JARS") == before
    assert offcut_codes(shop) == set()
    assert kinds(shop, Kind.SHEET_USED) == []
    assert not any(is_cut(shop, code) for code in line.frees)
    # nothing of it is left to strike
    assert shop.strike_last().outcome == Outcome.UNKNOWN


def test_a_sheet_stays_begun_where_only_its_first_cut_is_struck(shop):
    keep(shop)
    sheet, first = cut_next(shop)
    cut_next(shop)

    shop.strike(first.entry)

    assert len(kinds(shop, Kind.SHEET_USED)) == 1
    assert shop.sheets("JARS").sheet(sheet.key).is_begun
    assert shop.strike_last().message == "Struck"


def test_a_cut_is_said_in_words(shop):
    keep(shop)
    _sheet, done = cut_next(shop)

    assert shop.say_entry(shop.store.find_entry(done.entry)) == "cut 1 of sheet S1, 07:30 by Mara"


def test_two_kiosks_that_make_one_cut_agree(floor, shop):
    keep(shop)
    other = floor.open("B")
    sheet = shop.sheets("JARS").sheets[0]
    line = next(line for line in sheet.lines if line.keeps_offcut)
    view = other.sheets("JARS")
    assert view == shop.sheets("JARS")
    # neither has heard of the other yet: both read the plan before
    body = {"sheet": sheet.key, "number": line.number}
    first = shop.make_cut("JARS", sheet.key, line.number)
    other.store.write([Note(Kind.CUT_MADE, "JARS", "", body)], START)
    rest = dict(kinds(shop, Kind.OFFCUT_KEPT)[0].body) | {"code": "B" + "2" * 6}
    other.store.write([Note(Kind.OFFCUT_KEPT, "JARS", "", rest)], START)

    assert first.is_recorded
    assert other.sheets("JARS") == shop.sheets("JARS")
    assert other.stock() == shop.stock()
    assert len({one.offcut.piece for one in shop.stock().offcuts}) == len(shop.stock().offcuts)


def test_a_new_plan_takes_over_what_is_begun(shop):
    first = keep(shop)
    sheet, _done = cut_until(shop, lambda _sheet, done: done.labels)

    second = keep(shop)

    assert second.sheet(sheet.key) == shop.sheets("JARS").sheet(sheet.key)
    assert second.sheet(sheet.key).planned == first.sheet(sheet.key).planned
    on_all = [code for one in second.sheets for code in codes_on(one.planned)]
    assert sorted(on_all) == sorted(first.names)


def test_a_past_view_shows_the_cuts_of_then(floor, shop):
    keep(shop)
    cut_next(shop)
    floor.wait(30)
    cut_next(shop)
    past = shop.store.as_of(START + timedelta(minutes=10))

    assert len([one for one in past.sheet_entries() if one.kind == Kind.CUT_MADE]) == 1
    assert len(kinds(shop, Kind.CUT_MADE)) == 2


# -- what fails a check ----------------------------------------------------------------------------


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


# -- spoiled parts ---------------------------------------------------------------------------------


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


# -- the stock -------------------------------------------------------------------------------------


def counted(shop, count="3", thickness="18", **more):
    answer = shop.count_sheets("Birch ply", thickness, count=count, **SHEET | more)
    assert answer.problems == ()
    return answer


def sizes(shop):
    return [(one.left, one.used, one.planned, one.is_assumed) for one in shop.stock().sizes]


def test_sheets_are_counted_planned_and_begun(floor, shop):
    assert sizes(shop) == [(None, 0, 0, True)] * 2
    assert "any number" in counted(shop, "").message
    counted(shop)
    counted(shop, thickness="6", count="9")
    assert sizes(shop) == [(9, 0, 0, False), (3, 0, 0, False)]
    view = keep(shop)
    assert sizes(shop) == [(9, 0, 1, False), (3, 0, 2, False)]
    assert view.notes == ()
    cut_next(shop)
    assert sizes(shop) == [(9, 0, 1, False), (2, 1, 1, False)]


def test_what_one_job_will_cut_another_does_not_get(floor, shop):
    counted(shop, "2")
    keep(shop)
    floor.take_in(shop, "POTS")

    (problem,) = shop.begin_sheets("POTS", **FEW)
    assert problem.message == "Birch ply 18 mm: there is no sheet of it left."
    shop.wait_sheets()

    assert shop.set_job(Job("JARS", open=False), reason="given up") == ()
    assert shop.begin_sheets("POTS", **FEW) == ()
    shop.wait_sheets()


def test_sheets_for_only_some_parts_leave_the_others_out(shop):
    counted(shop, "1")
    view = keep(shop)

    assert view.unplanned
    assert set(view.plan.left_out) == set(view.unplanned)


def test_typed_nonsense_is_said_and_nothing_recorded(shop):
    answer = shop.count_sheets("", "x", length="y", width="z", count="w")

    assert len(answer.problems) == 5
    assert len(shop.add_offcut("", "", length="", width="").problems) == 3
    assert shop.store.sheet_entries() == ()


def test_an_offcut_is_added_used_before_a_sheet_and_scanned(shop):
    added = shop.add_offcut("birch ply", "18", length="1300", width="700")
    assert shop.scan(added.code, station="cut").detail.endswith("It is free.")

    view = keep(shop)

    assert added.code in {one.planned.offcut for one in view.sheets}
    answer = shop.scan(added.code, station="assemble")
    assert answer.message == "This is an offcut of birch ply"
    assert "1300 × 700 × 18 mm" in answer.detail
    assert answer.detail.endswith("Reserved for JARS.")
    sheet = next(one for one in view.sheets if one.planned.offcut)
    shop.make_cut("JARS", sheet.key, 1)
    assert added.code not in offcut_codes(shop)
    assert "used up" in shop.scan(added.code, station="cut").detail


def test_an_offcut_thrown_away_is_gone_once_and_a_plan_says_so(shop):
    added = shop.add_offcut("birch ply", "18", length="1300", width="700")
    keep(shop)

    thrown = shop.throw_offcut(added.code.lower(), "warped")

    assert thrown.entry
    assert offcut_codes(shop) == set()
    assert any("no longer in stock" in note for note in shop.sheets("JARS").notes)
    assert shop.throw_offcut(added.code).entry == ""
    assert shop.throw_offcut("nonsense").problems
    assert shop.strike(thrown.entry).outcome == Outcome.RECORDED
    assert offcut_codes(shop) == {added.code}


def test_an_offcut_taken_meanwhile_refuses_the_layout(shop):
    added = shop.add_offcut("birch ply", "18", length="1300", width="700")
    shop.begin_sheets("JARS", **FEW)
    shop.wait_sheets()
    shop.throw_offcut(added.code)

    with pytest.raises(SheetsChanged):
        shop.keep_sheets("JARS")


def test_a_sheet_begun_by_mistake_is_put_back(shop):
    counted(shop)
    view = keep(shop)
    key = view.sheets[0].key
    assert shop.put_back(key).problems
    body = {"sheet": key, "material": "Birch ply", "thickness": 18 * 1600}
    size = {"length": 2440 * 1600, "width": 1220 * 1600}
    shop.store.write([Note(Kind.SHEET_USED, "JARS", "", body | size)], START)
    assert [one[0] for one in sizes(shop)] == [None, 2]

    assert shop.put_back(key).entry
    assert [one[0] for one in sizes(shop)] == [None, 3]
    cut_next(shop)
    assert shop.put_back(key).problems[0].message == "S1 is cut already."


def test_labels_of_offcuts_alone_and_among_parts(floor, shop, tmp_path):
    keep(shop)
    _sheet, done = cut_until(shop, lambda _sheet, done: set(done.labels) & offcut_codes(shop))
    code = next(one for one in done.labels if one in offcut_codes(shop))
    part = next(iter(shop.sheets("JARS").names))

    both = shop.labels(Wanted("JARS", only=[part, code]), tmp_path / "both.pdf")
    assert (both.codes, both.problems) == ((part, code), ())
    alone = shop.labels(Wanted("", only=[code]), tmp_path / "one.pdf")
    assert (alone.codes, alone.problems) == ((code,), ())
    assert shop.labels(Wanted("", only=[code], stock="none"), tmp_path / "x.pdf").problems


def test_the_stock_is_folded_once_for_each_news(shop, monkeypatch):
    keep(shop)
    shop.stock()
    reads = []
    rows = shop.store._log.kind_rows

    def noted(*kinds, **more):
        if str(Kind.CUT_MADE) in map(str, kinds):
            reads.append(kinds)
        return rows(*kinds, **more)

    monkeypatch.setattr(shop.store._log, "kind_rows", noted)
    for _ in range(3):
        cut_next(shop)
        shop.stock()
    assert reads == []


def test_another_kiosks_news_come_in(floor, shop):
    other = floor.open("B")
    assert other.stock().offcuts == ()
    added = shop.add_offcut("birch ply", "18", length="1300", width="700")

    assert offcut_codes(other) == {added.code}
    other.throw_offcut(added.code)
    assert offcut_codes(shop) == set()
    other.store.rebuild()
    assert offcut_codes(other) == set()


def test_inch_shops_type_and_read_inches(floor):
    shop = floor.open(more='units = "inch"\n')
    added = shop.add_offcut("oak", "3/4", length="30", width="20 1/2")

    assert '30" × 20 1/2" × 3/4"' in shop.scan(added.code, station="cut").detail
