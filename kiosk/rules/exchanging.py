"""How a kiosk stands to the shop server, and how that is said."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime, tzinfo
from enum import StrEnum

from kiosk.rules.times import say_time
from kiosk.rules.words import _, join, number, say, say_n

SKEW_MS = 2_000  # a clock further off than this is said; quartz drifts 1 to 4 s a day. Choice.
_WHOLE_S = 10  # from here on nobody minds the tenths; choice


class Standing(StrEnum):
    """How a kiosk stands to the server."""

    JOINING = "joining"  # nothing heard yet
    TOGETHER = "together"
    APART = "apart"  # no answer; it is tried again
    REFUSED = "refused"  # somebody has to put something right


@dataclass(frozen=True, slots=True)
class Exchanged:
    """How the exchange stands.

    since is when this standing began, last when the last round ended well; sent and taken count
    entries since the start, waiting those that no server has yet; ahead_ms is how far this
    machine's clock is ahead of the server's. words say why it is apart or refused. names are what
    people call the kiosks of the shop, by letter; latest when each made its latest entry here.
    """

    standing: Standing
    since: datetime
    last: datetime | None = None
    sent: int = 0
    taken: int = 0
    waiting: int = 0
    ahead_ms: int = 0
    words: str = ""
    letter: str = ""
    names: Mapping[str, str] = field(default_factory=dict)
    latest: Mapping[str, datetime] = field(default_factory=dict)


# Told by the shape, not by the colour.
SHAPES = {
    Standing.JOINING: "",
    Standing.TOGETHER: "tick",
    Standing.APART: "dot",
    Standing.REFUSED: "cross",
}


BRIEF = {
    Standing.JOINING: _("joining"),
    Standing.TOGETHER: _("together"),
    Standing.APART: _("apart"),
    Standing.REFUSED: _("held up"),
}


def say_mark(state: Exchanged, *, now: datetime, zone: tzinfo) -> str:
    """Return the few words that stand in the head of a screen."""
    if state.standing != Standing.APART:
        return BRIEF[state.standing]
    since = say("apart since {time}", time=say_time(state.since, now=now, zone=zone))
    if not state.waiting:
        return since
    return join((since, say_n("{n} to send", "{n} to send", state.waiting)), ", ")


def say_alarm(state: Exchanged | None) -> str:
    """Return what somebody has to be told across the screen, or nothing."""
    if state is None:
        return ""
    if state.standing == Standing.REFUSED:
        return _("The exchange with the other kiosks is held up: see Shop, Exchange")
    return say_skew(state.ahead_ms)


def say_skew(ahead_ms: int) -> str:
    """Return a warning where this machine's clock is not the server's, else nothing."""
    if abs(ahead_ms) <= SKEW_MS:
        return ""
    seconds = number(f"{abs(ahead_ms) / 1000:.0f}")
    if ahead_ms > 0:
        return say("This clock is {n} s ahead of the server's; set it", n=seconds)
    return say("This clock is {n} s behind the server's; set it", n=seconds)


def say_clock(ahead_ms: int) -> str:
    """Return how this machine's clock stands to the server's."""
    off_s = abs(ahead_ms) / 1000
    seconds = number(f"{off_s:.1f}" if off_s < _WHOLE_S else f"{off_s:.0f}")
    if seconds == number("0.0"):
        return _("as the server's")
    if ahead_ms > 0:
        return say("{n} s ahead", n=seconds)
    return say("{n} s behind", n=seconds)
