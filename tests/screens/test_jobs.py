"""Jobs, units and finding parts at the kiosk, on a real shop."""

import shutil
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from kiosk.actions import Shop
from kiosk.app import late_shop
from kiosk.clock import FixedClock
from kiosk.settingstext import load
from kiosk.store import Job, Store

SETTINGS, _ = load('kiosk_letter = "K"\nzone = "UTC"\n')
AT = datetime(2026, 3, 11, 15, 40, tzinfo=UTC)
LIST = Path(__file__).parents[2] / "kiosk" / "data" / "glaze-store.csv"


@pytest.fixture(scope="module")
def taken(tmp_path_factory):
    """A shop file with a job in it, and two steps recorded; made once."""
    path = tmp_path_factory.mktemp("shop") / "shop.db"
    store = Store.open(path, "K")
    shop = Shop(store, SETTINGS, FixedClock(AT - timedelta(hours=1)))
    run = shop.take_in(LIST, Job("GLAZE", "Glaze store", hang_day="2026-03-13"))
    codes = [piece.code for piece in unit_of(run).pieces]
    shop.scan(codes[0], station="cut", person="Mara")
    shop.clock = FixedClock(AT - timedelta(minutes=50))
    shop.scan(codes[1], station="cut", person="Ivo")
    store.close()
    return path, unit_of(run)


def unit_of(run):
    """A unit of several parts; the first of a list may be a wall's own preparation."""
    return next(unit for unit in run.units if len(unit.pieces) > 3)


@pytest.fixture
def file(taken, tmp_path):
    return Path(shutil.copy(taken[0], tmp_path / "shop.db"))


@pytest.fixture
def kiosk(file, drive):
    return drive(late_shop(file, SETTINGS, FixedClock(AT)), station="cut")


def job_of(file):
    store = Store.open(file, "K")
    job = store.jobs()["GLAZE"]
    store.close()
    return job


def open_shop(kiosk, words):
    kiosk.tap(kiosk.desk.bench.shop)
    kiosk.tap(kiosk.button(words))


def row(kiosk, words):
    """The row of a list that says these words."""
    for one in kiosk.desk.show.rows:
        if any(
            words in getattr(each, "text", "").replace("\u00a0", " ")
            for each in one.walk(restrict=True)
        ):
            return one
    raise AssertionError(f"no row says {words}: {kiosk.texts()}")


def open_job(kiosk):
    open_shop(kiosk, "Jobs")
    kiosk.tap(row(kiosk, "GLAZE"))


def test_open_jobs_show_hang_day_and_how_far_they_are(kiosk):
    open_shop(kiosk, "Jobs")
    assert kiosk.shows("1 open job")
    assert kiosk.shows("Fri 13 Mar 2026, in 2 days")
    assert kiosk.shows("2 of ")


def test_a_shop_without_a_job_says_what_to_do_next(drive, tmp_path):
    kiosk = drive(late_shop(tmp_path / "new.db", SETTINGS, FixedClock(AT)), station="cut")
    open_shop(kiosk, "Jobs")
    assert kiosk.shows("take one in")
    kiosk.tap(kiosk.button("Take in a list"))
    assert kiosk.shows("Where is the part list?")


def test_the_hang_day_is_set_by_buttons(kiosk, file):
    open_job(kiosk)
    kiosk.tap(kiosk.button("Hang day"))
    kiosk.tap(kiosk.button("+ 1 week"))
    kiosk.tap(kiosk.button("− 1 day"))
    assert kiosk.shows("Thu 19 Mar 2026, in 8 days")
    assert job_of(file).hang_day == "2026-03-13"
    kiosk.tap(kiosk.button("Set it"))
    assert job_of(file).hang_day == "2026-03-19"
    assert kiosk.shows("Thu 19 Mar 2026")


def test_the_hang_day_can_be_cleared(kiosk, file):
    open_job(kiosk)
    kiosk.tap(kiosk.button("Hang day"))
    kiosk.tap(kiosk.button("No hang day"))
    assert job_of(file).hang_day == ""
    assert kiosk.shows("no hang day set")


def test_a_name_is_typed_on_keys_of_the_screen(kiosk, file):
    open_job(kiosk)
    kiosk.tap(kiosk.button("Site"))
    for key in ("K", "i", "l", "n", "Space", "2"):
        kiosk.tap(kiosk.desk.show.keys[key])
    kiosk.tap(kiosk.button("Use it"))
    assert job_of(file).site == "Kiln 2"


def test_a_name_is_typed_on_a_real_keyboard(kiosk, file):
    open_job(kiosk)
    kiosk.tap(kiosk.button("Site"))
    kiosk.type("Töpferei  hinx", gap=0.2, end=8)
    kiosk.type("ten", gap=3.0)
    kiosk.settle()
    assert job_of(file).site == "Töpferei hinten"


def test_a_scan_at_a_pad_is_a_scan_and_no_name(kiosk, file, taken):
    open_job(kiosk)
    kiosk.tap(kiosk.button("Site"))
    code = taken[1].pieces[2].code
    kiosk.scan(code)
    assert kiosk.shows("Recorded")
    assert job_of(file).site == ""


def test_a_job_that_is_not_all_hung_needs_a_reason_to_be_closed(kiosk, file):
    open_job(kiosk)
    kiosk.tap(kiosk.button("Close the job"))
    kiosk.tap(kiosk.button("Close it"))
    assert kiosk.shows("GLAZE is not closed")
    assert kiosk.shows("are not hung")
    assert job_of(file).open
    kiosk.tap(kiosk.button("Close: called off"))
    assert not job_of(file).open
    assert kiosk.shows("No job is open")


