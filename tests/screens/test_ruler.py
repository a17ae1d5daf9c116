"""The page about this screen: the rulers are as long as they say, and what is kept is kept."""

import math
from dataclasses import replace

import pytest

from kiosk.theme import text_px


@pytest.fixture
def page(drive, shop):
    shop.settings = replace(shop.settings, screen_diagonal_in=10.1, viewing_distance_m=0.6)
    kiosk = drive(shop)
    kiosk.tap(kiosk.button("Shop"))
    kiosk.tap(kiosk.button("Screen"))
    return kiosk


def drawn_length(kiosk, above):
    """Length in pixels of the line of a ruler, measured in the picture of the window."""
    ruler, pixels = kiosk.desk.show.ruler, kiosk.pixels()
    middle = pixels.shape[0] - (ruler.y + ruler.height / 2)
    reach = range(2, 12)
    rows = [pixels[round(middle + (-at if above else at))] for at in reach]
    longest = 0
    for row in rows:
        run = 0
        for dot in row:
            run = run + 1 if dot.max() < 90 else 0
            longest = max(longest, run)
    return longest


@pytest.mark.parametrize("diagonal", [10.1, 11.1, 15.6])
def test_both_rulers_are_as_long_as_they_say_on_a_screen_of_that_diagonal(page, diagonal):
    screen = page.desk.show
    screen.change_diagonal(diagonal - screen.diagonal_in)
    page.settle()
    px_per_mm = math.hypot(1280, 800) / (diagonal * 25.4)
    assert drawn_length(page, above=True) == pytest.approx(100 * px_per_mm, abs=1.5)
    assert drawn_length(page, above=False) == pytest.approx(101.6 * px_per_mm, abs=1.5)


def test_the_buttons_change_diagonal_and_distance_within_what_may_be_set(page):
    screen = page.desk.show
    page.tap(page.button("+ 1"))
    page.tap(page.button("− 0.1"))
    page.tap(page.button("Farther"))
    assert (screen.diagonal_in, screen.distance_m) == (11.0, 0.7)
    assert page.shows("Diagonal 11.0 in, 28 cm")
    assert page.shows("Read from 0.7 m")
    screen.change_diagonal(-500)
    for _ in range(9):
        screen.change_distance(-1)
    assert (screen.diagonal_in, screen.distance_m) == (5.0, 0.3)


def test_the_sample_is_as_large_as_it_is_read_from_the_distance(page):
    screen = page.desk.show
    while screen.distance_m < 1.2:
        screen.change_distance(1)
    page.settle()
    px_per_mm = math.hypot(1280, 800) / (10.1 * 25.4)
    assert screen.sample.words.font_size == pytest.approx(text_px(20, 1.2, px_per_mm), abs=1)
    for _ in range(20):
        screen.change_distance(1)
    page.settle()
    assert page.shows("Read the board from nearer")


def test_what_is_kept_goes_to_the_settings_and_holds_at_once(page, shop):
    before = page.desk.trim.sizes.px_per_mm
    page.tap(page.button("+ 1"))
    page.tap(page.button("Colours: light"))
    page.tap(page.button("Keep"))
    assert shop.calls[-1] == (
        "keep_settings",
        {"screen_diagonal_in": 11.1, "viewing_distance_m": 0.6, "theme": "dark"},
    )
    assert page.desk.trim.sizes.px_per_mm == pytest.approx(before * 10.1 / 11.1, rel=1e-6)
    assert page.shows("Kept.")
    assert page.shows("Colours: dark")


def test_going_back_keeps_nothing(page, shop):
    before = page.desk.trim
    page.tap(page.button("+ 1"))
    page.tap(page.button("Back"))
    assert page.desk.trim is before
    assert not [call for call in shop.calls if call[0] == "keep_settings"]


def test_a_file_that_cannot_be_written_is_said_and_nothing_changes(page, shop):
    before = page.desk.trim
    shop.refusal = "settings.toml cannot be written: Read-only file system."
    page.tap(page.button("+ 1"))
    page.tap(page.button("Keep"))
    assert page.shows("Read-only file system")
    assert page.desk.trim is before


def test_another_size_of_the_window_keeps_what_was_set(page):
    page.tap(page.button("+ 1"))
    page.tap(page.button("Keep"))
    page.app._resized()
    assert page.desk.trim.sizes.diagonal_in == pytest.approx(11.1)


def test_a_wall_board_is_set_by_keys_and_keeps_figures_of_its_own(drive, shop):
    shop.settings = replace(shop.settings, board_diagonal_in=42.0, board_distance_m=3.0)
    kiosk = drive(shop, home="board")
    assert kiosk.desk.trim.sizes.diagonal_in == pytest.approx(42.0)
    assert kiosk.desk.trim.sizes.distance_m == 3.0
    for key in (283, 275, 275, 273, 13):  # F2, right twice, up, Enter
        kiosk.key(key)
        kiosk.settle()
    assert shop.calls[-1] == (
        "keep_settings",
        {"board_diagonal_in": 42.2, "board_distance_m": 3.5, "theme": "light"},
    )
    kiosk.key(27)
    kiosk.settle()
    assert kiosk.desk.show is kiosk.desk.board
    assert kiosk.desk.trim.sizes.distance_m == 3.5


def test_a_board_without_figures_of_its_own_takes_those_of_the_bench(drive, shop):
    sizes = drive(shop, home="board").desk.trim.sizes
    assert sizes.diagonal_in == pytest.approx(shop.settings.screen_diagonal_in)


def test_keys_of_a_keyboard_do_nothing_on_other_screens(drive, shop):
    kiosk = drive(shop, home="board")
    for key in (275, 273, 13, 27):
        kiosk.key(key)
    kiosk.settle()
    assert kiosk.desk.show is kiosk.desk.board
    assert not shop.calls


def test_the_page_waits_for_the_tape_measure(page):
    shown = page.desk.show
    page.tick(3600)
    assert page.desk.show is shown


def test_the_page_waits_at_a_board_on_the_wall_too(drive, shop):
    kiosk = drive(shop, home="board")
    kiosk.key(283)
    kiosk.settle()
    shown = kiosk.desk.show
    kiosk.tick(3600)
    assert shown is kiosk.desk.show is not kiosk.desk.board
