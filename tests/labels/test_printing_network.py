"""A real IPP printer on loopback: labels reach it to the dot, and it says what is wrong."""

import itertools
import shutil
import time
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
import zxingcpp
from PIL import Image

from labels.artwork import draw, lay_out
from labels.pages import write_png
from labels.printing import PDF, PNG, PWG_RASTER, PrintRefused, Sheet, Spool, Stage, open_printer
from tests.labels.printers import (
    STOCKS,
    VirtualPrinter,
    labels_of,
    read_raster,
    runs,
    sheet_of,
    short_folder,
    until,
)

STOCK = STOCKS["50x25"]
NOON = datetime(2026, 3, 5, 12, tzinfo=UTC)
KEYS = (f"G01-{number}" for number in itertools.count(1))


def label(number=0):
    return labels_of(1, first=4_000 + number)[0]


def pdf_sheet(folder, *numbers, width_mm=50.0):
    sheet = sheet_of(folder, [label(number) for number in numbers or (0,)])
    return replace(sheet, width_mm=width_mm)


def drawn(number=0):
    """Return the label as drawn: True is black."""
    return ~np.array(draw(label(number), STOCK, 203))


def ended(printer, ticket):
    def state():
        found = printer.state(ticket)
        return found if found.ended else None

    return until(state, "the print to end")


def reading(ink):
    """Return what a decoder reads from dots."""
    picture = Image.fromarray(np.where(ink, 0, 255).astype(np.uint8))
    return {found.text for found in zxingcpp.read_barcodes(picture)}


@pytest.fixture(scope="module")
def folder():
    made = short_folder()
    yield made
    shutil.rmtree(made)


@pytest.fixture(scope="module")
def shared(folder):
    virtual = VirtualPrinter(folder / "shared")
    yield virtual
    virtual.stop()


@pytest.fixture
def virtual(shared):
    yield shared
    if (shared.folder / "gate").exists():
        shared.let_go()
    until(lambda: open_printer(shared.uri, seconds=time.monotonic).check().stage is Stage.DONE,
        "the printer to be idle")  # fmt: skip


@pytest.fixture
def printer(virtual):
    return open_printer(virtual.uri, seconds=time.monotonic)


def test_a_label_arrives_in_its_size_and_with_its_very_dots(virtual, printer, tmp_path):
    ticket = printer.submit(pdf_sheet(tmp_path), key=next(KEYS))

    assert ended(printer, ticket).stage is Stage.DONE
    told = virtual.told(ticket.job)
    assert "x-dimension=5000 y-dimension=2500" in told["IPP_MEDIA_COL"]
    for margin in ("top", "bottom", "left", "right"):
        assert f"media-{margin}-margin=0" in told["IPP_MEDIA_COL"]
    assert "media-type=labels" in told["IPP_MEDIA_COL"]
    (page,) = read_raster((virtual.folder / f"{ticket.job}.doc").read_bytes())
    assert np.array_equal(page, drawn())
    assert reading(page) == {label().code}


def test_the_bars_received_are_two_dots_and_the_modules_as_drawn(virtual, printer, tmp_path):
    ticket = printer.submit(pdf_sheet(tmp_path), key=next(KEYS))

    ended(printer, ticket)
    (page,) = read_raster((virtual.folder / f"{ticket.job}.doc").read_bytes())
    for spot in lay_out(STOCK, 203).spots:
        box = spot.box
        crop = page[box.y : box.bottom, box.x : box.right]
        rows = [row for row in crop if row.any()]
        lengths = {int(length) for row in rows for length in runs(row)}
        # 203 dpi: bars of 2 dots (0.250 mm), modules of 3 (0.375 mm); labels.md section 2
        unit = 2 if spot.kind == "bars" else 3
        assert min(lengths) == unit
        assert all(length % unit == 0 for length in lengths)


def test_several_labels_go_as_one_print_of_several_pages(virtual, printer, tmp_path):
    ticket = printer.submit(pdf_sheet(tmp_path, 1, 2, 3), key=next(KEYS))

    ended(printer, ticket)
    pages = read_raster((virtual.folder / f"{ticket.job}.doc").read_bytes())
    assert [reading(page) for page in pages] == [{label(number).code} for number in (1, 2, 3)]


@pytest.mark.parametrize("mime", [PNG, PDF])
def test_a_printer_that_takes_one_form_gets_that(folder, tmp_path, mime):
    virtual = VirtualPrinter(folder / mime.replace("/", "-"), formats=mime)
    try:
        printer = open_printer(virtual.uri, seconds=time.monotonic)
        made = write_png([label()], STOCK, dpi=203, out=tmp_path / "one.png")
        png = Sheet(made.files[0].read_bytes(), PNG, 50.0, 25.0, 203)
        ticket = printer.submit(png, key=next(KEYS))
        assert ended(printer, ticket).stage is Stage.DONE
        told = virtual.told(ticket.job)
    finally:
        virtual.stop()

    assert told["IPP_DOCUMENT_FORMAT_SUPPLIED"] == mime


