"""Say that nobody works today, and when work goes on."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime, timedelta, tzinfo
from typing import Final

from kiosk.rules.hangday import say_day
from kiosk.rules.times import say_time
from kiosk.rules.words import _, say
from kiosk.rules.workday import Hours, day_spans, time_of

LOOKS_AHEAD: Final = 400  # days; longer than a stretch somebody may be away (choice)


def say_closed(shop: Hours, people: Iterable[Hours], *, now: datetime, zone: tzinfo) -> str:
    """Return that the shop is closed today or nobody is there, and when work goes on.

    It is empty on a day on which somebody works, also before and after the hours.

    Args:
        shop: the hours of the shop itself.
        people: the hours of those who work in it.
        now: the moment, aware; its day in the zone is today.
        zone: of the shop.
    """
    there = tuple(people)
    today = now.astimezone(zone).date()
    if _begins(there, today, zone) is not None:
        return ""
    words = _("Nobody is there today")
    if not shop.works_on(today):
        words = _("The shop is closed today")
    for n in range(1, LOOKS_AHEAD + 1):
        again = _begins(there, today + timedelta(days=n), zone)
        if again is not None:
            when = _when(again, now, zone, is_near=n <= 6)
            return say("{closed}. Work goes on {time}.", closed=words, time=when)
    return say("{closed}. No day of work is known from here on.", closed=words)


def _when(again: datetime, now: datetime, zone: tzinfo, *, is_near: bool) -> str:
    if is_near:
        return say_time(again, now=now, zone=zone)
    local = again.astimezone(zone)
    return say("{day}, {time}", day=say_day(local.date()), time=f"{local:%H:%M}")


def _begins(people: tuple[Hours, ...], day: date, zone: tzinfo) -> datetime | None:
    """Return when the first of them comes on a day, None where nobody does."""
    spans = [span for one in people if one.works_on(day) for span in day_spans(one, day, zone)]
    return time_of(min(spans)[0]) if spans else None
