"""Choose where the axes of a picture have their ticks, and the words beside them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, tzinfo
from itertools import islice
from math import ceil, floor
from typing import Final

from kiosk.rules.dose import DAY_MS, MINUTE_MS
from kiosk.rules.times import say_time

MOST_TICKS: Final = 8  # more cannot be read at arm's length (choice)
_MINUTES: Final = (1, 2, 5, 10, 15, 30, 60, 120, 180, 240, 360, 720)
_DAYS: Final = (1, 2, 3, 7, 14, 28, 56, 112)
_DEGREES: Final = (1, 2, 5, 10, 20, 50)
_MOST_DEGREES: Final = 5  # steps on the axis of temperatures (choice)
_LEAST_DEGREES: Final = 4.0  # spanned at least, or still air would look like a storm (choice)


@dataclass(frozen=True, slots=True)
class Tick:
    """One mark of an axis: ms since 1970 or a temperature, and its words."""

    value: float
    words: str


@dataclass(frozen=True, slots=True)
class Scale:
    """The axis of temperatures, from low to high, in its unit (°C or °F)."""

    low: float
    high: float
    unit: str
    ticks: tuple[Tick, ...]


def temperature_scale(values: Sequence[float], *, fahrenheit: bool) -> Scale | None:
    """Return an axis that holds all the values, None where there are none.

    It spans at least four degrees and has at most seven ticks.

    Args:
        values: temperatures in the unit of the axis.
        fahrenheit: whether that is °F instead of °C.
    """
    if not values:
        return None
    unit = "°F" if fahrenheit else "°C"
    wanting = max(0.0, _LEAST_DEGREES - (max(values) - min(values))) / 2
    low, high = min(values) - wanting, max(values) + wanting
    # the widest step covers 250 degrees, more than any thermometer of a shop
    step = next((one for one in _DEGREES if (high - low) / one <= _MOST_DEGREES), _DEGREES[-1])
    # whole degrees first: a hair below nought, halved, would be nought
    first, last = floor(low) // step, -(-ceil(high) // step)
    marks = (step * number for number in range(first, last + 1))
    ticks = tuple(Tick(mark, f"{mark} {unit}") for mark in marks)
    return Scale(first * step, last * step, unit, ticks)


def time_ticks(
    begins_ms: float, ends_ms: float, *, now: datetime, zone: tzinfo
) -> tuple[Tick, ...]:
    """Return the ticks of a time axis at round times of the shop's own clock, at most eight.

    A time that the change of the clocks leaves out has no tick, one it repeats has two.

    Args:
        begins_ms: where the axis begins, in ms since 1970.
        ends_ms: where it ends.
        now: says which times are today's.
        zone: the shop's.
    """
    span = ends_ms - begins_ms
    for minutes in _MINUTES:
        if span / (minutes * MINUTE_MS) <= MOST_TICKS + 1:
            found = _at_minutes(begins_ms, ends_ms, minutes, zone)
            if len(found) <= MOST_TICKS:
                return tuple(Tick(_ms(at), say_time(at, now=now, zone=zone)) for at in found)
    # the last of these steps always does
    steps = (*_DAYS, ceil(span / DAY_MS / (MOST_TICKS - 1)))
    days = next(step for step in steps if span / (step * DAY_MS) <= MOST_TICKS - 1)
    return tuple(
        Tick(_ms(at), _say_day(at, zone)) for at in _at_days(begins_ms, ends_ms, days, zone)
    )


def _at_minutes(begins_ms: float, ends_ms: float, minutes: int, zone: tzinfo) -> list[datetime]:
    """Return every so many minutes after local midnight that lie between."""
    found: set[datetime] = set()
    for midnight in _midnights(begins_ms, ends_ms):
        for number in range(24 * 60 // minutes):
            local = midnight + timedelta(minutes=minutes * number)
            found.update(_moments(local, zone))
    return sorted(at for at in found if begins_ms <= _ms(at) <= ends_ms)


def _at_days(begins_ms: float, ends_ms: float, days: int, zone: tzinfo) -> list[datetime]:
    """Return local midnights so many days apart; of whole weeks, Mondays."""
    found: set[datetime] = set()
    for midnight in _midnights(begins_ms, ends_ms):
        if midnight.toordinal() % days == 1 % days:
            found.update(islice(_moments(midnight, zone), 1))
    return sorted(at for at in found if begins_ms <= _ms(at) <= ends_ms)


def _midnights(begins_ms: float, ends_ms: float) -> Iterator[datetime]:
    """Yield midnight, without a zone, of every day that any place on earth has meanwhile."""
    first = datetime.fromtimestamp(begins_ms / 1000, UTC).replace(tzinfo=None) - timedelta(days=1)
    midnight = first.replace(hour=0, minute=0, second=0, microsecond=0)
    for number in range(ceil((ends_ms - begins_ms) / DAY_MS) + 3):
        yield midnight + timedelta(days=number)


def _moments(local: datetime, zone: tzinfo) -> Iterator[datetime]:
    """Yield when the shop's clock shows a time: once, twice or, left out in spring, never."""
    for fold in (0, 1):
        at = local.replace(tzinfo=zone, fold=fold).astimezone(UTC)
        if at.astimezone(zone).replace(tzinfo=None, fold=0) == local:
            yield at


def _say_day(at: datetime, zone: tzinfo) -> str:
    # seen from far away a time is said with its date
    return say_time(at, now=at + timedelta(days=30), zone=zone).removesuffix(" 00:00")


def _ms(at: datetime) -> float:
    return at.timestamp() * 1000
