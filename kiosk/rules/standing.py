"""Say where a unit stands at `now`: what is next, when hands are needed, and why."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Final

from kiosk.rules.clockwords import GATE_WORDS, Look, look_at
from kiosk.rules.drying import Clock, Window, recoat_windows
from kiosk.rules.fold import UnitState
from kiosk.rules.hangword import HangWord
from kiosk.rules.harm import harms, say_harms
from kiosk.rules.reasons import say_reason
from kiosk.rules.route import State, Step, Wait, scuff_before
from kiosk.rules.setup import Setup
from kiosk.rules.stages import STAGES
from kiosk.rules.steps import built_over, missing_parts, next_step
from kiosk.rules.times import midnight_after, say_time
from kiosk.rules.words import _, join, say

# What rests, while it goes on and where it does not in this air.
_RESTS: Final = {
    State.GLUE_CURING: (_("{what} cures until {time}"), _("{what} does not cure")),
    State.HARDENING: (_("{what} hardens until {time}"), _("{what} does not harden")),
    State.COAT_DRYING: (_("{what} dries until {time}"), _("{what} does not dry")),
}
# How long the words about the air stand before they are worked out anew (choice).
SAID_FOR = timedelta(minutes=10)


@dataclass(frozen=True, slots=True)
class Standing:
    """Where one unit stands; times are aware.

    step is the next step or None when nothing is left. hands_at is when hands are next needed,
    earliest and latest its band, started when the rest began. changes_at is the first moment at
    which the answer may differ without any new entry.
    """

    job: str
    unit: str
    name: str
    kind: str
    state: State
    why: str
    step: Step | None = None
    started: datetime | None = None
    hands_at: datetime | None = None
    earliest: datetime | None = None
    latest: datetime | None = None
    window_closes_at: datetime | None = None
    coats_done: int = 0
    coats_wanted: int = 0
    parts_done: int = 0
    parts_wanted: int = 0
    rests_on: str = ""
    caution: str = ""
    missing: tuple[str, ...] = ()
    changes_at: datetime | None = None
    clock: Clock | None = field(default=None, compare=False)
    air: str = ""
    held: bool = False
    estimated: bool = False
    uncertain: bool = False
    risk: str = ""
    warning: str = ""
    hang: HangWord | None = None

    @property
    def station(self) -> str:
        """Return the station of the next step, empty when nothing is left."""
        return self.step.station if self.step else ""

    @property
    def resting(self) -> bool:
        """Tell whether a clock runs that nobody may hurry."""
        return self.state in (State.GLUE_CURING, State.COAT_DRYING, State.HARDENING)

    def progress(self, now: datetime) -> float:
        """Return the elapsed share of the rest, 0 to 1; 0 where none runs."""
        if not self.resting or self.started is None or self.hands_at is None:
            return 0.0
        if self.clock is not None:
            return self.clock.progress(now)
        return min(1.0, max(0.0, (now - self.started) / (self.hands_at - self.started)))


def stand(
    state: UnitState,
    setup: Setup,
    *,
    now: datetime,
    missing: tuple[str, ...] = (),
    hang: HangWord | None = None,
) -> Standing:
    """Return the standing of a unit.

    Args:
        state: the unit folded from the log.
        setup: routes, products and zone.
        now: the moment asked about, aware.
        missing: names of the supports that are not up yet.
        hang: what the check of hanging says, None where the job has no measured wall.
    """
    return _Stand(state, setup, now, missing, hang).standing()


class _Stand:
    """One question put once: keeps its givens so that the steps of the answer stay short."""

    def __init__(
        self,
        state: UnitState,
        setup: Setup,
        now: datetime,
        missing: tuple[str, ...],
        hang: HangWord | None,
    ) -> None:
        self.state, self.setup, self.now, self.missing = state, setup, now, missing
        self.hang = hang
        self.spec = state.spec
        self.steps = setup.steps(state.spec)
        self.by_name = {step.name: step for step in self.steps}

    def standing(self) -> Standing:
        step = next_step(self.state, self.steps)
        if self.state.holds:
            hold = self.state.holds[-1]
            began, reason = self.now >= hold.at, say_reason(hold.reason)
            words = say("on hold: {reason}", reason=reason)
            if began:
                words = say(
                    "on hold since {time}: {reason}", time=self.time(hold.at), reason=reason
                )
            return self.answer(
                State.ON_HOLD, words, step=step, changes_at=None if began else hold.at
            )
        if unclear := self.unclear():
            return self.answer(State.ON_HOLD, unclear, step=step)
        waits = step.waits if step else self.setup.routes[self.spec.kind].ends
        clock, wait, lacking = self.latest(waits)
        if lacking:
            return self.answer(State.ON_HOLD, lacking, step=step)
        if clock is not None and wait is not None and not clock.is_over(self.now):
            return self.rest(step, clock, wait)
        if step is None:
            return self.up(clock)
        if step.supports and self.hang is not None and self.hang.is_refused:
            return self.answer(State.ON_HOLD, self.hang.words, step=step)
        times = (clock.expected if clock else None, self.freed(step))
        return self.due(step, max(filter(None, times), default=None), clock)

    def unclear(self) -> str:
        """Return in words what only a person can say before the unit goes on, empty for nothing."""
        if self.state.gone:
            return _("on hold: no longer on the list, but begun")
        for one in built_over(self.state, self.steps):
            if not one.step.each:
                later = one.later[-1][0].title
                words = _("on hold: {step} was struck, but {later} is recorded")
                return say(words, step=one.step.title, later=later)
        return ""

    def freed(self, step: Step) -> datetime | None:
        """Return since when the unit waits for a step that no rest holds up."""
        return None if step.each else self.touched()

    def touched(self) -> datetime | None:
        """Return when a step was last recorded for the unit or one of its parts."""
        times = [done.at for done in self.state.done.values()]
        times += [done.at for piece in self.state.pieces for done in piece.done.values()]
        return max(times, default=None)

    def latest(self, waits: tuple[Wait, ...]) -> tuple[Clock | None, Wait | None, str]:
        """Return the rest that ends last, and in words what figure is lacking."""
        found: tuple[Clock | None, Wait | None] = (None, None)
        for wait in waits:
            after, done = self.by_name.get(wait.after), self.state.done.get(wait.after)
            if after is None or done is None:
                continue
            clock = self.setup.clock(after, self.spec, wait.stage, done.at)
            if clock is None:
                product = self.setup.product(after, self.spec)
                what = product.title if product else say("what {step} uses", step=after.title)
                stage = STAGES[wait.stage].words
                words = say(
                    "no figure for {what}: {stage}; add it from the label", what=what, stage=stage
                )
                return None, None, words
            if found[0] is None or _ends_after(clock, found[0]):
                found = (clock, wait)
        return (*found, "")

    def rest(self, step: Step | None, clock: Clock, wait: Wait) -> Standing:
        after = self.by_name[wait.after]
        state, what = State.COAT_DRYING, after.title
        if after.uses == "glue":
            state, what = State.GLUE_CURING, _("glue")
        elif wait.stage in ("hang", "stack", "load"):
            state = State.HARDENING
        elif after.uses in ("filler", "wall_filler"):
            what = _("filler")
        look = look_at(clock, now=self.now, fahrenheit=self.setup.fahrenheit)
        until = clock.expected
        going, stuck = _RESTS[state]
        words = say(going, what=what, time=self.time(until)) if until else say(stuck, what=what)
        if step:
            words = say("{rest}, then {step}", rest=words, step=step.title)
        window = self.closing(step)[0] if step else None
        times = [until, self.now + SAID_FOR if clock.air.readings else None]
        return self.answer(
            state,
            join([words, self.say_look(clock, look)], "; "),
            step=step,
            started=clock.started,
            hands_at=until,
            earliest=clock.earliest,
            latest=clock.latest,
            window_closes_at=window,
            rests_on=after.uses,
            changes_at=min(filter(None, times), default=None),
            clock=clock,
            air=look.words,
            held=look.state == "held",
            estimated=look.estimated,
            uncertain=look.uncertain,
        )

    def say_look(self, clock: Clock, look: Look) -> str:
        """Return what the air does to a rest; nothing where no air was ever read."""
        if not clock.air.readings:
            return ""
        if look.next_gate is None or look.held_from is None:
            return look.words
        gate, when = GATE_WORDS[look.next_gate], self.time(look.held_from)
        return say("{air}; {held} from {time}", air=look.words, held=gate, time=when)

    def up(self, clock: Clock | None) -> Standing:
        last = self.state.last
        since = clock.expected if clock else last.at if last else self.touched()
        if since is None:
            return self.answer(State.HUNG, _("up"))
        if clock is None:
            return self.answer(State.HUNG, say("up since {time}", time=self.time(since)))
        return self.answer(State.HUNG, say("dry since {time}", time=self.time(since)))

    def closing(self, step: Step) -> tuple[datetime | None, Window | None]:
        """Return until when the step may happen just so, and the window after that, if any."""
        if step.is_coat and f"scuff-{step.number}" in self.state.done:
            return None, None
        found: tuple[datetime | None, Window | None] = (None, None)
        for wait in step.closes:
            after, done = self.by_name.get(wait.after), self.state.done.get(wait.after)
            product = self.setup.product(after, self.spec) if after and done else None
            if after is None or done is None or product is None:
                continue
            if wait.stage == "window":
                air, coat = self.setup.air(after, self.spec), max(1, after.number)
                windows = recoat_windows(product, done.at, air=air, coat=coat)
                closes = windows[0].closes
                then = windows[1] if len(windows) > 1 else None
            else:
                clock = self.setup.clock(after, self.spec, wait.stage, done.at)
                closes, then = (clock.expected if clock else None), None
            if closes is not None and (found[0] is None or closes < found[0]):
                found = (closes, then)
        return found

    def guessed(self, clock: Clock | None) -> str:
        """Return in words that a rest is over by forecast alone, empty where it was read."""
        if clock is None or not clock.air.readings:
            return ""
        last = clock.air.readings[-1].at
        if clock.expected is None or clock.expected <= last:
            return ""
        return say("by estimate, air last read {time}: touch test first", time=self.time(last))

    def due(self, step: Step, since: datetime | None, clock: Clock | None) -> Standing:
        closes, then = self.closing(step)
        closed = closes is not None and self.now >= closes
        state, why = step.standing, self.why_due(step, since)
        is_coating = step.name.startswith(("scuff-", "coat-"))
        if closes is not None and closed and is_coating:
            if then is not None and not then.holds(self.now):
                return self.between_windows(step, closes, then)
            state = State.SCUFF_FIRST
            why = say("window closed {time}: scuff first", time=self.time(closes))
            step = scuff_before(step) if step.is_coat else step
        elif closes is not None and closed:
            why = say("tape is late since {time}: score its edge first", time=self.time(closes))
        elif closes is not None:
            why = say("{why}; window closes {time}", why=why, time=self.time(closes))
        if step.supports and self.hang is not None:
            why = join([why, self.hang.words], "; ")
        guess = self.guessed(clock)
        return self.answer(
            state,
            join([why, guess], "; "),
            step=step,
            hands_at=since,
            earliest=since,
            latest=since,
            window_closes_at=closes,
            caution=self.setup.caution(step, self.spec),
            changes_at=None if closed else closes,
            estimated=bool(guess),
            warning=guess,
        )

    def between_windows(self, step: Step, closed: datetime, then: Window) -> Standing:
        """Answer for a coat that is too old for the next one and too young to be scuffed."""
        words = say(
            "window closed {closed}, too soft to scuff; no end is in sight",
            closed=self.time(closed),
        )
        if then.opens:
            words = say(
                "window closed {closed}, too soft to scuff until {opens}",
                closed=self.time(closed),
                opens=self.time(then.opens),
            )
        return self.answer(
            State.COAT_DRYING,
            words,
            step=step,
            started=closed,
            hands_at=then.opens,
            earliest=then.opens,
            latest=then.opens,
            rests_on="finish",
            changes_at=then.opens,
        )

    def why_due(self, step: Step, since: datetime | None) -> str:
        if step.each:
            place = self.steps.index(step)
            lacking = missing_parts(self.state, step, self.steps[place + 1 :])
            needed = sum(piece.needed for piece in self.state.pieces)
            recut = next((piece for piece in lacking if piece.replaces), None)
            if recut is not None:
                return say("recut {part}: the first one is spoiled", part=recut.piece.part)
            return say(
                "{n} of {all} parts {done}", n=needed - len(lacking), all=needed, done=step.done
            )
        if step.supports and self.missing:
            return say("ready, after {units}", units=join(self.missing, _(" and ")))
        if since is None:
            return say("{step} next", step=step.title)
        return say("{step} since {time}", step=step.title, time=self.time(since))

    def time(self, at: datetime) -> str:
        return say_time(at, now=self.now, zone=self.setup.zone)

    def answer(self, state: State, why: str, **given: object) -> Standing:
        coats = [step for step in self.steps if step.is_coat]
        needed = [piece for piece in self.state.pieces if piece.needed]
        cut = sum(bool(piece.done) for piece in needed)
        midnight = midnight_after(self.now, self.setup.zone)
        changes = given.pop("changes_at", None)
        soonest = min(changes, midnight) if isinstance(changes, datetime) else midnight
        found = harms(self.state, self.setup, now=self.now)
        guess = given.pop("warning", "")
        warning = guess if isinstance(guess, str) else ""
        if found:
            harm = say_harms(found)
            # first, as long lines are cut at their end
            why, warning = join([harm, why], "; "), join([harm, warning], "; ")
        return Standing(
            self.spec.job,
            self.spec.unit,
            self.spec.name,
            self.spec.kind,
            state,
            why,
            coats_done=sum(step.name in self.state.done for step in coats),
            coats_wanted=len(coats),
            parts_done=cut,
            parts_wanted=len(needed),
            missing=self.missing if state == State.READY_TO_HANG else (),
            changes_at=soonest,
            risk=found[0][1].level if found else "",
            warning=warning,
            hang=self.hang,
            **given,  # type: ignore[arg-type]  # fields of Standing, named where answer is called
        )


def _ends_after(clock: Clock, other: Clock) -> bool:
    """Tell whether a clock ends after another; an end out of sight comes last."""
    if clock.expected is None or other.expected is None:
        return clock.expected is None and other.expected is not None
    return clock.expected > other.expected
