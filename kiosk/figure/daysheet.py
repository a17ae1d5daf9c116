"""Lay out what one person does today, line by line with a box to tick, and the day's two lists."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import tzinfo
from typing import Final

from kiosk.figure.paper import cell
from kiosk.figure.shapes import GREY, INK, RULE, Box, Line, Shape, Words
from kiosk.language import shown
from kiosk.rules.dayplan.chance import say_chance
from kiosk.rules.dayplan.day import DayPlan, DayStep, LateJob, say_begin_by, say_held_up
from kiosk.rules.hangday import say_day
from kiosk.rules.times import say_span
from kiosk.rules.words import _, join, known, say
from labels.artwork.letters import plain, wrap

# Letters: unit and step are read standing at the bench, the rest from near (choices).
_UNIT, _PLAIN, _SMALL, _LEAST = 18, 15, 13, 9
_BOX, _TIME, _NAME = 34, 108, 150
_LINE, _PAD = 18.0, 9.0


@dataclass(frozen=True, slots=True)
class Entry:
    """One entry of a list: what stands in its first line, and the lines below that.

    Each line below has a text and whether it is quiet. can_tick draws the box; is_done ticks it.
    """

    time: str
    name: str
    what: str
    end: str
    below: tuple[tuple[str, bool], ...] = ()
    can_tick: bool = True
    is_done: bool = False


def person_entries(day: DayPlan, person: str, zone: tzinfo) -> list[Entry]:
    """Return what somebody does today, in order, with reasons and cautions."""
    return [_step(one, zone, person) for one in day.steps if person in one.people]


def _step(step: DayStep, zone: tzinfo, person: str) -> Entry:
    others = [name for name in step.people if name != person]
    together = say("with {people}", people=join(others, ", ")) if others else ""
    station = known(step.station, "station")
    length = say_span(step.ends - step.starts)
    return Entry(
        _clock(step, zone),
        step.unit,
        step.title,
        join((station, length), ", "),
        (
            (step.extra, False),
            (join((step.why, together, step.rest), "; "), False),
            (step.caution, True),
        ),
        is_done=step.state == "done",
    )


def closing_entries(day: DayPlan, zone: tzinfo, person: str | None = None) -> list[Entry]:
    """Return what must be begun before closing: by when, and how long it rests."""
    return [
        Entry(
            _clock(one, zone),
            one.unit,
            one.title,
            join((known(one.station, "station"), join(one.people, ", ")), ", "),
            ((join((say_begin_by(one, zone), one.rest), "; "), False),),
        )
        for one in day.before_closing
        if person is None or person in one.people
    ]


def late_entries(late: Sequence[LateJob]) -> list[Entry]:
    """Return the jobs that will be late or are at risk: how much, why, how often they hold."""
    return [
        Entry(
            "",
            one.job,
            one.words,
            say("hang day {day}", day=say_day(one.hang_day)) if one.hang_day else "",
            ((join((say_held_up(one), say_chance(one)), "; "), False),),
            can_tick=False,
        )
        for one in late
    ]


def note_entries(notes: Sequence[str]) -> list[Entry]:
    """Return what the plan could not take in, and where it bends."""
    return [Entry("", "", "", "", ((note, False),), can_tick=False) for note in notes]


def _clock(step: DayStep, zone: tzinfo) -> str:
    starts, ends = step.starts.astimezone(zone), step.ends.astimezone(zone)
    return say("{starts} to {ends}", starts=f"{starts:%H:%M}", ends=f"{ends:%H:%M}")


def height_of(entry: Entry, width: float) -> float:
    """Return how tall an entry is on a page of that width."""
    count = len(list(_below(entry, width)))
    return (_UNIT if entry.name else 0) + 2 * _PAD + count * _LINE


def _below(entry: Entry, width: float) -> Iterator[tuple[str, bool]]:
    """Yield the lines below the first, broken at the page's width."""
    for text, quiet in entry.below:
        words = plain(shown(text))
        if words:
            for line in wrap(words, int(width - _indent(entry)), _SMALL):
                yield line, quiet


def _indent(entry: Entry) -> float:
    return _BOX + _TIME if entry.time else 0.0


def entry_shapes(entry: Entry, left: float, y: float, width: float) -> Iterator[Shape]:
    """Yield an entry whose upper edge is at y."""
    base = y + _PAD + (_UNIT * 0.8 if entry.name else -_LINE * 0.3)
    if entry.can_tick:
        yield from _tick_box(left, y + _PAD - 2, done=entry.is_done)
    x = left + (_BOX if entry.can_tick else 0)
    yield from cell(entry.time, x, base, room=_TIME - 8, size=_PLAIN, least=_LEAST)
    x = left + _BOX + _TIME if entry.time else x
    yield from cell(entry.name, x, base, room=_NAME - 8, size=_UNIT, least=_LEAST)
    room = left + width - x - _NAME
    yield from cell(entry.what, x + _NAME, base, room=room * 0.5 - 8, size=_PLAIN, least=_LEAST)
    yield from cell(
        entry.end, left + width, base, room=room * 0.5, size=_SMALL, least=_LEAST, anchor="end"
    )
    for line, quiet in _below(entry, width):
        base += _LINE
        yield Words(left + _indent(entry), base, line, _SMALL, colour=GREY if quiet else INK)
    bottom = y + height_of(entry, width)
    yield Line(((left, bottom), (left + width, bottom)), 0.8, RULE)


def _tick_box(left: float, top: float, *, done: bool) -> Iterator[Shape]:
    side = 20.0
    yield Box(left, top, left + side, top + side, edge=INK)
    if done:
        dots = ((0.2, 0.5), (0.42, 0.76), (0.84, 0.22))
        yield Line(tuple((left + x * side, top + y * side) for x, y in dots), 2.4)


NO_STEPS: Final = _("Nothing is planned for today.")
