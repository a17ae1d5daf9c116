"""The shop's screens in German: what is drawn, and that pads work by their keys all the same."""

import gettext

import pytest
from fake_matters import days_of_air
from fake_shop import NOW

from kiosk import language
from kiosk.rules.air import Air
from kiosk.rules.airwords import show_temperature
from kiosk.rules.lengths import System, from_mm, show


@pytest.fixture
def german():
    language.use("de")
    yield
    language.use_catalogue(gettext.NullTranslations())


@pytest.fixture
def kiosk(drive, shop, german):
    shop.read = Air(days_of_air(NOW))
    return drive(shop)


def test_the_air_is_shown_in_german(kiosk):
    kiosk.desk.shopdesk.air.open()
    kiosk.settle()

    assert kiosk.shows("Luft der Werkstatt")
    assert kiosk.shows("Letzte Messung: eingegeben")
    assert kiosk.button("Messung eingeben")
    assert not kiosk.shows("Last reading")


def test_a_pads_keys_work_whatever_is_written_on_them(kiosk):
    kiosk.desk.shopdesk.air.open()
    kiosk.settle()
    kiosk.tap(kiosk.button("Messung eingeben"))
    pad = kiosk.desk.show
    for key in ("1", "8", "7", "Delete"):
        kiosk.tap(pad.keys[key])

    assert pad.typed == "18"
    assert kiosk.shows("Löschen")


def test_figures_have_a_decimal_comma_on_the_screen_and_a_point_in_what_is_kept(kiosk):
    assert language.shown(show(from_mm(3.5), System.MM)) == "3,5 mm"
    assert language.shown(show_temperature(18.5, fahrenheit=False)) == "18,5 °C"
    kiosk.desk.shopdesk.air.open()
    kiosk.settle()
    kiosk.tap(kiosk.button("Messung eingeben"))
    pad = kiosk.desk.show
    for key in "18.5":
        kiosk.tap(pad.keys[key])
    assert pad.typed == "18.5"
    assert kiosk.shows("18,5")


def test_products_and_their_figures_are_shown_in_german(kiosk):
    kiosk.desk.shopdesk.products.open_first_page()
    kiosk.settle()

    assert kiosk.shows("Produkte")
    kiosk.tap(next(iter(kiosk.desk.show.rows.values())))
    assert kiosk.shows("Werte für")
    assert not kiosk.shows("from the label")


def test_switched_in_the_settings_everything_is_drawn_in_german_at_once(drive, shop):
    kiosk = drive(shop)
    settings = kiosk.desk.shopdesk.upkeep.settings
    try:
        settings.open_first_page()
        kiosk.settle()
        settings.keep("language", "de", then=lambda _problems: None)
        kiosk.settle()
        kiosk.desk.open_bench()
        kiosk.settle()
        assert kiosk.button("Letztes stornieren")
        assert kiosk.button("OBERFLÄCHE")
        assert not kiosk.shows("Strike last")
    finally:
        language.use_catalogue(gettext.NullTranslations())
