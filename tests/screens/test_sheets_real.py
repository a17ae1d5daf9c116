"""The sheets of a job on a real shop: broken down, kept, cut, labelled, spoiled, left over."""

from functools import partial

import pytest
from test_bench_real import SETTINGS, RealShop, scan

from kiosk.actions import GO_AHEAD_REASONS, Shop
from kiosk.app import late_shop
from kiosk.screens.sheetlist import SheetsScreen
from kiosk.screens.sheetscreen import SheetScreen


@pytest.fixture
def real(tmp_path):
    return RealShop(tmp_path)


@pytest.fixture
def kiosk(real, drive, monkeypatch):
    """A kiosk at the saw with the sheets of job JARS kept; a search ends before it is seen."""
    whole = Shop.begin_sheets

    def begin(self, job, heard=None):
        problems = whole(self, job, heard, tries=10, processes=0)
        self.wait_sheets()
        return problems

    monkeypatch.setattr(Shop, "begin_sheets", begin)
    shop = late_shop(real.file, SETTINGS, real.clock)
    found = drive(shop, station="cut", person="Ivo", reasons=GO_AHEAD_REASONS)
    found.desk.shopdesk.open()
    found.tap(found.button("Sheets"))
    assert found.shows("birch ply, 18 mm: 3 parts from 2440 × 1220 mm")
    broken_down(found)
    assert isinstance(found.desk.show, SheetsScreen)
    return found


def broken_down(kiosk):
    """Break a job down: the search, the choice and the plan are asked for one after the other."""
    kiosk.tap(kiosk.button("Break down"))
    for _answer in range(3):
        kiosk.settle()


def opened(kiosk, name="S1"):
    kiosk.tap(kiosk.desk.show.rows[name])
    assert isinstance(kiosk.desk.show, SheetScreen)
    return kiosk


def asked(real, call):
    """What another look at the shop's file tells."""
    found = call(real.open())
    real.store.close()
    return found


def cut_all(kiosk, *, most=40):
    made = 0
    while kiosk.desk.show.made is not None and made < most:
        kiosk.tap(kiosk.desk.show.made)
        made += 1
    return made


def test_what_is_broken_down_is_kept_as_the_plan_of_the_job(real, kiosk):
    assert kiosk.shows("Kept: birch ply, 18 mm: 1 sheet")
    view = asked(real, lambda shop: shop.sheets("JARS"))
    assert len(view.sheets) == 1
    assert view.sheets[0].parts == 3


def test_cut_after_cut_frees_the_parts_and_their_labels_are_written(real, kiosk):
    opened(kiosk)
    assert kiosk.shows("is left once 5 mm of this edge is off")
    view = asked(real, lambda shop: shop.sheets("JARS"))
    assert cut_all(kiosk) == len(view.sheets[0].lines)
    assert kiosk.shows("All of this sheet is cut")
    state = real.state()
    assert {state.piece(code).done["cut"].person for code in real.codes} == {"Ivo"}
    assert {state.printed[code] for code in real.codes} == {1}
    assert kiosk.shows("written as PDF")


def test_what_is_left_of_a_sheet_goes_to_stock_with_a_code_of_its_own(real, kiosk):
    opened(kiosk)
    cut_all(kiosk)
    offcuts = asked(real, lambda shop: shop.stock()).offcuts
    assert offcuts
    kiosk.desk.shopdesk.open()
    kiosk.tap(kiosk.button("Stock"))
    assert kiosk.shows("left of JARS S1")


def test_a_scan_of_a_part_makes_its_cut_on_the_sheet(real, kiosk):
    opened(kiosk)
    view = asked(real, lambda shop: shop.sheets("JARS"))
    line = next(line for line in view.sheets[0].lines if line.frees)
    scan(kiosk, line.frees[0])
    assert isinstance(kiosk.desk.show, SheetScreen)
    now = asked(real, lambda shop: shop.sheets("JARS")).sheets[0]
    assert line.number in now.done
    assert kiosk.shows(f"Cut {now.next} of {len(now.lines)}")
    assert kiosk.shows("1 of 3 parts")


def test_what_was_cut_last_is_struck_from_the_sheet(real, kiosk):
    opened(kiosk)
    kiosk.tap(kiosk.desk.show.made)
    kiosk.tap(kiosk.desk.show.made)
    assert kiosk.shows("Cut 3 of")
    kiosk.tap(kiosk.button("Strike last"))
    assert kiosk.desk.show.said.text.startswith("Struck")
    assert kiosk.shows("Cut 2 of")


def test_a_spoiled_part_finds_a_place_and_its_sheet_is_on_the_list(real, kiosk):
    opened(kiosk)
    cut_all(kiosk)
    kiosk.tap(kiosk.button("Parts"))
    kiosk.tap(kiosk.desk.show.rows[0])
    kiosk.tap(kiosk.button("Spoiled"))
    kiosk.tap(kiosk.button("Record it"))
    assert isinstance(kiosk.desk.show, SheetScreen)
    kiosk.tap(kiosk.button("Back"))
    view = asked(real, lambda shop: shop.sheets("JARS"))
    assert len(view.sheets) == 2
    assert list(kiosk.desk.show.rows) == ["S1", "S2"]
    opened(kiosk, "S2")
    cut_all(kiosk)
    assert kiosk.shows("All of this sheet is cut")


def test_begun_sheets_stay_when_the_rest_is_broken_down_anew(real, kiosk):
    opened(kiosk)
    kiosk.tap(kiosk.desk.show.made)
    kiosk.tap(kiosk.button("Back"))
    kiosk.tap(kiosk.button("Break down anew"))
    broken_down(kiosk)
    assert kiosk.shows("No layout for JARS")
    kiosk.tap(kiosk.button("Back"))
    assert kiosk.shows("begun: 1 of")


def test_an_offcut_that_is_added_is_cut_before_a_new_sheet(real, kiosk):
    desk = kiosk.desk.shopdesk
    desk.open()
    kiosk.tap(kiosk.button("Stock"))
    kiosk.tap(kiosk.button("Add an offcut"))
    kiosk.tap(kiosk.button("birch ply, 18 mm"))
    for text in ("900", "850"):
        for sign in text:
            kiosk.tap(kiosk.desk.show.keys[sign])
        kiosk.tap(kiosk.desk.show.use)
    assert kiosk.shows("900 × 850 mm")
    desk.sheets.open_job("JARS", partial(desk.open))
    kiosk.settle()
    kiosk.tap(kiosk.button("Break down anew"))
    broken_down(kiosk)
    (sheet,) = asked(real, lambda shop: shop.sheets("JARS")).sheets
    assert sheet.planned.offcut
    assert kiosk.shows("offcut K")
