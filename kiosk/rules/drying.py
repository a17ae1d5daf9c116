"""Run the clock of one rest: from when, to when, how far, and how sure.

A stage that nobody may hurry is over when its dose is reached, and no air is counted as faster than
half as fast again as the label's. A stage that must not be missed is over when its dose is reached
at full pace or when the label's own time is up, whichever is sooner: cold never lengthens a window.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta
from math import inf
from typing import Final

from kiosk.rules.air import NO_AIR, Air
from kiosk.rules.dose import DAY_MS, MINUTE_MS, Course
from kiosk.rules.products import Interval, Product
from kiosk.rules.rates import Gate, Rate
from kiosk.rules.stages import STAGES
from kiosk.rules.words import _

# The band covers air movement, which no shop measures: rate x 1.25 and x 0.75.
# Choice, docs/drying.md "Band".
FAST, SLOW = 1.25, 0.75
# No more than a third off the label is promised. Choice, docs/drying.md "Two directions".
CAP: Final = 1.5
FARTHEST_MS: Final = 400 * DAY_MS  # nothing in a shop dries longer: the end is not in sight
CAUTION_FOR = timedelta(hours=24)  # cold after it is touch dry still harms a young film (choice)


@dataclass(frozen=True, slots=True)
class Clock:
    """The state of one rest; times are aware, None where the end is not in sight.

    target is in equivalent minutes. closes is True where the stage must not be missed.
    """

    started: datetime
    earliest: datetime | None
    expected: datetime | None
    latest: datetime | None
    stage: str = ""
    closes: bool = False
    target: float = 0.0
    rate: Rate | None = None
    air: Air = field(default=NO_AIR, repr=False, compare=False)
    course: Course | None = field(default=None, repr=False, compare=False)

    def is_over(self, now: datetime) -> bool:
        """Tell whether the stage is reached."""
        return self.expected is not None and now >= self.expected

    def dose(self, now: datetime) -> float:
        """Return the equivalent minutes from the start until now."""
        if self.course is None:
            return (now - self.started) / timedelta(minutes=1)
        return self.course.at(_ms(now)) - self.course.at(_ms(self.started))

    def progress(self, now: datetime) -> float:
        """Return how much of the rest is over, 0 to 1."""
        if self.is_over(now):
            return 1.0
        return min(1.0, max(0.0, self.dose(now) / self.target)) if self.target > 0 else 1.0


def run_clock(
    product: Product, stage: str, started: datetime, *, air: Air = NO_AIR, coat: int = 1
) -> Clock | None:
    """Return the clock of a product's stage, or None where the product has no such stage.

    Args:
        product: whose label the minutes are from.
        stage: one of kiosk.rules.stages.STAGES.
        started: when it was put on or closed, aware.
        air: the air where it rests; without readings the label's own is taken.
        coat: which coat it is, from 1.
    """
    minutes = product.stage(stage)
    return None if minutes is None else _clock(product, stage, minutes, started, air, coat)


def _clock(
    product: Product, stage: str, minutes: float, started: datetime, air: Air, coat: int
) -> Clock:
    how = STAGES[stage]
    rate, target = product.rate(how.pace), product.target(stage, minutes, coat=coat)
    start, label = _ms(started), minutes * MINUTE_MS
    if how.closes:
        # a film goes on hardening where its label does not want it to dry
        rate = replace(rate, least_c=None, most_humidity=None, dew_margin_c=None)
    cap = inf if how.closes else CAP

    def end(factor: float) -> datetime | None:
        course = air.course(rate, cap=cap, factor=factor)
        found = course.when(course.at(start) + target)
        found = min(found, start + label) if how.closes else max(found, start + label / CAP)
        in_sight = found - start < FARTHEST_MS
        return datetime.fromtimestamp(round(found) / 1000, UTC) if in_sight else None

    ends = end(FAST), end(1.0), end(SLOW)
    plain = air.course(rate, cap=cap)
    return Clock(started, *ends, stage, how.closes, target, rate, air, plain)


def _ms(at: datetime) -> float:
    return at.timestamp() * 1000


# -- windows -------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Window:
    """One stretch of a recoat window; opens is None where not in sight, closes where never."""

    opens: datetime | None
    closes: datetime | None
    action: str

    def holds(self, now: datetime) -> bool:
        """Tell whether now lies in it."""
        opened = self.opens is not None and self.opens <= now
        return opened and (self.closes is None or now < self.closes)


def recoat_windows(
    product: Product, started: datetime, *, air: Air = NO_AIR, coat: int = 1
) -> tuple[Window, ...]:
    """Return when the next coat may go on as it is, when after scuffing, in order.

    What opens is never hurried, what closes is never put off, so a window may be empty. Between
    them the coat waits.
    """

    def opens(minutes: float) -> datetime | None:
        return _clock(product, "recoat", minutes, started, air, coat).expected

    def closes(minutes: float) -> datetime | None:
        return _clock(product, "window", minutes, started, air, coat).expected

    found: list[Window] = []
    before: Interval | None = None
    for interval in product.windows or _plain_windows(product):
        touches = before is not None and before.closes == interval.opens
        if interval.action != "wait":
            closing = None if interval.closes is None else closes(interval.closes)
            if found and touches and before is not None and before.action != "wait":
                opening = found[-1].closes  # what follows at once begins where the last one ended
            else:
                opening = opens(interval.opens)
            found.append(Window(opening, closing, interval.action))
        before = interval
    return tuple(found)


def _plain_windows(product: Product) -> tuple[Interval, ...]:
    recoat, window = product.stage("recoat"), product.stage("window")
    if window is None:
        return (Interval(recoat or 0.0, None, "none"),)
    return (Interval(recoat or 0.0, window, "none"), Interval(window, None, "scuff"))


# -- what may have gone wrong --------------------------------------------------------------------

AT_RISK, CAUTION = "at_risk", "caution"
_RISKS: Mapping[tuple[str, str], str] = {
    ("coat", AT_RISK): _(
        "too cold before it was dry to touch: it may not have formed a film; test or redo it"
    ),
    ("glue", AT_RISK): _(
        "too cold before it could be moved: the joint may be weak; test or redo it"
    ),
    ("filler", AT_RISK): _("too cold while wet: it may crumble; test or redo it"),
    (Gate.COLD, CAUTION): _("too cold within a day: look at it before going on"),
    (Gate.DAMP, CAUTION): _("too damp while wet: look for haze"),
    (Gate.DEW, CAUTION): _("near the dew point while wet: look for haze"),
}


@dataclass(frozen=True, slots=True)
class Risk:
    """What the air may have done to a film or joint for good: level is at_risk or caution."""

    level: str
    words: str


def risk_of(
    product: Product, started: datetime, *, now: datetime, air: Air = NO_AIR
) -> Risk | None:
    """Return what the air between the start and now may have done for good, None if nothing.

    Too cold before it is dry to touch (glue: before it may be moved) is a risk; too cold later
    within a day, or too damp while still wet, asks for a look. Limits are the label's; the two
    levels are choices, docs/drying.md "Gates".
    """
    if air.first_ms is None or air.last_ms is None:
        return None
    first = next((name for name in _wet_until(product) if name in product.minutes), "")
    # of a film from before the first reading nothing is known: the label's own time stands
    wet_in = NO_AIR if _ms(started) < air.first_ms else air
    wet = run_clock(product, first, started, air=wet_in) if first else None
    ends = _ms(wet.expected) if wet is not None and wet.expected is not None else inf
    # what was read, neither what was before it nor what is foreseen
    start, end = max(_ms(started), air.first_ms), min(_ms(now), air.last_ms)
    rate = product.rate("late" if product.role == "glue" else "early")
    spans = air.held(rate, start, min(end, max(ends, _ms(started + CAUTION_FOR))))
    early = [gate for begins, _, gate in spans if begins < ends]
    if Gate.COLD in early:
        return Risk(AT_RISK, _RISKS[product.role, AT_RISK])
    gates = early or [gate for _, _, gate in spans if gate == Gate.COLD]
    return Risk(CAUTION, _RISKS[gates[0], CAUTION]) if gates else None


def _wet_until(product: Product) -> tuple[str, ...]:
    return ("handling", "clamp") if product.role == "glue" else ("touch", "recoat", "sand")
