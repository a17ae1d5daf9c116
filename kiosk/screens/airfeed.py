"""Hand what sensors send to the shop's thread, and say how they stand."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from typing import Protocol

from kiosk.clock import SystemClock
from kiosk.config import Settings
from kiosk.rules.air import Reading
from kiosk.rules.times import say_time
from kiosk.rules.words import _, join, say
from kiosk.screens.face import Problems, ShopFace
from kiosk.screens.flow import say_problems
from kiosk.screens.worker import Worker


class FeedFace(Protocol):
    """The part of `kiosk.sensors.Feed` that is used here."""

    @property
    def away_since(self) -> datetime | None:
        """Return since when the broker is away, None while it is there."""
        ...

    def start(self) -> None:
        """Begin to listen."""
        ...

    def stop(self) -> None:
        """End listening."""
        ...


MakeFeed = Callable[[Settings, Callable[[Reading], None], Callable[[str], None]], FeedFace]


def make_feed(
    settings: Settings, take: Callable[[Reading], None], tell: Callable[[str], None]
) -> FeedFace:
    """Return the feed the settings name."""
    from kiosk.sensors import Feed  # only where sensors are set up: it brings a network library

    return Feed(
        settings.mqtt_host,
        settings.mqtt_port,
        settings.mqtt_topic,
        clock=SystemClock(),
        take=take,
        tell=tell,
        user=settings.mqtt_user,
        password=settings.mqtt_password,
        tls=settings.mqtt_tls,
    )


class AirFeed:
    """The feed of a kiosk; where the settings name no broker, it does nothing."""

    def __init__(
        self,
        shop: ShopFace,
        worker: Worker,
        *,
        taken: Callable[[], None],
        make: MakeFeed = make_feed,
    ) -> None:
        """Take `taken`, called on the drawing thread when a reading was kept."""
        self._shop, self._worker, self._taken, self._make = shop, worker, taken, make
        self._feed: FeedFace | None = None
        self._words = ""

    def start(self) -> None:
        """Begin to listen where a broker is set."""
        if self._shop.settings.mqtt_host and self._feed is None:
            self._feed = self._make(self._shop.settings, self.take, self.tell)
            self._feed.start()

    def stop(self) -> None:
        """End listening."""
        feed, self._feed = self._feed, None
        if feed is not None:
            feed.stop()

    def say(self) -> str:
        """Return how the sensors stand, nothing where none are set up."""
        if self._feed is None:
            return ""
        away = self._feed.away_since
        state = _("connected")
        if away is not None:
            state = say("away since {time}", time=say_time(away, now=away, zone=self._shop.zone))
        return join((say("Sensors: {state}", state=state), self._words), "; ")

    def take(self, reading: Reading) -> None:
        """Hand a reading on; may be called from any thread."""
        self._worker.ask(
            lambda: self._shop.take_reading(reading),
            self._kept,
            fail=lambda error: self.tell(say("a reading was not kept: {error}", error=error)),
        )

    def tell(self, words: str) -> None:
        """Remember what was wrong; may be called from any thread."""
        self._words = words

    def _kept(self, problems: Problems) -> None:
        self._words = say_problems(problems)
        if not problems:
            self._taken()
