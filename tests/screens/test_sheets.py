"""The sheets of a job at the kiosk: the search, the choice, the cuts, and what to buy."""

import threading
from dataclasses import replace

import pytest
from fake_shop import too_early
from paper import Ordering, Press

from kiosk.actions import Wanted
from kiosk.rules.cards import CARDS
from kiosk.rules.problems import Problem
from kiosk.rules.sheets.checks import codes_on
from kiosk.rules.sheets.views import CutDone
from kiosk.screens.breakscreen import BreakScreen
from kiosk.screens.flow import AskScreen
from kiosk.screens.sheetlist import SheetsScreen
from kiosk.screens.sheetsamples import sample_choices, sample_search, sample_view
from kiosk.screens.sheetscreen import SheetScreen
from kiosk.screens.tradescreen import TradeScreen
from kiosk.store import Job

CARD = {card.key: card.code for card in CARDS}
FIRST = "K-sample/S1"
SHEETS = sample_view().sheets
LINES, PARTS = len(SHEETS[0].lines), SHEETS[0].parts


@pytest.fixture
def press():
    return Press()


@pytest.fixture
def kiosk(drive, shop, press):
    """A kiosk at the saw with a printer, the sheets of the one open job on the screen."""
    shop.settings = replace(shop.settings, printer="Labels")
    shop.ordering = Ordering(shop)
    found = drive(shop, station="cut", gear=press.gear)
    found.desk.shopdesk.open()
    found.tap(found.button("Sheets"))
    return found


def fresh(drive, shop, **settings):
    """A kiosk at the saw whose job has no plan yet."""
    shop.has_plan = False
    found = drive(shop, station="cut", **settings)
    found.desk.shopdesk.open()
    found.tap(found.button("Sheets"))
    return found


def opened(kiosk, name="S1"):
    kiosk.tap(kiosk.desk.show.rows[name])
    assert isinstance(kiosk.desk.show, SheetScreen)
    return kiosk


def cut(kiosk):
    kiosk.tap(kiosk.desk.show.made)


# -- where sheets are reached ---------------------------------------------------------------------


def test_at_the_saw_sheets_come_first_in_shop_and_elsewhere_after_the_jobs(drive, shop):
    kiosk = drive(shop, station="cut")
    kiosk.desk.shopdesk.open()
    assert kiosk.desk.show.buttons[0].label.text == "Sheets"
    kiosk.desk.set_station("finish")
    kiosk.desk.shopdesk.open()
    assert kiosk.desk.show.buttons[2].label.text == "Sheets"


def test_sheets_are_reached_beside_the_list_of_what_is_cut_next(drive, shop):
    kiosk = drive(shop, station="cut")
    kiosk.desk.shopdesk.labels.open()
    kiosk.settle()
    kiosk.tap(kiosk.button("Sheets"))
    assert isinstance(kiosk.desk.show, SheetsScreen)
    kiosk.tap(kiosk.button("Back"))
    assert kiosk.button("Cut next")


def test_of_several_open_jobs_it_is_asked_which_and_back_leads_there(drive, shop, monkeypatch):
    jobs = {f"J{n}": Job(f"J{n}", f"Job {n}") for n in range(8)} | {"GLAZE": Job("GLAZE")}
    monkeypatch.setattr(shop, "jobs", lambda: jobs | {"OLD": Job("OLD", open=False)})
    kiosk = drive(shop, station="cut")
    kiosk.desk.shopdesk.open()
    kiosk.tap(kiosk.button("Sheets"))
    assert kiosk.shows("Sheets of which job?")
    assert kiosk.shows("J3  Job 3")
    assert not kiosk.shows("OLD")
    kiosk.tap(kiosk.button("Others"))
    assert kiosk.shows("J0  Job 0")
    kiosk.tap(kiosk.button("Others"))
    kiosk.tap(kiosk.button("GLAZE"))
    assert isinstance(kiosk.desk.show, SheetsScreen)
    kiosk.tap(kiosk.button("Back"))
    assert kiosk.shows("Sheets of which job?")


# -- breaking down --------------------------------------------------------------------------------


