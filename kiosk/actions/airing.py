"""Take in readings of the air, answer what they mean for every clock."""

from __future__ import annotations

from copy import copy
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from pathlib import Path
from typing import Self

from kiosk.actions.corrections import Corrections
from kiosk.rules.air import NO_AIR, OLDEST, Air, Reading, check_reading
from kiosk.rules.airlist import AirList, read_air_list
from kiosk.rules.airlog import air_bodies
from kiosk.rules.clockwords import say_air
from kiosk.rules.drying import Clock, Window, recoat_windows
from kiosk.rules.ends import Ends, Reached, ends_of, reached
from kiosk.rules.entries import Kind
from kiosk.rules.problems import Problem
from kiosk.rules.scanning import Answer, Outcome
from kiosk.rules.vapour import deficit_pa, dew_point_c, wood_moisture
from kiosk.rules.words import _, say
from kiosk.store import Note
from kiosk.tables import read_table

HEARD = timedelta(minutes=1)  # two kiosks hear one message within this; choice
MOST_HEARD = 50  # readings within that time, of however many sensors; choice


@dataclass(frozen=True, slots=True)
class AirTaken:
    """What a file of readings brought, or would bring; with problems nothing was taken."""

    listed: AirList
    problems: tuple[Problem, ...]
    taken: int
    known: int = 0


@dataclass(frozen=True, slots=True)
class AirNow:
    """The air of a place at a moment and what it means; estimated where it was not read.

    temperature_c and dew_point_c in °C, humidity in %, deficit_pa in Pa, wood_moisture in % of dry
    mass. last is the latest reading, None where there is none.
    """

    at: datetime
    last: Reading | None
    temperature_c: float
    humidity: float
    surface_c: float | None
    dew_point_c: float
    deficit_pa: float
    wood_moisture: float
    estimated: bool


@dataclass(frozen=True, slots=True)
class DrawnClock:
    """A clock to be drawn, with the recoat window that goes with it."""

    reached: Reached
    windows: tuple[Window, ...]

    @property
    def clock(self) -> Clock:
        """Return the clock itself."""
        return self.reached.clock


