"""What a kiosk is connected with: its printer, its camera, its scanner, its sensors."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from kivy.clock import Clock

from kiosk.camera import Frames
from kiosk.grab import Strokes
from kiosk.screens.airfeed import AirFeed
from kiosk.screens.devices import Devices
from kiosk.screens.exchangefeed import ExchangeFeed
from kiosk.screens.face import ShopFace
from kiosk.screens.printface import MakePrints, make_prints
from kiosk.screens.prints import Prints
from kiosk.screens.worker import Worker


@dataclass(frozen=True, slots=True)
class Gear:
    """How a kiosk reaches its devices; tests bring their own, pictures have none.

    is_connected False starts nothing, whatever the settings name.
    """

    make_prints: MakePrints = make_prints
    frames: Frames | None = None
    strokes: Strokes | None = None
    is_connected: bool = True


@dataclass(frozen=True, slots=True)
class GearActs:
    """What the devices tell, all on the drawing thread: a code, a print changed, air was read.

    exchanged is told how the kiosk stands to the others, with whether entries came in.
    """

    code: Callable[[str], None]
    printed: Callable[[], None]
    aired: Callable[[], None]
    exchanged: Callable[[bool], None]


class Connected:
    """The devices of one kiosk, started and stopped together."""

    def __init__(
        self,
        shop: ShopFace,
        worker: Worker,
        *,
        gear: Gear,
        acts: GearActs,
        seconds: Callable[[], float],
        is_board: bool = False,
    ) -> None:
        """Prepare the devices; nothing is reached yet.

        A board on the wall takes no scanner, camera or printer away from the bench beside it.
        """
        self._is_board = is_board
        self._gear, later, self.seconds = gear, Clock.schedule_once, seconds
        self.feed = AirFeed(shop, worker, taken=acts.aired)
        self.prints = Prints(shop, worker, later=later, changed=acts.printed, make=gear.make_prints)
        self.exchange = ExchangeFeed(shop, worker, later=later, changed=acts.exchanged)
        self.devices = Devices(
            shop.settings,
            seconds,
            later=later,
            code=acts.code,
            frames=gear.frames,
            strokes=gear.strokes,
        )

    def start(self) -> None:
        """Begin with all the settings name."""
        if self._gear.is_connected:
            self.feed.start()
            self.exchange.start()
            if not self._is_board:
                self.prints.start()
                self.devices.start()

    def stop(self) -> None:
        """End with all of them."""
        self.exchange.stop()
        self.feed.stop()
        self.devices.stop()
        self.prints.stop()