def test_a_job_without_a_plan_says_what_is_to_be_cut_from_what(drive, shop):
    kiosk = fresh(drive, shop)
    assert kiosk.shows("Break down GLAZE Glaze store?")
    assert kiosk.shows("2 parts from")
    assert shop.sheet_calls == []


def test_a_search_shows_how_far_it_is_and_goes_on_to_the_choice_by_itself(drive, shop):
    kiosk = fresh(drive, shop)
    kiosk.tap(kiosk.button("Break down"))
    screen = kiosk.desk.show
    assert isinstance(screen, BreakScreen)
    one = shop.search.materials[0]
    assert kiosk.shows(f"{one.sheets} sheets, at least {one.bound}")
    shop.search = replace(shop.search, share=0.8, seconds=9.0)
    kiosk.desk.shopdesk.sheets.breaking.refresh()
    kiosk.settle()
    assert kiosk.desk.show is screen, "a new screen would swallow a tap on Stop"
    assert (screen.bar.share, screen.told.text[:24]) == (0.8, "80 % done, for 9 seconds")
    shop.search = replace(shop.search, is_running=False)
    shop.heard_sheets()
    kiosk.step(2)
    kiosk.settle()
    assert isinstance(kiosk.desk.show, TradeScreen)


def test_news_of_a_search_is_heard_from_its_own_thread(drive, shop):
    kiosk = fresh(drive, shop)
    kiosk.tap(kiosk.button("Break down"))
    shop.search = replace(shop.search, seconds=11.0)
    told = threading.Thread(target=shop.heard_sheets)
    told.start()
    told.join()
    kiosk.step(2)
    kiosk.settle()
    assert kiosk.shows("for 11 seconds")


def test_stop_takes_the_best_so_far_and_cancel_keeps_nothing(drive, shop):
    kiosk = fresh(drive, shop)
    kiosk.tap(kiosk.button("Break down"))
    kiosk.tap(kiosk.button("Stop, take this"))
    assert isinstance(kiosk.desk.show, TradeScreen)
    assert shop.sheet_calls == [("begin", "GLAZE"), ("end",)]
    kiosk.tap(kiosk.button("Back"))
    kiosk.tap(kiosk.button("Break down"))
    kiosk.tap(kiosk.button("Cancel"))
    assert kiosk.shows("Break down GLAZE Glaze store?")
    assert shop.sheet_calls[-1] == ("end",)
    assert not any(call[0] == "keep" for call in shop.sheet_calls)


def test_a_search_that_was_left_is_found_again(drive, shop):
    kiosk = fresh(drive, shop)
    kiosk.tap(kiosk.button("Break down"))
    kiosk.desk.open_bench()
    kiosk.desk.shopdesk.sheets.open_job("GLAZE", kiosk.desk.open_bench)
    kiosk.settle()
    assert isinstance(kiosk.desk.show, BreakScreen)
    assert shop.sheet_calls == [("begin", "GLAZE")]


def test_what_was_found_while_a_scan_was_looked_at_is_still_to_be_chosen(drive, shop):
    kiosk = fresh(drive, shop)
    kiosk.tap(kiosk.button("Break down"))
    for _once in range(2):  # left while it goes on, then left at the choice
        kiosk.desk.open_bench()
        shop.search = replace(shop.search, is_running=False)
        kiosk.desk.shopdesk.sheets.open_job("GLAZE", kiosk.desk.open_bench)
        kiosk.settle()
        assert isinstance(kiosk.desk.show, TradeScreen)
    kiosk.tap(kiosk.button("Back"))
    assert kiosk.shows("Break down GLAZE Glaze store?")
    assert shop.sheet_calls == [("begin", "GLAZE")]


def test_the_search_of_another_job_is_not_taken_for_this_one(drive, shop):
    shop.search = replace(sample_search(), job="KILN")
    shop.begin_problems = (Problem("GLAZE has nothing that is still to be cut.", ""),)
    kiosk = fresh(drive, shop)
    kiosk.tap(kiosk.button("Break down"))
    assert kiosk.shows("No layout for GLAZE")


