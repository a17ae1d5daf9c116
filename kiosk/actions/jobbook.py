"""Look through the jobs: how far each is, and what happened to a unit."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from kiosk.actions.intake import Intake
from kiosk.rules.entries import STRIKABLE, Entry, void_ids
from kiosk.rules.entrywords import built_upon, say_what
from kiosk.rules.fold import UnitState
from kiosk.rules.questions import doubles
from kiosk.rules.route import State
from kiosk.rules.steps import missing_parts
from kiosk.rules.times import say_time
from kiosk.store import Job


@dataclass(frozen=True, slots=True)
class JobSum:
    """How far an open job is: its units and those hung, the parts to be cut and those cut."""

    job: Job
    units: int
    hung: int
    parts: int
    cut: int


@dataclass(frozen=True, slots=True)
class Past:
    """One entry about a unit: when, what and by whom.

    upon names the steps that were recorded after it and stay recorded when it is struck. is_double
    tells that the step was recorded once before by the same person, within minutes.
    """

    entry: str
    at: datetime
    when: str
    what: str
    person: str
    is_struck: bool = False
    can_strike: bool = False
    upon: tuple[str, ...] = ()
    is_double: bool = False


class JobBook(Intake):
    """The jobs of a shop, looked through."""

    def today(self) -> date:
        """Return the day it is in the shop's zone."""
        return self.now().astimezone(self.zone).date()

    def job_sums(self) -> tuple[JobSum, ...]:
        """Return the open jobs, that with the next hang day first, those without one last."""
        counts: dict[str, list[int]] = {}
        for state in self.store.states().values():
            needed = [piece for piece in state.pieces if piece.needed]
            tally = counts.setdefault(state.spec.job, [0, 0, 0])
            tally[0] += 1
            if self._cut_step(state) is not None:
                tally[1] += len(needed)
                tally[2] += len(needed) - len(self.uncut(state))
        hung = [one.job for one in self.standings() if one.state == State.HUNG]
        open_jobs = [job for job in self.jobs().values() if job.open]
        found = []
        for job in sorted(open_jobs, key=lambda one: (one.hang_day or "9999", one.code)):
            units, parts, cut = counts.get(job.code, [0, 0, 0])
            found.append(JobSum(job, units, hung.count(job.code), parts, cut))
        return tuple(found)

    def uncut(self, state: UnitState) -> frozenset[str]:
        """Return the codes of the parts of a unit that are still to be cut."""
        steps, place = self.setup.steps(state.spec), self._cut_step(state)
        if place is None:
            return frozenset()
        left = missing_parts(state, steps[place], steps[place + 1 :])
        return frozenset(piece.piece.code for piece in left)

    def _cut_step(self, state: UnitState) -> int | None:
        """Return where in a unit's steps its parts are cut, None where nobody cuts any here."""
        steps = self.setup.steps(state.spec)
        return next(
            (at for at, step in enumerate(steps) if step.each and step.station == "cut"), None
        )

    def past(self, job: str, unit: str) -> tuple[Past, ...]:
        """Return all entries about a unit, newest first, struck ones too."""
        self.store.refresh()
        entries = self.store.history(job, unit)
        state = self.store.state(job, unit)
        struck = void_ids(entries)
        # by when it happened: what is recorded late stands where it belongs
        order = {one.id: place for place, one in enumerate(entries)}
        newest = sorted(entries, key=lambda one: (one.at, order[one.id]), reverse=True)
        return tuple(self._past(one, entries, state, struck) for one in newest)

    def _past(
        self, entry: Entry, entries: list[Entry], state: UnitState | None, struck: frozenset[str]
    ) -> Past:
        steps = self.setup.steps(state.spec) if state else ()
        titles = {step.name: step.title for step in steps}
        parts = {one.piece.code: one.piece.part for one in state.pieces} if state else {}
        target = str(entry.body.get("target", ""))
        about = next((one for one in entries if one.id == target), None)
        voided = say_what(about, titles, parts=parts) if about else ""
        is_struck = entry.id in struck
        job = self.jobs().get(entry.job)
        can = entry.kind in STRIKABLE and not is_struck and (job is None or job.open)
        upon = built_upon(entry, state, steps) if state and can else ()
        return Past(
            entry.id,
            entry.at,
            say_time(entry.at, now=self.now(), zone=self.zone),
            say_what(entry, titles, parts=parts, struck=voided),
            entry.person,
            is_struck,
            can,
            tuple(step.title for step in upon),
            state is not None and entry.id in doubles(state),
        )