def test_a_label_too_wide_for_the_printer_is_refused_with_its_size(printer, tmp_path):
    with pytest.raises(PrintRefused, match="200 × 25 mm") as refused:
        printer.submit(pdf_sheet(tmp_path, width_mm=200.0), key=next(KEYS))

    assert refused.value.state.stage is Stage.FAILED
    assert refused.value.state.reason == "wrong-size"


def test_an_empty_roll_is_told_in_words_and_the_label_prints_when_it_is_changed(
    virtual, printer, tmp_path
):
    virtual.hold("media-empty-error")
    ticket = printer.submit(pdf_sheet(tmp_path), key=next(KEYS))
    empty = until(
        lambda: (state := printer.state(ticket)).stage is Stage.STOPPED and state, "the words"
    )
    virtual.let_go()

    assert (empty.words, empty.reason) == ("The roll is empty.", "media-empty")
    assert empty.remedy == "Put a new one in; the label prints by itself then."
    assert ended(printer, ticket).stage is Stage.DONE


@pytest.mark.parametrize(
    ("reason", "words"),
    [
        ("media-jam-error", "stuck"),
        ("cover-open-report", "lid is open"),
        ("input-tray-missing", "tray"),
        ("media-needed-error", "waits for labels"),
        ("marker-supply-empty-error", "used up"),
    ],
)
def test_the_printer_itself_says_what_is_wrong(virtual, printer, tmp_path, reason, words):
    virtual.hold(reason)
    ticket = printer.submit(pdf_sheet(tmp_path), key=next(KEYS))
    state = until(lambda: (found := printer.check()).stage is Stage.STOPPED and found, "the words")
    virtual.let_go()

    assert words in state.words
    ended(printer, ticket)
    assert until(lambda: printer.check().stage is Stage.DONE, "the printer to be ready")


def test_a_busy_printer_keeps_the_next_label_waiting(virtual, printer, tmp_path):
    virtual.hold()
    first = printer.submit(pdf_sheet(tmp_path), key=next(KEYS))
    with pytest.raises(PrintRefused) as refused:
        printer.submit(pdf_sheet(tmp_path), key=next(KEYS))
    virtual.let_go()

    assert refused.value.state.stage is Stage.WAITING
    assert refused.value.state.reason == "busy"
    assert ended(printer, first).stage is Stage.DONE


def test_a_key_the_printer_has_is_not_printed_again_even_after_a_restart(
    virtual, printer, tmp_path
):
    key = next(KEYS)
    first = printer.submit(pdf_sheet(tmp_path), key=key)
    ended(printer, first)
    count = len(virtual.printed())

    again = open_printer(virtual.uri, seconds=time.monotonic)
    second = again.submit(pdf_sheet(tmp_path), key=key)

    assert second == first
    assert again.state(second).stage is Stage.DONE
    assert len(virtual.printed()) == count


def test_a_print_dropped_while_it_prints_ends_cancelled(virtual, printer, tmp_path):
    virtual.hold("media-empty")
    ticket = printer.submit(pdf_sheet(tmp_path), key=next(KEYS))
    until(lambda: printer.state(ticket).reason == "media-empty", "the empty roll")
    printer.cancel(ticket)
    virtual.let_go()

    assert ended(printer, ticket).stage is Stage.CANCELLED


def test_a_print_the_printer_gives_up_has_failed_and_can_be_tried_again(virtual, printer, tmp_path):
    virtual.hold()
    ticket = printer.submit(pdf_sheet(tmp_path), key=next(KEYS))
    virtual.let_go("fail")
    failed = ended(printer, ticket)
    again = printer.retry(ticket, pdf_sheet(tmp_path))

    assert (failed.stage, failed.reason) == (Stage.FAILED, "given-up")
    assert again.key == ticket.key
    assert again.job != ticket.job
    assert ended(printer, again).stage is Stage.DONE


def test_a_printer_switched_off_is_told_and_the_label_tried_again(folder, tmp_path):
    virtual = VirtualPrinter(folder / "off")
    printer = open_printer(virtual.uri, seconds=time.monotonic)
    key = next(KEYS)
    try:
        virtual.switch_off()
        checked = printer.check()
        with pytest.raises(PrintRefused) as refused:
            printer.submit(pdf_sheet(tmp_path), key=key)
        virtual.start()
        ticket = printer.submit(pdf_sheet(tmp_path), key=key)
        state = ended(printer, ticket)
    finally:
        virtual.stop()

    assert (checked.stage, checked.reason) == (Stage.STOPPED, "unreachable")
    assert "does not answer" in checked.words
    assert refused.value.state.stage is Stage.WAITING
    assert state.stage is Stage.DONE


