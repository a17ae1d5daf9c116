"""Look whether a computer's clock can be right, by what was recorded last."""

from __future__ import annotations

from datetime import datetime, timedelta, tzinfo
from typing import Final

from kiosk.rules.problems import Problem
from kiosk.rules.times import say_span, say_time
from kiosk.rules.words import _, say

# Free-running clocks lose or gain seconds a day (quartz, 10 to 50 millionths), and are set by such
# steps; two minutes are none of these. Choice.
BACK: Final = timedelta(minutes=2)
# A shop that recorded nothing for longer is hardly one that goes on with the same file. Choice.
AHEAD: Final = timedelta(days=400)


def check_clock(now: datetime, *, last: datetime | None, zone: tzinfo) -> Problem | None:
    """Return in words what is odd about a clock, or None.

    Scans are taken in all the same: they stay in their order, but rests are reckoned from the time
    the clock says.

    Args:
        now: what the clock says, aware.
        last: when this kiosk recorded its latest entry, by its clock then; None for none yet.
        zone: the shop's.
    """
    if last is None or -AHEAD < last - now <= BACK:
        return None
    if last > now:
        odd = say(
            "This computer's clock is {span} behind the last scan ({time}).",
            span=say_span(last - now),
            time=say_time(last, now=now, zone=zone),
        )
    else:
        odd = say(
            "This computer's clock may be ahead: the last scan was {span} ago ({time}).",
            span=say_span(now - last),
            time=say_time(last, now=now, zone=zone),
        )
    remedy = _("Look at the date and time of the system. Scans are kept, but rests may run wrong.")
    return Problem(odd, remedy)
