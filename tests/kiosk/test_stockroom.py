"""The stock of sheets and offcuts, counted, used, thrown away and labelled."""

import pytest

from kiosk.actions.labelfiles import Wanted
from kiosk.actions.sheetkeeping import SheetsChanged
from kiosk.rules.entries import Kind
from kiosk.rules.scanning import Outcome
from kiosk.store import Job, Note
from tests.sheetfloor import (
    FEW,
    START,
    Floor,
    counted,
    cut_next,
    cut_until,
    keep,
    kinds,
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
def kiln(tmp_path):
    """A shop that lists one material in one thickness."""
    floor = Floor(tmp_path)
    made = floor.open()
    floor.take_in(made, rows="S1;Side;2;600;300;18;Oak ply;;length\n")
    return made


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
    assert problem.message == "Birch ply, 18 mm: there is no sheet of it left."
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


def test_a_material_listed_in_two_thicknesses_asks_which(shop):
    wide = {"length": "2440", "width": "1220"}
    for answer in (shop.count_sheets("birch PLY", "", **wide),
                   shop.add_offcut("Birch ply", "", **wide)):  # fmt: skip
        assert [one.column for one in answer.problems] == ["Thickness"]
    assert shop.store.sheet_entries() == ()


def test_a_count_without_thickness_is_of_the_one_that_is_listed(kiln):
    answer = kiln.count_sheets("oak  PLY", "", length="2440", width="1220", count="7")

    assert answer.detail == "Oak ply"
    assert sizes(kiln) == [(7, 0, 0, False)]


def test_a_material_no_list_asks_for_is_said_beside_those_that_lists_have(shop):
    answer = shop.count_sheets("Brich ply", "18", length="2440", width="1220")

    assert "No list asks for Brich ply, 18 mm; lists ask for Birch ply, 18 mm" in answer.detail
    assert "lists ask for" in shop.add_offcut("Oak", "20", length="900", width="400").detail
    assert counted(shop).detail == "Birch ply"


def test_an_offcut_is_added_used_before_a_sheet_and_scanned(shop):
    added = shop.add_offcut("birch ply", "18", length="1300", width="700")
    assert shop.scan(added.code, station="cut").detail.endswith("It is free.")

    view = keep(shop)

    assert added.code in {one.planned.offcut for one in view.sheets}
    answer = shop.scan(added.code, station="assemble")
    assert answer.message == "This is an offcut of Birch ply"
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


@pytest.mark.parametrize("odd", [[], {}, {"a": 1}, None, 10**30])
def test_an_entry_of_sheets_that_makes_no_sense_is_struck_like_any(shop, odd):
    keep(shop)
    body = {"sheet": odd, "number": odd, "code": odd, "along": odd}
    (entry,) = shop.store.write([Note(Kind.CUT_MADE, "JARS", "", body)], START)

    assert shop.strike(entry.id).message == "Struck"
    assert kinds(shop, Kind.CUT_MADE) == []


def test_labels_of_offcuts_alone_and_among_parts(floor, shop, tmp_path):
    keep(shop)
    _sheet, done = cut_until(shop, lambda _sheet, done: set(done.labels) & offcut_codes(shop))
    code = next(one for one in done.labels if one in offcut_codes(shop))
    part = next(iter(shop.sheets("JARS").names))

    both = shop.labels(Wanted("JARS", only=[part, code]), tmp_path / "both.pdf")
    assert (both.codes, both.problems) == ((part, code), ())
    alone = shop.labels(Wanted("", only=[code]), tmp_path / "one.pdf")
    assert (alone.codes, alone.problems) == ((code,), ())
    for wanted in (Wanted("JARS", only=[part, code]), Wanted("", only=[code])):
        (order,) = shop.orders(wanted).orders
        assert [row.label.code for row in order.rows] == list(wanted.only)
        shop.came_out(order)
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
