"""Draw the air below a clock's progress: temperature and humidity."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from math import ceil
from typing import Final

from kiosk.figure.frame import Frame, beside, estimated, grid, marks
from kiosk.figure.shapes import BLUE, GREY, ORANGE, RULE, Dot, Line, Shape, Words
from kiosk.language import shown
from kiosk.rules.curve import Curve
from kiosk.rules.dose import DAY_MS
from kiosk.rules.words import _, say
from labels.artwork.letters import ABOVE, LINE, fit

_AIR: Final = _("Air: temperature; humidity, 0 % at the bottom to 100 % at the top")
_EACH_DAY: Final = _(
    "Air, mean of each day: temperature; humidity, 0 % at the bottom to 100 % at the top"
)
_LEAST_DAY: Final = 14.0  # where a day is narrower its mean is drawn instead (choice)


def air_lines(curve: Curve, frame: Frame) -> Iterator[Shape]:
    """Yield the lines of temperature and humidity, the axis and what marks the time."""
    yield from grid(curve, frame)
    yield from _degrees(curve, frame)
    yield from marks(curve, frame)
    turn = frame.x(curve.last_ms) if curve.last_ms is not None else frame.left
    yield from estimated(_temperatures(curve, frame), turn, 3.0, ORANGE)
    yield from estimated(_humidities(curve, frame), turn, 1.5, BLUE)


def _degrees(curve: Curve, frame: Frame) -> Iterator[Shape]:
    """Yield the ticks of the temperature, leaving out words that would touch."""
    reached = frame.bottom + frame.size * LINE
    for tick in curve.temperature.ticks if curve.temperature else ():
        y = frame.y(_share(curve, tick.value))
        yield Line(((frame.left, y), (frame.right, y)), 1.0, RULE)
        if reached - y >= frame.size * LINE:
            reached = y
            yield beside(frame, y, tick.words)


def _share(curve: Curve, temperature: float) -> float:
    scale = curve.temperature
    return (temperature - scale.low) / (scale.high - scale.low) if scale else 0.0


def _temperatures(curve: Curve, frame: Frame) -> list[Dot]:
    dots = [
        (frame.x(point.ms), frame.y(_share(curve, point.temperature)))
        for point in curve.points
        if point.temperature is not None
    ]
    return _by_day(dots, frame) if _is_narrow(frame) else dots


def _humidities(curve: Curve, frame: Frame) -> list[Dot]:
    dots = [
        (frame.x(point.ms), frame.y(point.humidity / 100))
        for point in curve.points
        if point.humidity is not None
    ]
    return _by_day(dots, frame) if _is_narrow(frame) else dots


def _a_day(frame: Frame) -> float:
    return (frame.right - frame.left) * DAY_MS / (frame.ends_ms - frame.begins_ms)


def _is_narrow(frame: Frame) -> bool:
    """Tell whether days are too narrow to see their warmth come and go."""
    return _a_day(frame) < _LEAST_DAY


def _by_day(dots: Sequence[Dot], frame: Frame) -> list[Dot]:
    """Return the mean of each whole day across, at its middle, drawn on to both edges."""
    wide = _a_day(frame)
    sums = [0.0] * ceil((frame.right - frame.left) / wide)
    shares = [0.0] * len(sums)
    for (x, y), (after, _y) in pairwise(dots):
        day = int((x - frame.left) / wide)
        sums[day] += y * (after - x)
        shares[day] += after - x
    # the last day is cut off by the picture's edge: its part is no mean of a day
    means = [total / share for total, share in zip(sums[:-1], shares[:-1], strict=True)]
    inside = [(frame.left + (day + 0.5) * wide, mean) for day, mean in enumerate(means)]
    return [(frame.left, means[0]), *inside, (frame.right, means[-1])]


def air_words(curve: Curve, frame: Frame) -> Iterator[Shape]:
    """Yield the words of the air: its heading, and what each line ends at."""
    scale = curve.temperature
    if scale is None:
        return
    size = frame.size
    heading = shown(_EACH_DAY if _is_narrow(frame) else _AIR)
    text, small = fit(heading, int(frame.right - frame.left), largest=size, least=size - 3)
    yield Words(frame.left, frame.top - 0.35 * size, text, small, colour=GREY)
    warm, damp = _temperatures(curve, frame)[-1][1], _humidities(curve, frame)[-1][1]
    tall = frame.bottom - frame.top
    up_warm, up_damp = (frame.bottom - warm) / tall, (frame.bottom - damp) / tall
    at_warm, at_damp = _apart(warm, damp, frame)
    words = (
        (
            warm,
            at_warm,
            f"{scale.low + up_warm * (scale.high - scale.low):.0f} {scale.unit}",
            ORANGE,
        ),
        (damp, at_damp, shown(say("{humidity:.0f} % humidity", humidity=up_damp * 100)), BLUE),
    )
    for y, at, text, colour in words:
        yield Line(((frame.right, y), (frame.right + 6, at)), 1.0, colour)
        yield Words(frame.right + 8, at + 0.33 * size, text, size, colour=colour)


def _apart(one: float, other: float, frame: Frame) -> tuple[float, float]:
    """Return two heights moved so far apart that words fit beside both."""
    pitch, half = frame.size * LINE + 1, frame.size * (ABOVE - 0.33)
    middle = min(max((one + other) / 2, frame.top + pitch), frame.bottom - pitch)
    if abs(one - other) < pitch:
        sign = 1 if one > other else -1
        one, other = middle + sign * pitch / 2, middle - sign * pitch / 2
    low, high = frame.top + half, frame.bottom - half
    return min(max(one, low), high), min(max(other, low), high)