class Airing(Corrections):
    """The air of a shop and its sites."""

    # -- readings --------------------------------------------------------------------------------

    def take_reading(
        self, reading: Reading, *, job: str = "", person: str = ""
    ) -> tuple[Problem, ...]:
        """Keep one reading of the shop's air, or of a job's site; with problems nothing is kept.

        Raises:
            StoreError: nothing was kept.
        """
        now = self.now()
        problems = (*check_reading(reading, now=now), *self._place_problems(job))
        if not problems and not self._is_heard(reading, job):
            (body,) = air_bodies([reading])
            self.store.write([Note(Kind.AIR_READ, job, body=body, person=person)], now)
        return problems

    def _is_heard(self, reading: Reading, job: str) -> bool:
        """Tell whether another kiosk of this shop has kept the same message of a sensor."""
        if reading.source != "sensor":
            return False
        self.store.refresh()
        since = reading.at - HEARD
        late = [one for one in self.air(job).readings[-MOST_HEARD:] if one.at >= since]
        return any(replace(one, at=reading.at) == reading for one in late)

    def take_air_file(
        self,
        file: Path,
        *,
        job: str = "",
        dates: str | None = None,
        dry_run: bool = False,
        person: str = "",
    ) -> AirTaken:
        """Take in a logger's file; what is there already is not taken twice.

        Args:
            file: CSV, TSV, XLSX or ODS.
            job: whose site the air is of; empty: the shop's.
            dates: day-first or month-first, where the file leaves it open.
            dry_run: only say what would come in.
            person: who takes it in.

        Raises:
            StoreError: nothing was taken in.
        """
        now = self.now()
        rows, problems = read_table(file)
        listed = read_air_list(
            rows, now=now, zone=self.zone, dates=dates, fahrenheit=self.fahrenheit
        )
        problems = (*problems, *(() if problems else listed.problems), *self._place_problems(job))
        if not problems and not listed.readings:
            problems = (Problem(_("The file holds no reading."), _("Is it the right file?")),)
        known = {reading.at: reading for reading in self.store.airs(now).get(job, ())}
        recent = [one for one in listed.readings if one.at >= now - OLDEST]
        if left := len(listed.readings) - len(recent):
            words = say(
                "{left} readings are older than {days} days and are left out.",
                left=left,
                days=OLDEST.days,
            )
            listed = replace(listed, notes=(*listed.notes, words))
        new = [one for one in recent if _differs(one, known.get(one.at))]
        if not problems and not dry_run and new:
            notes = [Note(Kind.AIR_READ, job, body=body, person=person) for body in air_bodies(new)]
            self.store.write(notes, now)
        known_rows = len(recent) - len(new)
        return AirTaken(listed, problems, 0 if problems else len(new), known_rows)

    def _place_problems(self, job: str) -> tuple[Problem, ...]:
        if not job or job in self.jobs():
            return ()
        have = ", ".join(self.jobs()) or _("none yet")
        return (
            Problem(
                say("There is no job {job}.", job=job),
                say("Jobs are: {have}.", have=have),
                column="job",
                value=job,
            ),
        )

    def strike_reading(self, at: datetime, *, job: str = "", person: str = "") -> Answer:
        """Strike the reading that counts for a moment, and what came with it in one entry."""
        entry = self.store.air_entry(job, at)
        if entry is None:
            return Answer(Outcome.UNKNOWN, _("No reading"), _("There is none of that moment."))
        return self.strike(entry.id, person=person)

    def reader_of(self, at: datetime, *, job: str = "") -> str:
        """Return who took the reading of a moment, empty where nobody is named."""
        entry = self.store.air_entry(job, at)
        return entry.person if entry else ""

    def air(self, job: str = "") -> Air:
        """Return the air of the shop, or of a job's site, with the forecast after it."""
        return self.setup.airs.get(job, NO_AIR)

    def air_now(self, now: datetime | None = None, *, job: str = "") -> AirNow | None:
        """Return the air at a moment and what it means; None where none was ever read."""
        moment, air = now or self.now(), self.air(job)
        node = air.at(moment.timestamp() * 1000)
        if node is None:
            return None
        _, temperature, humidity, surface, _ = node
        last = next((one for one in reversed(air.readings) if one.at <= moment), None)
        return AirNow(
            moment,
            last,
            temperature,
            humidity,
            surface,
            dew_point_c(temperature, humidity),
            deficit_pa(temperature, humidity),
            wood_moisture(temperature, humidity),
            last is None or moment - last.at > timedelta(minutes=1),
        )

    def supposing(
        self, temperature_c: float, humidity: float, now: datetime | None = None
    ) -> tuple[Self, str]:
        """Return this shop as it would go on in another air from now on, and that air in words.

        Only to be read; the log is not touched.
        """
        moment = now or self.now()
        other = copy(self)
        other.store = self.store.as_of(moment)
        other.store.take_air_changed()  # or the air that was read would come back
        airs = {job: air for job, air in self.setup.airs.items() if job}
        airs[""] = self.air().supposing(temperature_c, humidity, now=moment)
        other.set_airs(airs)
        return other, say(
            "if it is {air}", air=say_air(temperature_c, humidity, fahrenheit=self.fahrenheit)
        )

    # -- clocks of a unit ------------------------------------------------------------------------

    def clocks(self, text: str, now: datetime | None = None) -> tuple[Reached, ...] | Answer:
        """Return every clock of a unit, given by a part's code or by name."""
        found = self.find_unit(text)
        if isinstance(found, Answer):
            return found
        return reached(found.state, self.setup, now=now or self.now())

    def drawn_clock(self, text: str, now: datetime | None = None) -> DrawnClock | None:
        """Return the clock a unit's next step waits for, else its latest one; None without any."""
        moment = now or self.now()
        found = self.clocks(text, moment)
        if isinstance(found, Answer) or not found:
            return None
        waiting = self.find_unit(text)
        chosen = found[-1]
        if not isinstance(waiting, Answer):
            spec = waiting.state.spec
            standing = self.standing(spec.job, spec.unit, moment)
            waits = standing.step.waits if standing is not None and standing.step else ()
            asked = {(wait.after, wait.stage) for wait in waits}
            waited = [one for one in found if (one.step.name, one.stage) in asked]
            # the one that ends last; one that is out of sight ends after all others
            far = moment + timedelta(days=10_000)
            chosen = max(waited, key=lambda one: one.clock.expected or far, default=chosen)
        windows: tuple[Window, ...] = ()
        if chosen.product.role == "coat" and chosen.stage in ("recoat", "sand"):
            clock, coat = chosen.clock, max(1, chosen.step.number)
            windows = recoat_windows(chosen.product, clock.started, air=clock.air, coat=coat)
        return DrawnClock(chosen, windows)

    def ends(self, job: str, now: datetime | None = None) -> list[Ends]:
        """Return from when each unit of a job may be hung, stacked, loaded and wiped."""
        states = [self.store.state(job, unit) for unit in self.store.units_of(job)]
        moment = now or self.now()
        return [ends_of(state, self.setup, now=moment) for state in states if state is not None]


def _differs(one: Reading, known: Reading | None) -> bool:
    return known is None or replace(known, source=one.source) != one