def test_an_encrypted_printer_is_believed_only_with_its_own_certificate(folder, tmp_path):
    virtual, other = VirtualPrinter(folder / "tls"), VirtualPrinter(folder / "other")
    secure = virtual.uri.replace("ipp://", "ipps://")
    try:
        doubted = open_printer(secure, seconds=time.monotonic).check()
        certificate = until(lambda: next((virtual.folder / "keys").glob("*.crt"), None), "its key")
        printer = open_printer(secure, seconds=time.monotonic, trust=certificate)
        ticket = printer.submit(pdf_sheet(tmp_path), key=next(KEYS))
        state = ended(printer, ticket)
        open_printer(other.uri.replace("ipp:", "ipps:"), seconds=time.monotonic).check()
        wrong = until(lambda: next((other.folder / "keys").glob("*.crt"), None), "its key")
        swapped = open_printer(secure, seconds=time.monotonic, trust=wrong).check()
        missing = open_printer(secure, seconds=time.monotonic, trust=tmp_path / "none").check()
    finally:
        virtual.stop()
        other.stop()

    assert (doubted.stage, doubted.reason) == (Stage.FAILED, "certificate")
    assert (swapped.stage, swapped.reason) == (Stage.FAILED, "certificate")
    assert (missing.stage, missing.reason) == (Stage.FAILED, "certificate-file")
    assert state.stage is Stage.DONE


def test_another_job_of_the_same_number_is_not_taken_for_ours(folder, tmp_path):
    virtual = VirtualPrinter(folder / "restarted")
    printer = open_printer(virtual.uri, seconds=time.monotonic)
    try:
        virtual.hold("media-empty")
        ours = printer.submit(pdf_sheet(tmp_path), key=next(KEYS))
        until(lambda: printer.state(ours).reason == "media-empty", "the empty roll")
        virtual.switch_off()
        (virtual.folder / "gate").unlink()
        virtual.start()
        other = open_printer(virtual.uri, seconds=time.monotonic)
        theirs = other.submit(pdf_sheet(tmp_path), key=next(KEYS))
        ended(other, theirs)
        state = printer.state(ours)
        again = printer.retry(ours, pdf_sheet(tmp_path))
        retried = ended(printer, again)
    finally:
        virtual.stop()

    assert theirs.job == ours.job
    assert (state.stage, state.reason) == (Stage.FAILED, "forgotten")
    assert retried.stage is Stage.DONE


def test_a_printer_that_counts_anew_can_have_the_old_number_for_the_next_try(folder, tmp_path):
    virtual = VirtualPrinter(folder / "anew")
    printer = open_printer(virtual.uri, seconds=time.monotonic)
    try:
        virtual.hold("media-empty")
        first = printer.submit(pdf_sheet(tmp_path), key=next(KEYS))
        until(lambda: printer.state(first).reason == "media-empty", "the empty roll")
        virtual.switch_off()
        (virtual.folder / "gate").unlink()
        virtual.start()
        lost = printer.state(first)
        again = printer.retry(first, pdf_sheet(tmp_path))
        state = ended(printer, again)
    finally:
        virtual.stop()

    assert (lost.stage, lost.reason) == (Stage.FAILED, "forgotten")
    assert again == first
    assert state.stage is Stage.DONE


def test_labels_spooled_at_once_come_out_once_each_and_in_order(virtual, printer, tmp_path):
    before, told = len(virtual.printed()), []
    spool = Spool(printer, tell=told.append, again=timedelta(0))
    keys = [next(KEYS) for _ in range(3)]
    for number, key in enumerate(keys, start=1):
        for _ in range(2):  # a double tap
            spool.submit(pdf_sheet(tmp_path, number), key=key, now=NOON)

    until(lambda: spool.step(NOON) == 0, "the spool to be empty")

    out = [read_raster(file.read_bytes())[0] for file in virtual.printed()[before:]]
    assert [reading(page) for page in out] == [{label(number).code} for number in (1, 2, 3)]
    assert [line.key for line in told if line.state.stage is Stage.DONE] == keys


def test_a_cancelled_label_is_printed_again_under_a_new_key(virtual, printer, tmp_path):
    spool = Spool(printer, again=timedelta(0))
    old, new = next(KEYS), next(KEYS)
    virtual.hold("media-empty")
    spool.submit(pdf_sheet(tmp_path), key=old, now=NOON)
    spool.step(NOON)
    until(
        lambda: spool.step(NOON) and spool.line(old).state.reason == "media-empty", "the empty roll"
    )
    spool.cancel(old)
    spool.step(NOON)
    virtual.let_go()
    spool.submit(pdf_sheet(tmp_path), key=new, now=NOON)

    until(lambda: spool.step(NOON) == 0, "the spool to be empty")
    assert spool.line(old).state.stage is Stage.CANCELLED
    assert spool.line(new).state.stage is Stage.DONE


def test_a_printer_says_its_dots(printer):
    assert printer.dots() == (203,)


def test_the_form_is_raster_where_the_printer_takes_it(virtual, printer, tmp_path):
    ticket = printer.submit(pdf_sheet(tmp_path), key=next(KEYS))

    ended(printer, ticket)
    assert virtual.told(ticket.job)["IPP_DOCUMENT_FORMAT_SUPPLIED"] == PWG_RASTER
