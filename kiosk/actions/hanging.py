"""Know what units on measured walls may carry and in which order they go up."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from kiosk.actions.wallbook import WallBook
from kiosk.clock import Clock
from kiosk.config import Settings
from kiosk.rules.entries import Kind
from kiosk.rules.fold import UnitState
from kiosk.rules.hanging.hangviews import Checked, HangingView, UnitHanging
from kiosk.rules.hanging.jobcheck import check_job
from kiosk.rules.hanging.means import Means, read_stock
from kiosk.rules.hanging.unitcheck import hang_word
from kiosk.rules.hangword import HangWord
from kiosk.rules.lengths import from_mm
from kiosk.rules.permission import Act, Permit
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


class HangingDesk(WallBook):
    """The walls of a shop's jobs, how units hang on them, and the check of that."""

    def __init__(self, store: Store, settings: Settings, clock: Clock) -> None:
        super().__init__(store, settings, clock)
        self._hangings: dict[str, _Checked] = {}
        self._hang_shown: dict[str, HangingView] = {}

    def hanging(self, job: str, now: datetime | None = None) -> HangingView:
        """Return the check of a job's walls: ratings, order, screws, shims.

        A job without a measured wall has no units here: nothing of it was checked. now changes
        nothing, as ratings know no time; a view of the past is a shop of its own.
        """
        del now
        known = self._hangings.get(job)
        turn = (self.store.turn, self._hang_means(), self.job_system(job))
        if known is not None and known.turn == turn:
            return known.view
        states, walls = self._hang_states(job), self.walls(job)
        given = (walls, turn[1:], tuple((one.spec, one.fitted, one.allowed) for one in states))
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
            entry, message = one.allowed, _("Nothing stands against hanging it")
            if entry is not None:
                message = _("Somebody let it go up already")
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
