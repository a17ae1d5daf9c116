"""The walls of a shop written by hand: a real small check, and what was asked of it."""

from __future__ import annotations

from pathlib import Path
from types import SimpleNamespace

from kiosk.actions import DaySheets
from kiosk.actions.hangpapers import HangPaper
from kiosk.rules.hanging.fitting import Fitting
from kiosk.rules.hanging.hangviews import HangingView
from kiosk.rules.hanging.wallfile import read_wall
from kiosk.rules.hanging.walltable import wall_rows
from kiosk.rules.problems import Problem
from kiosk.rules.route import State
from kiosk.rules.scanning import Answer, Outcome
from kiosk.screens.hangsamples import JOB, WALL, sample_form, sample_view, sample_wall


class FakeHang:
    """`has_walls`: the job lists two walls and units on the first, which is measured.

    `up` are the units that hang; `hang_refused` makes walls and fittings refused in these words.
    """

    def __init__(self) -> None:
        super().__init__()
        self.has_walls = False
        self.measured = (sample_wall(),)
        self.up: set[str] = set()
        self.is_allowed = False
        self.hang_calls: list[tuple[object, ...]] = []
        self.hang_refused = ""

    def standings(self):
        found = list(super().standings())
        if not self.has_walls:
            return found
        found += [
            SimpleNamespace(
                job=JOB,
                unit=one.unit,
                name=one.name,
                kind=one.kind,
                state=State.HUNG if one.unit in self.up else State.READY_TO_HANG,
            )
            for one in sample_view().units
        ]
        walls = ((WALL, "Back wall"), ("W2", "Window wall"))
        found += [
            SimpleNamespace(job=JOB, unit=unit, name=name, kind="wall", state=State.TO_PREPARE)
            for unit, name in walls
        ]
        return [one for one in found if hasattr(one, "kind")]

    def walls(self, job):
        return self.measured if job == JOB else ()

    def measure_wall(self, job, wall, *, person=""):
        self.hang_calls.append(("measure", job, wall, person))
        if self.hang_refused:
            return (Problem(self.hang_refused, "Mend it."),)
        self.measured = (*(one for one in self.measured if one.wall != wall.wall), wall)
        return ()

    def import_wall(self, job, wall, rows):
        return read_wall(wall, rows)

    def wall_template(self, job, wall):
        return wall_rows(next(one for one in self.measured if one.wall == wall))

    def fit_unit(self, job, unit, fitting, *, person=""):
        self.hang_calls.append(("fit", unit, fitting, person))
        return (Problem(self.hang_refused, "Mend it."),) if self.hang_refused else ()

    def fittings(self, job):
        return {one.unit: sample_form(one.unit).said for one in sample_view().units}

    def fitting(self, job, unit):
        return sample_form(unit).known if sample_view().unit(unit) else Fitting()

    def hanging(self, job, now=None):
        if not self.measured:
            return HangingView(job=job)
        return sample_view(is_allowed=self.is_allowed)

    def allow_hanging(self, job, unit, reason, *, person="", permit=None):
        self.hang_calls.append(("allow", unit, reason, person, permit))
        self.is_allowed = True
        return Answer(Outcome.RECORDED, "May be hung without a number", "Went ahead.")

    def strike(self, entry_id, *, person=""):
        self.is_allowed = False
        return super().strike(entry_id, person=person)

    def write_cards(self, job, out=None, *, four=False, units=(), paper="", person=""):
        self.hang_calls.append(("cards", job, out and out.name, four, tuple(units), person))
        return self._paper("cards.pdf")

    def write_wall(self, job, wall="", out=None, *, paper=""):
        self.hang_calls.append(("drawing", job, wall))
        return self._paper("wall.pdf")

    def _paper(self, name):
        if self.hang_refused:
            return HangPaper(problems=(Problem(self.hang_refused, "Mend it."),))
        sheets = DaySheets(Path(name), self.paper_printer())
        return HangPaper((Path(name),), sheets=sheets)
