"""Labels at the kiosk: new ones, lost ones, the next cut; each printed once, or kept as PDF."""

import shutil
from dataclasses import replace
from datetime import UTC, datetime
from math import ceil
from pathlib import Path

import pytest
from fake_shop import NOW, recorded
from paper import EMPTY, OUT, Press

from kiosk.actions import Shop
from kiosk.app import late_shop
from kiosk.clock import FixedClock
from kiosk.rules.entries import Kind
from kiosk.screens.partview import see_uncut
from kiosk.settingstext import load
from kiosk.store import Job, Store
from labels import LabelError
from labels.codes import shown

SETTINGS, _ = load('kiosk_letter = "K"\nzone = "UTC"\n')
PRINTER = replace(SETTINGS, printer="Labels")
LIST = Path(__file__).parents[2] / "kiosk" / "data" / "glaze-store.csv"
AT = datetime(2026, 3, 11, 15, 40, tzinfo=UTC)


@pytest.fixture(scope="module")
def taken(tmp_path_factory):
    """A shop file with a job in it, made once."""
    path = tmp_path_factory.mktemp("shop") / "shop.db"
    store = Store.open(path, "K")
    run = Shop(store, SETTINGS, FixedClock(AT)).take_in(LIST, Job("GLAZE", "Glaze store"))
    store.close()
    assert run.taken
    return path


@pytest.fixture
def file(taken, tmp_path):
    return Path(shutil.copy(taken, tmp_path / "shop.db"))


@pytest.fixture
def press():
    return Press()


@pytest.fixture
def at_cut(file, drive, press):
    """A kiosk at the cut station with a printer, its labels on the screen."""
    kiosk = drive(late_shop(file, PRINTER, FixedClock(AT)), station="cut", gear=press.gear)
    open_labels(kiosk)
    return kiosk


def open_labels(kiosk):
    kiosk.tap(kiosk.desk.bench.shop)
    kiosk.tap(kiosk.button("Labels"))


def codes_of(press):
    """The codes of all labels that were handed to the printer."""
    desk = press.desks[-1]
    return sorted(code for key in press.paper.jobs for code in desk.order(key).codes)


def reopened(file):
    store = Store.open(file, "M")
    return store, Shop(store, SETTINGS, FixedClock(AT))


def printed(file):
    store, shop = reopened(file)
    found = {}
    for state in shop.store.states().values():
        found.update(state.printed)
    store.close()
    return found


def first_uncut(file):
    store, shop = reopened(file)
    line = see_uncut(shop, "GLAZE").lines[0]
    store.close()
    return line


def bodies(file, code):
    """The log's words on every print of a code."""
    store, shop = reopened(file)
    key = shop.store.find_piece(code)
    entries = store.history(*key)
    store.close()
    return [one.body for one in entries if one.kind == Kind.LABELS_PRINTED]


def test_all_new_goes_to_the_printer_and_counts_once_it_is_out(at_cut, file, press):
    at_cut.tap(at_cut.button("All new"))
    assert at_cut.shows("gone to the printer")
    press.step(at_cut)
    assert printed(file) == {}
    press.paper.now = OUT
    press.step(at_cut)
    many = len(printed(file))
    assert many > 40
    assert len(press.paper.jobs) == ceil(many / 20)
    assert set(printed(file).values()) == {1}


def test_what_is_out_of_many_labels_counts_though_the_rest_is_not(at_cut, file, press):
    at_cut.tap(at_cut.button("All new"))
    press.step(at_cut)
    first, *rest = press.paper.jobs
    press.paper.states[first] = OUT
    press.paper.now = EMPTY
    press.step(at_cut)
    order = press.desks[-1].order(first)
    assert printed(file) == dict.fromkeys(order.codes, 1)
    assert len(order.codes) == 20
    assert len(press.desks[-1].lines()) == len(rest)


def test_a_second_tap_prints_once_and_says_that_it_is_printing_already(at_cut, press):
    for _ in range(2):
        at_cut.tap(at_cut.button("All new"))
        press.step(at_cut)
        last = at_cut.texts()
        at_cut.tap(at_cut.button("More labels"))
    assert codes_of(press) == sorted(set(codes_of(press)))
    assert any("printing already" in text for text in last)


def test_two_taps_before_the_first_is_made_print_once(at_cut, press):
    button = at_cut.button("All new")
    button.dispatch("on_release")
    button.dispatch("on_release")
    at_cut.settle()
    press.step(at_cut)
    assert codes_of(press) == sorted(set(codes_of(press)))
    assert at_cut.shows("gone to the printer")


def test_what_waits_at_the_printer_is_left_out_of_all_new(at_cut, file, press):
    line = first_uncut(file)
    at_cut.tap(at_cut.button("Cut next"))
    at_cut.tap(at_cut.desk.show.rows[line.code])
    press.step(at_cut)
    at_cut.tap(at_cut.button("Back"))
    at_cut.tap(at_cut.button("All new"))
    press.step(at_cut)
    desk = press.desks[-1]
    assert desk.order(press.paper.jobs[0]).codes == (line.code,)
    assert len(press.paper.jobs) > 1
    assert codes_of(press).count(line.code) == 1


