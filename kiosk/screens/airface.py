"""What screens may ask of the shop's air, its products and their clocks, and its oily rags."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from datetime import datetime

    from kiosk.actions import AirNow
    from kiosk.actions.airing import DrawnClock
    from kiosk.rules.air import Air, Reading
    from kiosk.rules.ends import Reached
    from kiosk.rules.learning import Proposal
    from kiosk.rules.permission import Permit
    from kiosk.rules.problems import Problem
    from kiosk.rules.products import Product
    from kiosk.rules.rags import Rags
    from kiosk.rules.scanning import Answer

    Problems = tuple[Problem, ...]


class AirFace(Protocol):
    """What screens may ask of the air."""

    def air(self, job: str = "") -> Air:
        """Return the shop's air, read and foreseen."""
        ...

    def air_now(self, now: datetime | None = None, *, job: str = "") -> AirNow | None:
        """Return the air of now and what it means; None where none was ever read."""
        ...

    def reader_of(self, at: datetime) -> str:
        """Return who typed the reading of a moment, empty where nobody is named."""
        ...

    def take_reading(self, reading: Reading, *, job: str = "", person: str = "") -> Problems:
        """Keep a reading of the air; with problems nothing is kept."""
        ...

    def strike_reading(self, at: datetime, *, job: str = "", person: str = "") -> Answer:
        """Strike the reading of a moment."""
        ...


class ProductFace(Protocol):
    """What screens may ask of products, their figures and clocks, and of oily rags."""

    def products(self) -> Sequence[Product]:
        """Return all products, those in use first."""
        ...

    def products_in_use(self) -> Sequence[str]:
        """Return the keys of the products in use."""
        ...

    def unconfirmed(self) -> list[str]:
        """Return the products in use whose figures nobody has confirmed from the label."""
        ...

    def confirm_product(
        self, key: str, *, person: str = "", permit: Permit | None = None
    ) -> Problems:
        """Mark all of a product's figures as read off the label."""
        ...

    def set_figure(
        self,
        key: str,
        stage: str,
        minutes: float,
        *,
        person: str = "",
        permit: Permit | None = None,
    ) -> Problems:
        """Set one figure of a product, in minutes."""
        ...

    def proposals(self) -> list[Proposal]:
        """Return what the findings say of each product and stage."""
        ...

    def accept_factor(
        self,
        key: str,
        stage: str,
        factor: float,
        *,
        person: str = "",
        permit: Permit | None = None,
    ) -> Problems:
        """Let a product take this many times as long as its label says."""
        ...

    def clocks(self, text: str, now: datetime | None = None) -> tuple[Reached, ...] | Answer:
        """Return every clock of a unit."""
        ...

    def drawn_clock(self, text: str, now: datetime | None = None) -> DrawnClock | None:
        """Return the clock a unit's next step waits for, else its latest."""
        ...

    def rags(self, now: datetime | None = None) -> Rags | None:
        """Return the oily rags that nobody has ticked off, None if there are none."""
        ...

    def clear_rags(self, *, person: str = "") -> Answer:
        """Tick off that the oily rags are dealt with."""
        ...
