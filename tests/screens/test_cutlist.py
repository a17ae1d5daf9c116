"""The list of parts to cut: stays while one cuts, says what is not printed, and where a PDF is."""

from dataclasses import replace
from pathlib import Path

import pytest
from fake_shop import too_early
from paper import WRONG_SIZE, Ordering, Press

from kiosk.actions import LabelRun, Wanted
from kiosk.screens.partview import PartsView
from kiosk.screens.samples import SAMPLE_PARTS
from kiosk.store import Job

ONCE, _TWICE, NEVER, *_OTHERS = SAMPLE_PARTS


@pytest.fixture
def press():
    return Press()


@pytest.fixture
def cutting(drive, shop, press):
    """A kiosk with a printer, the list of parts to cut on the screen."""
    shop.settings = replace(shop.settings, printer="Labels")
    shop.ordering = Ordering(shop)
    return opened(drive(shop, station="cut", gear=press.gear))


def opened(kiosk):
    kiosk.desk.shopdesk.labels.cuts.show(PartsView(SAMPLE_PARTS), "GLAZE")
    kiosk.settle()
    return kiosk


def row(kiosk, line):
    return kiosk.desk.show.rows[line.code]


def test_the_list_stays_as_long_as_a_cut_takes_and_others_do_not(cutting):
    from kiosk.screens.kiosk_app import HOME_S  # the window is booted by now

    show = cutting.desk.show
    cutting.tick(HOME_S["bench"] * 20)
    assert cutting.desk.show is show
    cutting.desk.shopdesk.labels.open_job(Job("GLAZE"))
    cutting.tick(HOME_S["bench"] + 1)
    assert cutting.desk.show is cutting.desk.bench


def test_a_cut_that_is_refused_is_said_and_can_be_tapped_again(cutting, shop, press):
    shop.plan[NEVER.code] = too_early(NEVER.code)
    cutting.tap(row(cutting, NEVER))
    assert cutting.shows("Too early")
    press.step(cutting)
    assert press.paper.jobs == []
    del shop.plan[NEVER.code]
    cuts = cutting.desk.shopdesk.labels.cuts
    cuts._show()
    cutting.tap(row(cutting, NEVER))
    assert shop.scans == [NEVER.code, NEVER.code]
    press.step(cutting)
    assert [key[:7] for key in press.paper.jobs] == [NEVER.code]


def test_a_label_printed_before_is_not_printed_again_and_that_is_said(cutting, press):
    cutting.tap(row(cutting, ONCE))
    press.step(cutting)
    assert press.paper.jobs == []
    assert cutting.shows("Cut: G05 Panel face. Its label was printed once before.")


def test_a_part_that_is_cut_says_no_more_that_it_is_not_printed(cutting):
    before = sum("not printed" in text for text in cutting.texts())
    cutting.tap(row(cutting, NEVER))
    assert sum("not printed" in text for text in cutting.texts()) == before - 1


def test_what_is_not_printed_is_said_on_the_list_until_it_is_over(cutting, press):
    press.paper.refusing = WRONG_SIZE
    cutting.tap(row(cutting, NEVER))
    assert cutting.shows("gone to the printer")
    press.step(cutting)
    assert cutting.desk.show.said.text.startswith("Label K7F-5BD4 not printed:")
    assert not cutting.shows("gone to the printer")
    (trouble,) = cutting.app.gear.prints.troubles()
    cutting.app.gear.prints.cancel(trouble.key)
    press.step(cutting)
    assert cutting.desk.show.said.text.startswith("Tap a part once it is cut")


def test_without_a_printer_it_is_said_where_the_label_is(drive, shop, tmp_path):
    file = Path("labels.pdf")

    def labels(_wanted, out, *, person=""):
        return LabelRun((NEVER.code,), 1, (file,))

    shop.labels, shop.store.folder = labels, tmp_path
    kiosk = opened(drive(shop, station="cut"))
    kiosk.tap(row(kiosk, NEVER))
    assert kiosk.desk.show.said.text.endswith("1 label written as PDF: labels.pdf")


# -- the labels screen -------------------------------------------------------------------------


def test_of_many_open_jobs_each_can_be_reached(drive, shop):
    jobs = {f"J{n}": Job(f"J{n}", "") for n in range(1, 10)}
    shop.jobs = lambda: jobs
    kiosk = drive(shop)
    kiosk.desk.shopdesk.labels.open()
    kiosk.settle()
    assert kiosk.shows("J9")
    assert not kiosk.shows("J1")
    kiosk.tap(kiosk.button("Others"))
    kiosk.tap(kiosk.button("J1"))
    assert kiosk.shows("Labels of J1")


def test_a_units_label_printed_before_is_printed_again_for_a_reason(cutting, shop):
    shop.units[0] = replace(shop.units[0], printed={"KUNIT22": 1}, codes=("KUNIT22",))
    labels = cutting.desk.shopdesk.labels
    labels.reprint_unit(ONCE)
    cutting.settle()
    assert cutting.shows("printed once")
    assert shop.ordering.asked == []
    cutting.tap(cutting.button("Print again: unreadable"))
    wanted = Wanted("GLAZE", only=["G05"], units=True, reason="unreadable")
    assert shop.ordering.asked == [wanted]


def test_a_units_label_never_printed_needs_no_reason(cutting, shop):
    cutting.desk.shopdesk.labels.reprint_unit(ONCE)
    cutting.settle()
    assert [wanted.reason for wanted in shop.ordering.asked] == [""]


@pytest.mark.parametrize(("units", "mark", "typed"), [("mm", ".", "603.5"), ("inch", "/", "3/4")])
def test_sizes_are_typed_as_the_screen_shows_them(drive, shop, units, mark, typed):
    kiosk = drive(shop)
    labels = kiosk.desk.shopdesk.labels
    labels.open_job(Job("GLAZE", units=units))
    labels.find()
    for sign in typed:
        kiosk.tap(kiosk.desk.show.keys[sign])
    assert kiosk.desk.show.typed == typed
    assert mark in typed


def test_what_a_keyboard_types_is_shown_where_parts_are_found(drive, shop):
    kiosk = drive(shop)
    kiosk.desk.shopdesk.labels.open_job(Job("GLAZE"))
    kiosk.desk.shopdesk.labels.find()
    for letter in "603.5 ":
        kiosk.win.dispatch("on_textinput", letter)
    kiosk.step()
    assert kiosk.shows("603.5 _")
