"""A shop that is opened by the thread that uses it: its file belongs to that one thread."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from contextlib import AbstractContextManager, ExitStack
from datetime import datetime, tzinfo
from pathlib import Path

from kiosk.actions import AirNow, LabelRun, Order, PartHit, Wanted
from kiosk.actions.airing import DrawnClock
from kiosk.actions.lookup import Found
from kiosk.config import Settings, zone_of
from kiosk.rules.air import Air, Reading
from kiosk.rules.ends import Reached
from kiosk.rules.floor import Due, Floor
from kiosk.rules.learning import Proposal
from kiosk.rules.parts import Piece
from kiosk.rules.products import Product
from kiosk.rules.rags import Rags
from kiosk.rules.scanning import Answer
from kiosk.screens.face import Problems, ShopFace
from kiosk.screens.labelface import FolderFace
from kiosk.store import Job
from labels.stocks import Stock


class LateShop:
    """Opens the shop at the first call, hands every call on, and closes it at `close`.

    A shop that cannot be opened raises at every call and is tried again at the next: the screen
    says why, and goes on by itself once the disk or the file is back.
    """

    def __init__(
        self, opening: Callable[[], AbstractContextManager[ShopFace]], settings: Settings
    ) -> None:
        self._opening, self._settings = opening, settings
        self._held = ExitStack()
        self._shop: ShopFace | None = None

    @property
    def settings(self) -> Settings:
        """Return the settings; they need no open file."""
        return self._settings

    def close(self) -> None:
        """Close the shop; to be called by the thread that made the first call."""
        self._shop = None
        self._held.close()

    def scan(
        self,
        text: str,
        *,
        station: str,
        person: str = "",
        step: str | None = None,
        reason: str | None = None,
    ) -> Answer:
        """Record what a scan means."""
        return self._open().scan(text, station=station, person=person, step=step, reason=reason)

    def strike_last(self, *, person: str = "") -> Answer:
        """Void the latest entry of this kiosk."""
        return self._open().strike_last(person=person)

    def problem(
        self, code: str, what: str, *, person: str = "", note: str = "", draw: bool = True
    ) -> Answer:
        """Record a problem with a part or unit."""
        return self._open().problem(code, what, person=person, note=note, draw=draw)

    def lift(self, text: str, *, person: str = "") -> Answer:
        """Lift a unit's holds."""
        return self._open().lift(text, person=person)

    def floor(self, now: datetime | None = None) -> Floor:
        """Return the board."""
        return self._open().floor(now)

    def due(self, station: str, now: datetime | None = None) -> tuple[Due, ...]:
        """Return what a station has to do."""
        return self._open().due(station, now)

    def now(self) -> datetime:
        """Return the time."""
        return self._open().now()

    def news(self) -> bool:
        """Take in what others wrote; tell whether there was anything."""
        return self._open().news()

    @property
    def zone(self) -> tzinfo:
        """Return the zone times are said in; it needs no open file."""
        return zone_of(self._settings)

    @property
    def fahrenheit(self) -> bool:
        """Tell whether temperatures are shown in °F; it needs no open file."""
        return self._settings.temperature == "F"

    def air(self, job: str = "") -> Air:
        """Return the shop's air, read and foreseen."""
        return self._open().air(job)

    def air_now(self, now: datetime | None = None, *, job: str = "") -> AirNow | None:
        """Return the air of now and what it means."""
        return self._open().air_now(now, job=job)

    def reader_of(self, at: datetime) -> str:
        """Return who typed the reading of a moment."""
        return self._open().reader_of(at)

    def take_reading(self, reading: Reading, *, job: str = "", person: str = "") -> Problems:
        """Keep a reading of the air."""
        return self._open().take_reading(reading, job=job, person=person)

    def strike_reading(self, at: datetime, *, job: str = "", person: str = "") -> Answer:
        """Strike the reading of a moment."""
        return self._open().strike_reading(at, job=job, person=person)

    def supposing(
        self, temperature_c: float, humidity: float, now: datetime | None = None
    ) -> tuple[ShopFace, str]:
        """Return the shop in another air, and that air in words."""
        return self._open().supposing(temperature_c, humidity, now)

    def products(self) -> Sequence[Product]:
        """Return all products, those in use first."""
        return self._open().products()

    def products_in_use(self) -> Sequence[str]:
        """Return the keys of the products in use."""
        return self._open().products_in_use()

    def unconfirmed(self) -> list[str]:
        """Return the products in use with figures nobody has confirmed."""
        return self._open().unconfirmed()

    def confirm_product(self, key: str, *, person: str = "") -> Problems:
        """Mark all of a product's figures as read off the label."""
        return self._open().confirm_product(key, person=person)

    def set_figure(self, key: str, stage: str, minutes: float, *, person: str = "") -> Problems:
        """Set one figure of a product, in minutes."""
        return self._open().set_figure(key, stage, minutes, person=person)

    def proposals(self) -> list[Proposal]:
        """Return what the findings say."""
        return self._open().proposals()

    def accept_factor(self, key: str, stage: str, factor: float, *, person: str = "") -> Problems:
        """Let a product take this many times as long as its label says."""
        return self._open().accept_factor(key, stage, factor, person=person)

    def clocks(self, text: str, now: datetime | None = None) -> tuple[Reached, ...] | Answer:
        """Return every clock of a unit."""
        return self._open().clocks(text, now)

    def drawn_clock(self, text: str, now: datetime | None = None) -> DrawnClock | None:
        """Return the clock a unit's next step waits for, else its latest."""
        return self._open().drawn_clock(text, now)

    def rags(self, now: datetime | None = None) -> Rags | None:
        """Return the oily rags that nobody has ticked off."""
        return self._open().rags(now)

    def clear_rags(self, *, person: str = "") -> Answer:
        """Tick off that the oily rags are dealt with."""
        return self._open().clear_rags(person=person)

    # -- labels ----------------------------------------------------------------------------------

    @property
    def store(self) -> FolderFace:
        """Return the shop's file."""
        return self._open().store

    def jobs(self) -> Mapping[str, Job]:
        """Return all jobs by code."""
        return self._open().jobs()

    def find_parts(self, words: str) -> list[PartHit]:
        """Return the parts of open jobs that all words fit."""
        return self._open().find_parts(words)

    def find_unit(self, text: str) -> Found | Answer:
        """Return the unit a text means, or the answer that it means none."""
        return self._open().find_unit(text)

    def size_text(self, job: str, piece: Piece) -> str:
        """Return a part's sides in the job's units."""
        return self._open().size_text(job, piece)

    def stocks(self) -> Mapping[str, Stock]:
        """Return the label stocks by key."""
        return self._open().stocks()

    def labels(self, wanted: Wanted, out: Path, *, person: str = "") -> LabelRun:
        """Write labels to a file and log them."""
        return self._open().labels(wanted, out, person=person)

    def place_labels(self, out: Path, *, stock: str = "", person: str = "") -> LabelRun:
        """Write a label for each place of the shop."""
        return self._open().place_labels(out, stock=stock, person=person)

    def order(self, wanted: Wanted, *, person: str = "") -> tuple[Order | None, Problems]:
        """Draw labels for a printer, or name every problem."""
        return self._open().order(wanted, person=person)

    def order_at_once(
        self, answer: Answer, *, recut: bool = False
    ) -> tuple[Order | None, Problems]:
        """Draw the label that is due after what was recorded."""
        return self._open().order_at_once(answer, recut=recut)

    def came_out(self, order: Order, *, person: str = "") -> None:
        """Log that the labels of an order have come out."""
        self._open().came_out(order, person=person)

    def _open(self) -> ShopFace:
        if self._shop is None:
            self._shop = self._held.enter_context(self._opening())
        return self._shop
