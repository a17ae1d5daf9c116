"""A real print system on loopback with a driverless queue to a real IPP printer."""

import getpass
import itertools
import shutil
import time

import numpy as np
import pytest
import zxingcpp
from PIL import Image

from labels.artwork import draw, lay_out
from labels.printing import PDF, PrintRefused, Sheet, Stage, discover, open_printer
from labels.printing.device import gave_up
from labels.printing.ipp import IppClient
from labels.printing.post import parse_place
from labels.printing.queue import run
from tests.labels.printers import (
    STOCKS,
    PrintSystem,
    VirtualPrinter,
    free_port,
    labels_of,
    read_raster,
    runs,
    sheet_of,
    short_folder,
    until,
)

(LABEL,) = labels_of(1, first=4_100)
KEYS = (f"G02-{number}" for number in itertools.count(1))


@pytest.fixture(scope="module")
def sheet(folder):
    return sheet_of(folder, [LABEL])


@pytest.fixture(scope="module")
def folder():
    made = short_folder()
    yield made
    shutil.rmtree(made)


@pytest.fixture(scope="module")
def virtual(folder):
    made = VirtualPrinter(folder / "printer", formats="image/pwg-raster")
    yield made
    made.stop()


@pytest.fixture(scope="module")
def shared(folder, virtual):
    made = PrintSystem(folder / "system")
    made.add("Labels", virtual.uri)
    yield made
    made.stop()


@pytest.fixture
def system(shared, monkeypatch):
    monkeypatch.setenv("CUPS_SERVER", shared.server)
    return shared


@pytest.fixture
def printer(system):
    return open_printer("Labels", seconds=time.monotonic)


class Ahead:
    """A clock the test can put forward, as waiting is not its business."""

    def __init__(self):
        self.more = 0.0

    def __call__(self):
        return time.monotonic() + self.more


def ended(printer, ticket):
    def state():
        found = printer.state(ticket)
        return found if found.ended else None

    return until(state, "the print to end")


def test_the_queues_of_this_computer_are_listed(system):
    names, problems = discover()

    assert "Labels" in names
    assert problems == ()


def test_a_label_arrives_through_a_queue_in_its_size_and_with_its_very_dots(
    virtual, printer, sheet
):
    before = set(virtual.printed())
    ticket = printer.submit(sheet, key=next(KEYS))

    assert ended(printer, ticket).stage is Stage.DONE
    (out,) = set(virtual.printed()) - before
    assert "x-dimension=5000 y-dimension=2500" in virtual.told(out.stem)["IPP_MEDIA_COL"]
    (page,) = read_raster(out.read_bytes())
    assert np.array_equal(page, ~np.array(draw(LABEL, STOCKS["50x25"], 203)))
    picture = Image.fromarray(np.where(page, 0, 255).astype(np.uint8))
    assert {found.text for found in zxingcpp.read_barcodes(picture)} == {LABEL.code}
    (bars,) = (spot.box for spot in lay_out(STOCKS["50x25"], 203).spots if spot.kind == "bars")
    lengths = runs(page[bars.y + 1, bars.x : bars.right])
    assert min(lengths) == 2  # 203 dpi: bars of 2 dots, 0.250 mm; labels.md section 4
    assert not any(length % 2 for length in lengths)


def test_a_second_tap_prints_no_second_label(virtual, printer, sheet):
    key, count = next(KEYS), len(virtual.printed())

    tickets = {printer.submit(sheet, key=key) for _ in range(3)}
    (ticket,) = tickets
    ended(printer, ticket)

    assert printer.submit(sheet, key=key) == ticket
    assert len(virtual.printed()) == count + 1


def test_a_paused_queue_says_who_paused_it_why_and_the_label_waits(system, printer, sheet):
    system.run("cupsdisable", "-r", "Changing the roll", "Labels")
    checked = printer.check()
    ticket = printer.submit(sheet, key=next(KEYS))
    state = printer.state(ticket)
    system.run("cupsenable", "Labels")

    assert state.words == "The printer is paused: Changing the roll."
    assert (state.stage, state.reason) == (Stage.STOPPED, "paused")
    assert "resume the queue" in state.remedy
    assert checked == state
    assert ended(printer, ticket).stage is Stage.DONE


def test_a_label_waiting_in_a_paused_queue_can_be_cancelled(system, printer, virtual, sheet):
    count = len(virtual.printed())
    system.run("cupsdisable", "Labels")
    ticket = printer.submit(sheet, key=next(KEYS))
    state = printer.cancel(ticket)
    system.run("cupsenable", "Labels")

    assert state.stage is Stage.CANCELLED
    assert printer.state(ticket).stage is Stage.CANCELLED
    assert len(virtual.printed()) == count


def test_a_print_dropped_by_somebody_else_is_not_taken_for_printed(system, printer, sheet):
    system.run("cupsdisable", "Labels")
    ticket = printer.submit(sheet, key=next(KEYS))
    system.run("cancel", f"Labels-{ticket.job}")
    state = printer.state(ticket)
    system.run("cupsenable", "Labels")

    assert state.stage in (Stage.CANCELLED, Stage.FAILED)


