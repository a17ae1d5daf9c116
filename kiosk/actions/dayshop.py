"""Make the day plan's problem from the shop, and say what was done today."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime, timedelta

from kiosk.actions.touching import Touching
from kiosk.clock import Clock
from kiosk.config import Settings
from kiosk.rules.dayplan.build import build
from kiosk.rules.dayplan.built import Built, StepName
from kiosk.rules.dayplan.day import DayStep
from kiosk.rules.dayplan.enough import has_room
from kiosk.rules.dayplan.means import HORIZON, Means, Site
from kiosk.rules.dayplan.model import Minute
from kiosk.rules.dayplan.pins import Scan
from kiosk.rules.entries import Entry, Kind
from kiosk.rules.floor import name_units
from kiosk.rules.hangday import read_day
from kiosk.rules.problems import Problem
from kiosk.rules.touchtimes import StepKey, TouchTime
from kiosk.rules.workday import minute_of
from kiosk.store import Store

LONGEST_HORIZON = 4 * 365  # days; a shop with more work than that plans no day (choice)


class DayShop(Touching):
    """What a day plan is made from."""

    def __init__(self, store: Store, settings: Settings, clock: Clock) -> None:
        super().__init__(store, settings, clock)
        self._learned: tuple[datetime, Mapping[StepKey, TouchTime]] | None = None
        self._reached: tuple[datetime | None, int] = (None, HORIZON)

    def build_day(self, now: datetime, *, days: int = HORIZON) -> Built:
        """Return the problem of the shop as it stands, with hours known far enough ahead.

        Args:
            now: the moment, aware.
            days: how many days ahead at least.
        """
        hour = _hour(now)
        if self._reached[0] != hour:
            self._reached = (hour, HORIZON)
        days = max(days, self._reached[1])  # what was enough this hour need not be found again
        built = self._build(now, days)
        while days < LONGEST_HORIZON and not has_room(built.problem):
            days *= 2
            built = self._build(now, days)
        self._reached = (hour, days)
        return built

    def _build(self, now: datetime, days: int) -> Built:
        standings = {(one.job, one.unit): one for one in self.standings(now)}
        means = self.means(now, days)
        hang_days = {job.code: read_day(job.hang_day) for job in self.jobs().values()}
        return build(self.store.states(), standings, means, hang_days=hang_days)

    def means(self, now: datetime, days: int) -> Means:
        """Return what the shop plans with, for so many days ahead."""
        settings = self.settings
        benches = {
            "cut": settings.saws,
            "assemble": settings.assembly_benches,
            "finish": settings.finish_benches,
        }
        staff = self.staff(now)
        return Means(
            self.setup,
            self.day_times(now),
            now,
            staff,
            self.shop_hours(),
            self.racks(),
            benches | {"install": max(1, len(staff))},
            Site(settings.drive_minutes, settings.load_minutes),
            days,
        )

    def day_times(self, now: datetime) -> Mapping[StepKey, TouchTime]:
        """Return the touch times a plan counts with, learned anew each hour and when set."""
        hour = _hour(now)
        if self._learned is None or self._learned[0] != hour:
            self._learned = (hour, self.times_by_step(now))
        return self._learned[1]

    def set_touch_time(
        self, kind: str, step: str, minutes: float | None, *, person: str = ""
    ) -> tuple[Problem, ...]:
        """Set the minutes of a step and plan with them at once; see `Touching.set_touch_time`."""
        self._learned = None
        return super().set_touch_time(kind, step, minutes, person=person)

    def _resting(self, present: Built, now: datetime) -> dict[int, Minute]:
        """Return since when chains rest whose first step waits for the end of a rest."""
        standings = {(one.job, one.unit): one for one in self.standings(now)}
        found = {}
        for index, (names, chain) in enumerate(
            zip(present.names, present.problem.chains, strict=True)
        ):
            one = standings.get(names.key)
            if one is None or not one.resting or one.started is None or one.hands_at is None:
                continue
            if chain.works and chain.works[0].earliest == minute_of(one.hands_at):
                found[index] = minute_of(one.started)
        return found

    # -- what was done ---------------------------------------------------------------------------

    def done_today(self, now: datetime, built: Built) -> tuple[DayStep, ...]:
        """Return the steps done today by time; of what goes part by part, those that are through.

        A step's start is where the one who did it scanned before, or what its touch time tells.
        """
        left = {
            (*names.key, work.step)
            for names, chain in zip(built.names, built.problem.chains, strict=True)
            for work in chain.works
        }
        names = name_units(self.standings(now))
        last: dict[str, datetime] = {}
        found: dict[tuple[str, str, str], DayStep] = {}
        for entry in self.entries_today(now):
            key = (entry.job, entry.unit, str(entry.body.get("step", "")))
            step = None if key in left else self._done(entry, names, last, now)
            if step is not None:
                before = found.get(key)
                found[key] = step if before is None else _joined(before, step)
            last[entry.person] = entry.at
        return tuple(sorted(found.values(), key=lambda one: (one.starts, one.unit)))

    def entries_today(self, now: datetime) -> list[Entry]:
        """Return what was scanned today, by time."""
        midnight = now.astimezone(self.zone).replace(hour=0, minute=0, second=0, microsecond=0)
        entries = self.store.kind_entries(Kind.STEP_DONE, since=midnight - timedelta(days=1))
        return sorted((one for one in entries if midnight <= one.at <= now), key=lambda one: one.at)

    def scans_today(self, now: datetime) -> tuple[Scan, ...]:
        """Return who scanned when today."""
        return tuple(Scan(entry.at, entry.person) for entry in self.entries_today(now))

    def is_whole(self, name: StepName) -> bool:
        """Tell whether a step is scanned once for the unit, and not part by part."""
        job, unit, step = name
        state = self.store.states().get((job, unit))
        steps = self.setup.steps(state.spec) if state else ()
        return any(one.name == step and not one.each for one in steps)

    def _done(
        self,
        entry: Entry,
        names: Mapping[tuple[str, str], str],
        last: Mapping[str, datetime],
        now: datetime,
    ) -> DayStep | None:
        state = self.store.states().get((entry.job, entry.unit))
        name = str(entry.body.get("step", ""))
        steps = {step.name: step for step in self.setup.steps(state.spec)} if state else {}
        step = steps.get(name)
        if state is None or step is None:
            return None
        time = self.day_times(now).get((state.spec.kind, name))
        starts = entry.at - timedelta(minutes=time.used if time else 0)
        if (before := last.get(entry.person)) is not None:
            starts = max(starts, before)
        unit = names.get((entry.job, entry.unit), entry.unit)
        people = (entry.person,) if entry.person else ()
        return DayStep(
            entry.job,
            unit,
            name,
            step.title,
            step.station,
            people,
            starts,
            entry.at,
            state="done",
            unit_id=entry.unit,
        )


def _hour(now: datetime) -> datetime:
    return now.replace(minute=0, second=0, microsecond=0)


def _joined(first: DayStep, second: DayStep) -> DayStep:
    """Return one step of what was scanned part by part."""
    people = tuple(dict.fromkeys((*first.people, *second.people)))
    return DayStep(
        first.job,
        first.unit,
        first.step,
        first.title,
        first.station,
        people,
        min(first.starts, second.starts),
        max(first.ends, second.ends),
        state="done",
        unit_id=first.unit_id,
    )
