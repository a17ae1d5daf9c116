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
from kiosk.rules.words import _, join, say

# Without a reading for longer the air is uncertain, then not known (choices, docs/drying.md "Air").
HOUR = timedelta(hours=1)
UNCERTAIN = timedelta(hours=3)
UNREAD = timedelta(hours=12)
FORESEEN = timedelta(days=2)  # how far ahead is looked where the end is not in sight (choice)
HOT_C: Final = 35.0  # above it films skin over and trap solvent (Wood Handbook, chapter 16)
# up to which pace a pace is said so; choices
_PACES: Final = (
    (0.12, _("hardly moves")),
    (0.29, _("about a quarter of the label's speed")),
    (0.42, _("about a third of the label's speed")),
    (0.58, _("about half speed")),
    (0.71, _("about two thirds of the label's speed")),
    (0.9, _("a little slower than the label")),
    (1.1, _("the label's speed")),
    (1.35, _("a little faster than the label")),
)
_FASTEST: Final = _("fast; at most half as fast again is counted")


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
        words = join([words, _say_unread(gap, now, last)], "; ")
    ahead = _foreseen(clock, now) if state == "running" else None
    return Look(state, words, estimated, uncertain, gate, *(ahead or (None, None)))


def _say_unread(gap: timedelta, now: datetime, last_ms: float) -> str:
    """Return how long the air was not read: until now, or at some time of the rest."""
    old = timedelta(milliseconds=now.timestamp() * 1000 - last_ms)
    if old <= UNCERTAIN:
        return say("air not read for {hours} h of it", hours=gap // HOUR)
    if old <= UNREAD:
        return say("last reading {hours} h ago", hours=old // HOUR)
    return say("last reading {hours} h ago: read the air", hours=old // HOUR)


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
        return _("reached")
    if here is None or clock.rate is None:
        return _("no reading of the air: the label's own air is assumed")
    if gate is not None:
        return _say_held(clock.rate, here, fahrenheit=fahrenheit)
    pace = clock.rate.speed(*here[1:])
    pace = pace if clock.closes else min(CAP, pace)
    air = say_air(here[1], here[2], fahrenheit=fahrenheit)
    if clock.air.ahead == Ahead.SUPPOSED:
        words = say("if it is {air}: {pace}", air=air, pace=say_pace(pace))
    else:
        words = say("{air}: {pace}", air=air, pace=say_pace(pace))
    hot = _("so warm it may skin over: cooler is better") if here[1] > HOT_C else ""
    return join([words, hot], "; ")


def say_air(temperature_c: float, humidity: float, *, fahrenheit: bool = False) -> str:
    """Return air in words: `18 °C and 65 %`."""
    # whole degrees of the shop's own unit
    whole = round(temperature_c * 9 / 5 + 32) if fahrenheit else round(temperature_c)
    degrees = (whole - 32) * 5 / 9 if fahrenheit else whole
    return say(
        "{temperature} and {humidity:.0f} %",
        temperature=show_temperature(degrees, fahrenheit=fahrenheit),
        humidity=humidity,
    )


def say_pace(pace: float) -> str:
    """Return a pace against the label's in words."""
    return next((words for most, words in _PACES if pace <= most), _FASTEST)


def _say_held(rate: Rate, here: Node, *, fahrenheit: bool) -> str:
    """Return everything that holds a clock: drying the air helps nothing where it is cold too."""
    air_c, humidity, surface_c = here[1:4]
    what = _("air") if surface_c is None else _("panel")
    surface = air_c if surface_c is None else surface_c
    found = []
    if rate.least_c is not None and surface < rate.least_c:
        least = show_temperature(rate.least_c, fahrenheit=fahrenheit)
        is_now = show_temperature(round(surface, 1), fahrenheit=fahrenheit)
        found.append(
            say("{what} {is_now}, it needs {least}", what=what, is_now=is_now, least=least)
        )
    if rate.most_humidity is not None and humidity > rate.most_humidity:
        found.append(
            say(
                "{humidity:.0f} % humidity, at most {most_humidity:g} % will do",
                humidity=humidity,
                most_humidity=rate.most_humidity,
            )
        )
    margin = surface - dew_point_c(air_c, humidity)
    if rate.dew_margin_c is not None and margin < rate.dew_margin_c:
        scale, unit = (1.8, "°F") if fahrenheit else (1.0, "°C")
        found.append(
            say(
                "{what} only {margin:.1f} {unit} above the dew point, {least:g} are needed",
                what=what,
                margin=margin * scale,
                unit=unit,
                least=rate.dew_margin_c * scale,
            )
        )
    return say("held: {causes}", causes=join(found, "; "))


GATE_WORDS: Final = {
    Gate.COLD: _("too cold"),
    Gate.DAMP: _("too damp"),
    Gate.DEW: _("too near the dew point"),
}


def say_readings(readings: Sequence[Reading], *, fahrenheit: bool = False) -> str:
    """Return in words what an entry about the air holds."""
    if len(readings) == 1:
        (only,) = readings
        air = say_air(only.temperature_c, only.humidity, fahrenheit=fahrenheit)
        return say("air {air}", air=air)
    return say("{n} readings of the air", n=len(readings))
