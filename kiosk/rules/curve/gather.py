"""Work out what a picture of one clock shows, and its words."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta, tzinfo
from math import inf
from typing import Final

from kiosk.rules.clockwords import GATE_WORDS, look_at
from kiosk.rules.curve.axes import temperature_scale, time_ticks
from kiosk.rules.curve.values import Bracket, Curve, Held, Point
from kiosk.rules.dose import HOUR_MS, MINUTE_MS
from kiosk.rules.drying import CAP, FAST, SLOW, Clock, Window
from kiosk.rules.stages import STAGES
from kiosk.rules.times import say_time
from kiosk.rules.words import _, capital, say

# Points across the picture: one for about three dots of a kiosk's screen, and no fewer than one
# every two hours, or days and nights would be lost in a long one; 3000 at most (choices).
POINTS, MOST_POINTS, POINT_MS = 300, 3000, 2 * HOUR_MS
MARGIN: Final = 0.03  # of the span, left free before and after (choice)
LEAST_SPAN_MS: Final = 5 * MINUTE_MS  # a shorter picture shows nothing (choice)
OUT_OF_SIGHT: Final = timedelta(hours=48)  # shown of an end that cannot be foreseen (choice)
_ACTIONS: Final = {"none": _("coat again"), "scuff": _("coat again after scuffing")}


def clock_curve(
    clock: Clock,
    *,
    now: datetime,
    zone: tzinfo,
    fahrenheit: bool = False,
    window: Sequence[Window] = (),
    subject: str = "",
) -> Curve:
    """Return what a picture of a clock shows.

    The span runs from a little before the start to a little after the latest end or the last change
    of a window; 48 h beyond now where the end is not in sight. A `now` after that is still shown
    while it does not more than double the span.

    Args:
        clock: the rest.
        now: aware.
        zone: the shop's, for the words and the steps of the time axis.
        fahrenheit: whether temperatures are in °F instead of °C.
        window: recoat windows to show beside it.
        subject: what it is the clock of, such as a unit's name; leads the title.
    """
    begins, ends = _span(clock, now, window)
    look = look_at(clock, now=now, fahrenheit=fahrenheit)
    held = _held(clock, ends)
    points = _points(clock, _moments(clock, begins, ends, held, now), fahrenheit=fahrenheit)
    temperatures = [point.temperature for point in points if point.temperature is not None]
    stage = STAGES[clock.stage].words if clock.stage in STAGES else _("rest")
    return Curve(
        title=say("{subject}: {stage}", subject=subject, stage=stage)
        if subject
        else capital(stage),
        why=capital(look.words),
        state=look.state,
        begins_ms=begins,
        ends_ms=ends,
        started_ms=_ms(clock.started),
        now_ms=_ms(now),
        last_ms=clock.air.last_ms,
        earliest_ms=_ms_or_none(clock.earliest),
        expected_ms=_ms_or_none(clock.expected),
        latest_ms=_ms_or_none(clock.latest),
        end_words=_end_words(clock, stage, now=now, zone=zone),
        now_words=say("now {time}", time=f"{now.astimezone(zone):%H:%M}"),
        points=points,
        held=held,
        windows=_brackets(window, now=now, zone=zone),
        ticks=time_ticks(begins, ends, now=now, zone=zone),
        temperature=temperature_scale(temperatures, fahrenheit=fahrenheit),
    )


def _span(clock: Clock, now: datetime, window: Sequence[Window]) -> tuple[float, float]:
    start, here = _ms(clock.started), _ms(now)
    if clock.expected is None:
        until = max(start, here) + OUT_OF_SIGHT / timedelta(milliseconds=1)
    else:
        expected = _ms(clock.expected)
        # of a latest end that is not in sight, as much again as the slow pace adds
        until = _ms(clock.latest) if clock.latest else start + (expected - start) / SLOW
    edges = [_ms(edge) for one in window for edge in (one.opens, one.closes) if edge is not None]
    until = max([until, start + LEAST_SPAN_MS, *edges])
    if until < here <= until + (until - start):
        until = here
    free = MARGIN * (until - start)
    return start - free, until + free


def _moments(
    clock: Clock, begins: float, ends: float, held: Sequence[Held], now: datetime
) -> list[float]:
    """Return the moments to reckon: evenly across, and wherever something turns."""
    marks = [_ms(clock.started), _ms(now), clock.air.last_ms]
    for end in (clock.earliest, clock.expected, clock.latest):
        if end is not None:
            # a window that closes by the label's own time jumps there
            marks += [_ms(end) - 1, _ms(end)]
    marks += [edge for one in held for edge in (one.begins_ms, one.ends_ms)]
    count = round(min(max(POINTS, (ends - begins) / POINT_MS), MOST_POINTS))
    step = (ends - begins) / count
    even = [begins + step * number for number in range(count)]
    inside = {mark for mark in marks if mark is not None and begins < mark < ends}
    return sorted({*even, ends, *inside})


def _points(clock: Clock, moments: Sequence[float], *, fahrenheit: bool) -> tuple[Point, ...]:
    expected = _shares(clock, moments, 1.0, clock.expected)
    fast = _shares(clock, moments, FAST, clock.earliest)
    slow = _shares(clock, moments, SLOW, clock.latest)
    nodes = [clock.air.at(ms) for ms in moments]
    warm = [_show(node[1], fahrenheit=fahrenheit) if node else None for node in nodes]
    damp = [node[2] if node else None for node in nodes]
    return tuple(map(Point, moments, expected, fast, slow, warm, damp))


def _shares(
    clock: Clock, moments: Sequence[float], factor: float, end: datetime | None
) -> list[float]:
    """Return how much of the rest is over at each moment if the pace is multiplied so."""
    start, over = _ms(clock.started), inf if end is None else _ms(end)
    cap = inf if clock.closes else CAP
    course = clock.air.course(clock.rate, cap=cap, factor=factor) if clock.rate else None
    first = course.at(start) if course else 0.0
    found = []
    for ms in moments:
        dose = course.at(ms) - first if course else (ms - start) / MINUTE_MS * factor
        # nothing is over before its end, nor short of 1 after it, whatever rounding says
        found.append(1.0 if ms >= over else min(1.0, max(0.0, dose) / (clock.target or inf)))
    return found


def _held(clock: Clock, ends: float) -> tuple[Held, ...]:
    if clock.rate is None:
        return ()
    until = ends if clock.latest is None else min(ends, _ms(clock.latest))
    spans = clock.air.held(clock.rate, _ms(clock.started), until)
    return tuple(Held(begin, end, gate, GATE_WORDS[gate]) for begin, end, gate in spans)


def _brackets(window: Sequence[Window], *, now: datetime, zone: tzinfo) -> tuple[Bracket, ...]:
    """Return the windows that open at all; one that closes before it opens is none."""
    found = []
    for one in window:
        if one.opens is None or (one.closes is not None and one.closes <= one.opens):
            continue
        opens = say_time(one.opens, now=now, zone=zone)
        action = _ACTIONS.get(one.action, one.action)
        words = say("{action} from {time}", action=action, time=opens)
        if one.closes is not None:
            closes = say_time(one.closes, now=now, zone=zone)
            words = say("{action} {opens} to {closes}", action=action, opens=opens, closes=closes)
        found.append(Bracket(_ms(one.opens), _ms_or_none(one.closes), words))
    return tuple(found)


def _end_words(clock: Clock, stage: str, *, now: datetime, zone: tzinfo) -> str:
    """Return `dry to touch 14:10 (13:20 to 15:30)`."""
    if clock.expected is None:
        return say("{stage}: the end is not in sight", stage=stage)

    def timed(at: datetime) -> str:
        return say_time(at, now=now, zone=zone)

    words = say("{stage} {time}", stage=stage, time=timed(clock.expected))
    if clock.stage == "open":
        words = say("{stage} until {time}", stage=stage, time=timed(clock.expected))
    if clock.latest is None or clock.earliest is None:
        return say("{end} or later", end=words)
    early, late = timed(clock.earliest), timed(clock.latest)
    if early == late:
        return words
    return say("{end} ({early} to {late})", end=words, early=early, late=late)


def _show(temperature_c: float, *, fahrenheit: bool) -> float:
    return temperature_c * 9 / 5 + 32 if fahrenheit else temperature_c


def _ms(at: datetime) -> float:
    return at.timestamp() * 1000


def _ms_or_none(at: datetime | None) -> float | None:
    return None if at is None else _ms(at)
