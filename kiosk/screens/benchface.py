"""What the bench asks of a shop besides scans: its panel, its people, and what a code means."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from kiosk.actions import PartAt
    from kiosk.rules.floor import Floor
    from kiosk.rules.people import Person
    from kiosk.rules.permission import Permit
    from kiosk.rules.problems import Problem
    from kiosk.rules.scanning import Answer
    from kiosk.rules.viewlines import StationView


class BenchFace(Protocol):
    """The part of `kiosk.actions.Shop` that a bench needs; called on the shop's thread only."""

    def station_view(
        self,
        station: str,
        *,
        about: tuple[str, str] = ("", ""),
        floor: Floor | None = None,
        now: datetime | None = None,
    ) -> StationView:
        """Return a station's panel."""
        ...

    def strike(self, entry_id: str, *, person: str = "") -> Answer:
        """Void an entry by its id."""
        ...

    def people(self) -> tuple[Person, ...]:
        """Return everybody who has a badge."""
        ...

    def add_person(
        self, name: str, *, person: str = ""
    ) -> tuple[Person | None, tuple[Problem, ...]]:
        """Put somebody on the list, or back on; with any problem nobody is."""
        ...

    def off_person(
        self, name: str, *, person: str = "", permit: Permit | None = None
    ) -> tuple[Person | None, tuple[Problem, ...]]:
        """Take somebody off the list."""
        ...

    def badge_of(self, text: str) -> Person | None:
        """Return the person whose badge a text is the code of."""
        ...

    def about(self, text: str) -> Answer:
        """Return the unit and part a text means, recording nothing."""
        ...

    def parts_at(self, text: str) -> tuple[PartAt, ...]:
        """Return the parts of the unit a text means, those not gathered first."""
        ...
