"""Say times and spans the way a shop does: 14:10, Thu 08:20, 35 min, 2:05 h."""

from __future__ import annotations

import re
from datetime import datetime, timedelta, tzinfo

from kiosk.rules.words import _, say, say_n

_DAYS = (_("Mon"), _("Tue"), _("Wed"), _("Thu"), _("Fri"), _("Sat"), _("Sun"))
MONTHS = (
    *(_("Jan"), _("Feb"), _("Mar"), _("Apr"), _("May"), _("Jun")),
    *(_("Jul"), _("Aug"), _("Sep"), _("Oct"), _("Nov"), _("Dec")),
)
_SPAN = re.compile(
    r"(\d{1,6}(?:[.,]\d{1,3})?)\s*(m|min|mins|minutes?|h|hrs?|hours?|d|days?)?", re.IGNORECASE
)
_IN_MINUTES = {"m": 1, "h": 60, "d": 24 * 60}
YEAR_FROM = 180  # days from which a date is said with its year, choice
HOURS_FROM = 90  # minutes from which hours are said, docs/rules.md "Countdown"
DAY = 24 * 60  # minutes from which days are said, docs/rules.md "Countdown"


def say_time(at: datetime, *, now: datetime, zone: tzinfo) -> str:
    """Return a time in the shop's zone: `14:10` today, `Thu 08:20` within six days, else a date.

    A date months away has its year: `30 Mar 2029 08:20`.
    """
    local, today = at.astimezone(zone), now.astimezone(zone).date()
    clock = f"{local:%H:%M}"
    days = (local.date() - today).days
    if days == 0:
        return clock
    if abs(days) <= 6:
        return say("{day} {clock}", day=_DAYS[local.weekday()], clock=clock)
    month = MONTHS[local.month - 1]
    if abs(days) >= YEAR_FROM:
        words = _("{day} {month} {year} {clock}")
        return say(words, day=local.day, month=month, year=local.year, clock=clock)
    return say("{day} {month} {clock}", day=local.day, month=month, clock=clock)


def say_span(span: timedelta) -> str:
    """Return a span rounded up: `35 min`, from 90 minutes `2:05 h`, from a day `2 days 7 h`.

    Up to a day it is in whole minutes, then in whole hours.
    """
    minutes = max(0, -(-span // timedelta(minutes=1)))
    if minutes < DAY:
        return _say_hours(minutes)
    days, hours = divmod(-(-minutes // 60), 24)
    if hours:
        return say_n("{n} day {hours} h", "{n} days {hours} h", days, hours=hours)
    return say_n("{n} day", "{n} days", days)


def say_short_span(span: timedelta) -> str:
    """Return a span as `say_span` does, in the few letters of a tile: `2 d 7 h` from a day on."""
    minutes = max(0, -(-span // timedelta(minutes=1)))
    if minutes < DAY:
        return _say_hours(minutes)
    days, hours = divmod(-(-minutes // 60), 24)
    return say("{days} d {hours} h", days=days, hours=hours)


def _say_hours(minutes: int) -> str:
    if minutes < HOURS_FROM:
        return say("{minutes} min", minutes=minutes)
    return say("{hours}:{minutes:02d} h", hours=minutes // 60, minutes=minutes % 60)


def midnight_after(now: datetime, zone: tzinfo) -> datetime:
    """Return the next midnight of the shop's zone, from when times are said otherwise."""
    local = now.astimezone(zone) + timedelta(days=1)
    return local.replace(hour=0, minute=0, second=0, microsecond=0)


def read_minutes(text: str) -> float | None:
    """Read a span as a label has it to minutes: `90`, `90 min`, `2 h`, `1,5 h`, `3 days`."""
    found = _SPAN.fullmatch(text.strip())
    if found is None:
        return None
    unit = (found[2] or "m")[0].lower()
    return float(found[1].replace(",", ".")) * _IN_MINUTES[unit]


def say_minutes(minutes: float) -> str:
    """Return a label's span as people write it: `45 min`, `2 h`, `3 d`."""
    if minutes >= 2 * 1440 and minutes % 1440 == 0:
        return say("{days:g} d", days=minutes / 1440)
    if minutes >= 120 and minutes % 60 == 0:
        return say("{hours:g} h", hours=minutes / 60)
    return say("{minutes:g} min", minutes=minutes)
