"""Hold what a picture of one clock shows, as plain values."""

from __future__ import annotations

from dataclasses import dataclass

from kiosk.rules.curve.axes import Scale, Tick
from kiosk.rules.rates import Gate


@dataclass(frozen=True, slots=True)
class Point:
    """A clock and the air at one moment.

    expected, fast and slow are shares of the rest, 0 to 1. temperature is in the unit of the
    curve's scale, humidity in %; both None where the air is not known.
    """

    ms: float
    expected: float
    fast: float
    slow: float
    temperature: float | None = None
    humidity: float | None = None


@dataclass(frozen=True, slots=True)
class Held:
    """A stretch in which the clock stands still, in ms since 1970, and why."""

    begins_ms: float
    ends_ms: float
    gate: Gate
    words: str


@dataclass(frozen=True, slots=True)
class Bracket:
    """One recoat window, in ms since 1970; closes_ms is None where it stays open."""

    opens_ms: float
    closes_ms: float | None
    words: str


@dataclass(frozen=True, slots=True)
class Curve:
    """All that a picture of one clock shows; moments are ms since 1970.

    begins_ms to ends_ms is the span of the picture, started_ms the clock's start. earliest_ms,
    expected_ms and latest_ms are None where not in sight. last_ms is the last reading, None
    without one: what comes after it is an estimate. temperature is None where the air is not known.
    """

    title: str
    why: str
    state: str
    begins_ms: float
    ends_ms: float
    started_ms: float
    now_ms: float
    last_ms: float | None
    earliest_ms: float | None
    expected_ms: float | None
    latest_ms: float | None
    end_words: str
    now_words: str
    points: tuple[Point, ...]
    held: tuple[Held, ...]
    windows: tuple[Bracket, ...]
    ticks: tuple[Tick, ...]
    temperature: Scale | None

    @property
    def estimate_ms(self) -> float:
        """Return from when on all is an estimate: the last reading, or the start without one."""
        return self.started_ms if self.last_ms is None else max(self.last_ms, self.started_ms)
