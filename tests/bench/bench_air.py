"""Time the clocks of many resting units over two weeks of readings, beside a numpy trapezoid."""

from __future__ import annotations

import time
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from math import pi, sin

import numpy as np

from kiosk.rules.air import Air, Reading
from kiosk.rules.drying import CAP, Clock, run_clock
from tests.builders import SETUP

Line = tuple[str, float, str, str]
START = datetime(2026, 3, 2, tzinfo=UTC)
EVERY = timedelta(minutes=5)
# what a unit may rest on: the glue, the filler, the coats and the hardening
RESTS = [
    ("pva-interior", "full"), ("pva-water-resistant", "clamp"), ("filler-water", "sand"),
    ("clear", "recoat"), ("clear", "sand"), ("clear", "hang"), ("clear", "load"),
    ("enamel", "recoat"), ("enamel", "hang"), ("enamel", "stack"), ("oil", "recoat"),
    ("oil", "hang"), ("primer", "sand"), ("shellac", "hang"),
]  # fmt: skip


def readings(days: int) -> list[Reading]:
    """Return readings every five minutes of a shop that cools at night."""
    found = []
    for count in range(days * 288):
        hours = count / 12
        warm = 18 + 3 * sin(2 * pi * (hours - 9) / 24)
        damp = 55 - 8 * sin(2 * pi * (hours - 9) / 24) + 5 * sin(2 * pi * hours / 170)
        found.append(Reading(START + count * EVERY, round(warm, 2), round(damp, 1)))
    return found


def clocks(air: Air, units: int, days: int) -> list[Clock | None]:
    """Return one clock a unit, started at any time of the two weeks."""
    found = []
    for unit in range(units):
        key, stage = RESTS[unit % len(RESTS)]
        started = START + timedelta(days=days) * (unit / units)
        found.append(run_clock(SETUP.products[key], stage, started, air=air))
    return found


def by_numpy(rows: list[Reading], units: int, days: int) -> float:
    """Return the sum of ends that a plain trapezoid over the readings gives, one unit at a time."""
    at = np.array([one.at.timestamp() / 60 for one in rows])
    warm = np.array([one.temperature_c for one in rows])
    damp = np.array([one.humidity for one in rows])
    reference = 611.2 * np.exp(17.62 * 23 / 266.12) * 0.5
    total = 0.0
    for unit in range(units):
        key, stage = RESTS[unit % len(RESTS)]
        started = START + timedelta(days=days) * (unit / units)
        pace = 611.2 * np.exp(17.62 * warm / (243.12 + warm)) * (1 - damp / 100) / reference
        pace = np.minimum(pace, CAP)
        dose = np.concatenate(([0], np.cumsum((pace[1:] + pace[:-1]) / 2 * np.diff(at))))
        begun = np.interp(started.timestamp() / 60, at, dose)
        total += float(np.interp(begun + SETUP.products[key].minutes[stage], dose, at))
    return total


def run(*, units: int = 1_000, days: int = 14) -> Iterator[Line]:
    """Yield the measures."""
    rows = readings(days)
    by_numpy(rows, 10, days)
    begun = time.perf_counter()
    by_numpy(rows, units, days)
    plain = time.perf_counter() - begun

    begun = time.perf_counter()
    air = Air(rows)
    clocks(air, units, days)
    whole = time.perf_counter() - begun
    beside = f"{whole / plain:.1f}x a numpy trapezoid each ({plain * 1000:.0f} ms); goal 1,000 ms"
    yield f"clocks of {units} units, {days} d of readings", whole * 1000, "ms", beside

    newer = [*rows, Reading(rows[-1].at + EVERY, 18.0, 55.0)]
    begun = time.perf_counter()
    clocks(Air(newer, before=air), units, days)
    again = time.perf_counter() - begun
    beside = f"{again / plain:.2f}x the same numpy; goal 50 ms"
    yield "  and again with one reading more", again * 1000, "ms", beside

    late = [*rows, Reading(START + timedelta(days=days / 2, minutes=2), 18.0, 55.0)]
    begun = time.perf_counter()
    clocks(Air(late, before=air), units, days)
    again = time.perf_counter() - begun
    yield "  and again with a late reading", again * 1000, "ms", f"{again / plain:.2f}x numpy"
