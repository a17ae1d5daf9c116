from dataclasses import replace

import numpy as np
import pytest
from fake_shop import FakeShop, full_floor

from kiosk.theme import STATES, measure_screen, rgba


def tile_of(kiosk, unit):
    found = [
        box
        for column in kiosk.desk.board.tiles
        for box in column
        if box.tile is not None and box.tile.unit == unit
    ]
    assert len(found) == 1
    return found[0]


def colour_at(kiosk, widget, across, along=0.12):
    """Mean colour of a small block inside a widget, as three numbers 0..255."""
    pixels = kiosk.pixels()
    x, y = widget.to_window(widget.x, widget.y)
    column = round(x + widget.width * across)
    row = round(pixels.shape[0] - (y + widget.height * along))
    return pixels[row - 1 : row + 2, column - 1 : column + 2].reshape(-1, 3).mean(axis=0)


def count_of(kiosk, title):
    """The count shown beside a title in the header of the board."""
    return {name.text: count.text for count, name in kiosk.desk.board._counts}[title]


def near(colour, wanted):
    return np.abs(colour - np.array(rgba(wanted)[:3]) * 255).max() <= 4


@pytest.mark.parametrize(
    ("unit", "state"), [("G08", "late"), ("G05", "coat"), ("G02", "hang"), ("G01", "resting")]
)
def test_a_tile_has_the_fill_of_its_state(drive, shop, unit, state):
    kiosk = drive(shop, home="board")
    kiosk.settle()
    assert near(colour_at(kiosk, tile_of(kiosk, unit), 0.45), STATES[state].fill)


def test_a_resting_tile_fills_as_time_passes(drive, shop):
    kiosk = drive(shop, home="board")
    kiosk.settle()
    tile = tile_of(kiosk, "G01")  # six tenths have passed
    assert near(colour_at(kiosk, tile, 0.55), STATES["resting"].fill)
    assert near(colour_at(kiosk, tile, 0.7), "#FFFFFF")


def test_late_is_said_in_words_and_with_a_shape(drive, shop):
    kiosk = drive(shop, home="board")
    tile = tile_of(kiosk, "G08")
    assert tile.word.text == "scuff first"
    assert tile.mark.shape == "late"


def test_the_board_changes_after_a_scan(drive, shop):
    kiosk = drive(shop)
    assert tile_of(kiosk, "G05").tile.state == "coat"
    kiosk.scan("K7F3Q97")
    assert tile_of(kiosk, "G05").tile.state == "resting"
    kiosk.tap(kiosk.button("Board"))
    assert count_of(kiosk, "resting") == "7"
    assert near(colour_at(kiosk, tile_of(kiosk, "G05"), 0.45), "#FFFFFF")


def test_a_unit_keeps_its_widget_when_its_state_changes(drive, shop):
    kiosk = drive(shop, home="board")
    before = tile_of(kiosk, "G05")
    shop.recorded, shop.fresh = 1, True
    kiosk.tick()
    assert tile_of(kiosk, "G05") is before


def test_what_another_kiosk_wrote_shows_within_a_tick(drive, shop):
    kiosk = drive(shop, home="board")
    shop.recorded, shop.fresh = 1, True
    kiosk.tick()
    assert count_of(kiosk, "resting") == "7"


def test_without_news_the_board_is_asked_again_after_ten_seconds(drive, shop):
    kiosk = drive(shop, home="board")
    shop.recorded = 1
    kiosk.tick()
    assert count_of(kiosk, "resting") == "6"
    kiosk.tick(10)
    assert count_of(kiosk, "resting") == "7"


def test_the_clock_goes_on_with_the_minute(drive, shop):
    kiosk = drive(shop, home="board")
    shop.at = shop.at.replace(minute=41)
    kiosk.tick()
    assert kiosk.shows("15:41")


def test_next_hands_stand_below(drive, shop):
    assert drive(shop, home="board").shows("next hands: K05 rack in 18 min")


def test_what_finds_no_slot_is_named(drive, shop):
    assert drive(shop, home="board").shows("+3 resting")


def test_a_shop_without_places_gets_three_bands(drive):
    kiosk = drive(FakeShop(places=False), home="board")
    assert kiosk.desk.board.bands is not None
    for words in ("6", "resting", "3", "to coat", "14", "to hang"):
        assert words in kiosk.texts()


def test_a_screen_too_small_for_its_distance_gets_three_bands(drive):
    shop = FakeShop(screen_diagonal_in=10.1, viewing_distance_m=4.0)
    assert drive(shop, home="board").desk.board.bands is not None


def test_a_wall_screen_shows_an_answer_and_goes_back_to_the_board(drive, shop):
    kiosk = drive(shop, home="board")
    kiosk.scan("K7F3Q97")
    assert kiosk.desk.show is kiosk.desk.bench
    kiosk.tick(19)
    assert kiosk.desk.show is kiosk.desk.bench
    kiosk.tick(2)
    assert kiosk.desk.show is kiosk.desk.board


def test_the_board_of_a_bench_leads_back(drive, shop):
    kiosk = drive(shop)
    kiosk.tap(kiosk.button("Board"))
    assert kiosk.desk.show is kiosk.desk.board
    kiosk.tap(kiosk.button("Back"))
    assert kiosk.desk.show is kiosk.desk.bench


def test_names_left_out_are_counted():
    from kiosk.screens.bands import pick_lines

    band = full_floor().bands[2]
    lines = pick_lines(band, rows=2, columns=4)
    assert lines[:2] == ("G20", "G21")
    assert (len(lines), lines[-1]) == (8, "+7 more")
    two = replace(band, count=2, names=("A1", "A2"), words=("hang", "after A1"))
    assert pick_lines(two, rows=2, columns=4) == ("A1   hang", "A2   after A1")
    assert pick_lines(replace(two, words=()), rows=2, columns=4) == ("A1", "A2")
    assert pick_lines(two, rows=1, columns=4) == ("A1", "A2")


def test_places_too_many_to_be_read_become_bands():
    from kiosk.screens.board import choose_layout

    sizes = measure_screen(1920, 1080, diagonal_in=43, distance_m=4)
    floor = full_floor()
    tall = replace(floor.places[0], slots=(None,) * 40)
    assert choose_layout(floor, sizes) == "places"
    assert choose_layout(replace(floor, places=(tall,)), sizes) == "bands"


def test_a_places_name_and_what_found_no_slot_are_in_letters_of_one_size(window):
    from kiosk.screens.board import PlaceHead  # a window is opened first
    from kiosk.widgets.fitting import measure

    sizes = measure_screen(1280, 800, diagonal_in=10.1, distance_m=0.6)
    head = PlaceHead(sizes)
    full = round(sizes.board * 0.85)
    wide = measure("By the door", font_size=full, bold=True, width=None)[0]
    beside = measure("+1 waiting", font_size=full, bold=False, width=None)[0]
    head.size = (wide + beside) * 0.9, head.height
    head.show(replace(full_floor().places[2], more="+1 waiting", brief="+1", left=1))
    head.do_layout()

    assert (head.name.text, head.more.text) == ("By the door", "+1 waiting")
    assert sizes.board_least < head.name.font_size == head.more.font_size < full
    size = int(head.name.font_size)
    assert measure("By the door", font_size=size, bold=True, width=None)[0] <= head.name.width
