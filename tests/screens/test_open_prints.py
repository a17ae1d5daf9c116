"""What waits at the printer: kept through a restart, said as it is, dropped, seen to be out."""

import threading
from dataclasses import replace

import pytest
from fake_shop import recorded
from paper import OUT, WRONG_SIZE, Ordering, Press, order_of

from kiosk.actions import Kept, Ordered, Unfinished, Wanted
from kiosk.clock import SystemClock
from kiosk.printdesk import PrintDesk
from kiosk.rules.scanning import Outcome
from kiosk.screens.airfeed import AirFeed
from labels import LabelError
from labels.printing import PrintState, Stage

GONE = PrintState(
    Stage.FAILED,
    "The printer no longer knows of the label.",
    "Look whether it came out; if not, retry.",
    "forgotten",
)
AWAY = PrintState(Stage.WAITING, "The printer does not answer.", "Switch it on.", "unreachable")
EMPTY = PrintState(Stage.STOPPED, "The roll is empty.", "Put a new one in.", "media-empty")


@pytest.fixture
def press():
    return Press()


@pytest.fixture
def ordering(shop):
    shop.settings = replace(shop.settings, printer="Labels", print_at_once=True)
    return Ordering(shop)


@pytest.fixture
def bench(drive, shop, press, ordering):
    return drive(shop, gear=press.gear)


def labels_of(bench):
    bench.desk.shopdesk.labels.open()
    bench.settle()
    return bench.desk.shopdesk.labels


def see(bench):
    bench.tap(bench.desk.bench.prints.button)


# -- through a restart -------------------------------------------------------------------------


def test_what_is_asked_for_is_kept_until_it_is_out(bench, shop, press):
    bench.scan("K7F3Q97")
    bench.scan("K7F4AC3")
    assert [kept.wanted.only for kept in shop.kept.values()] == [["K7F3Q97"], ["K7F4AC3"]]
    assert {kept.person for kept in shop.kept.values()} == {"Mara"}
    keys = list(shop.kept)
    bench.app.gear.prints.cancel(keys[0])
    press.step(bench)
    assert list(shop.kept) == keys[1:]


def test_what_the_printer_itself_dropped_is_forgotten(bench, shop, press):
    bench.scan("K7F3Q97")
    press.paper.now = PrintState(Stage.CANCELLED, "cancelled", "", "cancelled")
    press.step(bench)
    assert shop.kept == {}


def test_at_the_next_start_a_print_is_found_at_the_printer_and_logged(drive, shop, press, ordering):
    order = order_of("K7F3Q97")
    shop.kept[order.key] = Kept(order.key, order.wanted, "Ida", {"K7F3Q97": 0})
    shop.draw_kept = lambda kept: Unfinished(kept, (order,))
    press.paper.known, press.paper.now = {order.key}, OUT
    logged = []
    shop.came_out = lambda order, *, person: logged.append((order.key, person))
    bench = drive(shop, gear=press.gear)
    press.step(bench)
    assert press.paper.jobs == []
    assert logged == [(order.key, "Ida")]


def test_what_cannot_be_drawn_any_more_is_a_trouble_until_it_is_cancelled(
    drive, shop, press, ordering
):
    kept = Kept("K7F3Q97-0", Wanted("GLAZE", only=["K7F3Q97"]), "Ida", {"K7F3Q97": 0})
    shop.kept[kept.key] = kept
    bench = drive(shop, gear=press.gear)
    assert bench.shows("Label K7F-3Q97 not printed: There is no label to print.")
    order = order_of("K7F3Q97")
    see(bench)
    bench.tap(bench.button("Retry"))
    assert bench.shows("There is no label to print.")
    shop.draw_kept = lambda kept: Unfinished(kept, (replace(order, key=kept.key),))
    bench.tap(bench.button("Retry"))
    press.step(bench)
    assert press.paper.jobs == [kept.key]
    assert not bench.shows("There is no label to print.")


