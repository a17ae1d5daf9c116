"""Keep the plan people work by in the shop's log, and take over what another process adopted."""

from __future__ import annotations

import logging
from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime

from kiosk.actions.daysearch import DaySearch, KeptPlan
from kiosk.actions.dayshop import DayShop
from kiosk.clock import Clock
from kiosk.config import Settings
from kiosk.rules.dayplan.model import Minute, Worker
from kiosk.rules.dayplan.planbody import as_body, sign_hours
from kiosk.rules.dayplan.planread import parse_body
from kiosk.rules.entries import Entry, Kind
from kiosk.rules.workday import time_of
from kiosk.store import Note, Store, StoreError

LOG = logging.getLogger("cleatclock.planning")


class DayKeeping(DayShop):
    """The plan people work by: in memory as it is followed, in the log as it was adopted."""

    def __init__(self, store: Store, settings: Settings, clock: Clock) -> None:
        super().__init__(store, settings, clock)
        self._kept: KeptPlan | None = None
        self._search = DaySearch()
        self._entry: Entry | None = None  # the latest seen, whether or not it was understood
        self._adopted: datetime | None = None  # when the kept plan was written, None if it is not
        self._taken = False  # from the log just now: nobody followed it since it was written
        self._others = False  # the search for a better one is left to who adopted it

    def adopt_day(self, *, person: str = "") -> datetime | None:
        """Write the plan answered last as the one people work by; every kiosk takes it over.

        Args:
            person: who says so; empty where the kiosk does by itself.

        Returns:
            Since when it counts; None where nothing is to be done, or the past is looked at.

        Raises:
            StoreError: nothing was written.
        """
        kept, now = self._kept, self.now()
        if kept is None or not kept.built.problem.chains or self.store.is_past:
            return None
        body = as_body(kept.built, kept.plan, hours=sign_hours(self.staff(now)))
        note = Note(Kind.DAY_PLANNED, body=body, person=person)
        (self._entry,) = self.store.write([note], now)
        self._adopted, self._others = self._entry.at, False
        return self._adopted

    def _write_plan(self) -> None:
        """Write the plan if it is not written yet, once a search has ended."""
        if self._adopted is not None or self._search.is_on:
            return
        try:
            self.adopt_day()
        except StoreError as error:  # the day is shown all the same; the next look tries again
            LOG.warning("the day's plan was not kept: %s", error)

    def _take_over(self, now: datetime) -> bool:
        """Take the plan over that was adopted last, if it is not the one there is; tell whether."""
        entry = self.store.latest(Kind.DAY_PLANNED, now)
        if entry is None or (self._entry is not None and entry.order <= self._entry.order):
            return False
        is_first = self._entry is None and self._kept is None
        self._entry = entry
        found = parse_body(
            entry.body,
            hours=sign_hours(self.staff(now)),
            staff=lambda minute: self._workers(now, minute),
        )
        if found is None:
            LOG.info("the plan of entry %s is not understood and passed over", entry.id)
            return False
        self._kept = KeptPlan(*found, entry.at)
        self._adopted, self._taken = entry.at, True
        self._others = not (is_first and entry.kiosk == self.settings.kiosk_letter)
        return True

    def _is_of_before(self, now: datetime) -> bool:
        """Tell whether the kept plan was made on an earlier day."""
        made = now if self._kept is None else self._kept.made
        return made.astimezone(self.zone).date() < now.astimezone(self.zone).date()

    def _workers(self, now: datetime, minute: Minute) -> Sequence[Worker]:
        """Return who worked from a minute on, by the hours of now."""
        means = self.means(now, self._reached[1])
        return replace(means, now=time_of(minute)).workers()[0]
