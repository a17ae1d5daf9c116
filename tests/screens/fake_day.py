"""The day of a shop written by hand: what the plan says, and what was asked of it."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC
from pathlib import Path

from kiosk.actions import DaySheets
from kiosk.rules.dayplan.day import DayPlan
from kiosk.rules.problems import Problem
from kiosk.screens.dayplansamples import TIMES, sample_day


class FakeDay:
    """`planned` is the day; a scan of a unit may tick its steps off by `tick_off`."""

    def __init__(self) -> None:
        super().__init__()
        self.planned: DayPlan = sample_day(UTC)
        self.times = TIMES
        self.asked: list[tuple[object, ...]] = []
        self.time_refused = ""
        self.heard = None

    def day(self, now=None) -> DayPlan:
        return self.planned

    def improve_day(self, heard=None, *, again=True) -> None:
        self.heard = heard
        if not again:
            return  # this plan was looked at before
        self.asked.append(("improve_day",))
        self.planned = replace(self.planned, is_improving=True)

    def stop_improving(self) -> None:
        self.asked.append(("stop_improving",))
        self.planned = replace(self.planned, is_improving=False)

    def touch_times(self):
        return self.times

    def set_touch_time(self, kind, step, minutes):
        self.asked.append(("set_touch_time", kind, step, minutes))
        if self.time_refused:
            return (Problem(self.time_refused, "Type less."),)
        self.times = tuple(
            replace(one, set=minutes, used=minutes or one.learned or one.catalogue)
            if (one.kind, one.step) == (kind, step)
            else one
            for one in self.times
        )
        return ()

    def write_sheets(self, person=None) -> DaySheets:
        self.asked.append(("write_sheets", person))
        return DaySheets(Path(f"day-{person or 'all'}.pdf"), self.paper_printer())

    def tick_off(self, unit: str, step: str) -> None:
        """Let a step be done, as a scan does."""
        steps = tuple(
            replace(one, state="done") if (one.unit, one.step) == (unit, step) else one
            for one in self.planned.steps
        )
        self.planned = replace(self.planned, steps=steps)
