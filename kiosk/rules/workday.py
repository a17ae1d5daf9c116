"""Know when somebody works: hours, break, days open and days away, as minutes since 1970 UTC."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time, timedelta, tzinfo
from math import ceil
from typing import Final

from kiosk.rules.entries import Entry, Kind
from kiosk.rules.problems import Problem
from kiosk.rules.words import _, say

WEEKDAYS: Final = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
# What may be said of a person's hours; what is left empty is as in the shop.
FIELDS: Final = ("opens", "closes", "break_starts", "break_minutes", "days", "stations", "away")
LONGEST_AWAY: Final = 366  # days in one stretch; longer is a slip of the pen (choice)
LONGEST_BREAK: Final = 240  # minutes (choice)
_CLOCK = re.compile(r"([01]?\d|2[0-3]):([0-5]\d)")

Pair = tuple[int, int]  # a stretch of whole minutes since 1970 UTC, half-open


@dataclass(frozen=True, slots=True)
class Away:
    """Days on which nobody works, first and last included."""

    first: date
    last: date


@dataclass(frozen=True, slots=True)
class Hours:
    """When somebody works; times are of the shop's zone, weekdays count from 0 for Monday.

    break_minutes is 0..240, 0 for no break; stations is empty for all.
    """

    opens: time
    closes: time
    break_starts: time
    break_minutes: int
    days: tuple[int, ...]
    stations: tuple[str, ...] = ()
    away: tuple[Away, ...] = ()

    def works_on(self, day: date) -> bool:
        """Tell whether it is a day of work."""
        is_away = any(one.first <= day <= one.last for one in self.away)
        return day.weekday() in self.days and not is_away


def read_days(text: str) -> tuple[int, ...] | None:
    """Read days of the week, such as `Mon-Fri` or `Mon-Thu, Sat`; None for anything else."""
    found: set[int] = set()
    for part in _parts(text):
        ends = [_weekday(word) for word in part.split("-")]
        if len(ends) > 2 or None in ends:
            return None
        first, last = ends[0] or 0, ends[-1] or 0
        found |= {(first + n) % 7 for n in range((last - first) % 7 + 1)}
    return tuple(sorted(found))


def read_away(text: str) -> tuple[Away, ...] | None:
    """Read days away, such as `2026-05-01, 2026-12-24..2027-01-02`; None for anything else."""
    found = []
    for part in _parts(text):
        try:
            ends = [date.fromisoformat(word.strip()) for word in part.split("..")]
        except ValueError:
            return None
        if len(ends) > 2 or not 0 <= (ends[-1] - ends[0]).days <= LONGEST_AWAY:
            return None
        found.append(Away(ends[0], ends[-1]))
    return tuple(found)


def read_clock(text: str) -> time | None:
    """Read a time of day such as 7:30; None for anything else."""
    found = _CLOCK.fullmatch(text.strip())
    return time(int(found[1]), int(found[2])) if found else None


def read_hours(
    texts: Mapping[str, str], usual: Hours, *, stations: tuple[str, ...], where: str = ""
) -> tuple[Hours, tuple[Problem, ...]]:
    """Read hours from texts by FIELDS; what is empty or lacking is as in the usual ones.

    Args:
        texts: values as a person wrote them.
        usual: the shop's hours; days away are added to the shop's.
        stations: the stations there are.
        where: whose hours they are, said with each problem.

    Returns:
        The hours, and every problem; with any the hours are not to be used.
    """
    reader = _Reader(where, stations)
    hours = usual
    for name in FIELDS:
        if text := texts.get(name, "").strip():
            hours = reader.take(hours, name, text)
    if not reader.problems:
        reader.fits(hours)
    return hours, tuple(reader.problems)


class _Reader:
    """Collects problems while hours are read."""

    def __init__(self, where: str, stations: tuple[str, ...]) -> None:
        self.where, self.stations = where, stations
        self.problems: list[Problem] = []

    def wrong(self, name: str, text: str, words: str, remedy: str) -> None:
        if self.where:
            words = say("{who}: {problem}", who=self.where, problem=words)
        self.problems.append(Problem(words, remedy, column=name, value=text))

    def take(self, hours: Hours, name: str, text: str) -> Hours:
        value: object
        match name:
            case "days":
                value = read_days(text)
                remedy = _("Write days such as Mon-Fri or Mon-Thu, Sat.")
            case "away":
                more = read_away(text)
                value = None if more is None else (*hours.away, *more)
                remedy = _("Write days such as 2026-05-01, 2026-12-24..2027-01-02.")
            case "stations":
                value = self.some_stations(text)
                remedy = say("Use {names}.", names=", ".join(self.stations))
            case "break_minutes":
                value = int(text) if text.isdecimal() and int(text) <= LONGEST_BREAK else None
                remedy = say("Write minutes, 0 to {n}; 0: no break.", n=LONGEST_BREAK)
            case _:
                value, remedy = read_clock(text), _("Write a time such as 07:30.")
        if value is None:
            words = say("“{text}” is not understood as {name}.", text=text, name=name)
            self.wrong(name, text, words, remedy)
            return hours
        return replace(hours, **{name: value})  # type: ignore[arg-type]  # one of FIELDS

    def some_stations(self, text: str) -> tuple[str, ...] | None:
        if text == "all":
            return ()
        found = tuple(word.casefold() for word in _parts(text))
        return found if set(found) <= set(self.stations) else None

    def fits(self, hours: Hours) -> None:
        if hours.closes <= hours.opens:
            words = say("{time} is no end of a day.", time=f"{hours.closes:%H:%M}")
            remedy = say("It begins at {time}; end it later.", time=f"{hours.opens:%H:%M}")
            self.wrong("closes", f"{hours.closes:%H:%M}", words, remedy)


def hours_said(entries: Iterable[Entry]) -> dict[str, Mapping[str, str]]:
    """Return what was said of each person's hours, by badge code; the last word counts.

    Args:
        entries: of kind hours_set, in the log's order.
    """
    found: dict[str, Mapping[str, str]] = {}
    for entry in entries:
        code = entry.body.get("code")
        if entry.kind == Kind.HOURS_SET and isinstance(code, str):
            given = {name: entry.body.get(name) for name in FIELDS}
            found[code] = {name: text for name, text in given.items() if isinstance(text, str)}
    return found


def spans_of(hours: Hours, *, now: datetime, days: int, zone: tzinfo) -> tuple[Pair, ...]:
    """Return the stretches somebody is there from `now` on, in order and apart.

    Hours are of the clock on the wall, so summer time moves them as it moves the people.

    Args:
        hours: whose.
        now: from when, aware; a stretch under way is cut.
        days: how many calendar days, today among them.
        zone: the shop's zone.
    """
    first, least = now.astimezone(zone).date(), minute_of(now)
    found: list[Pair] = []
    for n in range(days):
        day = first + timedelta(days=n)
        if hours.works_on(day):
            found += day_spans(hours, day, zone)
    return tuple((max(start, least), end) for start, end in found if end > least)


def day_spans(hours: Hours, day: date, zone: tzinfo) -> list[Pair]:
    """Return the stretches of one day of work, the break taken out."""
    opens, closes = _at(day, hours.opens, zone), _at(day, hours.closes, zone)
    pause = _at(day, hours.break_starts, zone)
    after = pause + hours.break_minutes
    if not hours.break_minutes or after <= opens or pause >= closes:
        pieces = [(opens, closes)]
    else:
        pieces = [(opens, pause), (after, closes)]
    return [(start, end) for start, end in pieces if start < end]


def minute_of(at: datetime) -> int:
    """Return an aware time as whole minutes since 1970 UTC, rounded up."""
    return ceil(at.timestamp() / 60)


def time_of(minute: int) -> datetime:
    """Return whole minutes since 1970 as an aware UTC time."""
    return datetime.fromtimestamp(minute * 60, UTC)


def closing(hours: Hours, day: date, zone: tzinfo) -> int:
    """Return the minute the shop closes on a day, open or not."""
    return _at(day, hours.closes, zone)


def opening(hours: Hours, day: date, zone: tzinfo) -> int:
    """Return the minute the shop opens on a day, open or not."""
    return _at(day, hours.opens, zone)


def _at(day: date, clock: time, zone: tzinfo) -> int:
    return minute_of(datetime.combine(day, clock, zone))


def _parts(text: str) -> list[str]:
    return [part.strip() for part in text.split(",") if part.strip()]


def _weekday(word: str) -> int | None:
    name = word.strip()[:3].capitalize()
    return WEEKDAYS.index(name) if name in WEEKDAYS else None
