"""Sensors at the kiosk: their readings reach the shop, and how they stand is said."""

import threading
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest
from fake_shop import NOW

from kiosk.rules.air import Reading
from kiosk.rules.problems import Problem


class FakeFeed:
    """A feed that is driven by hand."""

    def __init__(self, settings, take, tell) -> None:
        self.settings, self.take, self.tell = settings, take, tell
        self.away_since: datetime | None = None
        self.log: list[str] = []

    def start(self) -> None:
        self.log.append("start")

    def stop(self) -> None:
        self.log.append("stop")


@pytest.fixture
def fed(drive, shop, monkeypatch):
    """A kiosk with sensors set up, and its feed."""
    made = []

    def make(*given):
        made.append(FakeFeed(*given))
        return made[-1]

    shop.settings = replace(shop.settings, mqtt_host="broker.local")
    from kiosk.screens.airfeed import AirFeed

    monkeypatch.setattr(AirFeed.__init__, "__kwdefaults__", {"make": make})
    kiosk = drive(shop)
    return kiosk, made[0]


def test_without_a_broker_no_feed_is_made(drive, shop):
    kiosk = drive(shop)
    assert kiosk.app.gear.feed.say() == ""


def test_a_sensors_reading_is_kept_by_the_shops_thread(fed, shop, monkeypatch):
    kiosk, feed = fed
    names, keep = [], shop.take_reading

    def take(reading, **rest):
        names.append(threading.current_thread().name)
        return keep(reading, **rest)

    monkeypatch.setattr(shop, "take_reading", take)
    reading = Reading(NOW - timedelta(minutes=1), 19.5, 61, source="sensor")
    network = threading.Thread(target=feed.take, args=(reading,))
    network.start()
    network.join()
    kiosk.settle()
    assert shop.calls == [("reading", reading, "")]
    assert names == ["shop"]


def test_the_air_on_the_screen_follows_the_sensor(fed, shop):
    kiosk, feed = fed
    kiosk.desk.shopdesk.air.open()
    kiosk.settle()
    assert kiosk.shows("No reading yet")
    assert kiosk.shows("Sensors: connected")
    feed.take(Reading(NOW - timedelta(minutes=1), 19.5, 61, source="sensor"))
    kiosk.settle()
    assert kiosk.shows("19.5 °C")
    assert kiosk.shows("Last reading: sensor 1 min ago")


def test_a_broker_that_is_away_is_said_in_the_shops_time(fed, shop):
    kiosk, feed = fed
    feed.away_since = datetime(2026, 3, 11, 15, 20, tzinfo=UTC)
    assert kiosk.app.gear.feed.say() == "Sensors: away since 15:20"


def test_what_is_wrong_with_a_sensor_is_said_until_a_reading_is_kept(fed, shop):
    kiosk, feed = fed
    feed.tell("kiln-room: battery low")
    assert kiosk.app.gear.feed.say() == "Sensors: connected; kiln-room: battery low"
    shop.refusing = (Problem("That will not do.", "Look at the sensor."),)
    feed.take(Reading(NOW, 19.5, 61, source="sensor"))
    kiosk.settle()
    assert kiosk.app.gear.feed.say() == "Sensors: connected; That will not do. Look at the sensor."
    shop.refusing = ()
    feed.take(Reading(NOW, 19.5, 61, source="sensor"))
    kiosk.settle()
    assert kiosk.app.gear.feed.say() == "Sensors: connected"


def test_a_reading_that_could_not_be_kept_is_said_without_stopping_work(fed, shop):
    kiosk, feed = fed
    shop.broken = OSError("The disk is full.")
    feed.take(Reading(NOW, 19.5, 61, source="sensor"))
    kiosk.settle()
    assert "not kept: The disk is full." in kiosk.app.gear.feed.say()
    assert kiosk.desk.show is kiosk.desk.bench


def test_the_feed_runs_as_long_as_the_kiosk(fed):
    kiosk, feed = fed
    assert feed.log == ["start"]
    kiosk.app.on_stop()
    assert feed.log == ["start", "stop"]
    assert kiosk.app.gear.feed.say() == ""
    kiosk.app.on_start()  # as the driver stops it once more


def test_the_settings_name_the_broker(shop):
    from kiosk.screens.airfeed import make_feed

    settings = replace(shop.settings, mqtt_host="broker.local", mqtt_topic="studio/#")
    feed = make_feed(settings, print, print)
    assert feed.away_since is None
    feed.stop()
