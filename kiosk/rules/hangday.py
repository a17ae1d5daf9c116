"""Say a job's hang day: which day it is and how far off."""

from __future__ import annotations

from datetime import date

from kiosk.rules.times import YEAR_FROM
from kiosk.rules.words import Phrase, _, say, say_n

_DAYS = (_("Mon"), _("Tue"), _("Wed"), _("Thu"), _("Fri"), _("Sat"), _("Sun"))
_MONTHS = (
    *(_("Jan"), _("Feb"), _("Mar"), _("Apr"), _("May"), _("Jun")),
    *(_("Jul"), _("Aug"), _("Sep"), _("Oct"), _("Nov"), _("Dec")),
)


def read_day(text: str) -> date | None:
    """Read an ISO date; None for anything else."""
    try:
        return date.fromisoformat(text)
    except ValueError:
        return None


def say_day(day: date) -> Phrase:
    """Return a day as a shop says it: `Fri 20 Mar 2026`."""
    return say(
        "{weekday} {n} {month} {year}",
        weekday=_DAYS[day.weekday()],
        n=day.day,
        month=_MONTHS[day.month - 1],
        year=day.year,
    )


def say_weekday(day: date) -> Phrase:
    """Return the day of the week in short: `Fri`."""
    return _DAYS[day.weekday()]


def say_near(day: date, today: date) -> Phrase:
    """Return a day as short as it is clear: `Fri` within the six days to come, else `Fri 20 Mar`.

    One over months away has its year too.
    """
    days = (day - today).days
    if 0 <= days <= 6:
        return say_weekday(day)
    if abs(days) >= YEAR_FROM:
        return say_day(day)
    weekday, month = say_weekday(day), _MONTHS[day.month - 1]
    return say("{weekday} {n} {month}", weekday=weekday, n=day.day, month=month)


def say_left(day: date, today: date) -> Phrase:
    """Return how far off a day is, in words."""
    days = (day - today).days
    if days in (0, 1):
        return _("tomorrow") if days else _("today")
    if days < 0:
        return say_n("{n} day ago", "{n} days ago", -days)
    return say_n("in {n} day", "in {n} days", days)