def test_a_trouble_of_a_label_never_drawn_comes_through_a_restart(bench, shop):
    def refuse(_answer, *, recut, stock):
        raise LabelError("The font is missing.")

    shop.order_at_once = refuse
    bench.scan("K7F3Q97")
    (kept,) = shop.kept.values()
    assert (kept.wanted.job, kept.wanted.only) == ("GLAZE", ["K7F3Q97"])
    see(bench)
    bench.tap(bench.button("Cancel"))
    assert shop.kept == {}
    assert not bench.shows("not printed")


# -- dropped, out, and void --------------------------------------------------------------------


def test_a_label_wanted_again_before_it_is_dropped_is_printed(bench, press):
    bench.scan("K7F3Q97")
    (line,) = press.desks[-1].lines()
    bench.app.gear.prints.cancel(line.key)
    bench.scan("K7F3Q97")
    press.step(bench)
    assert press.paper.jobs == [f"{line.key}-2"]


def test_a_label_that_is_out_by_other_means_is_said_no_more(bench, shop, press, ordering):
    def refuse(_answer, *, recut, stock):
        raise LabelError("The font is missing.")

    shop.order_at_once = refuse
    bench.scan("K7F3Q97")
    assert bench.shows("not printed")
    prints = bench.app.gear.prints
    prints.submit(order_of("K7F3Q97", "K7F4AC3"), person="Mara")
    press.paper.now = OUT
    press.step(bench)
    assert not bench.shows("not printed")
    assert [key for key in shop.kept if key.startswith("undrawn")] == []


def test_what_somebody_saw_come_out_is_logged_by_a_tap(bench, shop, press):
    press.paper.now = GONE
    bench.scan("K7F3Q97")
    press.step(bench)
    see(bench)
    bench.tap(bench.button("It came out"))
    press.step(bench)
    assert [order.codes for order in shop.came] == [("K7F3Q97",)]
    assert len(press.paper.jobs) == 1
    assert not bench.shows("not printed")


def test_only_what_the_printer_does_not_know_of_may_be_said_to_be_out(bench, press):
    press.paper.refusing = WRONG_SIZE
    bench.scan("K7F3Q97")
    press.step(bench)
    see(bench)
    assert not bench.shows("It came out")


def test_a_print_that_cannot_be_cancelled_is_said_without_retry(bench, press):
    press.paper.cancelling = PrintState(
        Stage.PRINTING, "The print could not be cancelled.", "Cancel it there.", "not-cancelled"
    )
    bench.scan("K7F3Q97")
    press.step(bench)
    (line,) = press.desks[-1].lines()
    bench.app.gear.prints.cancel(line.key)
    press.step(bench)
    assert bench.shows("Label K7F-3Q97 not printed: The print could not be cancelled.")
    see(bench)
    assert bench.desk.show.retry is None


def test_the_label_of_a_spoiled_part_is_not_printed_any_more(bench, shop, press):
    for code in ("K7F3Q97", "K7F4AC3"):
        bench.scan(code)
    problems = bench.desk.problems
    problems.take_code("K7F3Q97")
    bench.settle()
    shop.problem = lambda *_given, **_named: replace(recorded("K7FBHK2"), message="Cut it again")
    problems.ask_sure_of("spoiled")
    bench.tap(bench.button("Record it"))
    press.step(bench)
    assert [key[:7] for key in press.paper.jobs] == ["K7F4AC3", "K7FBHK2"]


def spoil(bench, shop, code):
    problems = bench.desk.problems
    problems.take_code(code)
    bench.settle()
    shop.problem = lambda *_given, **_named: replace(recorded("K7FBHK2"), message="Cut it again")
    problems.ask_sure_of("spoiled")
    bench.tap(bench.button("Record it"))


def test_a_void_label_is_left_out_of_those_that_wait_with_it(bench, shop, press):
    drawn = []

    def draw_kept(kept):
        drawn.append(kept.wanted.only)
        return Unfinished(kept, (order_of("K7F4AC3"),))

    shop.draw_kept = draw_kept
    bench.app.gear.prints.submit(order_of("K7F3Q97", "K7F4AC3"), person="")
    spoil(bench, shop, "K7F3Q97")
    assert bench.shows("The old label is left out of 1 that waits.")
    press.step(bench)

    assert sorted(key[:7] for key in press.paper.jobs) == ["K7F4AC3", "K7FBHK2"]
    assert drawn == [["K7F3Q97", "K7F4AC3"]]