def test_a_search_left_alone_asks_nothing_any_more(drive, shop):
    kiosk = fresh(drive, shop)
    kiosk.tap(kiosk.button("Break down"))
    kiosk.desk.open_bench()
    shop.search = replace(shop.search, is_running=False)
    kiosk.desk.shopdesk.sheets.breaking.refresh()
    kiosk.settle()
    assert kiosk.desk.show is kiosk.desk.bench


def test_what_keeps_a_job_from_being_broken_down_is_said(drive, shop):
    shop.begin_problems = (Problem("There is no sheet of it left.", "Count the sheets anew."),)
    kiosk = fresh(drive, shop)
    kiosk.tap(kiosk.button("Break down"))
    assert kiosk.shows("No layout for GLAZE")
    assert kiosk.shows("There is no sheet of it left. Count the sheets anew.")


def test_the_chosen_way_is_marked_by_a_tick_and_a_word_and_kept(drive, shop):
    kiosk = fresh(drive, shop)
    kiosk.tap(kiosk.button("Break down"))
    kiosk.tap(kiosk.button("Stop, take this"))
    first, second, *_others = shop.ways
    assert first.material == second.material
    assert kiosk.shows(f"{first.sheets} sheets, {first.settings} settings")
    kiosk.tap(kiosk.desk.show.cards[1])
    words = {number: texts_in(card) for number, card in kiosk.desk.show.cards.items()}
    assert "tap to choose" in words[0]
    assert "chosen" in words[1]
    kiosk.tap(kiosk.button("Keep this"))
    ply, other = dict.fromkeys(one.material for one in shop.ways)
    assert shop.sheet_calls[-1] == ("keep", "GLAZE", {ply: 1, other: 0}, "Mara")
    assert isinstance(kiosk.desk.show, SheetsScreen)
    assert kiosk.shows(
        f"Kept: birch ply, 18 mm: {second.sheets} sheets, {second.settings} settings"
    )


def texts_in(widget):
    return [one.text for one in widget.walk() if getattr(one, "text", "")]


def test_without_a_trade_nothing_is_asked(drive, shop):
    shop.ways = tuple(one for one in sample_choices() if one.number == 0)
    kiosk = fresh(drive, shop)
    kiosk.tap(kiosk.button("Break down"))
    kiosk.tap(kiosk.button("Stop, take this"))
    assert isinstance(kiosk.desk.show, SheetsScreen)
    assert shop.sheet_calls[-1][0] == "keep"


def test_a_stop_before_anything_was_found_says_so(drive, shop):
    kiosk = fresh(drive, shop)
    kiosk.tap(kiosk.button("Break down"))
    shop.search = replace(sample_search(), job="GLAZE", has_choices=False)
    kiosk.tap(kiosk.button("Stop, take this"))
    assert kiosk.shows("Nothing was found yet")


# -- the list -------------------------------------------------------------------------------------


def test_the_list_says_how_far_each_sheet_is(kiosk, shop):
    shop.steps = 9
    kiosk.desk.shopdesk.sheets.again("GLAZE")
    kiosk.settle()
    assert kiosk.shows("GLAZE: 3 sheets, 0 cut up")
    cut = sum(len(line.frees) for line in SHEETS[0].lines[:9])
    assert kiosk.shows(f"begun: 9 of {LINES} cuts, {cut} of {PARTS} parts")
    other = SHEETS[1]
    assert kiosk.shows(f"not begun: 0 of {len(other.lines)} cuts, 0 of {other.parts} parts")


def test_parts_without_a_place_are_said_loudly_and_named(kiosk, shop):
    shop.unplanned = tuple(sample_view().names)[:2]
    kiosk.desk.shopdesk.sheets.again("GLAZE")
    kiosk.settle()
    assert kiosk.shows("2 parts without a place")
    kiosk.tap(kiosk.button("See them"))
    assert kiosk.shows("G01  Side")
    kiosk.tap(kiosk.button("Back"))
    assert isinstance(kiosk.desk.show, SheetsScreen)


def test_breaking_down_anew_is_asked_first(kiosk, shop):
    kiosk.tap(kiosk.button("Break down anew"))
    assert isinstance(kiosk.desk.show, AskScreen)
    assert kiosk.shows("Sheets that are begun stay as they are")
    kiosk.tap(kiosk.button("Back"))
    assert isinstance(kiosk.desk.show, SheetsScreen)
    assert shop.sheet_calls == []


