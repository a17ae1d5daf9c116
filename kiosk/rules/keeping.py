"""Which nightly copies to keep, what they are called, and when the next one is due."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from datetime import UTC, datetime, time, timedelta, tzinfo

# A shop that finds a mistake after a week, a month or a year still has the state before it. Choice;
# grandfather, father and son is common practice.
DAILY, WEEKLY, MONTHLY = 7, 5, 12
AGAIN_AFTER = timedelta(hours=1)  # a copy that failed is tried again after this long; choice
TOO_OLD = timedelta(days=2)  # one night missed is no alarm, two are; choice
_NIGHT = re.compile(r"(.+)-(.)-night-(\d{4}-\d\d-\d\d-\d{4})\.db", re.DOTALL)
_FORM = "%Y-%m-%d-%H%M"


def to_drop(made: Iterable[datetime]) -> frozenset[datetime]:
    """Return which copies need not be kept any longer.

    Kept are the newest of each of the latest 7 days, of the latest 5 weeks (from Monday) and of the
    latest 12 months that have any: nights without a copy make no older one go. One copy often
    stands for a day, a week and a month at once, so at most 24 are kept. The newest always is, and
    it makes no difference whether this is asked every night or once a year.

    Args:
        made: when each copy was made, by the shop's clock, all naive or all in one zone.
    """
    newest_first = sorted(set(made), reverse=True)
    kept: set[datetime] = set()
    periods: tuple[tuple[int, Callable[[datetime], object]], ...] = (
        (DAILY, datetime.date),
        (WEEKLY, lambda at: at.isocalendar()[:2]),
        (MONTHLY, lambda at: (at.year, at.month)),
    )
    for most, period in periods:
        newest: dict[object, datetime] = {}
        for at in newest_first:
            newest.setdefault(period(at), at)
        kept.update(list(newest.values())[:most])
    return frozenset(newest_first) - kept


def night_name(stem: str, letter: str, at: datetime) -> str:
    """Return a nightly copy's file name: the shop's file, the kiosk's letter, the shop's time."""
    return f"{stem}-{letter}-night-{at:{_FORM}}.db"


def read_night(name: str, stem: str, letter: str) -> datetime | None:
    """Return the time in the name of a nightly copy of this kiosk (naive), None for other files."""
    found = _NIGHT.fullmatch(name)
    if found is None or (found[1], found[2]) != (stem, letter):
        return None
    try:
        return datetime.strptime(found[3], _FORM)  # noqa: DTZ007 - the shop's clock, as written
    except ValueError:
        return None


def due_since(now: datetime, at: str, zone: tzinfo) -> datetime:
    """Return the latest time at which a nightly copy was to be made (UTC).

    Args:
        now: aware.
        at: time of day such as 02:30; in a night that skips it, the clock's jump moves it on.
        zone: the shop's.
    """
    clock = time(int(at[:2]), int(at[3:]))
    day = now.astimezone(zone).date()
    today = datetime.combine(day, clock, tzinfo=zone).astimezone(UTC)
    if today <= now:
        return today
    return datetime.combine(day - timedelta(days=1), clock, tzinfo=zone).astimezone(UTC)


def is_due(
    now: datetime, *, since: datetime, last: datetime | None, tried: datetime | None
) -> bool:
    """Tell whether a copy is to be made now; what a night missed is made up for at any time.

    Args:
        now: aware.
        since: from `due_since`.
        last: when the last good one was made, None where there is none. One of a time still to
            come was made by a clock that was wrong, and counts for nothing.
        tried: when one was last tried in vain; it is not tried again at once.
    """
    if last is not None and since <= last <= now:
        return False
    return tried is None or not timedelta(0) <= now - tried < AGAIN_AFTER


def is_too_old(now: datetime, last: datetime) -> bool:
    """Tell whether the last good copy is older than two days."""
    return now - last > TOO_OLD
