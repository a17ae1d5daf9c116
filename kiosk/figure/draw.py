"""Lay out the picture of one clock: words on top, its progress, its windows, the air below."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from kiosk.figure.air import air_lines, air_words
from kiosk.figure.flags import Flag, Place, place_flags
from kiosk.figure.frame import Frame
from kiosk.figure.progress import progress_lines
from kiosk.figure.shapes import GREY, INK, Figure, Line, Shape, Words
from kiosk.language import shown
from kiosk.rules.curve import Curve
from kiosk.rules.words import _, say
from labels.artwork.letters import ABOVE, LINE, fit, width_of

# Letters against the picture: 14 at 800 x 480, 22 at 1280 x 800; 11 is the least (choices).
_ACROSS, _DOWN, _LEAST_SIZE = 57, 34, 11
_TITLE: Final = 1.4  # times the other words (choice)
_AIR_SHARE: Final = 0.38  # of the two panels' height (choice)
_ESTIMATE: Final = _("estimate →")


def draw_curve(curve: Curve, width: int, height: int) -> Figure:
    """Return the picture of a clock.

    Args:
        curve: what it shows.
        width: in units of about one dot; 480 or more.
        height: the same; 300 or more.
    """
    curve = _in_language(curve)
    size = max(_LEAST_SIZE, round(min(width / _ACROSS, height / _DOWN)))
    edge = size * 0.7
    head, y = _head(curve, width, size)
    left, right = edge + _left_gutter(curve, size), width - edge - _right_gutter(curve, size)
    frame = Frame(curve.begins_ms, curve.ends_ms, left, right, 0, 0, size)
    places = place_flags(_flags(curve, frame), edge, width - edge)
    lanes = 1 + max(place.lane for place in places)
    top = y + lanes * _lane(size) + 0.6 * size
    last = height - edge - 1.6 * size
    gap = len(curve.windows) * _row(size) + 0.5 * size
    room = last - top - gap
    if curve.temperature is None:
        progress, air = frame.at(top, last - gap), None
    else:
        room -= size * LINE + 1
        middle = top + room * (1 - _AIR_SHARE)
        progress = frame.at(top, middle)
        air = frame.at(middle + gap + size * LINE + 1, last)
    shapes: list[Shape] = [*head, *progress_lines(curve, progress)]
    shapes += _flag_shapes(places, progress)
    shapes += _windows(curve, progress)
    if air is not None:
        shapes += [*air_lines(curve, air), *air_words(curve, air)]
    bottom = progress.bottom + gap - 0.5 * size if air is None else air.bottom
    shapes += _time_words(curve, frame, bottom, width - edge)
    return Figure(width, height, tuple(shapes))


def _in_language(curve: Curve) -> Curve:
    """Return a curve with its words in the language in use."""
    return replace(
        curve,
        title=shown(curve.title),
        why=shown(curve.why),
        end_words=shown(curve.end_words),
        now_words=shown(curve.now_words),
        held=tuple(replace(one, words=shown(one.words)) for one in curve.held),
        windows=tuple(replace(one, words=shown(one.words)) for one in curve.windows),
        ticks=tuple(replace(one, words=shown(one.words)) for one in curve.ticks),
    )


def _head(curve: Curve, width: int, size: int) -> tuple[list[Words], float]:
    """Return the title and the sentence why, and how far down they reach."""
    edge, room = size * 0.7, int(width - 1.4 * size)
    title, large = fit(curve.title, room, largest=round(size * _TITLE), least=size)
    y = edge + ABOVE * large
    words = [Words(edge, y, title, large)]
    for line in _wrapped(curve.why, room, size):
        y += LINE * size * 1.1
        words.append(Words(edge, y, line, size, colour=GREY))
    return words, y + 0.3 * size


def _wrapped(text: str, room: int, size: int) -> Iterator[str]:
    """Yield a sentence on at most two lines; what is too long for them ends in an ellipsis."""
    words, kept = text.split(), 0
    while kept < len(words) and width_of(" ".join(words[: kept + 1]), size) <= room:
        kept += 1
    for line in (words[:kept], words[kept:]):
        if line:
            yield fit(" ".join(line), room, largest=size, least=size)[0]


def _left_gutter(curve: Curve, size: int) -> float:
    ticks = curve.temperature.ticks if curve.temperature else ()
    return max(width_of(text, size) for text in ("100 %", *(tick.words for tick in ticks))) + 6


def _right_gutter(curve: Curve, size: int) -> float:
    return (
        0
        if curve.temperature is None
        else width_of(shown(say("{humidity:.0f} % humidity", humidity=100)), size) + 9
    )


# -- what stands above the panel -----------------------------------------------------------------


def _lane(size: int) -> float:
    return LINE * size + 1


def _flags(curve: Curve, frame: Frame) -> list[Flag]:
    room, size = int(frame.right - frame.left), frame.size
    text, small = fit(curve.end_words, room, largest=size, least=max(_LEAST_SIZE, size - 3))
    ends = curve.ends_ms if curve.expected_ms is None else curve.expected_ms
    found = [Flag(frame.x(ends), text, small, INK)]
    now = curve.now_words
    if curve.now_ms > curve.ends_ms:
        now = f"{now} →"
    elif curve.now_ms < curve.begins_ms:
        now = f"← {now}"
    found.append(Flag(frame.x(curve.now_ms), now, size, INK))
    if curve.estimate_ms < curve.ends_ms:
        found.append(Flag(frame.x(curve.estimate_ms), shown(_ESTIMATE), size, GREY))
    return found


def _flag_shapes(places: tuple[Place, ...], frame: Frame) -> Iterator[Shape]:
    pitch = _lane(frame.size)
    for place in places:
        flag = place.flag
        foot = frame.top - 0.6 * frame.size - place.lane * pitch
        start = foot if place.over else foot - 0.8 * pitch
        yield Line(((flag.x, start), (flag.x, frame.top)), 1.0, flag.colour)
        yield Words(place.left, foot - pitch + ABOVE * flag.size, flag.text, flag.size,
                    colour=flag.colour)  # fmt: skip


# -- what stands below it ------------------------------------------------------------------------


def _row(size: int) -> float:
    return LINE * size + 9


def _windows(curve: Curve, frame: Frame) -> Iterator[Shape]:
    """Yield a bracket with its words for each recoat window, each in a row of its own."""
    for number, window in enumerate(curve.windows):
        top = frame.bottom + 4 + number * _row(frame.size)
        first = frame.x(window.opens_ms)
        last = frame.right if window.closes_ms is None else frame.x(window.closes_ms)
        closing = () if window.closes_ms is None else ((last, top),)
        yield Line(((first, top), (first, top + 6), (last, top + 6), *closing), 2.0, INK)
        room = int(frame.right - frame.left)
        text, size = fit(window.words, room, largest=frame.size, least=_LEAST_SIZE)
        half = width_of(text, size) / 2
        middle = max(frame.left + half, min((first + last) / 2, frame.right - half))
        yield Words(middle, top + 7 + ABOVE * size, text, size, "middle")


def _time_words(curve: Curve, frame: Frame, bottom: float, edge: float) -> Iterator[Shape]:
    """Yield the words of the time axis, leaving out what would touch its neighbour."""
    reached, size = 0.0, frame.size
    y = bottom + 1.5 * size
    for tick in curve.ticks:
        x, half = frame.x(tick.value), width_of(tick.words, size) / 2
        middle = max(half + 0.7 * size, min(x, edge - half))
        if middle - half < reached:
            continue
        reached = middle + half + 0.7 * size
        yield Line(((x, bottom), (x, bottom + 0.35 * size)), 1.0, GREY)
        yield Words(middle, y, tick.words, size, "middle", GREY)