def test_a_void_label_the_printer_has_among_others_is_said_to_be_thrown_away(bench, shop, press):
    bench.app.gear.prints.submit(order_of("K7F3Q97", "K7F4AC3"), person="")
    press.step(bench)
    spoil(bench, shop, "K7F3Q97")

    assert bench.shows("The printer has the old label already: throw it away.")


def test_a_problem_that_was_not_recorded_drops_no_label(bench, shop, press):
    bench.scan("K7F3Q97")
    problems = bench.desk.problems
    problems.take_code("K7F3Q97")
    bench.settle()
    shop.problem = lambda *_given, **_named: replace(recorded(""), outcome=Outcome.UNKNOWN)
    problems.ask_sure_of("spoiled")
    bench.tap(bench.button("Record it"))
    press.step(bench)
    assert [key[:7] for key in press.paper.jobs] == ["K7F3Q97"]


# -- the stock ---------------------------------------------------------------------------------


def test_labels_that_failed_come_on_the_stock_that_is_chosen_then(bench, press):
    press.paper.refusing = WRONG_SIZE
    labels = labels_of(bench)
    labels.print_new()
    bench.settle()
    press.step(bench)
    press.paper.refusing = None
    labels.set_stock("38x21")
    labels.print_new()
    bench.settle()
    assert bench.shows("gone to the printer")
    press.step(bench)
    assert press.paper.jobs == ["K7F3Q97-0-38x21"]
    assert [line.key for line in press.desks[-1].lines()] == press.paper.jobs


def test_what_failed_on_another_stock_stays_where_the_new_print_has_only_some_of_it(bench, press):
    press.paper.refusing = WRONG_SIZE
    bench.app.gear.prints.submit(order_of("K7F3Q97", "K7F4AC3"), person="")
    press.step(bench)
    press.paper.refusing = None
    bench.app.gear.prints.submit(order_of("K7F3Q97", stock="38x21"), person="")
    press.step(bench)
    assert len(press.desks[-1].lines()) == 2


def test_labels_printed_at_once_and_recuts_are_of_the_stock_that_was_chosen(bench, ordering):
    labels_of(bench).set_stock("tag")
    bench.scan("K7F3Q97")
    bench.app.gear.prints.after(recorded("K7F4AC3"), person="", recut=True)
    bench.settle()
    assert ordering.asked == [("K7F3Q97", False, "tag"), ("K7F4AC3", True, "tag")]


def test_without_a_printer_a_recuts_file_is_of_the_stock_that_was_chosen(drive, shop):
    bench = drive(shop)
    labels_of(bench).set_stock("tag")
    given = {}
    shop.problem = lambda code, *_given, **named: given.update(named) or recorded(code)
    problems = bench.desk.problems
    problems.take_code("K7F3Q97")
    bench.settle()
    problems.ask_sure_of("spoiled")
    bench.tap(bench.button("Record it"))
    assert (given["stock"], given["draw"]) == ("tag", True)


# -- said as it is -----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("state", "refusing", "words"),
    [
        (PrintState(Stage.PRINTING, "printing"), None, "2 labels: printing already"),
        (EMPTY, None, "2 labels: waits"),
        (EMPTY, WRONG_SIZE, "2 labels: tried again"),
    ],
)
def test_how_labels_asked_for_again_stand_is_said(bench, press, state, refusing, words):
    press.paper.now, press.paper.refusing = state, refusing
    labels = labels_of(bench)
    labels.print_new()
    bench.settle()
    press.step(bench)
    press.paper.refusing = None
    labels.open_job()
    labels.print_new()
    bench.settle()
    assert bench.shows(words)
    assert bench.shows("The roll is empty.") == (words == "2 labels: waits")
    press.step(bench)
    assert len(press.paper.jobs) == 1


