"""A job's sheets are cut line by line at kiosks, together and apart."""

from datetime import timedelta

import pytest

from kiosk.rules.entries import Kind
from kiosk.rules.scanning import Outcome
from kiosk.rules.sheets.checks import codes_on
from kiosk.rules.sheets.planread import parse_plan
from kiosk.store import Note
from tests.sheetfloor import (
    FEW,
    START,
    Floor,
    counted,
    cut_next,
    cut_until,
    is_cut,
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


@pytest.fixture
def other(tmp_path):
    """A kiosk with a file of its own."""
    (tmp_path / "other").mkdir()
    return Floor(tmp_path / "other").open("B")


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


def test_an_offcut_that_is_there_is_not_kept_again(shop):
    keep(shop)
    sheet = shop.sheets("JARS").sheets[0]
    line = next(line for line in sheet.lines if line.keeps_offcut)
    done = shop.make_cut("JARS", sheet.key, line.number)
    entry = shop.store.find_entry(done.entry)
    # struck by itself, as a program that knows nothing of sheets would
    alone = Note(Kind.STRUCK, entry.job, entry.unit, {"target": entry.id})
    shop.store.write([alone], START)
    before = offcut_codes(shop)

    assert shop.make_cut("JARS", sheet.key, line.number).is_recorded
    assert offcut_codes(shop) == before
    assert len(kinds(shop, Kind.OFFCUT_KEPT)) == len(before)


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


def test_kiosks_with_files_of_their_own_tell_the_same(shop, other):
    keep(shop)
    counted(shop)
    meet(shop, other)
    assert other.sheets("JARS") == shop.sheets("JARS")

    # both cut while they are apart: one the same line, then each another one
    sheet = shop.sheets("JARS").sheets[0]
    line = next(line for line in sheet.lines if line.keeps_offcut)
    for one in (shop, other):
        assert one.make_cut("JARS", sheet.key, line.number).is_recorded
    cut_until(shop, lambda _sheet, done: done.labels)
    second = other.sheets("JARS").sheets[1]
    freeing = next(line for line in second.lines if line.frees)
    other.make_cut("JARS", second.key, freeing.number)
    other.problem(freeing.frees[0], "spoiled", draw=False)
    shop.strike_last()
    meet(shop, other)
    meet(other, shop)

    assert other.sheets("JARS") == shop.sheets("JARS")
    assert other.stock() == shop.stock()
    pieces = [one.offcut.piece for one in shop.stock().offcuts]
    assert line.rest in pieces
    assert len(pieces) == len(set(pieces))
    assert sorted(one.used for one in shop.stock().sizes) == [0, 2]


def test_no_part_is_cut_twice_where_one_planned_anew_while_another_cut(shop, other):
    view = keep(shop)
    meet(shop, other)
    begun, _done = cut_until(shop, lambda _sheet, done: done.labels)
    again = keep(other)
    assert begun.key not in {one.key for one in again.sheets}
    meet(shop, other)
    meet(other, shop)

    both = shop.sheets("JARS")
    assert other.sheets("JARS") == both
    assert both.next_sheet.key == begun.key
    assert both.sheet(begun.key).planned == view.sheet(begun.key).planned
    shown = [code for one in both.sheets for code in codes_on(one.planned)]
    assert len(shown) == len(set(shown))
    assert "which is begun. Look for layouts again." in both.faults[0]
    mended = keep(shop)
    assert mended.faults == ()
    assert mended.unplanned == ()
    assert mended.sheet(begun.key) == both.sheet(begun.key)


def test_a_new_plan_takes_over_what_is_begun(shop):
    first = keep(shop)
    sheet, _done = cut_until(shop, lambda _sheet, done: done.labels)

    second = keep(shop)

    assert second.sheet(sheet.key) == shop.sheets("JARS").sheet(sheet.key)
    assert second.sheet(sheet.key).planned == first.sheet(sheet.key).planned
    written = parse_plan(shop.store.find_entry(second.plan.id))
    assert sheet.key in {one.key for one in written.sheets}
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