def test_a_rejecting_queue_is_told_at_once(system, printer, sheet):
    system.run("cupsreject", "Labels")
    checked = printer.check()
    with pytest.raises(PrintRefused, match="takes no prints now") as refused:
        printer.submit(sheet, key=next(KEYS))
    system.run("cupsaccept", "Labels")

    assert refused.value.state.reason == checked.reason == "rejecting"


def test_a_queue_that_does_not_exist_is_told(system, sheet):
    nowhere = open_printer("Nowhere", seconds=time.monotonic)

    with pytest.raises(PrintRefused, match="no printer of that name"):
        nowhere.submit(sheet, key=next(KEYS))
    assert nowhere.check().reason == "no-printer"


def test_a_label_too_wide_for_the_queue_ends_in_words_not_in_silence(printer, sheet):
    wide = Sheet(sheet.data, PDF, 200.0, 25.0, 203)
    ticket = printer.submit(wide, key=next(KEYS))

    state = ended(printer, ticket)
    assert (state.stage, state.reason) == (Stage.FAILED, "wrong-size")


def test_an_empty_roll_is_told_through_the_queue(virtual, printer, sheet):
    virtual.hold("media-empty-error")
    ticket = printer.submit(sheet, key=next(KEYS))
    state = until(
        lambda: (found := printer.state(ticket)).reason == "media-empty" and found, "the words"
    )
    virtual.let_go()

    assert (state.stage, state.words) == (Stage.STOPPED, "The roll is empty.")
    assert ended(printer, ticket).stage is Stage.DONE


def test_a_printer_switched_off_is_told_though_the_queue_reports_nothing(virtual, system, sheet):
    clock = Ahead()
    printer = open_printer("Labels", seconds=clock)
    virtual.switch_off()
    ticket = printer.submit(sheet, key=next(KEYS))
    until(lambda: "unavailable" in system.run("lpstat", "-p", "Labels"), "the print system to see")
    at_once = printer.state(ticket)
    clock.more = 6.0
    later = printer.state(ticket)
    virtual.start()

    assert at_once.stage is Stage.PRINTING
    assert (later.stage, later.reason) == (Stage.STOPPED, "unreachable")
    assert ended(printer, ticket).stage is Stage.DONE


def test_a_print_the_printer_gave_up_has_failed_and_can_be_tried_again(
    system, virtual, printer, sheet
):
    virtual.hold()
    ticket = printer.submit(sheet, key=next(KEYS))
    until(lambda: printer.state(ticket).stage is Stage.PRINTING, "the printer to begin")
    virtual.let_go("fail")

    assert ended(printer, ticket).stage is Stage.FAILED
    # the queue itself calls some such prints completed; the printer knows better every time
    queue, device = (
        IppClient(parse_place(uri)[0], seconds=time.monotonic, user=getpass.getuser())
        for uri in (f"ipp://{system.server}/printers/Labels", virtual.uri)
    )
    assert gave_up(queue, ticket.key, reach=lambda _place: device)
    again = printer.retry(ticket, sheet)
    assert again.job != ticket.job
    assert ended(printer, again).stage is Stage.DONE
    assert not gave_up(queue, ticket.key, reach=lambda _place: device)


def test_a_queue_says_its_printers_dots(printer):
    assert printer.dots() == (203,)


def test_a_print_system_that_does_not_run_is_told(monkeypatch, sheet):
    monkeypatch.setenv("CUPS_SERVER", f"localhost:{free_port()}")
    printer = open_printer("Labels", seconds=time.monotonic)

    assert printer.check().reason == "unreachable"
    with pytest.raises(PrintRefused) as refused:
        printer.submit(sheet, key=next(KEYS))
    assert refused.value.state.stage is Stage.WAITING


def test_a_shared_queue_can_be_printed_to_from_another_kiosk(system, virtual, sheet):
    before = set(virtual.printed())
    printer = open_printer(f"ipp://{system.server}/printers/Labels", seconds=time.monotonic)
    ticket = printer.submit(sheet, key=next(KEYS))

    assert ended(printer, ticket).stage is Stage.DONE
    (out,) = set(virtual.printed()) - before
    (page,) = read_raster(out.read_bytes())
    assert np.array_equal(page, ~np.array(draw(LABEL, STOCKS["50x25"], 203)))
    assert printer.find(ticket.key) == ticket


def test_a_print_system_that_listens_at_a_file_only_is_found(system, printer, monkeypatch, sheet):
    monkeypatch.setenv("CUPS_SERVER", f"{system.folder}/run/sock")
    local = open_printer("Labels", seconds=time.monotonic)
    ticket = local.submit(sheet, key=next(KEYS))

    assert ended(local, ticket).stage is Stage.DONE
    assert printer.state(ticket).stage is Stage.DONE


def test_a_computer_without_a_print_system_says_so(monkeypatch, tmp_path, sheet):
    monkeypatch.setenv("PATH", str(tmp_path))
    printer = open_printer("Labels", seconds=time.monotonic)

    with pytest.raises(PrintRefused, match="no print system"):
        printer.submit(sheet, key=next(KEYS))
    assert printer.check().reason == "no-print-system"
    assert discover() == ((), (f"{printer.check().words} {printer.check().remedy}",))


def test_a_command_that_hangs_is_ended():
    with pytest.raises(Exception, match="does not answer"):
        run(("sleep", "60"), limit=0.05)
