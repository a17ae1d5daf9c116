"""Level panels over a floor that is not: a spacer at the highest point, shims everywhere else."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from kiosk.rules.lengths import Length, from_mm

SPACER: Final = from_mm(10)  # at the highest point; 10 to 12 mm (common practice, no source)
SCRIBE: Final = from_mm(20)  # a floor that differs by more: scribe the panels (common practice)


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """How high the floor is at one place along the bay, above any level line, or below it."""

    at: Length
    height: Length


@dataclass(frozen=True, slots=True, kw_only=True)
class Level:
    """What goes under the panels: at each place how much, and whether to scribe instead."""

    out: Length
    under: tuple[tuple[Length, Length], ...]
    scribe: bool


def level(readings: Sequence[Reading], *, spacer: Length = SPACER) -> Level | None:
    """Return spacer and shims for floor readings along a bay, None for fewer than two.

    The spacer goes under the highest point; elsewhere as much more as the floor is lower.
    """
    if len(readings) < 2:
        return None
    highest = max(one.height for one in readings)
    out = Length(highest - min(one.height for one in readings))
    under = tuple(
        (one.at, Length(spacer + highest - one.height))
        for one in sorted(readings, key=lambda one: one.at)
    )
    return Level(out=out, under=under, scribe=out > SCRIBE)
