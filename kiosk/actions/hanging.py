"""Measure walls, say how units hang, and know what they may carry and in which order they go up."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from kiosk.actions.permits import Permits
from kiosk.clock import Clock
from kiosk.config import Settings
from kiosk.rules.entries import Kind
from kiosk.rules.fold import UnitState
from kiosk.rules.hanging.carrying import Job, fill_in
from kiosk.rules.hanging.fitting import Fitting, Fittings
from kiosk.rules.hanging.fittingbody import fitting_body, fitting_from_body
from kiosk.rules.hanging.hangviews import Checked, HangingView, UnitHanging
from kiosk.rules.hanging.jobcheck import check_job
from kiosk.rules.hanging.means import Means, read_stock
from kiosk.rules.hanging.model import NOTHING
from kiosk.rules.hanging.unitcheck import hang_word
from kiosk.rules.hanging.wall import MeasuredWall
from kiosk.rules.hanging.wallbody import wall_body, wall_from_body
from kiosk.rules.hanging.wallcheck import check_wall
from kiosk.rules.hanging.wallfile import read_wall, wall_rows
from kiosk.rules.hangword import HangWord
from kiosk.rules.lengths import System, from_mm
from kiosk.rules.naming import natural
from kiosk.rules.permission import Act, Permit
from kiosk.rules.problems import Problem
from kiosk.rules.reasons import say_reason
from kiosk.rules.scanning import Answer, Outcome
from kiosk.rules.words import _, join, say
from kiosk.store import Key, Note, Store


@dataclass(frozen=True, slots=True)
class _Checked:
    """The check of a job, what it was made of, and up to which turn of the log that stands."""

    turn: object
    given: object
    view: HangingView


class HangingDesk(Permits):
    """The walls of a shop's jobs, and how units hang on them."""

    def __init__(self, store: Store, settings: Settings, clock: Clock) -> None:
        super().__init__(store, settings, clock)
        self._hangings: dict[str, _Checked] = {}
        self._hang_shown: dict[str, HangingView] = {}

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
        problems = [*self._hang_no_job(job), *check_wall(wall, system=self._hang_system(job))]
        state = self.store.state(job, wall.wall) if known and wall.wall else None
        if known and wall.wall and (state is None or state.spec.kind != "wall"):
            named = ", ".join(self._hang_walls(job))
            message = say("{wall} is no wall of {job}.", wall=wall.wall, job=job)
            remedy = say("Its walls are {names}.", names=named) if named else _("It lists none.")
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
        unit = "inch" if self._hang_system(job) is System.INCH else "mm"
        return read_wall(wall, rows, unit=unit)

    def wall_template(self, job: str, wall: str) -> tuple[tuple[str, ...], ...]:
        """Return the rows of a table to be filled in, of the wall as measured if it is."""
        empty = MeasuredWall(wall=wall, width=NOTHING, height=NOTHING)
        known = next((one for one in self.walls(job) if one.wall == wall), empty)
        return wall_rows(known, system=self._hang_system(job))

    def _hang_walls(self, job: str) -> list[str]:
        return [one.spec.unit for one in self._hang_states(job) if one.spec.kind == "wall"]

    # -- how units hang --------------------------------------------------------------------------

    def fit_unit(
        self, job: str, unit: str, fitting: Fitting, *, person: str = ""
    ) -> tuple[Problem, ...]:
        """Keep how a unit hangs; with a problem nothing is kept. The last word counts.

        Raises:
            StoreError: nothing was recorded.
        """
        problems = tuple(self._hang_no_unit(job, unit)) or tuple(
            self._hang_wrong(job, unit, fitting)
        )
        if not problems:
            note = Note(Kind.UNIT_FITTED, job, unit, fitting_body(fitting), person)
            self.store.write([note], self.now())
        return problems

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
        if fitting.wall and fitting.wall not in self._hang_walls(job):
            message = say("{wall} is no wall of {job}.", wall=fitting.wall, job=job)
            yield Problem(message, _("Name a wall of the job."), None, "wall", fitting.wall)
        if fitting.self_kg is not None and not 0 < fitting.self_kg < 1000:
            message = _("The unit's own weight cannot be so.")
            yield Problem(message, _("Weigh it, in kg."), None, "self_kg", str(fitting.self_kg))

    # -- the check -------------------------------------------------------------------------------

    def hanging(self, job: str, now: datetime | None = None) -> HangingView:
        """Return the check of a job's walls: ratings, order, screws, shims.

        A job without a measured wall has no units here: nothing of it was checked. now only makes
        a view of the past out of one that was asked for as such; ratings know no time.
        """
        del now
        turn, known = (self.store.turn, self._hang_means()), self._hangings.get(job)
        if known is not None and known.turn == turn:
            return known.view
        states, walls = self._hang_states(job), self.walls(job)
        given = (walls, turn[1], tuple((one.spec, one.fitted, one.allowed) for one in states))
        if known is None or known.given != given:
            view = self._hang_check(job, states, turn[1])
            known = _Checked(turn, given, view)
        self._hangings[job] = replace(known, turn=turn)
        return known.view

    def _hang_check(self, job: str, states: Sequence[UnitState], means: Means) -> HangingView:
        given = self._hang_job(job, states)
        if not given.walls:
            named = (name for name, spec in given.specs.items() if spec.kind != "wall")
            return HangingView(job=job, unmeasured=tuple(named))
        allowed = {one.spec.unit: one.allowed for one in states if one.allowed is not None}
        return check_job(job, given, allowed=allowed, means=means)

    def allow_hanging(
        self, job: str, unit: str, reason: str, *, person: str = "", permit: Permit | None = None
    ) -> Answer:
        """Let a unit be hung that the check refuses; `strike` of the answer's entry undoes it.

        Raises:
            StoreError: nothing was recorded.
        """
        self.store.refresh()
        one = self.hanging(job).unit(unit)
        if one is None:
            detail = _("Its wall is not measured, or there is no such unit.")
            found = Answer(Outcome.UNKNOWN, _("Hanging is not checked"), detail)
        elif one.checked is not Checked.REFUSED:
            message, entry = _("Nothing stands against hanging it"), one.allowed
            found = Answer(Outcome.ALREADY, message, one.words, entry=entry.entry if entry else "")
        elif not reason:
            found = Answer(Outcome.TOO_EARLY, _("It needs a reason"), hang_word(one).detail)
        elif problems := self.refused(Act.GO_AHEAD, permit):
            found = Answer(Outcome.TOO_EARLY, problems[0].message, problems[0].remedy)
        else:
            found = self._allow(job, one, reason, person, self.marked(permit))
        return replace(found, job=job, unit=unit, unit_name=one.name if one else "")

    def _allow(
        self, job: str, one: UnitHanging, reason: str, person: str, mark: Mapping[str, str]
    ) -> Answer:
        body = {"reason": reason, "check": hang_word(one).body(), **mark}
        note = Note(Kind.HANGING_ALLOWED, job, one.unit, body, person)
        entry = self.store.write([note], self.now())[0].id
        said = say("Went ahead: {reason}.", reason=say_reason(reason))
        by = say("{name} allowed it.", name=mark["allowed_by"]) if mark else ""
        message = _("May be hung without a number")
        return Answer(Outcome.RECORDED, message, join([said, by]), entry=entry)

    def hang_word(self, state: UnitState) -> HangWord | None:
        """Return what the check of hanging says of a unit; None: its job has no measured wall."""
        job, unit = state.spec.job, state.spec.unit
        if state.spec.kind == "wall" or not self.store.has_walls(job):
            return None
        one = self.hanging(job).unit(unit)
        return HangWord(words=_("hanging not checked")) if one is None else hang_word(one)

    def hang_orders(self) -> Mapping[Key, tuple[int, str]]:
        """Return the place of units in the order of hanging of their jobs, and why, where known."""
        jobs = {job for job, _unit in self.store.states() if self.store.has_walls(job)}
        return {
            (job, step.unit): (step.number, step.why)
            for job in sorted(jobs)
            for step in self.hanging(job).order
        }

    def _stale(self, now: datetime, states: Mapping[Key, UnitState]) -> set[Key]:
        stale = super()._stale(now, states)
        # what one unit of a measured wall weighs or shares, others are rated with
        changed = set()
        for job in {job for job, _unit in stale if self.store.has_walls(job)}:
            view = self.hanging(job)
            if self._hang_shown.get(job) is not view:
                self._hang_shown[job] = view
                changed.add(job)
        return stale | {key for key in states if key[0] in changed} if changed else stale

    def _hang_means(self) -> Means:
        mine = self.settings
        return Means(
            stock=read_stock(mine.screws)[0],
            shop=mine.hang_factor,
            pitch=from_mm(mine.cleat_pitch_mm),
        )

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
            system=self._hang_system(job),
        )

    def _hang_system(self, job: str) -> System:
        known = self.jobs().get(job)
        units = known.units if known and known.units else self.settings.units
        return System.INCH if units == "inch" else System.MM
