"""The shop's screens in German: what is drawn, and that pads work by their keys all the same."""

import gettext

import pytest
from fake_matters import days_of_air
from fake_shop import NOW

from kiosk import language
from kiosk.rules.air import Air


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


def test_products_and_their_figures_are_shown_in_german(kiosk):
    kiosk.desk.shopdesk.products.open_first_page()
    kiosk.settle()

    assert kiosk.shows("Produkte")
    kiosk.tap(next(iter(kiosk.desk.show.rows.values())))
    assert kiosk.shows("Werte für")
    assert not kiosk.shows("from the label")
