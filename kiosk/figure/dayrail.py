"""Draw the day of everybody on one page: a rule that stands upright, and a column for each name."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, tzinfo
from typing import Final

from kiosk.figure.paper import cell
from kiosk.figure.shapes import BAND, INK, PAPER, RULE, Box, Dot, Line, Shape
from kiosk.rules.dayplan.day import DayPlan
from kiosk.rules.dayplan.rail import Bar, RailRow, by_person, ticks, whole_day
from kiosk.rules.words import say

COLUMNS: Final = 7  # people side by side at most; with more the words would be too small
_RULE, _NAME, _SIZE, _LEAST = 62, 24, 14, 9
_TICKS: Final = {1: 8, 2: 14, 3: 22}


@dataclass(frozen=True, slots=True)
class Field:
    """The room of the rule and its columns on the page, and the moments at its ends."""

    left: float
    right: float
    top: float
    bottom: float
    starts: datetime
    ends: datetime

    def y(self, at: datetime) -> float:
        """Return where a moment is; one outside is at the edge."""
        share = min(1.0, max(0.0, (at - self.starts) / (self.ends - self.starts)))
        return self.top + _NAME + share * (self.bottom - self.top - _NAME)


def columns_of(day: DayPlan) -> list[Sequence[RailRow]]:
    """Return the people of each page of the rule."""
    rows = by_person(day)
    pages = max(1, -(-len(rows) // COLUMNS))
    size = max(1, -(-len(rows) // pages))  # pages are filled alike
    return [rows[at : at + size] for at in range(0, max(1, len(rows)), size)]


def rail_shapes(
    day: DayPlan, rows: Sequence[RailRow], zone: tzinfo, *, edges: tuple[float, float, float, float]
) -> Iterator[Shape]:
    """Yield the rule with its columns between edges: left, top, right and bottom."""
    left, top, right, bottom = edges
    field = Field(left, right, top, bottom, *whole_day(day))
    yield from _rule(day, field, zone)
    at = field.y(day.at)
    if field.starts < day.at < field.ends:  # behind the steps, so that it crosses no words
        yield Line(((left, at), (right, at)), 1.6, INK, (6.0, 4.0))
    wide = (right - left - _RULE) / max(1, len(rows))
    for number, row in enumerate(rows):
        x = left + _RULE + number * wide
        yield from cell(row.name, x + 4, top + 16, room=wide - 8, size=_SIZE + 2, least=_LEAST)
        yield Line(((x, top), (x, bottom)), 0.8, RULE)
        for bar in row.bars:
            yield from _bar(bar, x, wide, field)


def _rule(day: DayPlan, field: Field, zone: tzinfo) -> Iterator[Shape]:
    """Yield the rule: a piece for each stretch that is worked, hours beside their ticks."""
    right = field.left + _RULE - 6
    for starts, ends in day.hours:
        yield Box(field.left, field.y(starts), right, field.y(ends), PAPER, INK)
    for tick in ticks(field.starts, field.ends, zone):
        y = field.y(tick.at)
        if tick.weight == 3:
            yield Line(((right, y), (field.right, y)), 0.8, RULE)
        yield Line(((right - _TICKS[tick.weight], y), (right, y)), 1.2, INK)
        if tick.words and tick.at < field.ends:
            yield from cell(
                tick.words, field.left + 3, y + 13, room=_RULE - 12, size=12, least=_LEAST
            )


def _bar(bar: Bar, x: float, wide: float, field: Field) -> Iterator[Shape]:
    """Yield a step: its unit and what is done, in one line or in two."""
    top, bottom = field.y(bar.starts), field.y(bar.ends)
    step, room, is_done = bar.step, wide - 12, bar.step.state == "done"
    # a step of a minute or two is a thin stroke
    foot = max(bottom - 1, top + 2)
    yield Box(x + 3, top + 1, x + wide - 3, foot, BAND if is_done else PAPER, INK)
    if is_done and bottom - top >= 12:
        room -= 18
        yield _tick((x + wide - 20, top + 5), min(13.0, bottom - top - 6))
    if bottom - top >= 32:
        yield from cell(step.unit, x + 6, top + 15, room=room, size=_SIZE, least=_LEAST)
        yield from cell(step.title, x + 6, top + 29, room=wide - 12, size=12, least=_LEAST)
    elif bottom - top >= _LEAST + 3:
        words = say("{unit} {step}", unit=step.unit, step=step.title)
        size = min(_SIZE, int((bottom - top) * 0.8))
        base = (top + bottom) / 2 + size * 0.33
        yield from cell(words, x + 6, base, room=room, size=size, least=8)


def _tick(at: Dot, side: float) -> Line:
    dots = ((0.1, 0.55), (0.4, 0.85), (0.95, 0.15))
    return Line(tuple((at[0] + x * side, at[1] + y * side) for x, y in dots), 2.0)
