"""Prints in trouble at the bench: said, kept, retried, cancelled; and the printing at once."""

from dataclasses import replace

import pytest
from fake_shop import recorded
from paper import EMPTY, OUT, WRONG_SIZE, Press

from kiosk.actions import Order
from kiosk.actions.printing import Chosen
from labels import LabelError
from labels.artwork import PlaceText
from labels.printing import PDF, Sheet

SHEET = Sheet(b"%PDF", PDF, 50, 25, 203, "label")


def order_of(*codes):
    rows = tuple(Chosen(PlaceText(code, ""), "GLAZE", "G05") for code in codes)
    return Order(f"{codes[0]}-0", SHEET, rows, "50x25")


@pytest.fixture
def press():
    return Press()


@pytest.fixture
def bench(drive, shop, press):
    """A kiosk whose shop has a printer and prints at once."""
    shop.settings = replace(shop.settings, printer="Labels", print_at_once=True)
    shop.order_at_once = lambda answer, *, recut=False, stock="": (order_of(answer.code), ())
    return drive(shop, gear=press.gear)


def test_a_recorded_scan_prints_its_label_and_logs_it_when_it_is_out(bench, shop, press):
    bench.scan("K7F3Q97")
    press.step(bench)
    assert press.paper.jobs == ["K7F3Q97-0"]
    assert shop.came == []
    press.paper.now = OUT
    press.step(bench)
    assert [order.key for order in shop.came] == ["K7F3Q97-0"]
    assert bench.shows("Coat 2 on")


def test_without_a_printer_nothing_is_asked_for_after_a_scan(drive, shop):
    asked = []
    shop.order_at_once = lambda answer, *, recut, stock: asked.append(answer)
    kiosk = drive(shop)
    kiosk.scan("K7F3Q97")
    assert asked == []
    assert not kiosk.app.gear.prints.is_on


def test_a_stopped_printer_is_said_on_the_bench_with_what_to_do(bench, press):
    press.paper.now = EMPTY
    bench.scan("K7F3Q97")
    press.step(bench)
    assert bench.shows("Label K7F-3Q97 not printed: The roll is empty. Put a new one in")
    press.paper.now = OUT
    press.step(bench)
    assert not bench.shows("not printed")


def test_the_code_stands_in_large_letters_to_be_written_by_hand(bench, press):
    press.paper.now = EMPTY
    bench.scan("K7F3Q97")
    press.step(bench)
    bench.tap(bench.desk.bench.prints.button)
    sizes = {one.text: one.font_size for one in bench.stage_widgets() if hasattr(one, "font_size")}
    assert sizes["K7F-3Q97"] == max(sizes.values())
    assert sizes["K7F-3Q97"] > bench.desk.trim.sizes.answer


def test_a_failed_print_stays_until_it_is_retried(bench, shop, press):
    press.paper.refusing = WRONG_SIZE
    bench.scan("K7F3Q97")
    press.step(bench)
    press.step(bench)
    assert bench.shows("Label K7F-3Q97 not printed: The printer has no labels.")
    assert press.paper.jobs == []
    press.paper.refusing, press.paper.now = None, OUT
    bench.tap(bench.desk.bench.prints.button)
    bench.tap(bench.button("Retry"))
    press.step(bench)
    assert press.paper.jobs == ["K7F3Q97-0"]
    assert [order.key for order in shop.came] == ["K7F3Q97-0"]
    assert bench.desk.show is bench.desk.bench
    assert not bench.shows("not printed")


def test_a_failed_print_stays_until_it_is_cancelled_and_is_not_logged(bench, shop, press):
    press.paper.refusing = WRONG_SIZE
    bench.scan("K7F3Q97")
    press.step(bench)
    bench.tap(bench.desk.bench.prints.button)
    bench.tap(bench.button("Cancel"))
    press.step(bench)
    assert press.paper.jobs == []
    assert shop.came == []
    assert bench.desk.show is bench.desk.bench
    assert not bench.shows("not printed")


def test_what_the_printer_still_has_offers_no_retry(bench, press):
    press.paper.now = EMPTY
    bench.scan("K7F3Q97")
    press.step(bench)
    bench.tap(bench.desk.bench.prints.button)
    assert bench.desk.show.retry is None


def test_several_troubles_are_led_through_one_after_the_other(bench, press):
    press.paper.refusing = WRONG_SIZE
    for code in ("K7F3Q97", "G22AB4C"):
        bench.scan(code)
        press.step(bench)
    assert bench.shows("And 1 more.")
    bench.tap(bench.desk.bench.prints.button)
    bench.tap(bench.button("Next of 2"))
    assert bench.shows("Label G22-AB4C not printed")
    bench.tap(bench.button("Cancel"))
    press.step(bench)
    assert bench.shows("Label K7F-3Q97 not printed")


def test_scans_go_on_while_a_print_is_in_trouble(bench, shop, press):
    press.paper.now = EMPTY
    bench.scan("K7F3Q97")
    press.step(bench)
    bench.tap(bench.desk.bench.prints.button)
    bench.scan("G22AB4C")
    assert shop.scans == ["K7F3Q97", "G22AB4C"]
    assert bench.shows("Coat 2 on")


def test_a_label_that_cannot_be_drawn_leaves_the_scan_recorded_and_is_said(bench, shop, press):
    def refuse(_answer, *, recut, stock):
        raise LabelError("The font is missing.")

    draw, shop.order_at_once = shop.order_at_once, refuse
    bench.scan("K7F3Q97")
    assert bench.shows("Recorded")
    assert bench.shows("Label K7F-3Q97 not printed: The font is missing.")
    shop.order_at_once = draw
    bench.tap(bench.desk.bench.prints.button)
    bench.tap(bench.button("Retry"))
    press.step(bench)
    assert press.paper.jobs == ["K7F3Q97-0"]
    assert not bench.shows("not printed")


def test_what_came_out_and_could_not_be_logged_is_logged_later(bench, shop, press):
    tries = []

    def fail_once(order, *, person=""):
        tries.append(person)
        if len(tries) == 1:
            raise OSError("The disk is full.")

    later = []
    shop.came_out, press.paper.now = fail_once, OUT
    bench.app.gear.prints._later = lambda call, after: later.append((after, call))
    bench.scan("K7F3Q97")
    press.step(bench)
    [again] = [call for after, call in later if after > 0]
    again(0)
    bench.settle()
    assert tries == ["Mara", "Mara"]


def test_a_struck_entry_prints_no_label(bench, press):
    bench.tap(bench.desk.bench.strike)
    press.step(bench)
    assert press.paper.jobs == []


def test_the_printer_is_let_go_when_the_kiosk_stops(bench, press):
    assert press.desks[-1].is_started
    bench.app.gear.stop()
    assert not press.desks[-1].is_started
    bench.scan("K7F3Q97")
    assert bench.shows(recorded("K7F3Q97").message)
