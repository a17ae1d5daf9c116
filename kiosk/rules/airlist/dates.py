"""Read the dates and times of a logger's file, whichever way it writes them."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta, timezone, tzinfo
from itertools import pairwise
from typing import Final

from kiosk.rules.words import _, say

ORDERS: Final = {"day-first": True, "month-first": False}
UNCLEAR: Final = _("it is not clear whether the day or the month comes first")
# A year beyond these is a slip or an unset clock (choice).
FIRST_YEAR, LAST_YEAR = 1990, 2099

_DATE: Final = r"([0-9]{1,4})([-/.])([0-9]{1,2})\2([0-9]{1,4})"
_CLOCK: Final = (
    r"([0-9]{1,2})[:.h]([0-9]{2})(?:[:.]([0-9]{2})(?:[.,]([0-9]{1,9}))?)?"
    r"(?: ?([ap])\.? ?m\.?)?"
)
_ZONE: Final = r"(?: ?(z|utc|gmt|[+-](?:0[0-9]|1[0-4])(?::?[0-5][0-9])?))?"
_WHEN: Final = re.compile(rf"{_DATE}(?:(?:t|,? ){_CLOCK}{_ZONE})?")
_EPOCH: Final = re.compile(r"([0-9]{10})(?:([0-9]{3})|[.,]([0-9]{1,9}))?")
_EPOCH_START: Final = datetime(1970, 1, 1, tzinfo=UTC)


@dataclass(frozen=True, slots=True)
class _Stamp:
    """What a cell says of a time: the date's three numbers as they stand there, and the rest.

    day_first is None where the marks between the numbers do not tell; a date with its year first
    is kept the other way round. clock is None where the cell has none.
    """

    numbers: tuple[int, int, int]
    clock: timedelta | None
    zone: tzinfo | None
    day_first: bool | None


def read_times(texts: Sequence[str], *, dates: str | None) -> list[datetime | str]:
    """Read the times of a whole file: a time each, or in words what is wrong.

    A time whose zone is not named has none; all are to the millisecond. Read are dates with the
    year first, with dots (the day first), with strokes or dashes, clock times of 12 or 24 hours,
    zones as Z, UTC or an offset, and seconds or milliseconds since 1970. dates is "day-first",
    "month-first" or None: then the file decides, by a number above 12 or by the one order in which
    its days run one way; UNCLEAR where it does not. A date without a clock time is midnight, as
    workbooks write it, in a file that has clock times.
    """
    stamps = [_read_stamp(text) for text in texts]
    known = [stamp for stamp in stamps if stamp is not None]
    day_first = ORDERS.get(dates or "", _day_first(known))
    clocks = any(stamp.clock is not None for stamp in known)
    found: list[datetime | str] = []
    for text, stamp in zip(texts, stamps, strict=True):
        if stamp is None:
            found.append(
                say("“{text}” is not a date and time we can read.", text=text)
                if text
                else _("The time is missing.")
            )
        elif stamp.clock is None and not clocks:
            found.append(say("“{text}” is a date without a clock time.", text=text))
        else:
            order = day_first if stamp.day_first is None else stamp.day_first
            found.append(UNCLEAR if order is None else _at(stamp, text, day_first=order))
    return found


def place_times(read: Sequence[tuple[datetime, object]], *, zone: tzinfo) -> list[datetime | None]:
    """Place times in UTC, in the order of the file; None for one that a zone's clocks skip.

    read has each time with what was measured at it. Times without a zone are of `zone`. Of the
    hour that comes twice in autumn, times are its first run until they step back (or stand still
    with other values) in the file's own order; a file that has the newest first is read from its
    end.
    """
    places = range(len(read))
    runs: dict[date, tuple[datetime, object, int]] = {}
    found: dict[int, datetime | None] = {}
    for place in reversed(places) if _newest_first([at for at, _zone in read]) else places:
        at, what = read[place]
        if at.tzinfo is not None:
            found[place] = at.astimezone(UTC)
            continue
        both = [at.replace(tzinfo=zone, fold=fold).astimezone(UTC) for fold in (0, 1)]
        run = 0
        if both[0] < both[1]:
            before, had, run = runs.get(at.date(), (at, what, 0))
            if at < before or (at == before and what != had):
                run = 1
            runs[at.date()] = (at, what, run)
        # where clocks skip an hour, the offset before the change gives the later moment
        found[place] = None if both[0] > both[1] else both[run]
    return [found[place] for place in places]


def _newest_first(times: Sequence[datetime]) -> bool:
    local = [at for at in times if at.tzinfo is None]
    return sum((a < b) - (a > b) for a, b in pairwise(local)) < 0


def _read_stamp(text: str) -> _Stamp | None:
    said = " ".join(text.lower().split())
    since = _EPOCH.fullmatch(said)
    if since:
        thousandths = since[2] or str(round(float(f"0.{since[3] or 0}") * 1000))
        at = _EPOCH_START + timedelta(seconds=int(since[1]), milliseconds=int(thousandths))
        midnight = at.replace(hour=0, minute=0, second=0, microsecond=0)
        return _Stamp((at.day, at.month, at.year), at - midnight, UTC, day_first=True)
    found = _WHEN.fullmatch(said)
    if not found:
        return None
    clock = _read_clock(*found.group(5, 6, 7, 8, 9)) if found[5] else None
    if found[5] and clock is None:
        return None
    first, mark, middle, last = found.group(1, 2, 3, 4)
    zone = _read_zone(found[10])
    if len(first) == 4:
        return _Stamp((int(last), int(middle), int(first)), clock, zone, day_first=True)
    # two digits with dashes may be a year in front as well as one behind
    if len(first) > 2 or len(last) not in ((4,) if mark == "-" else (2, 4)):
        return None
    year = int(last) + (2000 if len(last) == 2 else 0)
    day_first = True if mark == "." else None
    return _Stamp((int(first), int(middle), year), clock, zone, day_first=day_first)


def _read_clock(
    hours: str, minutes: str, seconds: str | None, fraction: str | None, half: str | None
) -> timedelta | None:
    hour, minute, second = int(hours), int(minutes), int(seconds or 0)
    if half:
        if not 1 <= hour <= 12:
            return None
        hour = hour % 12 + (12 if half == "p" else 0)
    if minute > 59 or second > 59 or hour > 24 or (hour == 24 and (minute or second)):
        return None
    thousandths = round(float(f"0.{fraction or 0}") * 1000)
    return timedelta(hours=hour, minutes=minute, seconds=second, milliseconds=thousandths)


def _read_zone(text: str | None) -> tzinfo | None:
    if not text:
        return None
    digits = text.strip("+-").replace(":", "")
    if not digits.isdigit():
        return UTC
    away = timedelta(hours=int(digits[:2]), minutes=int(digits[2:] or 0))
    return timezone(-away if text[0] == "-" else away)


def _day_first(stamps: Sequence[_Stamp]) -> bool | None:
    """Tell whether the day comes first in dates whose marks leave it open; None if unclear."""
    numbers = list(dict.fromkeys(s.numbers for s in stamps if s.day_first is None))
    day = any(a > 12 >= b for a, b, _ in numbers)
    month = any(b > 12 >= a for a, b, _ in numbers)
    if day or month:
        return None if day and month else day
    if all(a == b for a, b, _ in numbers):
        return True
    as_days = [(year, b, a) for a, b, year in numbers]
    as_months = [(year, a, b) for a, b, year in numbers]
    for backwards in (False, True):
        runs = [days == sorted(days, reverse=backwards) for days in (as_days, as_months)]
        if runs[0] != runs[1]:
            return runs[0]
    return None


def _at(stamp: _Stamp, text: str, *, day_first: bool) -> datetime | str:
    a, b, year = stamp.numbers
    day, month = (a, b) if day_first else (b, a)
    if not FIRST_YEAR <= year <= LAST_YEAR:
        return say("“{text}” is of the year {year}.", text=text, year=year)
    try:
        midnight = datetime(year, month, day, tzinfo=stamp.zone)
    except ValueError:
        return say("“{text}” is no day of the calendar.", text=text)
    return midnight + (stamp.clock or timedelta(0))