def test_a_cancelled_print_is_printed_when_it_is_asked_for_again(at_cut, press):
    at_cut.tap(at_cut.button("Places"))
    key = at_cut.app.gear.prints._desk.lines()[0].key
    at_cut.app.gear.prints.cancel(key)
    press.step(at_cut)
    assert press.paper.jobs == []
    at_cut.tap(at_cut.button("More labels"))
    at_cut.tap(at_cut.button("Places"))
    press.step(at_cut)
    assert press.paper.jobs == [f"{key}-2"]


def test_without_a_printer_the_path_of_the_pdf_is_said(file, drive):
    kiosk = drive(late_shop(file, SETTINGS, FixedClock(AT)))
    open_labels(kiosk)
    assert kiosk.shows(f"No printer is set; they are written as PDF into {file.parent}/labels")
    kiosk.tap(kiosk.button("All new"))
    made = file.parent / "labels" / "GLAZE-parts-2026-03-11-1540.pdf"
    assert kiosk.shows(str(made))
    assert made.read_bytes().startswith(b"%PDF")
    assert set(printed(file).values()) == {1}


def test_all_new_says_when_all_were_printed_before(file, drive):
    kiosk = drive(late_shop(file, SETTINGS, FixedClock(AT)))
    open_labels(kiosk)
    kiosk.tap(kiosk.button("All new"))
    kiosk.tap(kiosk.button("More labels"))
    kiosk.tap(kiosk.button("All new"))
    assert kiosk.shows("There is no label to print. All were printed before.")


def test_a_pdf_not_printed_yet_is_never_overwritten(file, drive):
    kiosk = drive(late_shop(file, SETTINGS, FixedClock(AT)))
    open_labels(kiosk)
    for _ in range(2):
        kiosk.tap(kiosk.button("Places"))
        kiosk.tap(kiosk.button("More labels"))
    names = sorted(path.name for path in (file.parent / "labels").iterdir())
    assert names == ["places-2026-03-11-1540-2.pdf", "places-2026-03-11-1540.pdf"]


@pytest.mark.parametrize("what", ["Unit labels", "Places"])
def test_units_and_places_go_to_the_printer_too(at_cut, press, what):
    at_cut.tap(at_cut.button(what))
    press.step(at_cut)
    press.paper.now = OUT
    press.step(at_cut)
    assert press.paper.jobs
    assert press.desks[-1].lines() == ()


def find(kiosk, words):
    kiosk.tap(kiosk.button("Find a part"))
    for letter in words:
        kiosk.tap(kiosk.desk.show.keys["Space" if letter == " " else letter])
    kiosk.tap(kiosk.desk.show.find)


def test_a_part_is_found_by_its_size(at_cut, file):
    store, shop = reopened(file)
    wanted = {
        piece.piece.code
        for state in shop.store.states().values()
        for piece in state.pieces
        if "600" in shop.size_text("GLAZE", piece.piece)
    }
    store.close()
    find(at_cut, "600")
    assert wanted
    assert set(at_cut.desk.show.rows) <= wanted
    assert at_cut.shows(f"{len(wanted)} parts fit 600")


def test_several_words_narrow_what_is_found(at_cut, file):
    line = first_uncut(file)
    find(at_cut, f"{line.unit} {line.code[:3]} {line.code[3:]}")
    assert list(at_cut.desk.show.rows) == [line.code]
    assert at_cut.shows(f"1 part fits {line.unit}")


def test_what_is_not_found_is_said_and_stays_typed(at_cut):
    find(at_cut, "ZZZ9")
    assert at_cut.shows("No part of GLAZE fits. Try fewer words.")
    assert at_cut.desk.show.typed == "ZZZ9"
    at_cut.tap(at_cut.desk.show.keys["Delete"])
    assert at_cut.desk.show.typed == "ZZZ"


def test_a_label_printed_again_is_logged_with_its_reason(at_cut, file, press):
    line = first_uncut(file)
    press.paper.now = OUT
    find(at_cut, line.code)
    at_cut.tap(at_cut.desk.show.rows[line.code])
    at_cut.tap(at_cut.button("Print it"))
    press.step(at_cut)
    at_cut.tap(at_cut.button("More labels"))
    find(at_cut, line.code)
    assert at_cut.shows("printed once")
    at_cut.tap(at_cut.desk.show.rows[line.code])
    at_cut.tap(at_cut.button("Print again: wrong label"))
    press.step(at_cut)
    assert [body.get("reason", "") for body in bodies(file, line.code)] == ["", "wrong label"]
    assert len(press.paper.jobs) == 2


def test_the_label_of_a_parts_unit_can_be_printed_alone(at_cut, file, press):
    line = first_uncut(file)
    find(at_cut, line.code)
    at_cut.tap(at_cut.desk.show.rows[line.code])
    at_cut.tap(at_cut.button(f"Label of unit {line.unit}"))
    press.step(at_cut)
    (key,) = press.paper.jobs
    (row,) = press.desks[-1].order(key).rows
    assert row.unit == line.unit
    assert row.label.code != line.code


