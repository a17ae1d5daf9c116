"""Turn the steps a unit still has to go through into the works of a chain."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from math import ceil

from kiosk.rules.dayplan.left import Drafted, Left, steps_left
from kiosk.rules.dayplan.means import HARDER, LEAST, SCORE, SCUFF, Limits, Means
from kiosk.rules.dayplan.model import Frees, Hold, Lag, Minute, Work
from kiosk.rules.drying import recoat_windows
from kiosk.rules.fold import UnitState
from kiosk.rules.route import Step, Wait
from kiosk.rules.stages import STAGES
from kiosk.rules.standing import Standing
from kiosk.rules.touchtimes import whole_minutes
from kiosk.rules.words import _, say, say_n
from kiosk.rules.workday import minute_of


class UnitWorks:
    """Makes the works of one unit; the steps at the site may be a chain of their own."""

    def __init__(self, state: UnitState, standing: Standing, means: Means, limits: Limits) -> None:
        self.state, self.standing, self.means, self.limits = state, standing, means, limits
        self.spec, self.setup = state.spec, means.setup
        steps = means.setup.steps(state.spec)
        self.by_name = {step.name: step for step in steps}
        self.left = steps_left(state, steps)
        self.first = self.left[0].step.name if self.left else ""
        self.coats = sum(step.is_coat and step.name in state.done for step in steps)

    def draft(self, left: Sequence[Left]) -> Drafted:
        """Return the works of some steps that follow each other."""
        made = Drafted()
        for one in left:
            if made.stopped:
                break
            self.add(made, one)
        return made

    def add(self, made: Drafted, one: Left) -> None:
        """Add one step, or note why it and what follows it cannot be planned."""
        step = one.step
        waits, earliest, stopped = self.rests(made, step.waits)
        if stopped:
            made.stopped = stopped
            return
        if step.name == self.first and self.standing.resting:
            if self.standing.hands_at is None:
                made.stopped = self.standing.why
                return
            earliest = max(earliest or 0, minute_of(self.standing.hands_at))
        closes, closes_at = self.closings(made, step)
        minutes, fits = self.means.touch(self.spec, step, one.count)
        crew = self.limits.crew(step.station, step.crew, minutes=max(minutes, fits))
        if crew < step.crew:
            words = _("{step} wants {n} people: planned with {crew}, as no more meet long enough.")
            made.bends.append(say(words, step=step.title, n=step.crew, crew=crew))
        work = Work(
            step.name,
            step.station,
            minutes,
            fits,
            crew,
            waits,
            earliest=earliest,
            closes=closes,
            closes_at=closes_at,
            extra=self.extra(step) if closes or closes_at is not None else 0,
            hold=self.hold(step),
        )
        title = step.title
        if one.count > 1:
            title = say_n("{step}, {n} part", "{step}, {n} parts", one.count, step=title)
        self.put(made, work, title, self.setup.caution(step, self.spec))

    def put(self, made: Drafted, work: Work, title: str, caution: str) -> None:
        """Add a work, in pieces where no usual stretch has room for it."""
        pieces = cut_up(work, self.limits.longest(work.station, work.crew))
        if work.fits and len(pieces) > 1:
            words = _("{step} is longer than people are there at a stretch: it is left half done.")
            made.bends.append(say(words, step=title))
        for n, piece in enumerate(pieces, 1):
            named = title
            if len(pieces) > 1:
                named = say("{step}, {n} of {all}", step=title, n=n, all=len(pieces))
            made.works.append(piece)
            made.titles.append(named)
            made.cautions.append(caution)
        made.ends[work.step] = len(made.works) - 1

    # -- rests ---------------------------------------------------------------------------------

    def rests(
        self, made: Drafted, waits: Sequence[Wait]
    ) -> tuple[tuple[Lag, ...], Minute | None, str]:
        """Return the rests to come, until when the running ones go on, and in words what lacks."""
        lags: list[Lag] = []
        earliest: Minute | None = None
        for wait in waits:
            if wait.after in made.ends:
                minutes = self.rest(made, wait)
                if minutes is None:
                    return (), None, self.lacking(wait)
                lags.append(Lag(made.ends[wait.after], minutes))
            elif (done := self.state.done.get(wait.after)) and wait.after in self.by_name:
                after = self.by_name[wait.after]
                clock = self.setup.clock(after, self.spec, wait.stage, done.at)
                if clock is None:
                    return (), None, self.lacking(wait)
                if clock.expected is None:
                    words = say("{step} does not dry in this air", step=after.title)
                    return (), None, words
                earliest = max(earliest or 0, minute_of(clock.expected))
        return tuple(lags), earliest, ""

    def rest(self, made: Drafted, wait: Wait) -> int | None:
        """Return the minutes of a rest to come in the air expected now, None without a figure."""
        after, now = self.by_name[wait.after], self.means.now
        clock = self.setup.clock(after, self.spec, wait.stage, now)
        if clock is None:
            return None
        if clock.expected is not None:
            return whole_minutes((clock.expected - now) / timedelta(minutes=1))
        product = self.setup.product(after, self.spec)
        words = say("{step} does not dry in this air: planned as on the label", step=after.title)
        if words not in made.notes:
            made.notes.append(words)
        return whole_minutes(product.minutes[wait.stage]) if product else None

    def lacking(self, wait: Wait) -> str:
        """Return in words which figure is not known."""
        after = self.by_name[wait.after]
        product = self.setup.product(after, self.spec)
        what = product.title if product else say("what {step} uses", step=after.title)
        stage = STAGES[wait.stage].words
        return say("no figure for {what}: {stage}; add it from the label", what=what, stage=stage)

    # -- windows -------------------------------------------------------------------------------

    def closings(self, made: Drafted, step: Step) -> tuple[tuple[Lag, ...], Minute | None]:
        """Return after what, or when, a step needs scuffing or scoring first."""
        if step.is_coat and f"scuff-{step.number}" in {*self.state.done, *made.ends}:
            return (), None
        lags: list[Lag] = []
        closes_at: Minute | None = None
        for wait in step.closes:
            done = self.state.done.get(wait.after)
            if wait.after in made.ends:
                closes = self.closing(wait, self.means.now)
                if closes is not None:
                    minutes = max(0, (closes - self.means.now) // timedelta(minutes=1))
                    lags.append(Lag(made.ends[wait.after], minutes))
            elif done is not None:
                closes = self.closing(wait, done.at)
                if closes is not None:
                    found = int(closes.timestamp() // 60)
                    closes_at = found if closes_at is None else min(closes_at, found)
        return tuple(lags), closes_at

    def closing(self, wait: Wait, start: datetime) -> datetime | None:
        """Return when the window after a step closes that ended at a time, None for never."""
        after = self.by_name.get(wait.after)
        product = self.setup.product(after, self.spec) if after else None
        if after is None or product is None:
            return None
        if wait.stage == "window":
            air, coat = self.setup.air(after, self.spec), max(1, after.number)
            return recoat_windows(product, start, air=air, coat=coat)[0].closes
        clock = self.setup.clock(after, self.spec, wait.stage, start)
        return clock.expected if clock else None

    def extra(self, step: Step) -> int:
        """Return what a missed window costs, in minutes."""
        if step.is_coat:
            known = self.means.times.get((self.spec.kind, f"scuff-{step.number}"))
            return whole_minutes(known.used if known else SCUFF)
        if step.name.startswith("scuff-"):
            return whole_minutes(self.means.touch(self.spec, step, 1)[0] * HARDER)
        return SCORE

    # -- places --------------------------------------------------------------------------------

    def hold(self, step: Step) -> Hold | None:
        """Return the place a unit takes up once a step has begun, by what the board will say.

        Parts at the saw and walls take up none; what rests before it hangs frees its place then.
        """
        steps = [one.step for one in self.left]
        place = steps.index(step) + 1
        if self.spec.kind == "wall" or place == len(steps) or step.station in ("cut", "install"):
            return None
        following = steps[place]
        kind = self.role(step, following, coats=self.coats + sum(s.is_coat for s in steps[:place]))
        where = self.means.place(kind)
        if not where:
            return None
        if following.station != "install":
            return Hold(where)
        if not any(wait.after == step.name for wait in following.waits):
            return None
        return Hold(where, frees=Frees.REST, minutes=self.stands(step, self.means.now))

    def stands(self, step: Step, start: datetime) -> int:
        """Return the minutes from now that what a step put on at a time needs its place.

        A joint stays until the unit may be moved; a film until it would bear another coat: then it
        bears to stand on edge elsewhere, though it hardens on (choice). Without such figures, none.
        """
        for stage in ("handling", "clamp") if step.uses == "glue" else ("recoat", "touch"):
            clock = self.setup.clock(step, self.spec, stage, start)
            if clock is not None and clock.expected is not None:
                return max(0, minute_of(clock.expected) - self.means.minute)
        return 0

    def stands_now(self) -> int:
        """Return how long a unit that only hardens needs the place it is in, in minutes."""
        on = [step for step in self.by_name.values() if step.uses and step.name in self.state.done]
        return self.stands(on[-1], self.state.done[on[-1].name].at) if on else 0

    def role(self, step: Step, following: Step, *, coats: int) -> str:
        """Return what kind of place a unit waits in between two steps."""
        if following.standing in ("to_cut", "to_assemble"):
            return ""
        if step.uses == "glue":
            return "glue"
        is_bare = following.standing == "to_prepare" and not coats and self.spec.kind != "door"
        return "glue" if is_bare and not step.uses else "coat"


def cut_up(work: Work, longest: int) -> tuple[Work, ...]:
    """Return a work as it is, or in as few pieces as fit a stretch of so many minutes.

    What cannot be left half done is begun where there is as much room as ever; only what is longer
    than any usual stretch is left half done all the same. The last piece takes the hold, the first
    all that must come before, scuffing or scoring too: as much of it as leaves a piece worth while.
    """
    if work.room + work.extra <= longest:
        return (work,)
    extra = min(work.extra, max(0, longest - LEAST))
    most = max(1, longest - extra)
    if work.minutes <= most:
        return (replace(work, fits=min(work.fits, most), extra=extra),)
    longest = max(1, longest)
    count = 1 + ceil((work.minutes - most) / longest)
    first = min(most, ceil(work.minutes / count))
    base, more = divmod(work.minutes - first, count - 1)
    sizes = [base + (n < more) for n in range(count - 1)]
    pieces = [replace(work, minutes=first, fits=0, extra=extra, hold=None)]
    pieces += [Work(work.step, work.station, size, crew=work.crew) for size in sizes[:-1]]
    return (*pieces, Work(work.step, work.station, sizes[-1], crew=work.crew, hold=work.hold))
