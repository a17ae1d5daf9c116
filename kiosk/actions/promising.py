"""Say which hang day a new job can be promised, by running the shop forward."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from pathlib import Path

from kiosk.actions.daying import Daying
from kiosk.actions.dayshop import LONGEST_HORIZON
from kiosk.actions.intake import Intake, TakenIn
from kiosk.actions.promiseask import PromiseAsk, work_out
from kiosk.rules.dayplan.build import build
from kiosk.rules.dayplan.built import Built
from kiosk.rules.dayplan.chance import jobs_at_risk
from kiosk.rules.dayplan.day import DayPlan
from kiosk.rules.dayplan.enough import has_room
from kiosk.rules.dayplan.follow import planned_keys
from kiosk.rules.dayplan.means import HORIZON
from kiosk.rules.dayplan.model import Due, Plan
from kiosk.rules.dayplan.model import Problem as DayProblem
from kiosk.rules.dayplan.promise import Promise, chances
from kiosk.rules.dayplan.simulate import Arrival, together
from kiosk.rules.dayplan.spread import learned_spread
from kiosk.rules.fold import PieceState, UnitState
from kiosk.rules.parts import UnitSpec
from kiosk.rules.standing import stand
from kiosk.rules.steps import supports_of
from kiosk.rules.workday import time_of
from kiosk.store import Job

RUNS = 99  # above the 59 that 95 % takes; the 80th and the 95th hold with 80 and 95 % (choice)
SEED = 1  # asked twice, the answer is the same


@dataclass(frozen=True, slots=True)
class SureDay:
    """The first hang day that can be promised with a certainty, None where none is in sight.

    finish is when it is hung by then; least and most are what the certainty may be in truth. held
    is in how many runs it was up on that day; needs how many a certainty takes that has too few.
    """

    certainty: float
    day: date | None
    finish: datetime | None
    least: float
    most: float
    held: int = 0
    needs: int = 0


@dataclass(frozen=True, slots=True)
class Promised:
    """What can be promised for a part list: nothing where the list has problems.

    typical is when half of the runs had it hung. notes say what was left out.
    """

    taken: TakenIn
    days: tuple[SureDay, ...] = ()
    typical: datetime | None = None
    promise: Promise | None = None
    notes: tuple[str, ...] = ()


class Promising(Intake, Daying):
    """Hang days that can be promised."""

    def promise_day(
        self,
        file: Path,
        *,
        units: str | None = None,
        columns: Mapping[str, str] | None = None,
        now: datetime | None = None,
        runs: int = RUNS,
    ) -> Promised:
        """Return the earliest hang days of a part list that is not taken in.

        The jobs present go before it, in the order of the day's plan.

        Args:
            file: CSV, TSV, XLSX or ODS.
            units: unit of measure of plain numbers; None: from the header.
            columns: what columns mean by their headings.
            now: None is the clock's moment.
            runs: how often the shop is run forward.
        """
        ask = self.prepare_promise(file, units=units, columns=columns, now=now, runs=runs)
        return self.say_promise(ask, work_out(ask))

    def prepare_promise(
        self,
        file: Path,
        *,
        units: str | None = None,
        columns: Mapping[str, str] | None = None,
        now: datetime | None = None,
        runs: int = RUNS,
    ) -> PromiseAsk:
        """Return what the promise for a list is worked out from, for `work_out` on any thread.

        Args as for `promise_day`.
        """
        taken = self.take_in(file, Job(""), units=units, columns=columns, dry_run=True)
        if taken.problems:
            return PromiseAsk(taken)
        moment = now or self.now()
        present, plan = self._planned(moment)
        fresh = self._fresh(taken.units, moment)
        notes = (*present.notes, *fresh.notes)
        if not fresh.problem.chains or not present.problem.people:
            return PromiseAsk(taken, notes)
        new = Arrival(present.problem.now, Due(""), fresh.problem.chains)
        problem = self._staffed(present, new, moment)
        return PromiseAsk(
            taken,
            notes,
            problem,
            planned_keys(problem, plan),
            new,
            runs,
            SEED,
            learned_spread(self.day_times(moment).values()),
            self._resting(present, moment),
        )

    def prepare_job_promise(
        self, job: str, *, now: datetime | None = None, runs: int = RUNS
    ) -> PromiseAsk:
        """Return what the promise for a job that is in the shop is worked out from.

        It goes by the plan as it is: without a hang day behind the jobs that have one.
        """
        moment = now or self.now()
        present, plan = self._planned(moment)
        problem = present.problem
        codes = [one.job for one in problem.jobs]
        if job not in codes or not problem.people:
            return PromiseAsk(TakenIn(job, (), (), (), taken=False), present.notes)
        return PromiseAsk(
            TakenIn(job, (), (), (), taken=False),
            present.notes,
            problem,
            planned_keys(problem, plan),
            None,
            runs,
            SEED,
            learned_spread(self.day_times(moment).values()),
            self._resting(present, moment),
            codes.index(job),
        )

    def say_promise(self, ask: PromiseAsk, found: Promise | None) -> Promised:
        """Return what was worked out as days of this shop; needs no file."""
        if found is None:
            return Promised(ask.taken, notes=ask.notes)
        return self._in_days(ask.taken, found, ask.notes)

    def with_chances(self, day: DayPlan, *, runs: int = RUNS) -> DayPlan:
        """Return a day plan that says how likely late jobs hold their day, and which are at risk.

        runs is how often the shop is run forward; nothing is run where no job has a hang day.
        """
        present, plan = self._planned(day.at)
        if not any(one.due is not None for one in present.problem.jobs):
            return day
        found = chances(
            present.problem,
            planned_keys(present.problem, plan),
            runs=runs,
            seed=SEED,
            spread=learned_spread(self.day_times(day.at).values()),
            resting=self._resting(present, day.at),
        )
        by_job = dict(zip((one.job for one in present.problem.jobs), found, strict=True))
        late = [replace(one, chance=by_job.get(one.job), runs=runs) for one in day.late_jobs]
        risk = jobs_at_risk(present, plan, by_job, runs=runs, now=day.at, zone=self.zone)
        return replace(day, late_jobs=tuple(late), at_risk=risk)

    def _planned(self, now: datetime) -> tuple[Built, Plan]:
        """Return the problem of the shop and the plan it is worked off by."""
        kept = self.kept_plan(now)
        return kept.built, kept.plan

    def _fresh(self, specs: Sequence[UnitSpec], now: datetime) -> Built:
        """Return the problem of a list alone, as if it had just been taken in."""
        names = [spec.unit for spec in specs]
        states = {(one.job, one.unit): _untouched(one) for one in specs}
        standings = {
            key: stand(state, self.setup, now=now, missing=supports_of(state.spec, names))
            for key, state in states.items()
        }
        return build(states, standings, self.means(now, HORIZON), hang_days={"": None})

    def _staffed(self, present: Built, new: Arrival, now: datetime) -> DayProblem:
        """Return the present load with hours known far enough ahead for the new job as well."""
        names = {one.name for one in present.problem.people}
        both = together(present.problem, (new,))
        days = HORIZON
        while True:
            workers, _notes = self.means(now, days).workers()
            people = tuple(one for one in workers if one.name in names)
            if has_room(replace(both, people=people)) or days >= LONGEST_HORIZON:
                return replace(present.problem, people=people)
            days *= 2

    def _in_days(self, taken: TakenIn, found: Promise, notes: tuple[str, ...]) -> Promised:
        half = found.finishes[len(found.finishes) // 2]
        days = tuple(
            SureDay(
                one.certainty,
                None if one.day is None else time_of(one.day).astimezone(self.zone).date(),
                None if one.finish is None else time_of(one.finish),
                one.least,
                one.most,
                one.held,
                one.needs,
            )
            for one in found.sure
        )
        return Promised(taken, days, None if half is None else time_of(half), found, notes)


def _untouched(spec: UnitSpec) -> UnitState:
    """Return a unit of which nothing is done; its parts need codes that differ."""
    codes = (replace(one, code=one.code or f"new {n}") for n, one in enumerate(spec.pieces))
    pieces = tuple(PieceState(one, {}) for one in codes)
    whole = replace(spec, pieces=tuple(one.piece for one in pieces))
    return UnitState(whole, pieces, {})