def test_a_tapped_cut_is_recorded_and_its_label_printed(at_cut, file, press):
    line = first_uncut(file)
    at_cut.tap(at_cut.button("Cut next"))
    at_cut.tap(at_cut.desk.show.rows[line.code])
    press.step(at_cut)
    assert at_cut.shows(f"{shown(line.code)}: gone to the printer")
    assert [job.rpartition("-")[0] for job in press.paper.jobs] == [f"{line.code}-0"]
    assert first_uncut(file).code != line.code


def test_a_second_tap_at_the_same_row_cuts_no_other_part(at_cut, file, press):
    line = first_uncut(file)
    at_cut.tap(at_cut.button("Cut next"))
    spot = list(at_cut.desk.show.rows).index(line.code)
    for _ in range(2):
        at_cut.tap(list(at_cut.desk.show.rows.values())[spot])
    press.step(at_cut)
    store, shop = reopened(file)
    states = shop.store.states().values()
    cut = [one.piece.code for state in states for one in state.pieces if "cut" in one.done]
    store.close()
    assert cut == [line.code]
    assert len(press.paper.jobs) == 1


def test_cut_next_stands_at_the_cut_station_only(file, drive):
    kiosk = drive(late_shop(file, SETTINGS, FixedClock(AT)), station="finish")
    open_labels(kiosk)
    assert not kiosk.shows("Cut next")


def test_a_label_that_cannot_be_drawn_is_said_in_words(drive, shop):
    def refuse(*_given, **_named):
        raise LabelError("The font is missing. Install it.")

    shop.labels = refuse
    shop.store.folder = Path(str(NOW.year) + "-nowhere")
    kiosk = drive(shop)
    open_labels(kiosk)
    kiosk.tap(kiosk.button("All new"))
    assert kiosk.shows("No label was printed")
    assert not kiosk.shows("Something went wrong")


def test_with_two_jobs_open_one_is_chosen_first(drive, shop):
    shop.jobs = lambda: {"GLAZE": Job("GLAZE", "Glaze store"), "KILN": Job("KILN", "Kiln room")}
    kiosk = drive(shop)
    open_labels(kiosk)
    assert kiosk.shows("Labels of which job?")
    kiosk.tap(kiosk.button("KILN Kiln room"))
    assert kiosk.shows("Labels of KILN Kiln room")


def test_a_scan_counts_while_a_part_is_looked_for(drive, shop):
    kiosk = drive(shop)
    open_labels(kiosk)
    kiosk.tap(kiosk.button("Find a part"))
    kiosk.scan("K7F3Q97")
    assert shop.scans == ["K7F3Q97"]
    assert kiosk.shows(recorded("K7F3Q97").message)


def test_labels_go_to_the_stock_that_was_chosen(at_cut, press):
    at_cut.tap(at_cut.button("Stock: 50x25"))
    at_cut.tap(at_cut.button("Others"))
    at_cut.tap(at_cut.button("Single label 38 × 21 mm"))
    at_cut.tap(at_cut.button("All new"))
    press.step(at_cut)
    lines = at_cut.app.gear.prints._desk.lines()
    assert {(one.sheet.width_mm, one.sheet.height_mm) for one in lines} == {(38, 21)}


def test_a_recuts_label_goes_to_the_printer_and_into_no_file(at_cut, file, press):
    code = first_uncut(file).code
    desk = at_cut.desk
    desk.open_bench()
    desk.problems.take_code(code)
    at_cut.settle()
    desk.problems.ask_sure_of("spoiled")
    at_cut.tap(at_cut.button("Record it"))
    press.step(at_cut)
    recut = desk.answer.code
    assert recut != code
    assert [key.split("-")[0] for key in press.paper.jobs] == [recut]
    assert not (file.parent / "labels").exists()
    press.paper.now = OUT
    press.step(at_cut)
    assert printed(file)[recut] == 1


def test_why_a_label_due_at_once_was_not_drawn_is_said(file, drive, press):
    settings = replace(PRINTER, print_at_once=True, label_stock="gone")
    kiosk = drive(late_shop(file, settings, FixedClock(AT)), station="cut", gear=press.gear)
    code = first_uncut(file).code
    kiosk.scan(code)
    assert kiosk.shows("Recorded")
    assert kiosk.shows(f"Label {shown(code)} not printed: There is no label stock gone.")
    assert press.paper.jobs == []


def test_a_kiosk_started_again_finds_its_prints_and_logs_them_once(at_cut, file, press):
    at_cut.tap(at_cut.button("All new"))
    press.step(at_cut)
    jobs = list(press.paper.jobs)
    at_cut.app.gear.stop()
    press.paper.known, press.paper.now = set(jobs), OUT
    at_cut.app.gear.start()
    at_cut.settle()
    assert [line.key for line in press.desks[-1].lines()] == jobs
    press.step(at_cut)
    assert len(press.desks) == 2
    assert press.paper.jobs == jobs
    assert set(printed(file).values()) == {1}
    at_cut.app.gear.stop()
    at_cut.app.gear.start()
    at_cut.settle()
    assert press.desks[-1].lines() == ()
