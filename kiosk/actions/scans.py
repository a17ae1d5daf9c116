"""Record what a scan means, or say why not."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import datetime, timedelta

from kiosk.actions.asking import Asking
from kiosk.actions.findings import Findings
from kiosk.actions.lookup import Found
from kiosk.rules.entries import Kind, to_ms
from kiosk.rules.fold import PieceState
from kiosk.rules.permission import Act, Permit
from kiosk.rules.reasons import (
    GO_AHEAD_REASONS,
    say_reason,
)
from kiosk.rules.route import Step
from kiosk.rules.scanning import Answer, Outcome, Question, Verdict, judge
from kiosk.rules.standing import Standing
from kiosk.rules.times import say_time
from kiosk.rules.words import _, capital, join, say
from kiosk.store import Note


class Scans(Findings, Asking):
    """Scans of a shop."""

    def scan(
        self,
        text: str,
        *,
        station: str,
        person: str = "",
        step: str | None = None,
        reason: str | None = None,
        permit: Permit | None = None,
    ) -> Answer:
        """Record what a scan at a station means, or say why not and what to do.

        Args:
            text: what the scanner sent or a person typed: a part's code, or a unit's name.
            station: cut, assemble, finish or install.
            person: who scans.
            step: the step meant, where the person named one.
            reason: why to go ahead although it is too early.
            permit: of a supervisor, where there is one: one goes ahead with it only.

        Raises:
            StoreError: nothing was recorded.
        """
        now = self.now()
        found = self.find_unit(text)
        if isinstance(found, Answer):
            return found
        question = self._question(found, station, now, step or "", reason or "")
        verdict = judge(question)
        answer = self._answer(found, question.standing, verdict, now)
        asked = self.asked_line(found.state, now)
        answer = replace(answer, detail=join([answer.detail, asked]))
        if verdict.outcome != Outcome.RECORDED or verdict.step is None:
            return answer
        against = judge(replace(question, reason="")) if reason else verdict
        is_override = against.outcome == Outcome.TOO_EARLY
        if is_override and (problems := self.refused(Act.GO_AHEAD, permit)):
            answer = self._answer(found, question.standing, against, now)
            return replace(answer, message=problems[0].message, detail=problems[0].remedy)
        mark = self.marked(permit) if is_override else {}
        return self._record(found, question, verdict, answer, person=person, mark=mark)

    def _record(
        self,
        found: Found,
        question: Question,
        verdict: Verdict,
        answer: Answer,
        *,
        person: str,
        mark: Mapping[str, str],
    ) -> Answer:
        """Write what was judged; mark says who allowed it where that was needed."""
        before, reason, now = question.standing, question.reason, question.now
        step = verdict.step
        assert step is not None
        spec = found.state.spec
        body: dict[str, object] = {"step": step.name, "at_ms": to_ms(now), **mark}
        if verdict.part:
            body["part"] = verdict.part
        if reason:
            body["early"] = reason
        along = self.along_step(found, step, person, now)
        if _needs_word(question, step):
            # struck with the step: who scanned the wrong unit has let none be hung
            word = {"reason": reason, "check": before.hang.body() if before.hang else [], **mark}
            key = self.store.new_id(now)
            along.append(Note(Kind.HANGING_ALLOWED, spec.job, spec.unit, word, person, key))
        if along:
            body["along"] = [note.id for note in along]
        # what a strike voids stands last, so that Strike last finds it
        notes = [*along, Note(Kind.STEP_DONE, spec.job, spec.unit, body, person)]
        is_early = before.resting and before.step is not None and before.step.name == step.name
        if reason == GO_AHEAD_REASONS[0] and is_early:
            notes += self.finding_notes(found, dry=True, person=person, now=now)
        said = self.say_along(along)
        entry = self.store.write(notes, now)[len(along)]
        after = self.standing(spec.job, spec.unit, now)
        caution = self.setup.caution(step, spec)
        went = say("Went ahead: {reason}.", reason=say_reason(reason)) if reason else ""
        if mark:
            went = join([went, say("{name} allowed it.", name=mark["allowed_by"])])
        warning = say("{warning}.", warning=capital(before.warning)) if before.warning else ""
        hang, held = before.hang, ""
        if step.supports and hang is not None and not hang.is_refused:
            held = say("{words}.", words=capital(hang.words))  # too much expected is read here
        return replace(
            answer,
            message=capital(step.done),
            detail=join([went, warning, held, caution, said, self.asked_line(found.state, now)]),
            next=self._next(after, now),
            entry=entry.id,
            ready_at=after.hands_at if after and after.resting else None,
        )

    def along_step(self, _found: Found, _step: Step, _person: str, _now: datetime) -> list[Note]:
        """Return what is written with a step, each with an id: of a sheet that is cut."""
        return []

    def say_along(self, _notes: Sequence[Note]) -> str:
        """Return what to say of that, empty for nothing."""
        return ""

    def _next(self, standing: Standing | None, now: datetime) -> str:
        if standing is None or standing.step is None:
            return capital(standing.why) if standing else ""
        step = standing.step
        if standing.resting and standing.hands_at is not None:
            when = say_time(standing.hands_at, now=now, zone=self.zone)
            return say("Next: {step} from {time}", step=step.where, time=when)
        if standing.resting:
            return say("Next: {step}, once it dries", step=step.where)
        if step.each:
            return say("{why}, next: {step}", why=standing.why, step=step.where)
        if standing.missing:
            units = join(standing.missing, _(" and "))
            return say("Next: {step} after {units}", step=step.where, units=units)
        return say("Next: {step}", step=step.where)

    # -- judging -----------------------------------------------------------------------------

    def _question(
        self, found: Found, station: str, now: datetime, step: str, reason: str
    ) -> Question:
        spec = found.state.spec
        standing = self.standing(spec.job, spec.unit, now)
        assert standing is not None
        return Question(
            found.state,
            standing,
            self.setup.steps(spec),
            station,
            now,
            self.zone,
            found.piece,
            step,
            reason,
            timedelta(seconds=self.settings.repeat_seconds),
            self.missing_of(found.state, now),
        )

    def _answer(self, found: Found, standing: Standing, verdict: Verdict, now: datetime) -> Answer:
        spec, piece = found.state.spec, found.piece
        outcome = verdict.outcome
        follow = outcome in (Outcome.ALREADY, Outcome.ELSEWHERE)
        return Answer(
            outcome,
            verdict.message,
            verdict.detail,
            next=self._next(standing, now) if follow else "",
            code=found.code,
            entry=verdict.done.entry if verdict.done else "",
            job=spec.job,
            unit=spec.unit,
            unit_name=spec.name,
            part=piece.piece.part if piece else "",
            size=self._size(spec.job, piece) if piece else "",
            step=verdict.step.name if verdict.step else "",
            ready_at=verdict.ready_at,
            offers=verdict.offers,
        )

    def _size(self, job: str, piece: PieceState) -> str:
        return self.size_text(job, piece.piece)


def _needs_word(question: Question, step: Step) -> bool:
    """Tell whether somebody hangs what the check refuses: that is a word of its own in the log."""
    hang = question.standing.hang
    return bool(question.reason) and step.supports and hang is not None and hang.is_refused
