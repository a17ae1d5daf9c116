"""The clocks of a unit at the kiosk: a line for each stage, and a picture."""

from datetime import timedelta

import numpy as np
import pytest
from fake_matters import days_of_air
from fake_shop import NOW
from PIL import Image

from kiosk.rules.air import Air, Reading
from kiosk.screens.clockview import see_clocks, see_picture


def open_clock(kiosk):
    kiosk.scan("K7F3Q97")
    kiosk.tap(kiosk.desk.bench.shop)
    kiosk.tap(kiosk.button("Clock of G05"))


def test_without_a_unit_there_is_no_clock_to_open(drive, shop):
    kiosk = drive(shop)
    kiosk.tap(kiosk.desk.bench.shop)
    assert not kiosk.shows("Clock of")


def test_a_line_for_each_stage_says_when_and_how_it_stands(drive, shop):
    kiosk = drive(shop)
    open_clock(kiosk)
    assert kiosk.shows("G05 Tile panel: coat 1 since 14:10, Polyurethane, water-based, clear")
    for words in ("dry to touch", "since 14:55*", "reached", "may be coated again", "16:10*"):
        assert words in [text.replace("\u00a0", " ") for text in kiosk.texts()]
    assert kiosk.shows("* typical figure, not from the label")
    assert kiosk.shows("no reading of the air: the label's own air is assumed".capitalize())


def test_what_is_held_says_so_and_why(shop):
    shop.read = Air([Reading(NOW - timedelta(hours=3), 6, 60)])
    view = see_clocks(shop, "GLAZE/G05", "G05")
    assert {row.state for row in view.rows} == {"held", "running"}
    late = next(row for row in view.rows if row.words.startswith("too late"))
    assert (late.time, late.state) == ("Thu 02:10", "running")  # cold never lengthens a window
    said = [view.sentence, *(row.sentence for row in view.rows)]
    assert any("held: air 6 °C, it needs 10 °C" in words for words in said)
    assert "not in sight" in {row.time for row in view.rows}


def test_the_soonest_stage_stands_first_and_what_is_not_in_sight_last(shop):
    shop.read = Air(days_of_air(NOW))
    view = see_clocks(shop, "GLAZE/G05", "G05")
    assert [row.words for row in view.rows][:2] == ["dry to touch", "may be coated again"]
    assert view.rows[-1].words == "may carry goods"


def test_a_unit_without_anything_on_it_says_so(drive, shop, monkeypatch):
    monkeypatch.setattr(shop, "clocks", lambda text, now=None: ())
    kiosk = drive(shop)
    open_clock(kiosk)
    assert kiosk.shows("G05 Tile panel: nothing on it has a clock yet")


def test_a_unit_that_is_gone_is_answered_like_a_scan(drive, shop, monkeypatch):
    gone = shop.clocks("G99")
    monkeypatch.setattr(shop, "clocks", lambda text, now=None: gone)
    kiosk = drive(shop)
    open_clock(kiosk)
    assert kiosk.shows("No such unit")


def test_the_picture_fills_the_room_it_is_given(drive, shop):
    shop.read = Air(days_of_air(NOW))
    image = see_picture(shop, "GLAZE/G05", (1250, 640))
    assert image.width == pytest.approx(1250, abs=3)
    assert image.height == 640
    kiosk = drive(shop)
    open_clock(kiosk)
    kiosk.tap(kiosk.button("Picture"))
    pixels = kiosk.pixels()[:600, 20:1240]
    assert (pixels.min(axis=2) > 250).mean() > 0.3  # paper
    assert (pixels.max(axis=2) < 90).mean() > 0.005  # ink
    kiosk.tap(kiosk.button("Back"))
    assert kiosk.shows("may be coated again")
    kiosk.tap(kiosk.button("Back"))
    assert kiosk.shows("Clock of G05")


def test_without_a_clock_the_picture_says_so(drive, shop, monkeypatch):
    kiosk = drive(shop)
    open_clock(kiosk)
    monkeypatch.setattr(shop, "drawn_clock", lambda text, now=None: None)
    kiosk.tap(kiosk.button("Picture"))
    assert kiosk.shows("Nothing on it has a clock yet.")


def test_a_picture_is_shown_upright_and_never_larger_than_it_is(drive, shop):
    from kiosk.widgets.picture import Picture

    image = Image.new("RGB", (100, 60), "white")
    image.paste((200, 0, 0), (0, 0, 100, 20))  # red on top
    kiosk = drive(shop)
    kiosk.desk.put(Picture(image))
    kiosk.step(2)
    pixels = kiosk.pixels()
    red = np.argwhere((pixels == (200, 0, 0)).all(axis=2))
    white = np.argwhere((pixels == (255, 255, 255)).all(axis=2))
    assert red[:, 0].max() < white[:, 0].min()
    assert np.ptp(red[:, 1]) == 99


def test_a_clock_left_alone_goes_home(drive, shop):
    kiosk = drive(shop)
    open_clock(kiosk)
    kiosk.tick(61)
    assert kiosk.desk.show is kiosk.desk.bench
