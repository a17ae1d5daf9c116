"""Know how long each step takes: learned from the scans, or set by the shop."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import datetime

from kiosk.actions.core import seed_text
from kiosk.actions.workhours import WorkHours
from kiosk.rules.entries import Entry, Kind
from kiosk.rules.parts import UnitSpec
from kiosk.rules.problems import Problem
from kiosk.rules.route import LONGEST_STEP, Route, parse_routes
from kiosk.rules.setup import Setup
from kiosk.rules.touchtimes import (
    LOOKS_BACK,
    StepKey,
    TouchTime,
    learn_samples,
    times_said,
    touch_times,
)
from kiosk.rules.words import say
from kiosk.rules.workday import day_spans
from kiosk.store import Note, Store


class Touching(WorkHours):
    """The touch times of a shop."""

    def touch_times(self, now: datetime | None = None) -> tuple[TouchTime, ...]:
        """Return how long each step of each kind takes, in the order of the routes."""
        return tuple(self.times_by_step(now or self.now()).values())

    def times_by_step(self, now: datetime) -> Mapping[StepKey, TouchTime]:
        """Return the touch times by kind and step, learned from the last half year."""
        routes = self._with_minutes(self.setup.routes)
        entries = self.store.kind_entries(Kind.STEP_DONE, since=now - LOOKS_BACK)
        samples = learn_samples(
            entries,
            self.store.kinds(),
            routes,
            zone=self.zone,
            paused=self._paused,
            rested=_Rests(self.store, self.setup, entries).before,
        )
        said = times_said(self.store.shop_entries(Kind.TOUCH_TIME_SET))
        return touch_times(routes, samples, said)

    def set_touch_time(
        self, kind: str, step: str, minutes: float | None, *, person: str = ""
    ) -> tuple[Problem, ...]:
        """Set the minutes of a step, of one part where each is scanned; None: as learned again.

        Raises:
            StoreError: nothing was kept.
        """
        problems = self._check_touch(kind, step, minutes)
        if not problems:
            body = {"kind": kind, "step": step} | ({} if minutes is None else {"minutes": minutes})
            self.store.write([Note(Kind.TOUCH_TIME_SET, body=body, person=person)], self.now())
        return problems

    def _check_touch(self, kind: str, step: str, minutes: float | None) -> tuple[Problem, ...]:
        found = []
        route = self.setup.routes.get(kind)
        if route is None:
            words = say("{kind} is no kind of unit.", kind=kind or "?")
            remedy = say("Use {names}.", names=", ".join(self.setup.routes))
            found.append(Problem(words, remedy, value=kind))
        elif step not in (names := [one.name for one in route.steps]):
            words = say("{kind} has no step {step}.", kind=kind, step=step or "?")
            remedy = say("Use {names}.", names=", ".join(names))
            found.append(Problem(words, remedy, value=step))
        if minutes is not None and not 0 < minutes <= LONGEST_STEP:
            words = say("{n:g} minutes are no touch time.", n=minutes)
            remedy = say("Write more than 0, {n} at most.", n=LONGEST_STEP)
            found.append(Problem(words, remedy, value=f"{minutes:g}"))
        return tuple(found)

    def _with_minutes(self, routes: Mapping[str, Route]) -> dict[str, Route]:
        """Return the routes, where a shop's own say no minutes with those that ship."""
        shipped, _wrong = parse_routes(seed_text("routes.toml"))
        found = {}
        for kind, route in routes.items():
            usual = {step.name: step.minutes for step in shipped[kind].steps}
            steps = tuple(
                replace(step, minutes=step.minutes or usual.get(step.name, 0.0))
                for step in route.steps
            )
            found[kind] = replace(route, steps=steps)
        return found

    def _paused(self, start: datetime, end: datetime) -> float:
        """Return how many minutes of the shop's break lie between two times of one day."""
        day = start.astimezone(self.zone).date()
        spans = day_spans(self.shop_hours(), day, self.zone)
        if len(spans) < 2:
            return 0.0
        first, last = start.timestamp() / 60, end.timestamp() / 60
        return max(0.0, min(last, spans[1][0]) - max(first, spans[0][1]))


class _Rests:
    """When rests were over that steps waited for, by the clocks and the times of the log."""

    def __init__(self, store: Store, setup: Setup, entries: Iterable[Entry]) -> None:
        self._store, self._setup = store, setup
        self._specs: dict[tuple[str, str], UnitSpec | None] = {}
        self._done: dict[tuple[str, str, str], list[datetime]] = defaultdict(list)
        for entry in entries:
            self._done[entry.job, entry.unit, str(entry.body.get("step", ""))].append(entry.at)

    def before(self, entry: Entry) -> datetime | None:
        """Return when the last rest was over that the step of an entry waits for, or None."""
        spec = self._spec(entry.job, entry.unit)
        if spec is None:
            return None
        steps = {step.name: step for step in self._setup.steps(spec)}
        step = steps.get(str(entry.body.get("step", "")))
        ends = []
        for wait in step.waits if step else ():
            after = steps.get(wait.after)
            done = self._done[spec.job, spec.unit, wait.after]
            began = max((at for at in done if at <= entry.at), default=None)
            if after is not None and began is not None:
                clock = self._setup.clock(after, spec, wait.stage, began)
                ends += [clock.expected] if clock and clock.expected else []
        return max(ends, default=None)

    def _spec(self, job: str, unit: str) -> UnitSpec | None:
        if (job, unit) not in self._specs:
            state = self._store.state(job, unit)
            known = state is not None and state.spec.kind in self._setup.routes
            self._specs[job, unit] = state.spec if state is not None and known else None
        return self._specs[job, unit]
