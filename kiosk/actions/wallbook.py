"""Measure the walls of a shop's jobs, and say how units hang on them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from kiosk.actions.permits import Permits
from kiosk.rules.entries import Kind
from kiosk.rules.fold import UnitState
from kiosk.rules.hanging.carrying import Job, fill_in
from kiosk.rules.hanging.fitting import Fitting, Fittings
from kiosk.rules.hanging.fittingbody import fitting_body, fitting_from_body
from kiosk.rules.hanging.model import NOTHING
from kiosk.rules.hanging.wall import MeasuredWall
from kiosk.rules.hanging.wallbody import wall_body, wall_from_body
from kiosk.rules.hanging.wallcheck import check_wall
from kiosk.rules.hanging.wallfile import read_wall
from kiosk.rules.hanging.walltable import wall_rows
from kiosk.rules.lengths import System
from kiosk.rules.naming import natural
from kiosk.rules.problems import Problem
from kiosk.rules.words import _, say
from kiosk.store import Note


class WallBook(Permits):
    """The walls of a shop's jobs as measured, and how units hang as people said."""

    # -- walls -----------------------------------------------------------------------------------

    def walls(self, job: str) -> tuple[MeasuredWall, ...]:
        """Return a job's walls as last measured, as people count them."""
        found: dict[str, MeasuredWall] = {}
        for entry in self.store.wall_entries(job):
            wall = wall_from_body(entry.body)
            if wall is not None:
                found[wall.wall] = wall
        return tuple(found[name] for name in sorted(found, key=natural))

    def measure_wall(
        self, job: str, wall: MeasuredWall, *, person: str = ""
    ) -> tuple[Problem, ...]:
        """Keep a wall as measured; with a problem nothing is kept.

        Raises:
            StoreError: nothing was recorded.
        """
        known = self.jobs().get(job)
        problems = [*self._hang_no_job(job), *check_wall(wall, system=self.job_system(job))]
        named = self._hang_walls(job)
        is_unit = known and wall.wall and self.store.state(job, wall.wall) is not None
        if known and wall.wall and wall.wall not in named and (named or is_unit):
            message = say("{wall} is no wall of {job}.", wall=wall.wall, job=job)
            remedy = say("Its walls are {names}.", names=", ".join(named))
            remedy = remedy if named else _("Give the wall a name of its own.")
            problems.append(Problem(message, remedy, column="wall", value=wall.wall))
        if not problems:
            body = wall_body(wall)
            self.store.write([Note(Kind.WALL_MEASURED, job, "", body, person)], self.now())
        return tuple(problems)

    def import_wall(
        self, job: str, wall: str, rows: Sequence[Sequence[str]]
    ) -> tuple[MeasuredWall | None, tuple[Problem, ...]]:
        """Read a wall from a table's rows; nothing is kept yet: `measure_wall` does that.

        With a problem there is no wall. Lengths without a unit are in the job's.
        """
        unit = "inch" if self.job_system(job) is System.INCH else "mm"
        return read_wall(wall, rows, unit=unit)

    def wall_template(self, job: str, wall: str) -> tuple[tuple[str, ...], ...]:
        """Return the rows of a table to be filled in, of the wall as measured if it is."""
        empty = MeasuredWall(wall=wall, width=NOTHING, height=NOTHING)
        known = next((one for one in self.walls(job) if one.wall == wall), empty)
        return wall_rows(known, system=self.job_system(job))

    def _hang_walls(self, job: str) -> list[str]:
        """Return the walls that a job lists: its own units, and those its units name."""
        specs = [one.spec for one in self._hang_states(job)]
        found = {one.unit for one in specs if one.kind == "wall"}
        return sorted(found | {one.wall for one in specs if one.wall}, key=natural)

    # -- how units hang --------------------------------------------------------------------------

    def fit_unit(
        self, job: str, unit: str, fitting: Fitting, *, person: str = ""
    ) -> tuple[Problem, ...]:
        """Keep how a unit hangs; with a problem nothing is kept. The last word counts.

        Raises:
            StoreError: nothing was recorded.
        """
        problems = self.check_fitting(job, unit, fitting)
        if not problems:
            note = Note(Kind.UNIT_FITTED, job, unit, fitting_body(fitting), person)
            self.store.write([note], self.now())
        return problems

    def check_fitting(self, job: str, unit: str, fitting: Fitting) -> tuple[Problem, ...]:
        """Return what keeps a fitting from being kept; nothing is kept yet."""
        return tuple(self._hang_no_unit(job, unit)) or tuple(self._hang_wrong(job, unit, fitting))

    def fittings(self, job: str) -> Fittings:
        """Return how units hang as people said, by unit; nothing filled in."""
        return self._hang_job(job, self._hang_states(job)).fittings

    def fitting(self, job: str, unit: str) -> Fitting:
        """Return how a unit hangs, filled in with what the part list knows: for a form."""
        filled = fill_in(self._hang_job(job, self._hang_states(job)))
        return filled[unit].fitting if unit in filled else Fitting()

    def _hang_no_job(self, job: str) -> Iterator[Problem]:
        if job not in self.jobs():
            names = ", ".join(self.jobs())
            yield Problem(say("There is no job {job}.", job=job), say("There are: {n}.", n=names))

    def _hang_no_unit(self, job: str, unit: str) -> Iterator[Problem]:
        yield from self._hang_no_job(job)
        state = self.store.state(job, unit) if job in self.jobs() else None
        if job in self.jobs() and (state is None or state.spec.kind == "wall"):
            message = say("{job} has no unit {unit} that hangs.", job=job, unit=unit)
            yield Problem(message, _("Look at the part list."), value=unit)

    def _hang_wrong(self, job: str, unit: str, fitting: Fitting) -> Iterator[Problem]:
        """Yield what of a fitting names something that is not there."""
        names = {one.spec.unit for one in self._hang_states(job)}
        if fitting.on and (fitting.on not in names or fitting.on == unit):
            message = say("{unit} cannot hang on {other}.", unit=unit, other=fitting.on)
            yield Problem(message, _("Name another unit of the job."), None, "on", fitting.on)
        walls = {*self._hang_walls(job), *(one.wall for one in self.walls(job))}
        if fitting.wall and fitting.wall not in walls:
            message = say("{wall} is no wall of {job}.", wall=fitting.wall, job=job)
            yield Problem(message, _("Name a wall of the job."), None, "wall", fitting.wall)
        if fitting.self_kg is not None and not 0 < fitting.self_kg < 1000:
            message = _("The unit's own weight cannot be so.")
            yield Problem(message, _("Weigh it, in kg."), None, "self_kg", str(fitting.self_kg))
        for one in fitting.expected:
            if one.kg is not None and not 0 <= one.kg < 10_000:
                message = _("What is expected on the unit cannot weigh that.")
                yield Problem(message, _("Weigh it, in kg."), None, "expected", str(one.kg))

    def _hang_states(self, job: str) -> list[UnitState]:
        """Return the units of a job as they stand, those no list wants any more left out."""
        names = sorted(self.store.units_of(job), key=natural)
        found = (self.store.state(job, name) for name in names)
        return [one for one in found if one is not None and not one.gone]

    def _hang_job(self, job: str, states: Sequence[UnitState]) -> Job:
        return Job(
            specs={one.spec.unit: one.spec for one in states},
            fittings={
                one.spec.unit: fitting_from_body(one.fitted)
                for one in states
                if one.fitted is not None
            },
            walls={one.wall: one for one in self.walls(job)},
            system=self.job_system(job),
        )
