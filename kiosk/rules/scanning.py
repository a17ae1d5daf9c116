"""Judge what a scan at a station means for a unit, without recording anything."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta, tzinfo
from enum import StrEnum

from kiosk.rules.fold import Done, PieceState, UnitState
from kiosk.rules.hangword import HangWord
from kiosk.rules.reasons import HANG_REASONS, say_reason
from kiosk.rules.route import State, Step, scuff_before
from kiosk.rules.standing import Standing
from kiosk.rules.steps import missing_parts
from kiosk.rules.times import say_span, say_time
from kiosk.rules.words import _, capital, heard, join, known, say
from labels.codes import shown


class Outcome(StrEnum):
    """What became of a scan; the words are those of docs/formats.md."""

    RECORDED = "recorded"
    ALREADY = "already"
    TOO_EARLY = "too_early"
    ELSEWHERE = "elsewhere"
    UNKNOWN = "unknown"
    SLIP = "slip"
    ON_HOLD = "on_hold"


@dataclass(frozen=True, slots=True)
class Offer:
    """One thing a person may choose after an answer.

    kind is 'go_ahead' (value: a step; needs a reason, one of reasons where there are any, else of
    the kiosk's), 'also' (value: the next step, done too),
    'code' (value: a likely code), 'lift' (value: the unit on hold) or 'again' (value: the entry of
    a step that must be done again).
    """

    kind: str
    value: str
    words: str
    reasons: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Answer:
    """What the kiosk tells a person after a scan or a correction."""

    outcome: Outcome
    message: str
    detail: str = ""
    next: str = ""
    code: str = ""
    entry: str = ""
    job: str = ""
    unit: str = ""
    unit_name: str = ""
    part: str = ""
    size: str = ""
    step: str = ""
    ready_at: datetime | None = None
    offers: tuple[Offer, ...] = ()


@dataclass(frozen=True, slots=True)
class Verdict:
    """What a scan means before it is recorded.

    step is what would be, or was, recorded; part its code where the step goes part by part.
    message, detail and offers go to the person. done is the earlier record where there is one.
    """

    outcome: Outcome
    step: Step | None = None
    part: str = ""
    message: str = ""
    detail: str = ""
    ready_at: datetime | None = None
    offers: tuple[Offer, ...] = ()
    done: Done | None = None


@dataclass(frozen=True, slots=True)
class Question:
    """A scan to be judged: what is known of the unit, where it was scanned, and what was asked.

    step is empty unless the person named one; reason is why to go ahead; repeat is the span within
    which a second read of the same label at the same station is taken for a repeat.
    """

    state: UnitState
    standing: Standing
    steps: tuple[Step, ...]
    station: str
    now: datetime
    zone: tzinfo
    piece: PieceState | None = None
    step: str = ""
    reason: str = ""
    repeat: timedelta = timedelta(seconds=60)
    missing: tuple[str, ...] = ()


def judge(question: Question) -> Verdict:
    """Return what a scan means: record it, refuse it with a reason, or say where it belongs."""
    q = question
    if q.piece is not None and not q.piece.needed:
        return _void(q.piece)
    if q.state.gone:
        return _off_list(q)
    if q.state.holds and not _cures(q):
        reason = say_reason(q.state.holds[-1].reason)
        return Verdict(
            Outcome.ON_HOLD,
            message=say("{unit} is on hold", unit=q.state.spec.unit),
            detail=say("{reason}. Lift the hold before it goes on.", reason=reason),
            offers=(Offer("lift", q.state.spec.unit, _("Lift the hold")),),
        )
    if q.step:
        return _named(q)
    step = _step_here(q)
    if step is None:
        return _nothing_here(q)
    if (repeat := _repeat(q)) is not None:
        before, done = repeat
        also = capital(say("{done} too", done=step.done))
        return Verdict(
            Outcome.ALREADY,
            before,
            message=say("Already: {done}", done=before.done),
            detail=say(
                "{when}. Scan again later, or say that the next step is done too.",
                when=_by(q, done),
            ),
            offers=(Offer("also", step.name, also),),
            done=done,
        )
    return _record_or_wait(q, step)


def _cures(q: Question) -> bool:
    """Tell whether the scan is a recut's, cut or gathered: that is what its unit is held up for."""
    step = _step_here(q)
    return q.piece is not None and bool(q.piece.replaces) and step is not None and step.each


def _off_list(q: Question) -> Verdict:
    return Verdict(
        Outcome.ON_HOLD,
        message=say("No longer on the list: {unit}", unit=q.state.spec.unit),
        detail=_("A revised list left it out after it was begun. Answer the question first."),
    )


def _void(piece: PieceState) -> Verdict:
    if piece.spoiled:
        recut = _("It has no recut.")
        if piece.recut:
            recut = say("Its recut carries the label {code}.", code=piece.recut)
        return Verdict(
            Outcome.ON_HOLD,
            message=say("Spoiled: {part}", part=piece.piece.part),
            detail=say("{reason}. {recut}", reason=say_reason(piece.spoiled), recut=recut),
        )
    return Verdict(
        Outcome.ON_HOLD,
        message=say("No longer on the list: {part}", part=piece.piece.part),
        detail=_("A revised list left it out after it was cut. Keep it apart and ask."),
    )


def _named(q: Question) -> Verdict:
    """Judge a scan for which the person named the step."""
    step = next((step for step in q.steps if step.name == q.step), None)
    if step is None and q.standing.step is not None and q.standing.step.name == q.step:
        step = q.standing.step
    if step is None and (past := q.state.done.get(q.step)) is not None:
        # a scuff the route does not have, recorded after a window had closed
        detail = say("{when}.", when=_by(q, past))
        message = say("Already: {done}", done=heard(q.step, (_("scuff-{n}"),)))
        return Verdict(Outcome.ALREADY, message=message, detail=detail, done=past)
    if step is None:
        names = ", ".join(step.name for step in q.steps)
        return Verdict(
            Outcome.ELSEWHERE,
            message=say("{unit} has no step {step}", unit=q.state.spec.unit, step=q.step),
            detail=say("Its steps are: {names}.", names=names),
        )
    if (done := _done(q, step)) is not None:
        return Verdict(
            Outcome.ALREADY,
            step,
            message=say("Already: {done}", done=step.done),
            detail=say("{when}.", when=_by(q, done)),
            done=done,
        )
    if step.each and q.piece is None:
        return Verdict(
            Outcome.ELSEWHERE,
            step,
            message=say("Scan a part to record: {done}", done=step.done),
            detail=_("This step is recorded part by part."),
        )
    return _record_or_wait(q, step)


def _step_here(q: Question) -> Step | None:
    """Return the step this scan would record at this station, or None."""
    if q.piece is not None:
        for place, step in enumerate(q.steps):
            if step.each and step.station == q.station:
                lacking = missing_parts(q.state, step, q.steps[place + 1 :])
                if q.piece in lacking:
                    return step
    due = q.standing.step
    if due is not None and not due.each and due.station == q.station:
        return due
    return None


def _record_or_wait(q: Question, step: Step) -> Verdict:
    part = q.piece.piece.code if step.each and q.piece else ""
    blocked, detail, ready_at = _blocked(q, step)
    if blocked and not q.reason:
        return Verdict(
            Outcome.TOO_EARLY,
            step,
            part,
            message=blocked,
            detail=detail,
            ready_at=ready_at,
            offers=(_go_ahead(q, step),),
        )
    return Verdict(Outcome.RECORDED, step, part)


def _go_ahead(q: Question, step: Step) -> Offer:
    # what is dry or not stressed is no reason to hang what may come down
    reasons = HANG_REASONS if _unrated(q, step) is not None else ()
    return Offer("go_ahead", step.name, say("{step} all the same", step=step.title), reasons)


def _unrated(q: Question, step: Step) -> HangWord | None:
    """Return the word of the check of hanging where it stands against this step, or None."""
    hang = q.standing.hang
    return hang if step.supports and hang is not None and hang.is_refused else None


def _blocked(q: Question, step: Step) -> tuple[str, str, datetime | None]:
    """Return in words what stands against a step now, and until when; empty if nothing does."""
    if step.each:
        earlier = _uncut(q, step)
        if earlier is not None:
            where = known(earlier.station, "station")
            words = say("Not {done} yet", done=earlier.done)
            return words, say("Scan it at {station} first.", station=where), None
        return "", "", None
    due = q.standing.step
    later = q.steps[q.steps.index(step) + 1 :] if step in q.steps else ()
    if any(not after.each and after.name in q.state.done for after in later):
        words = say("Past that: {step}", step=step.title)
        return words, _("A later step is recorded already."), None
    hang = _unrated(q, step)
    if due is None or due.name != step.name:
        first = due.title if due else _("nothing more")
        risk = hang.message if hang is not None else ""
        detail = join([q.standing.why, risk], "; ")
        return say("Before that: {step}", step=first), detail, q.standing.hands_at
    if hang is not None:
        # first, so that a reason is never given for less than what it lets pass
        resting = say("{why}.", why=capital(q.standing.why)) if q.standing.resting else ""
        return hang.message, join([hang.detail, resting]), None
    if q.standing.resting:
        if q.standing.hands_at is None:
            return _("Too early: no end in sight"), q.standing.why, None
        left = say_span(q.standing.hands_at - q.now)
        return say("Too early: {span} to go", span=left), q.standing.why, q.standing.hands_at
    if q.standing.state == State.ON_HOLD:
        words = say("Nobody knows from when: {step}", step=step.title)
        return words, q.standing.why, None
    if step.supports and q.missing:
        what = join(q.missing, _(" and "))
        words = say("First {units}", units=what)
        return words, say("{units} must be up before it.", units=what), None
    return "", "", None


def _uncut(q: Question, step: Step) -> Step | None:
    """Return the step this part lacks before a step recorded part by part, or None."""
    for before in q.steps[: q.steps.index(step)]:
        if before.each and q.piece is not None and before.name not in q.piece.done:
            return before
    return None


def _nothing_here(q: Question) -> Verdict:
    """Say what is next and where, as nothing is to be recorded at this station."""
    here = [step for step in q.steps if step.station == q.station]
    done = [(step, found) for step in here if (found := _done(q, step)) is not None]
    due = q.standing.step
    where = _where(q, due)
    if done and (due is None or due.station != q.station or due.each):
        step, found = max(done, key=lambda pair: pair[1].at)
        return Verdict(
            Outcome.ALREADY,
            step,
            message=say("Already: {done}", done=step.done),
            detail=say("{when}. {next}", when=_by(q, found), next=where),
            offers=_glue_anyway(q),
            done=found,
        )
    message = say("Not here: {step}", step=due.title) if due else _("Nothing left to do")
    if due is not None and due.station == q.station:
        message = say("Scan a part to record: {done}", done=due.done)
    return Verdict(
        Outcome.ELSEWHERE,
        due,
        message=message,
        detail=where,
        ready_at=q.standing.hands_at,
    )


def _where(q: Question, due: Step | None) -> str:
    if due is None:
        return say("{unit} is {why}.", unit=q.state.spec.unit, why=q.standing.why)
    if due.each:
        place = q.steps.index(due)
        lacking = missing_parts(q.state, due, q.steps[place + 1 :])
        names = ", ".join(f"{piece.piece.part} {shown(piece.piece.code)}" for piece in lacking[:3])
        if len(lacking) > 3:
            names = say("{names} and {n} more", names=names, n=len(lacking) - 3)
        return say("Still to {step}: {parts}.", step=due.where, parts=names)
    # the step itself is said by the answer, which names it as what is next
    return say("{why}.", why=capital(q.standing.why))


def _glue_anyway(q: Question) -> tuple[Offer, ...]:
    """Offer the station's next unit step where only parts nobody scanned stand against it."""
    due = q.standing.step
    if due is None or not due.each:
        return ()
    for step in q.steps[q.steps.index(due) + 1 :]:
        if not step.each:
            if step.station == q.station and step.name not in q.state.done:
                return (_go_ahead(q, step),)
            return ()
    return ()


def _done(q: Question, step: Step) -> Done | None:
    if step.each:
        return q.piece.done.get(step.name) if q.piece else None
    return q.state.done.get(step.name)


def _repeat(q: Question) -> tuple[Step, Done] | None:
    """Return the step just recorded here for the same label, or None."""
    # a scuff that the route lacks was recorded here all the same; the route's own word goes first
    steps = [*reversed(q.steps), *(scuff_before(step) for step in q.steps if step.is_coat)]
    for step in steps:
        done = _done(q, step)
        if done is None or step.station != q.station:
            continue
        if timedelta(0) <= q.now - done.at < q.repeat:
            return step, done
    return None


def _by(q: Question, done: Done) -> str:
    when = say_time(done.at, now=q.now, zone=q.zone)
    return say("{time} by {person}", time=when, person=done.person) if done.person else when
