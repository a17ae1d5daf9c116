"""Oily rags: a band on bench and board until they are ticked off."""

import pytest
from fake_matters import rags_of
from fake_shop import NOW, too_early

from kiosk.theme import INK, WHITE


@pytest.fixture
def oily(shop):
    """A shop where oil was wiped on two hours ago."""
    shop.out = rags_of(NOW)
    return shop


def test_without_rags_there_is_no_band(drive, shop):
    kiosk = drive(shop)
    assert not kiosk.shows("Oily rags")
    assert kiosk.desk.bench.rags.height == 0


@pytest.mark.parametrize("home", ["bench", "board"])
def test_rags_stand_on_bench_and_board(drive, oily, home):
    kiosk = drive(oily, home=home)
    assert kiosk.shows("Oily rags: dry them flat outside, one layer. Tick off when done.")


def test_the_band_goes_when_they_are_ticked_off(drive, oily):
    kiosk = drive(oily)
    kiosk.tap(kiosk.button("Tick off"))
    assert oily.calls == []
    assert kiosk.shows("Oily rags since 13:40: Oil, wiped on")
    assert kiosk.shows("away from buildings")
    kiosk.tap(kiosk.button("They are out"))
    assert oily.calls == [("clear_rags", "Mara")]
    assert kiosk.shows("Oily rags are out")
    assert not kiosk.desk.bench.rags.is_shown
    assert not kiosk.desk.board.rags.is_shown


def test_ticking_off_that_could_not_be_kept_leaves_the_band(drive, oily):
    kiosk = drive(oily)
    kiosk.tap(kiosk.button("Tick off"))
    oily.broken = OSError("The disk is full.")
    kiosk.tap(kiosk.button("They are out"))
    assert kiosk.shows("The rags were not ticked off. Try again.")
    kiosk.tap(kiosk.button("Go on"))
    assert kiosk.desk.bench.rags.is_shown


@pytest.mark.parametrize("home", ["bench", "board"])
def test_from_closing_time_on_the_band_is_tall_and_inverted(drive, oily, home):
    kiosk = drive(oily, home=home)
    band = getattr(kiosk.desk, home).rags
    calm = band.height
    assert band.fill == WHITE
    oily.out, oily.fresh = rags_of(NOW, pressing=True), True
    kiosk.tick()
    assert band.height > calm * 1.4
    assert band.fill == INK
    assert kiosk.shows("Before you go: oily rags!")


def test_the_shop_leads_to_the_rags_only_while_they_are_out(drive, oily):
    kiosk = drive(oily)
    kiosk.tap(kiosk.desk.bench.shop)
    kiosk.tap(kiosk.button("Oily rags"))
    kiosk.tap(kiosk.button("Back"))
    assert kiosk.desk.show is kiosk.desk.bench
    oily.out, oily.fresh = None, True
    kiosk.tick()
    kiosk.tap(kiosk.desk.bench.shop)
    assert "Oily rags" not in kiosk.texts()


def test_rags_ticked_off_elsewhere_meanwhile_lead_back_to_the_bench(drive, oily):
    kiosk = drive(oily)
    kiosk.tap(kiosk.desk.bench.shop)
    button = kiosk.button("Oily rags")
    oily.out, oily.fresh = None, True
    kiosk.tick()
    kiosk.tap(button)
    assert kiosk.desk.show is kiosk.desk.bench


def test_a_question_keeps_its_buttons_beside_the_band(drive, oily):
    kiosk = drive(oily)
    bench = kiosk.desk.bench
    oily.plan["K7F3Q97"] = too_early("K7F3Q97")
    kiosk.scan("K7F3Q97")
    assert kiosk.shows("Oily rags")
    assert bench.header.parent is None  # the band stands in its place
    touch = kiosk.desk.trim.sizes.touch
    assert min(button.height for button in bench.choices.buttons) >= touch - 1
    kiosk.tap(kiosk.button("Wait"))
    assert bench.header.parent is bench
    assert bench.children[-1] is bench.header


def test_the_list_makes_room_for_the_band(drive, oily):
    assert drive(oily).shows("Due here: 4 of 7")


def test_the_rags_left_alone_go_home(drive, oily):
    kiosk = drive(oily)
    kiosk.tap(kiosk.button("Tick off"))
    kiosk.tick(61)
    assert kiosk.desk.show is kiosk.desk.bench
