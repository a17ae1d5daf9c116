"""Say where a unit stands at `now`: what is next, when hands are needed, and why."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime, tzinfo

from kiosk.rules.drying import Clock, run_clock
from kiosk.rules.fold import PieceState, UnitState
from kiosk.rules.parts import UnitSpec
from kiosk.rules.products import STAGES, Product
from kiosk.rules.route import Route, State, Step, Wait, scuff_before, steps_for
from kiosk.rules.times import midnight_after, say_time


@dataclass(frozen=True, slots=True)
class Setup:
    """What a shop works with: routes by kind, products by key, which product a use means, zone."""

    routes: Mapping[str, Route]
    products: Mapping[str, Product]
    uses: Mapping[str, str]
    zone: tzinfo

    def steps(self, spec: UnitSpec) -> tuple[Step, ...]:
        """Return the steps a unit goes through."""
        return steps_for(self.routes[spec.kind], spec)

    def product(self, step: Step, spec: UnitSpec) -> Product | None:
        """Return the product a step uses on a unit, or None where none is known."""
        key = spec.finish if step.uses == "finish" else self.uses.get(step.uses, "")
        return self.products.get(key)


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
        return Clock(self.started, self.hands_at, self.hands_at, self.hands_at).progress(now)


def supports_of(spec: UnitSpec, known: Collection[str]) -> tuple[str, ...]:
    """Return the units that must be up before this one: what it hangs on, or its wall."""
    for support in (spec.hangs_on, spec.wall):
        if support and support != spec.unit and support in known:
            return (support,)
    return ()


def missing_parts(state: UnitState, step: Step, later: Iterable[Step]) -> tuple[PieceState, ...]:
    """Return the parts that still lack a step recorded part by part.

    A later step recorded for the part, or for the unit after the part came to be, stands for it:
    people forget to scan, and what came after shows that it was done.
    """
    later = tuple(later)
    unit_times = [
        state.done[after.name].at for after in later if not after.each and after.name in state.done
    ]
    last = max(unit_times, default=None)

    def lacks(piece: PieceState) -> bool:
        if not piece.needed or step.name in piece.done:
            return False
        if any(after.each and after.name in piece.done for after in later):
            return False
        return last is None or (piece.born is not None and piece.born > last)

    return tuple(piece for piece in state.pieces if lacks(piece))


def next_step(state: UnitState, steps: tuple[Step, ...]) -> Step | None:
    """Return the first step not done: of the parts, then of the unit after the last one done."""
    last = max(
        (place for place, step in enumerate(steps) if not step.each and step.name in state.done),
        default=-1,
    )
    for place, step in enumerate(steps):
        if step.each:
            if missing_parts(state, step, steps[place + 1 :]):
                return step
        elif place > last:
            return step
    return None


def stand(
    state: UnitState, setup: Setup, *, now: datetime, missing: tuple[str, ...] = ()
) -> Standing:
    """Return the standing of a unit.

    Args:
        state: the unit folded from the log.
        setup: routes, products and zone.
        now: the moment asked about, aware.
        missing: names of the supports that are not up yet.
    """
    return _Stand(state, setup, now, missing).standing()


class _Stand:
    """One question put once: keeps its givens so that the steps of the answer stay short."""

    def __init__(
        self, state: UnitState, setup: Setup, now: datetime, missing: tuple[str, ...]
    ) -> None:
        self.state, self.setup, self.now, self.missing = state, setup, now, missing
        self.spec = state.spec
        self.steps = setup.steps(state.spec)
        self.by_name = {step.name: step for step in self.steps}

    def standing(self) -> Standing:
        step = next_step(self.state, self.steps)
        if self.state.holds:
            hold = self.state.holds[-1]
            since = f" since {self.time(hold.at)}" if self.now >= hold.at else ""
            return self.answer(
                State.ON_HOLD,
                f"on hold{since}: {hold.reason}",
                step=step,
                changes_at=None if since else hold.at,
            )
        waits = step.waits if step else self.setup.routes[self.spec.kind].ends
        clock, wait, lacking = self.latest(waits)
        if lacking:
            return self.answer(State.ON_HOLD, lacking, step=step)
        if clock is not None and wait is not None and self.now < clock.expected:
            return self.rest(step, clock, wait)
        if step is None:
            return self.up(clock)
        times = (clock.expected if clock else None, self.freed(step))
        return self.due(step, max(filter(None, times), default=None))

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
            product = self.setup.product(after, self.spec)
            clock = run_clock(product, wait.stage, done.at) if product else None
            if clock is None:
                what = product.title if product else f"what {after.title} uses"
                lacking = f"no figure for {what}: {STAGES[wait.stage]}; add it from the label"
                return None, None, lacking
            if found[0] is None or clock.expected > found[0].expected:
                found = (clock, wait)
        return (*found, "")

    def rest(self, step: Step | None, clock: Clock, wait: Wait) -> Standing:
        after = self.by_name[wait.after]
        until = self.time(clock.expected)
        if after.uses == "glue":
            state, words = State.GLUE_CURING, f"glue cures until {until}"
        elif wait.stage in ("hang", "load", "stack"):
            state, words = State.HARDENING, f"{after.title} hardens until {until}"
        elif after.uses in ("filler", "wall_filler"):
            state, words = State.COAT_DRYING, f"filler dries until {until}"
        else:
            state, words = State.COAT_DRYING, f"{after.title} dries until {until}"
        return self.answer(
            state,
            f"{words}, then {step.title}" if step else words,
            step=step,
            started=clock.started,
            hands_at=clock.expected,
            earliest=clock.earliest,
            latest=clock.latest,
            window_closes_at=self.closes(step) if step else None,
            rests_on=after.uses,
            changes_at=clock.expected,
        )

    def up(self, clock: Clock | None) -> Standing:
        word = "dry" if clock else "up"
        last = self.state.last
        since = clock.expected if clock else last.at if last else self.touched()
        return self.answer(State.HUNG, f"{word} since {self.time(since)}" if since else word)

    def closes(self, step: Step) -> datetime | None:
        """Return when the step may no longer happen just so, or None."""
        if step.is_coat and f"scuff-{step.number}" in self.state.done:
            return None
        times = []
        for wait in step.closes:
            after, done = self.by_name.get(wait.after), self.state.done.get(wait.after)
            product = self.setup.product(after, self.spec) if after and done else None
            clock = run_clock(product, wait.stage, done.at) if product and done else None
            if clock:
                times.append(clock.expected)
        return min(times, default=None)

    def due(self, step: Step, since: datetime | None) -> Standing:
        closes = self.closes(step)
        closed = closes is not None and self.now >= closes
        state, why = step.standing, self.why_due(step, since)
        if closes is not None and closed:
            if step.name.startswith(("scuff-", "coat-")):
                state = State.SCUFF_FIRST
                why = f"window closed {self.time(closes)}: scuff first"
                step = scuff_before(step) if step.is_coat else step
            else:
                why = f"tape is late since {self.time(closes)}: score its edge first"
        elif closes is not None:
            why = f"{why}; window closes {self.time(closes)}"
        product = self.setup.product(step, self.spec) if step.uses else None
        return self.answer(
            state,
            why,
            step=step,
            hands_at=since,
            earliest=since,
            latest=since,
            window_closes_at=closes,
            caution=product.caution if product else "",
            changes_at=None if closed else closes,
        )

    def why_due(self, step: Step, since: datetime | None) -> str:
        if step.each:
            place = self.steps.index(step)
            lacking = missing_parts(self.state, step, self.steps[place + 1 :])
            needed = sum(piece.needed for piece in self.state.pieces)
            recut = next((piece for piece in lacking if piece.replaces), None)
            if recut is not None:
                return f"recut {recut.piece.part}: the first one is spoiled"
            return f"{needed - len(lacking)} of {needed} parts {step.done}"
        if step.supports and self.missing:
            return f"ready, after {' and '.join(self.missing)}"
        return f"{step.title} since {self.time(since)}" if since else f"{step.title} next"

    def time(self, at: datetime) -> str:
        return say_time(at, now=self.now, zone=self.setup.zone)

    def answer(self, state: State, why: str, **given: object) -> Standing:
        coats = [step for step in self.steps if step.is_coat]
        needed = [piece for piece in self.state.pieces if piece.needed]
        cut = sum(bool(piece.done) for piece in needed)
        midnight = midnight_after(self.now, self.setup.zone)
        changes = given.pop("changes_at", None)
        soonest = min(changes, midnight) if isinstance(changes, datetime) else midnight
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
            **given,  # type: ignore[arg-type]  # fields of Standing, named where answer is called
        )