# -- one sheet ------------------------------------------------------------------------------------


def test_the_next_cut_stands_in_large_words(kiosk, shop):
    shop.steps = 4
    opened(kiosk)
    line = SHEETS[0].lines[4]
    assert kiosk.shows(f"Cut 5 of {LINES}")
    assert kiosk.shows("Crosscut" if line.direction == "crosscut" else "Rip")
    large = max(kiosk.stage_widgets(), key=lambda one: getattr(one, "font_size", 0))
    assert large.text.replace("\u00a0", " ") == f"{line.measure / 1600:g} mm"
    assert kiosk.shows(line.piece_in)
    assert kiosk.shows(line.piece_out)


def test_cuts_made_follow_each_other_and_labels_come_out_with_the_parts(kiosk, shop, press):
    shop.steps = 5
    opened(kiosk)
    lines = SHEETS[0].lines[5:14]
    due = []
    for line in lines:
        cut(kiosk)
        due += line.frees
    press.step(kiosk)
    calls = [(kind, key, number) for kind, key, number, _who in shop.sheet_calls]
    assert calls == [("cut", FIRST, line.number) for line in lines]
    assert due
    assert [key[:7] for key in press.paper.jobs] == due
    assert all(wanted.only == [wanted.only[0]] for wanted in shop.ordering.asked)
    assert kiosk.shows(f"Cut 15 of {LINES}")


def test_a_second_tap_while_a_cut_is_recorded_makes_no_second_cut(kiosk, shop):
    opened(kiosk)
    one = kiosk.desk.shopdesk.sheets.one
    one.cut()
    one.cut()
    kiosk.settle()
    assert len(shop.sheet_calls) == 1


def test_the_answer_card_and_the_key_of_its_number_make_the_cut(kiosk, shop):
    opened(kiosk)
    kiosk.scan(CARD["yes"])
    kiosk.scan("1")
    assert [call[2] for call in shop.sheet_calls] == [1, 2]


def test_a_code_that_cannot_be_read_makes_no_cut(kiosk, shop):
    opened(kiosk)
    kiosk.scan("rubbish")
    assert shop.sheet_calls == []


def test_a_refused_cut_is_said_and_the_same_cut_stays(kiosk, shop):
    opened(kiosk)
    shop.cut_refused = "G02 is on hold"
    cut(kiosk)
    assert kiosk.desk.show.said.text == "G02 is on hold"
    assert kiosk.shows(f"Cut 1 of {LINES}")


def test_a_cut_of_a_sheet_that_is_gone_is_said_on_the_list(kiosk, shop, monkeypatch):
    opened(kiosk)
    gone = CutDone(outcome="unknown", message="This plan has no such sheet.")
    monkeypatch.setattr(shop, "make_cut", lambda *_args, **_rest: gone)
    monkeypatch.setattr(shop, "sheets", lambda _job: replace(sample_view(), sheets=SHEETS[1:]))
    cut(kiosk)
    assert isinstance(kiosk.desk.show, SheetsScreen)
    assert kiosk.shows("This plan has no such sheet.")


def test_a_cut_that_broke_is_said_and_can_be_made_after_all(kiosk, shop, monkeypatch):
    opened(kiosk)
    whole = shop.make_cut
    monkeypatch.setattr(shop, "make_cut", lambda *_args, **_rest: 1 / 0)
    cut(kiosk)
    assert kiosk.shows("Cut 1 was not recorded. Tap it again.")
    monkeypatch.setattr(shop, "make_cut", whole)
    kiosk.desk.shopdesk.sheets.one.again()
    kiosk.settle()
    cut(kiosk)
    assert [call[2] for call in shop.sheet_calls] == [1]


def test_a_scan_of_a_part_stays_on_the_sheet_and_moves_it_on(kiosk, shop):
    shop.steps = 6
    opened(kiosk)
    shop.steps = 7  # what the scan below comes to
    kiosk.scan("K7F3Q97")
    assert isinstance(kiosk.desk.show, SheetScreen)
    assert kiosk.shows(f"Cut 8 of {LINES}")
    assert kiosk.desk.show.said.text.startswith("Coat 2 on: G05 Tile panel Panel face")


