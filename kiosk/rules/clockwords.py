"""Say in one sentence how a clock stands: the air, the pace, and what holds it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Final

from kiosk.rules.air import Ahead, Reading
from kiosk.rules.airwords import show_temperature
from kiosk.rules.dose import Node
from kiosk.rules.drying import CAP, Clock
from kiosk.rules.rates import Gate, Rate
from kiosk.rules.vapour import dew_point_c

# Without a reading for longer the air is uncertain, then not known (choices, docs/drying.md "Air").
UNCERTAIN = timedelta(hours=3)
UNREAD = timedelta(hours=12)
FORESEEN = timedelta(days=2)  # how far ahead is looked where the end is not in sight (choice)
HOT_C: Final = 35.0  # above it films skin over and trap solvent (Wood Handbook, chapter 16)
# up to which pace a pace is said so; choices
_PACES: Final = (
    (0.12, "hardly moves"),
    (0.29, "about a quarter of the label's speed"),
    (0.42, "about a third of the label's speed"),
    (0.58, "about half speed"),
    (0.71, "about two thirds of the label's speed"),
    (0.9, "a little slower than the label"),
    (1.1, "the label's speed"),
    (1.35, "a little faster than the label"),
)
_FASTEST: Final = "fast; at most half as fast again is counted"


@dataclass(frozen=True, slots=True)
class Look:
    """How a clock stands at a moment.

    state is running, held, ready (nobody need wait) or closed (missed). estimated: the end lies
    after the last reading. uncertain: more than three hours without a reading count in it. gate is
    what holds it; next_gate and held_from what will, as far as can be foreseen.
    """

    state: str
    words: str
    estimated: bool = False
    uncertain: bool = False
    gate: Gate | None = None
    next_gate: Gate | None = None
    held_from: datetime | None = None


def look_at(clock: Clock, *, now: datetime, fahrenheit: bool = False) -> Look:
    """Return how a clock stands now, with one sentence why."""
    air, end = clock.air, clock.expected
    last = air.last_ms
    estimated = end is None or last is None or end.timestamp() * 1000 > last
    counted = min(now, end) if end is not None else now
    gap = air.without_reading(clock.started, counted)
    uncertain = last is None or gap > UNCERTAIN
    # what is supposed begins a minute from now
    begins = timedelta(minutes=1) if air.ahead == Ahead.SUPPOSED else timedelta(0)
    here = air.at((now + begins).timestamp() * 1000)
    # what must not be missed runs on by the label's own time, whatever holds its dose
    gate = None
    can_hold = not clock.closes and not clock.is_over(now)
    if here is not None and clock.rate is not None and can_hold:
        gate = clock.rate.held(*here[1:4])
    if clock.is_over(now):
        state = "closed" if clock.closes else "ready"
    else:
        state = "held" if gate else "running"
    words = _say_air(clock, here, gate, now, fahrenheit=fahrenheit)
    if uncertain and last is not None:
        words = f"{words}; {_say_unread(gap, now, last)}"
    ahead = _foreseen(clock, now) if state == "running" else None
    return Look(state, words, estimated, uncertain, gate, *(ahead or (None, None)))


def _say_unread(gap: timedelta, now: datetime, last_ms: float) -> str:
    """Return how long the air was not read: until now, or at some time of the rest."""
    old = timedelta(milliseconds=now.timestamp() * 1000 - last_ms)
    if old <= UNCERTAIN:
        return f"air not read for {_hours(gap)} of it"
    return f"last reading {_hours(old)} ago{': read the air' if old > UNREAD else ''}"


def _hours(span: timedelta) -> str:
    return f"{span // timedelta(hours=1)} h"


def _foreseen(clock: Clock, now: datetime) -> tuple[Gate, datetime] | None:
    """Return what will hold the clock before it is over, and from when."""
    if clock.rate is None:
        return None
    end = clock.expected or now + FORESEEN
    spans = clock.air.held(clock.rate, now.timestamp() * 1000, end.timestamp() * 1000)
    if not spans:
        return None
    return spans[0][2], datetime.fromtimestamp(spans[0][0] / 1000, UTC)


def _say_air(
    clock: Clock, here: Node | None, gate: Gate | None, now: datetime, *, fahrenheit: bool
) -> str:
    if clock.is_over(now) and not clock.closes:
        return "reached"
    if here is None or clock.rate is None:
        return "no reading of the air: the label's own air is assumed"
    if gate is not None:
        return _say_held(clock.rate, here, fahrenheit=fahrenheit)
    pace = clock.rate.speed(*here[1:])
    pace = pace if clock.closes else min(CAP, pace)
    supposed = "if it is " if clock.air.ahead == Ahead.SUPPOSED else ""
    air = say_air(here[1], here[2], fahrenheit=fahrenheit)
    hot = "; so warm it may skin over: cooler is better" if here[1] > HOT_C else ""
    return f"{supposed}{air}: {say_pace(pace)}{hot}"


def say_air(temperature_c: float, humidity: float, *, fahrenheit: bool = False) -> str:
    """Return air in words: `18 °C and 65 %`."""
    # whole degrees of the shop's own unit
    whole = round(temperature_c * 9 / 5 + 32) if fahrenheit else round(temperature_c)
    degrees = (whole - 32) * 5 / 9 if fahrenheit else whole
    return f"{show_temperature(degrees, fahrenheit=fahrenheit)} and {humidity:.0f} %"


def say_pace(pace: float) -> str:
    """Return a pace against the label's in words."""
    return next((words for most, words in _PACES if pace <= most), _FASTEST)


def _say_held(rate: Rate, here: Node, *, fahrenheit: bool) -> str:
    """Return everything that holds a clock: drying the air helps nothing where it is cold too."""
    _, air_c, humidity, surface_c, _ = here
    what = "air" if surface_c is None else "panel"
    surface = air_c if surface_c is None else surface_c
    found = []
    if rate.least_c is not None and surface < rate.least_c:
        least = show_temperature(rate.least_c, fahrenheit=fahrenheit)
        is_now = show_temperature(round(surface, 1), fahrenheit=fahrenheit)
        found.append(f"{what} {is_now}, it needs {least}")
    if rate.most_humidity is not None and humidity > rate.most_humidity:
        found.append(f"{humidity:.0f} % humidity, at most {rate.most_humidity:g} % will do")
    margin = surface - dew_point_c(air_c, humidity)
    if rate.dew_margin_c is not None and margin < rate.dew_margin_c:
        scale, unit = (1.8, "°F") if fahrenheit else (1.0, "°C")
        found.append(
            f"{what} only {margin * scale:.1f} {unit} above the dew point, "
            f"{rate.dew_margin_c * scale:g} are needed"
        )
    return f"held: {'; '.join(found)}"


GATE_WORDS: Final = {
    Gate.COLD: "too cold",
    Gate.DAMP: "too damp",
    Gate.DEW: "too near the dew point",
}


def say_readings(readings: Sequence[Reading], *, fahrenheit: bool = False) -> str:
    """Return in words what an entry about the air holds."""
    if len(readings) == 1:
        (only,) = readings
        return f"air {say_air(only.temperature_c, only.humidity, fahrenheit=fahrenheit)}"
    return f"{len(readings)} readings of the air"