def test_units_show_where_they_stand_and_lead_to_one(kiosk, taken):
    open_shop(kiosk, "Units")
    unit = taken[1]
    kiosk.tap(row(kiosk, unit.unit))
    assert kiosk.shows("to cut")
    assert kiosk.shows(f"Parts: 2 of {len(unit.pieces)} cut")
    kiosk.tap(kiosk.button(f"Parts: 2 of {len(unit.pieces)} cut"))
    assert kiosk.shows("not cut")


def test_an_entry_is_chosen_and_struck_after_asking(kiosk, file, taken):
    unit = taken[1]
    open_shop(kiosk, "Units")
    kiosk.tap(row(kiosk, unit.unit))
    kiosk.tap(kiosk.button("History: 3 entries"))
    kiosk.tap(row(kiosk, "14:40, Mara"))
    assert kiosk.shows("the log keeps it")
    kiosk.tap(kiosk.button("Strike it"))
    assert kiosk.shows("Struck")
    kiosk.tap(kiosk.button("History"))
    assert kiosk.shows("14:40, Mara, struck")
    kiosk.tap(kiosk.button("Back"))
    assert kiosk.shows(f"Parts: 1 of {len(unit.pieces)} cut")


def test_what_cannot_be_struck_is_no_button(kiosk, taken):
    from kiosk.widgets.panels import BigButton

    open_shop(kiosk, "Units")
    kiosk.tap(row(kiosk, taken[1].unit))
    kiosk.tap(kiosk.button("History: 3 entries"))
    assert not isinstance(row(kiosk, "part list:"), BigButton)
    assert isinstance(row(kiosk, "14:40, Mara"), BigButton)


def test_a_part_is_found_from_the_shop_and_leads_to_its_unit(kiosk, taken):
    unit = taken[1]
    open_shop(kiosk, "Find a part")
    code = unit.pieces[0].code
    for key in code:
        kiosk.tap(kiosk.desk.show.keys[key])
    kiosk.tap(kiosk.desk.show.find)
    kiosk.tap(kiosk.desk.show.rows[code])
    assert kiosk.button("Print its label")
    kiosk.tap(kiosk.button(f"Unit {unit.unit}"))
    assert kiosk.shows(f"Parts: 2 of {len(unit.pieces)} cut")
    kiosk.tap(kiosk.button("Back"))
    assert kiosk.button("Print its label")


def test_a_part_nobody_has_is_said_and_what_was_typed_stays(kiosk):
    open_shop(kiosk, "Find a part")
    kiosk.desk.show.typed = "ZZZZ"
    kiosk.tap(kiosk.desk.show.find)
    assert kiosk.shows("No part of an open job fits")
    assert kiosk.desk.show.typed == "ZZZZ"


def test_the_clock_of_a_unit_leads_back_to_it(kiosk, taken):
    unit = taken[1].unit
    open_shop(kiosk, "Units")
    kiosk.tap(row(kiosk, unit))
    kiosk.tap(kiosk.button("Clock"))
    kiosk.tap(kiosk.button("Back"))
    assert kiosk.button("Clock")


def test_labels_of_a_job_are_reached_from_it(kiosk):
    open_job(kiosk)
    kiosk.tap(kiosk.button("Labels"))
    assert kiosk.shows("Labels of GLAZE Glaze store")


def test_a_part_is_looked_for_on_a_real_keyboard(kiosk):
    open_shop(kiosk, "Find a part")
    kiosk.type("g01 cx", gap=0.2, end=8)
    kiosk.type("leat", gap=0.2)
    kiosk.settle()
    assert kiosk.shows("fit g01 cleat")


def test_without_a_suffix_a_name_in_the_making_is_no_code(file, drive):
    settings = replace(SETTINGS, scanner_suffix="none")
    kiosk = drive(late_shop(file, settings, FixedClock(AT)), station="cut")
    open_job(kiosk)
    kiosk.tap(kiosk.button("Site"))
    pad = kiosk.desk.show
    for letter in "Kiln room":
        kiosk.seconds += 0.2
        kiosk.win.dispatch("on_textinput", letter)
    for _moment in range(8):
        kiosk.seconds += 0.5
        kiosk.app.wedge.poll()
        kiosk.settle()
    assert kiosk.desk.show is pad
    assert pad.typed == "Kiln room"


def test_without_a_suffix_a_scan_at_a_pad_is_still_a_scan(file, drive, taken):
    settings = replace(SETTINGS, scanner_suffix="none")
    kiosk = drive(late_shop(file, settings, FixedClock(AT)), station="cut")
    open_job(kiosk)
    kiosk.tap(kiosk.button("Site"))
    for letter in taken[1].pieces[2].code:
        kiosk.seconds += 0.004
        kiosk.win.dispatch("on_textinput", letter)
    kiosk.seconds += 0.5
    kiosk.app.wedge.poll()
    kiosk.settle()
    assert kiosk.shows("Recorded")


def test_a_job_closed_by_mistake_is_opened_again(kiosk, file):
    open_job(kiosk)
    assert not kiosk.shows("Closed jobs")
    kiosk.tap(kiosk.button("Close the job"))
    kiosk.tap(kiosk.button("Close it"))
    kiosk.tap(kiosk.button("Close: called off"))
    kiosk.tap(kiosk.button("Closed jobs"))
    assert kiosk.shows("1 closed job")
    kiosk.tap(row(kiosk, "GLAZE"))
    assert not job_of(file).open
    kiosk.tap(kiosk.button("Open again"))
    job = job_of(file)
    assert (job.open, job.name, job.hang_day) == (True, "Glaze store", "2026-03-13")
    assert kiosk.shows("2 of ")
    kiosk.tap(kiosk.button("Back"))
    assert kiosk.shows("1 open job")
    assert not any(text == "Closed jobs" for text in kiosk.texts())
