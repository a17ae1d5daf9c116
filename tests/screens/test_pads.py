"""Every pad is typed on by a keyboard as by its keys, and a scan on it is still a scan."""

import importlib
import inspect
import pkgutil
from dataclasses import replace

import pytest
from fake_matters import days_of_air
from fake_shop import NOW

import kiosk.screens
from kiosk.rules.air import Air

METHODS = ("type_letters", "rub_out", "enter", "put_back")
ENTER, BACKSPACE = 13, 8


def pads():
    """Give every class of kiosk.screens that is named as a pad."""
    for found in pkgutil.iter_modules(kiosk.screens.__path__, "kiosk.screens."):
        module = importlib.import_module(found.name)
        for name, one in inspect.getmembers(module, inspect.isclass):
            if name.endswith(("Pad", "PadScreen")) and one.__module__ == module.__name__:
                yield one


def build(pad, trim, used):
    """Make a pad with nothing on it."""
    wanted = inspect.signature(pad).parameters
    asks = {"FigurePad": "Ask", "PinPad": "Ask", "WordPad": "AskWords"}
    args = [trim]
    if "ask" in wanted:
        base = next(one for one in pad.__mro__ if one.__name__ in asks)
        args.append(getattr(inspect.getmodule(base), asks[base.__name__])("What?"))
    return pad(*args, use=used.append, back=lambda: None)


def test_every_pad_takes_a_keyboard(drive, shop):
    desk = drive(shop).desk
    found = list(pads())
    assert {one.__name__ for one in found} >= {"FigurePad", "WordPad", "FindPad", "PinPad"}
    for one in found:
        lacking = [name for name in METHODS if not callable(getattr(one, name, None))]
        assert not lacking, one.__name__
        used = []
        pad = build(one, desk.trim, used)
        pad.type_letters("7490169")  # a PIN has six digits, a code seven letters
        pad.rub_out()
        assert pad.typed == "749016", one.__name__
        pad.asked[0].act()
        assert used == ["749016"], one.__name__
        assert [choice.card for choice in pad.asked] == ["yes", "back"]
        pad.put_back("3")
        assert pad.typed == "3", one.__name__


@pytest.fixture
def first(drive, shop):
    kiosk = drive(shop)
    kiosk.desk.shopdesk.upkeep.first.ask_name()
    kiosk.settle()
    return kiosk


def test_a_keyboard_types_the_shops_name_and_enter_keeps_it(first, shop):
    first.scan("Glaze & Kiln")
    assert shop.kept == {"shop": "Glaze & Kiln"}
    assert first.shows("How does the shop measure?")


def test_backspace_takes_a_letter_back_and_enter_keeps_what_stands_there(first, shop):
    for letter in "Kilnx":
        first.win.dispatch("on_textinput", letter)
    first.key(BACKSPACE)
    assert first.desk.show.typed == "Kiln"
    first.key(ENTER)
    first.settle()
    assert shop.kept == {"shop": "Kiln"}


def test_a_scan_on_the_letter_pad_is_recorded_and_no_name(first, shop):
    first.scan("K7F3Q97")
    assert not shop.kept
    assert [call[0] for call in shop.calls] == ["scan"]


@pytest.fixture
def air(drive, shop):
    shop.read = Air(days_of_air(NOW))
    kiosk = drive(shop)
    kiosk.desk.shopdesk.air.open()
    kiosk.settle()
    kiosk.tap(kiosk.button("Type a reading"))
    return kiosk


def test_a_keyboard_types_a_figure_with_sign_and_comma(air):
    for letter in "-7,5":
        air.win.dispatch("on_textinput", letter)
    assert air.desk.show.typed == "-7.5"


def test_enter_uses_a_typed_figure(air):
    air.scan("21")
    assert air.shows("How damp is it?")


def test_a_digit_alone_is_a_figure_and_no_choice(air):
    air.scan("1")
    assert air.shows("How damp is it?")
    air.scan("2")
    assert not air.shows("How damp is it?")


def test_a_scan_on_the_figure_pad_is_recorded_and_its_digits_are_no_figure(air, shop):
    pad = air.desk.show
    air.scan("K7F3Q97")
    assert pad.typed == ""
    assert [call[0] for call in shop.calls] == ["scan"]


def test_the_digits_of_a_misread_label_are_no_figure(air):
    air.scan("K7F3Q9")
    assert air.shows("There were letters in it.")
    assert air.desk.show.typed == ""
    air.scan("21")
    assert air.shows("How damp is it?")


@pytest.fixture
def ruler(drive, shop):
    shop.settings = replace(shop.settings, screen_diagonal_in=42.9)
    kiosk = drive(shop)
    kiosk.desk.shopdesk.ruler.open()
    kiosk.settle()
    return kiosk


def test_a_scan_on_the_page_about_the_screen_keeps_nothing_and_is_recorded(ruler, shop):
    ruler.scan("K7F3Q97")
    assert [call[0] for call in shop.calls] == ["scan"]
    assert ruler.desk.show is ruler.desk.bench


def test_enter_by_itself_keeps_what_the_page_about_the_screen_shows(ruler, shop):
    ruler.key(ENTER)
    ruler.settle()
    assert [call[0] for call in shop.calls] == ["keep_settings"]


def test_the_number_and_its_unit_stand_on_one_line(ruler):
    assert "109\u00a0cm" in ruler.desk.show.diagonal.text
    assert ruler.desk.show.distance.text.endswith("\u00a0m")
