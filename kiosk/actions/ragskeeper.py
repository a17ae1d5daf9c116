"""Ask for oily rags until somebody has put them out."""

from __future__ import annotations

from datetime import datetime, time

from kiosk.actions.core import Core
from kiosk.rules.entries import Kind, to_ms
from kiosk.rules.rags import Rags, rags_out
from kiosk.rules.scanning import Answer, Outcome
from kiosk.rules.words import _
from kiosk.store import Note


class RagsKeeper(Core):
    """The oily rags of a shop."""

    def rags(self, now: datetime | None = None) -> Rags | None:
        """Return the oily rags that nobody has ticked off, None if there are none."""
        cleared = self.store.shop_entries(Kind.RAGS_CLEARED)
        return rags_out(
            self.store.states().values(),
            self.setup,
            now=now or self.now(),
            cleared=max((entry.at for entry in cleared), default=None),
            closes_at=time.fromisoformat(self.settings.closes_at),
        )

    def clear_rags(self, *, person: str = "") -> Answer:
        """Tick off that the oily rags are dealt with."""
        now = self.now()
        if self.rags(now) is None:
            return Answer(Outcome.ALREADY, _("No oily rags to tick off"))
        note = Note(Kind.RAGS_CLEARED, body={"at_ms": to_ms(now)}, person=person)
        (entry,) = self.store.write([note], now)
        return Answer(Outcome.RECORDED, _("Oily rags are out"), entry=entry.id)