def test_an_order_that_is_out_already_says_so(bench, shop, press):
    shop.orders = lambda _wanted, **_named: Ordered((order_of("K7F3Q97"),))
    press.paper.now = OUT
    labels = labels_of(bench)
    for _ in range(2):
        labels.open_job()
        labels.print_new()
        bench.settle()
        press.step(bench)
    assert bench.shows("K7F-3Q97: printed just now")
    assert len(press.paper.jobs) == 1


def test_a_printer_taken_away_while_labels_are_drawn_is_said(bench, shop, ordering):
    draw = shop.orders

    def orders(wanted, **named):
        bench.app.gear.prints.stop()
        return draw(wanted, **named)

    shop.orders = orders
    labels_of(bench).print_new()
    bench.settle()
    assert bench.shows("The printer was taken away.")
    assert shop.kept == {}


def test_another_button_tapped_while_labels_are_made_counts_too(bench, press):
    labels = labels_of(bench)
    labels.print_new()
    labels.press.make(Wanted("GLAZE", only=["K7FBHK2"]))
    labels.press.make(Wanted("GLAZE", only=["K7FBHK2"]))
    bench.settle()
    press.step(bench)
    assert [key[:7] for key in press.paper.jobs] == ["K7F3Q97", "K7FBHK2"]
    assert bench.shows("K7F-BHK2: gone to the printer")


def test_a_retry_that_changes_nothing_says_when_it_was(bench, press):
    press.paper.refusing = AWAY
    bench.scan("K7F3Q97")
    press.step(bench)
    see(bench)
    assert not bench.shows("Tried again")
    bench.tap(bench.button("Retry"))
    assert bench.shows(f"Tried again at {bench.desk.status().clock}.")
    press.step(bench)
    assert bench.shows("Tried again at")


def test_the_label_of_a_place_is_not_to_be_written_on_a_part(bench, press):
    press.paper.now = EMPTY
    prints = bench.app.gear.prints
    prints.submit(order_of("K7F3Q97", unit=""), person="")
    press.step(bench)
    see(bench)
    assert not bench.shows("by hand")
    bench.tap(bench.button("Back"))
    bench.app.gear.prints.cancel(prints.troubles()[0].key)
    press.step(bench)
    prints.submit(order_of("K7F4AC3"), person="")
    press.step(bench)
    see(bench)
    assert bench.shows("by hand")


# -- the end -----------------------------------------------------------------------------------


def test_a_silent_printer_keeps_a_kiosk_from_closing_for_a_moment_only(press, monkeypatch):
    waits, let_go = threading.Event(), threading.Event()

    class Silent(type(press.paper)):
        def submit(self, sheet, *, key):
            waits.set()
            let_go.wait(60)
            return super().submit(sheet, key=key)

    limits = []
    desk = PrintDesk(Silent(), clock=SystemClock(), out=lambda _order: None)
    desk.submit(order_of("K7F3Q97"))
    desk.start()
    assert waits.wait(20)
    thread = desk._thread
    monkeypatch.setattr(thread, "join", limits.append)
    desk.stop()
    assert limits == [2.0]
    desk.start()  # begun again while the old thread still waits: only the new one goes on
    let_go.set()
    threading.Thread.join(thread, 20)
    assert not thread.is_alive()
    assert desk._thread.is_alive()
    desk.stop()


def test_a_board_takes_no_printer_no_camera_and_no_scanner(
    drive, shop, press, ordering, monkeypatch
):
    begun = []
    shop.settings = replace(
        shop.settings, camera="0", scanner_device="/dev/input/event0", mqtt_host="broker"
    )
    gear = replace(
        press.gear,
        frames=lambda *_given: begun.append("camera") or iter(()),
        strokes=lambda: begun.append("scanner") or iter(()),
    )
    monkeypatch.setattr(AirFeed, "start", lambda _self: begun.append("air"))
    kiosk = drive(shop, gear=gear, home="board")
    assert begun == ["air"]
    assert not kiosk.app.gear.prints.is_on
    assert press.desks == []
