"""Hold the day as people see it: who does what when, and why now."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, tzinfo

from kiosk.rules.words import say, say_n


@dataclass(frozen=True, slots=True)
class DayStep:
    """One step of the day.

    unit is its short name on every screen, step the route's name and title what people call it.
    state is 'done', 'now', 'next' or 'later'; why says in words why now; extra is a scuff or a
    score that comes first, in words. unit_id is what the log calls the unit, '' for a load and a
    drive. rests_until is when the rest after the step is over, rest the same in words, both for
    steps of before_closing too; caution is the usual one. begin_by is when a step that rests
    overnight can be begun today at the latest, None for other steps.
    """

    job: str
    unit: str
    step: str
    title: str
    station: str
    people: tuple[str, ...]
    starts: datetime
    ends: datetime
    why: str = ""
    state: str = "later"
    extra: str = ""
    unit_id: str = ""
    rests_until: datetime | None = None
    rest: str = ""
    caution: str = ""
    begin_by: datetime | None = None


@dataclass(frozen=True, slots=True)
class LateJob:
    """A job that will be late: its hang day, when it is expected, and the chance to hold the day.

    chance is 0..1, None where it was not worked out, of so many runs; words say by how much. A job
    at risk is one planned in time whose chance is small. unit is the one all else of a late job
    waits for, '' where there is none, unit_why in words what it waits for, and others how many more
    units are ready the same day.
    """

    job: str
    hang_day: date | None
    expected: datetime | None
    chance: float | None = None
    words: str = ""
    runs: int = 0
    unit: str = ""
    unit_why: str = ""
    others: int = 0

    @property
    def held(self) -> int:
        """Return in how many of the runs its day held."""
        return round((self.chance or 0.0) * self.runs)


@dataclass(frozen=True, slots=True)
class DayPlan:
    """The day at one moment.

    hours are the stretches worked today, over all people. before_closing names what must be started
    today so that it rests overnight, what must be begun soonest first. change is the single change
    that would help most. notes say what the plan could not take in, such as units on hold, where
    it bends: a crew too small, a step left half done, a place that needs more slots; and what finds
    no slot while hands are free.
    """

    at: datetime
    hours: tuple[tuple[datetime, datetime], ...] = ()
    people: tuple[str, ...] = ()
    steps: tuple[DayStep, ...] = ()
    before_closing: tuple[DayStep, ...] = ()
    late_jobs: tuple[LateJob, ...] = ()
    change: str = ""
    notes: tuple[str, ...] = ()
    is_best: bool = False  # proved, on a small day
    is_improving: bool = False  # a better plan is being looked for right now
    closed: str = ""  # where nobody works today: that, and when work goes on
    at_risk: tuple[LateJob, ...] = ()  # planned in time, but it holds in too few runs
    adopted: datetime | None = None  # since when people work by it; None: it is of this answer only


def say_begin_by(step: DayStep, zone: tzinfo) -> str:
    """Return by when a step that rests overnight must be begun; empty where that is not asked."""
    if step.begin_by is None:
        return ""
    return say("begin by {time}", time=f"{step.begin_by.astimezone(zone):%H:%M}")


def say_held_up(late: LateJob) -> str:
    """Return which unit holds a late job up and what it waits for; empty where there is none."""
    if not late.unit:
        return ""
    if not late.others:
        return say("held up by {unit}: {why}", unit=late.unit, why=late.unit_why)
    return say_n(
        "held up by {unit} and {n} more the same day: {why}",
        "held up by {unit} and {n} more the same day: {why}",
        late.others,
        unit=late.unit,
        why=late.unit_why,
    )