def test_a_scan_that_is_refused_is_told_at_length_on_the_bench(kiosk, shop):
    opened(kiosk)
    shop.plan["K7F3Q97"] = too_early("K7F3Q97")
    kiosk.scan("K7F3Q97")
    assert kiosk.desk.show is kiosk.desk.bench


def test_what_is_struck_is_said_on_the_sheet(kiosk, shop):
    shop.steps = 3
    opened(kiosk)
    shop.steps = 2
    kiosk.tap(kiosk.button("Strike last"))
    assert kiosk.shows(f"Cut 3 of {LINES}")
    assert kiosk.desk.show.said.text.startswith("Struck")


def test_the_sheet_stays_as_long_as_a_cut_takes(kiosk):
    from kiosk.screens.kiosk_app import HOME_S  # the window is booted by now

    opened(kiosk)
    show = kiosk.desk.show
    kiosk.tick(HOME_S["bench"] * 20)
    assert kiosk.desk.show is show


def test_a_cut_made_at_another_kiosk_is_taken_in_with_the_news(kiosk, shop):
    opened(kiosk)
    shop.steps = 2
    kiosk.desk.shopdesk.refresh()
    kiosk.settle()
    assert kiosk.shows(f"Cut 3 of {LINES}")


def test_news_that_change_nothing_leave_the_screen_alone(kiosk):
    opened(kiosk)
    show = kiosk.desk.show
    kiosk.desk.shopdesk.refresh()
    kiosk.settle()
    assert kiosk.desk.show is show


def test_a_sheet_that_is_cut_up_says_so_and_leads_to_the_next(kiosk, shop):
    shop.steps = LINES - 1
    opened(kiosk)
    cut(kiosk)
    assert kiosk.shows("All of this sheet is cut")
    kiosk.tap(kiosk.button("Next sheet"))
    assert kiosk.shows("S2: birch ply")
    kiosk.tap(kiosk.button("Sheet before"))
    assert kiosk.shows("S1: birch ply")


def test_a_bevel_says_the_tilt_and_the_caution(kiosk, shop):
    bevel = next(line for line in SHEETS[2].lines if line.tilt)
    shop.steps = sum(len(one.lines) for one in SHEETS[:2]) + bevel.number - 1
    kiosk.desk.shopdesk.sheets.again("GLAZE")
    kiosk.settle()
    opened(kiosk, "S3")
    assert kiosk.shows("Bevel, blade at 45°")
    assert kiosk.shows("75 mm")
    assert kiosk.shows("short face, at a fence. With a saw on a rail: 90 mm, the long face")
    assert kiosk.shows("Blades: guards on")
    assert kiosk.shows("same setting, 2 more")
    assert kiosk.shows("G01 Cleat; G01 Cleat")


# -- parts ----------------------------------------------------------------------------------------


def touch_part(kiosk, code):
    """Touch the middle of a part in the picture."""
    from kivy.uix.widget import Widget

    one = kiosk.desk.shopdesk.sheets.one
    box = one._seen.drawn.picture.box_of(code)
    figure, shown = one._seen.drawn.picture.figure, kiosk.desk.show.picture._box
    scale = shown.size[0] / figure.width
    x = shown.pos[0] + (box.left + box.right) / 2 * scale
    y = shown.pos[1] + shown.size[1] - (box.top + box.bottom) / 2 * scale
    spot = Widget(pos=(x - 1, y - 1), size=(2, 2))
    kiosk.tap(spot)


def test_a_tap_on_a_part_in_the_picture_shows_that_part(kiosk, shop, monkeypatch):
    opened(kiosk)
    asked = []
    found = shop.find_unit("GLAZE/G05")
    part = replace(found, piece=found.state.pieces[0], code="K7F3Q97")
    monkeypatch.setattr(shop, "find_unit", lambda text: asked.append(text) or part)
    codes = codes_on(SHEETS[0].planned)
    for code in codes:
        touch_part(kiosk, code)
        assert kiosk.shows("Side of G05 Tile panel")
        kiosk.tap(kiosk.button("Back"))
        assert isinstance(kiosk.desk.show, SheetScreen)
    assert asked == list(codes)


