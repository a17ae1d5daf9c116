"""The list of parts to cut on a real shop: scans, badges and strikes leave it where it is."""

import pytest
from test_bench_real import SETTINGS, RealShop, scan

from kiosk.actions import GO_AHEAD_REASONS
from kiosk.app import late_shop
from kiosk.store import Job


@pytest.fixture
def real(tmp_path):
    return RealShop(tmp_path)


@pytest.fixture
def cutting(real, drive):
    """A kiosk at the saw with the list of job JARS on the screen."""
    shop = late_shop(real.file, SETTINGS, real.clock)
    kiosk = drive(shop, station="cut", person="", reasons=GO_AHEAD_REASONS)
    kiosk.desk.shopdesk.labels.cuts.open("JARS")
    kiosk.settle()
    assert kiosk.shows("Cut next: 3 of JARS left")
    return kiosk


def ticks(kiosk):
    return {line.code for line in kiosk.desk.shopdesk.labels.cuts._view.lines if line.is_done}


def test_a_part_of_the_list_that_is_scanned_is_ticked_on_it(real, cutting):
    rows = list(cutting.desk.show.rows)
    scan(cutting, real.codes[0])
    assert real.state().piece(real.codes[0]).done["cut"]
    assert cutting.shows("Cut next: 2 of JARS left")
    assert cutting.shows("S1 Jar shelf Side")
    assert (list(cutting.desk.show.rows), ticks(cutting)) == (rows, {real.codes[0]})
    cutting.tap(cutting.desk.show.rows[real.codes[0]])
    assert cutting.shows("Cut next: 2 of JARS left")


def test_what_is_struck_is_said_on_the_list_and_its_tick_is_gone(real, cutting):
    rows = list(cutting.desk.show.rows)
    scan(cutting, real.codes[1])
    cutting.tap(cutting.button("Strike last"))
    assert cutting.shows("Cut next: 3 of JARS left")
    assert cutting.desk.show.said.text.startswith("Struck: S1 Jar shelf")
    assert (list(cutting.desk.show.rows), ticks(cutting)) == (rows, set())
    cutting.tap(cutting.desk.show.rows[real.codes[1]])
    assert real.state().piece(real.codes[1]).done["cut"]
    assert cutting.shows("Cut next: 2 of JARS left")


def test_a_unit_whose_name_two_jobs_use_is_on_the_list(real, drive):
    with_it = real.open()
    assert with_it.take_in(real.file.parent / "list.csv", Job("POTS")).taken
    real.store.close()
    shop = late_shop(real.file, SETTINGS, real.clock)
    kiosk = drive(shop, station="cut", person="", reasons=GO_AHEAD_REASONS)
    kiosk.desk.shopdesk.labels.cuts.open("JARS")
    kiosk.settle()
    assert set(kiosk.desk.show.rows) == set(real.codes)


def test_a_badge_signs_in_on_the_list(real, cutting):
    scan(cutting, real.badges["Ivo"])
    assert cutting.desk.show.said.text.startswith("Ivo works here")
    cutting.tap(cutting.desk.show.rows[real.codes[0]])
    assert real.state().piece(real.codes[0]).done["cut"].person == "Ivo"


def test_a_scan_that_is_refused_is_told_at_length_on_the_bench(real, cutting):
    scan(cutting, real.codes[0], real.codes[0])
    assert cutting.desk.show is cutting.desk.bench
