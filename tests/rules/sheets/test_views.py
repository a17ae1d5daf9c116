"""What views say of themselves."""

from kiosk.rules.sheets.lines import cut_lines
from kiosk.rules.sheets.views import CutDone, SheetsView, SheetView
from tests.sheetbuild import a_part, a_plan, laid_out

_OF, SHEETS = laid_out([a_part(f"A{n}", 1200, 600) for n in range(6)])


def view(number, **fields):
    planned = SHEETS[number]
    return SheetView(planned=planned, lines=cut_lines(planned), **fields)


def test_the_sheet_to_cut_now_is_one_that_is_begun_else_the_first():
    first, second = view(0, next=1, parts=3), view(1, next=4, parts=3, is_begun=True)

    plan = a_plan(SHEETS)
    assert SheetsView(plan=plan, sheets=(first, second)).next_sheet == second
    fresh = SheetsView(plan=plan, sheets=(first, view(1, next=1, parts=3)))
    assert fresh.next_sheet == first
    assert fresh.sheet("P1/S1") == first
    assert fresh.sheet("P1/S9") is None
    assert SheetsView(plan=plan, sheets=()).next_sheet is None


def test_a_sheet_is_cut_up_once_all_its_parts_are_recorded():
    assert view(0, parts=1, cut=frozenset({"A1"})).is_cut_up
    assert not view(0, parts=2, cut=frozenset({"A1"})).is_cut_up
    assert not view(0, next=3).is_cut_up
    assert view(0).key == "P1/S1"


def test_only_what_was_recorded_counts_as_recorded():
    assert CutDone(outcome="recorded", message="").is_recorded
    assert not CutDone(outcome="already", message="").is_recorded