def test_a_part_too_small_for_a_finger_is_reached_by_its_row(kiosk, shop, monkeypatch):
    opened(kiosk)
    found = shop.find_unit("GLAZE/G05")
    part = replace(found, piece=found.state.pieces[0], code="K7F3Q97")
    monkeypatch.setattr(shop, "find_unit", lambda _text: part)
    kiosk.tap(kiosk.button("Parts"))
    assert kiosk.shows(f"S1: {PARTS} parts")
    kiosk.tap(kiosk.desk.show.rows[0])
    kiosk.tap(kiosk.button("Its label"))
    kiosk.tap(kiosk.button("Print it"))
    assert shop.ordering.asked == [Wanted("GLAZE", only=["K7F3Q97"])]


def test_a_spoiled_part_is_asked_about_and_leads_back_to_the_sheet(kiosk, shop, monkeypatch):
    opened(kiosk)
    found = shop.find_unit("GLAZE/G05")
    part = replace(found, piece=found.state.pieces[0], code="K7F3Q97")
    monkeypatch.setattr(shop, "find_unit", lambda _text: part)
    kiosk.tap(kiosk.button("Parts"))
    kiosk.tap(kiosk.desk.show.rows[0])
    kiosk.tap(kiosk.button("Spoiled"))
    assert kiosk.shows("Part spoiled: ")
    kiosk.tap(kiosk.button("Record it"))
    assert ("problem", "K7F3Q97", "spoiled", "Mara") in shop.calls
    assert isinstance(kiosk.desk.show, SheetScreen)


def test_a_problem_that_was_not_told_from_a_sheet_ends_at_the_bench(kiosk, shop):
    opened(kiosk)
    kiosk.desk.open_bench()
    kiosk.desk.ask_spoiled("K7F3Q97")
    kiosk.settle()
    kiosk.tap(kiosk.button("Record it"))
    assert kiosk.desk.show is kiosk.desk.bench


# -- what to buy ----------------------------------------------------------------------------------


def test_what_is_to_be_bought_is_listed_and_printed(kiosk, shop):
    kiosk.tap(kiosk.button("What to buy"))
    assert shop.sheet_calls == [("buying", ("GLAZE",))]
    assert kiosk.shows("What to buy for GLAZE")
    assert kiosk.shows("2 sheets")
    assert kiosk.shows("0.4 l")
    kiosk.tap(kiosk.button("To know: 3"))
    assert kiosk.shows("Oily rags can catch fire by themselves")
    kiosk.tap(kiosk.button("Back"))
    kiosk.tap(kiosk.button("Print"))
    assert shop.sheet_calls[-1] == ("print", ("GLAZE",))
    assert kiosk.shows("Written as PDF")
    kiosk.tap(kiosk.button("Back"))
    kiosk.tap(kiosk.button("Back"))
    assert isinstance(kiosk.desk.show, SheetsScreen)


def test_a_plan_that_fits_no_more_is_looked_for_again(drive, shop, monkeypatch):
    def keep(*_args, **_rest):
        raise LookupError("Parts were cut since: look for layouts again.")

    shop.ways = tuple(one for one in sample_choices() if one.number == 0)
    kiosk = fresh(drive, shop)
    monkeypatch.setattr(shop, "keep_sheets", keep)
    kiosk.tap(kiosk.button("Break down"))
    kiosk.tap(kiosk.button("Stop, take this"))
    assert kiosk.shows("Parts were cut since: look for layouts again.")
    kiosk.tap(kiosk.button("Try again"))
    assert isinstance(kiosk.desk.show, BreakScreen)


def test_maps_are_printed_as_the_day_is(kiosk, shop):
    kiosk.tap(kiosk.button("Print maps"))
    assert shop.sheet_calls == [("maps", "GLAZE", "GLAZE-sheets.pdf")]
    assert kiosk.shows("Written as PDF")
    kiosk.tap(kiosk.button("Back"))
    assert isinstance(kiosk.desk.show, SheetsScreen)
