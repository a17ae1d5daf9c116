"""Lay a day along a rule: a row for each person or station, its bars, and the ticks of the time."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta, tzinfo
from typing import Final

from kiosk.rules.dayplan.day import DayPlan, DayStep
from kiosk.rules.words import _, known

QUARTER: Final = timedelta(minutes=15)


@dataclass(frozen=True, slots=True)
class Bar:
    """One step on the rule and the lane of its row that it lies in; ends where the next begins."""

    step: DayStep
    starts: datetime
    ends: datetime
    lane: int = 0


@dataclass(frozen=True, slots=True)
class RailRow:
    """A person or a station, and what is done there; lanes is 1 or more."""

    name: str
    bars: tuple[Bar, ...] = ()
    lanes: int = 1


@dataclass(frozen=True, slots=True)
class Tick:
    """A mark of the rule: weight is 3 for an hour, 2 for half of it, 1 for a quarter."""

    at: datetime
    weight: int
    words: str = ""


def by_person(day: DayPlan) -> tuple[RailRow, ...]:
    """Return a row for each person, also without steps; what nobody is named for comes last.

    Nobody does two steps at once: what was scanned as if they did is cut where the next begins.
    """
    names = list(dict.fromkeys([*day.people, *(who for one in day.steps for who in one.people)]))
    rows = [_one_lane(who, [one for one in day.steps if who in one.people]) for who in names]
    loose = [one for one in day.steps if not one.people]
    if loose:
        rows.append(_one_lane(_("nobody named"), loose))
    return tuple(rows)


def by_station(
    day: DayPlan, within: tuple[datetime, datetime] | None = None
) -> tuple[RailRow, ...]:
    """Return a row for each station with steps today, as many lanes as steps go on at once.

    within: only what goes on in that stretch takes lanes.
    """
    stations = list(dict.fromkeys(one.station for one in day.steps))
    first, last = within or whole_day(day)
    shown = [one for one in day.steps if one.starts < last and one.ends > first]
    return tuple(
        _lanes(known(name, "station"), [one for one in shown if one.station == name])
        for name in sorted(stations, key=_in_order)
    )


_ORDER: Final = ("cut", "assemble", "finish", "install")


def _in_order(station: str) -> tuple[int, str]:
    return (_ORDER.index(station) if station in _ORDER else len(_ORDER), station)


def _one_lane(name: str, steps: Sequence[DayStep]) -> RailRow:
    found = sorted(steps, key=lambda one: one.starts)
    begins = [one.starts for one in found]
    # the last one ends where it ends
    bars = [
        Bar(one, one.starts, min([one.ends, *begins[at + 1 : at + 2]]))
        for at, one in enumerate(found)
    ]
    return RailRow(name, tuple(bar for bar in bars if bar.ends > bar.starts))


def _lanes(name: str, steps: Sequence[DayStep]) -> RailRow:
    free: list[datetime] = []  # from when each lane is free
    bars = []
    for one in sorted(steps, key=lambda step: step.starts):
        lane = next((at for at, since in enumerate(free) if since <= one.starts), len(free))
        free[lane : lane + 1] = [one.ends]
        bars.append(Bar(one, one.starts, one.ends, lane))
    return RailRow(name, tuple(bars), max(1, len(free)))


def ticks(starts: datetime, ends: datetime, zone: tzinfo) -> Iterator[Tick]:
    """Yield the quarters of an hour from one moment to another, in the shop's time."""
    at = starts.astimezone(zone).replace(minute=0, second=0, microsecond=0)
    while at <= ends:
        if at >= starts:
            weight = 3 if at.minute == 0 else 2 if at.minute == 30 else 1
            yield Tick(at, weight, f"{at:%H:%M}" if weight == 3 else "")
        at += QUARTER


def whole_day(day: DayPlan) -> tuple[datetime, datetime]:
    """Return from when to when the rule of a whole day runs, in full hours of UTC."""
    edges = [moment for pair in day.hours for moment in pair]
    edges += [moment for one in day.steps for moment in (one.starts, one.ends)]
    first = min(edges, default=day.at).replace(minute=0, second=0, microsecond=0)
    last = max([*edges, first + timedelta(hours=4)])
    full = last.replace(minute=0, second=0, microsecond=0)
    return first, full if full == last else full + timedelta(hours=1)


def order_of_list(day: DayPlan) -> tuple[DayStep, ...]:
    """Return the steps as they are read: those ahead by time, then what is done, latest first."""
    ahead = [one for one in day.steps if one.state != "done"]
    done = [one for one in day.steps if one.state == "done"]
    ahead.sort(key=lambda one: (one.starts, one.ends, one.unit))
    done.sort(key=lambda one: one.ends, reverse=True)
    return (*ahead, *done)
