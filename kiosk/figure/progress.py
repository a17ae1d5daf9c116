"""Draw how far a clock is: its line, its band, and what holds it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from kiosk.figure.flags import Free
from kiosk.figure.frame import Frame, beside, estimated, grid, marks
from kiosk.figure.shapes import (
    GREY,
    INK,
    PAPER,
    RULE,
    Area,
    Box,
    Dot,
    Edges,
    Line,
    Shape,
    Words,
    disc,
    hatch,
)
from kiosk.rules.curve import Curve, Held
from kiosk.rules.rates import Gate
from labels.artwork.letters import BELOW, LINE, width_of

_LEANS: Final = {Gate.COLD: 1, Gate.DAMP: -1, Gate.DEW: 0}
_GAP: Final = 7.0  # between the lines of a hatch
_DOTTED: Final = (2.0, 4.0)


def progress_lines(curve: Curve, frame: Frame) -> Iterator[Shape]:
    """Yield the panel of the progress, its lines and words from the back to the front."""
    run = [point for point in curve.points if point.ms >= curve.started_ms]
    upper = [(frame.x(point.ms), frame.y(point.fast)) for point in run]
    lower = [(frame.x(point.ms), frame.y(point.slow)) for point in reversed(run)]
    yield Area(tuple(upper + lower))
    yield from grid(curve, frame)
    for one in curve.held:
        box = Box(frame.x(one.begins_ms), frame.top, frame.x(one.ends_ms), frame.bottom, edge=GREY)
        yield from hatch(box, lean=_LEANS[one.gate], gap=_GAP)
        if box.right - box.left > _GAP:
            yield box
    for share in (0.0, 0.5, 1.0):
        yield Line(((frame.left, frame.y(share)), (frame.right, frame.y(share))), 1.0, RULE)
        yield beside(frame, frame.y(share), f"{share * 100:.0f} %")
    until = curve.ends_ms if curve.expected_ms is None else curve.expected_ms
    dots = [(frame.x(point.ms), frame.y(point.expected)) for point in run if point.ms <= until]
    yield from marks(curve, frame)
    yield from estimated(dots, frame.x(curve.estimate_ms), 3.0, INK)
    if curve.expected_ms is not None:
        x = frame.x(curve.expected_ms)
        yield Line(((x, frame.top), (x, frame.bottom)), 1.0, INK, _DOTTED)
        yield disc(x, frame.top, 5.0)
    yield from _held_words(curve, frame, dots)


# -- what holds it -------------------------------------------------------------------------------


def _held_words(curve: Curve, frame: Frame, dots: Sequence[Dot]) -> Iterator[Shape]:
    """Yield the words of held stretches: one of each kind, and others wide enough for theirs."""
    moments = (curve.now_ms, curve.estimate_ms, curve.expected_ms)
    upright = [frame.x(ms) for ms in moments if ms is not None]
    taken: list[Edges] = []
    for one in _in_turn(curve.held):
        width, height = width_of(one.words, frame.size) + 8.0, frame.size * LINE + 4
        begins, ends = frame.x(one.begins_ms), frame.x(one.ends_ms)
        if ends - begins < width and one not in _firsts(curve.held):
            continue
        inside = (frame.left + 1, frame.top + 7, frame.right - 1, frame.bottom - 2)
        box = Free(inside, taken, upright, dots).find(width, height, begins=begins, ends=ends)
        if box is not None:
            taken.append(box)
            yield Box(*box, fill=PAPER)
            yield Words(box[0] + 4, box[3] - 2 - BELOW * frame.size, one.words, frame.size)


def _firsts(held: Sequence[Held]) -> list[Held]:
    """Return the longest stretch of each kind."""
    longest = sorted(held, key=lambda one: one.begins_ms - one.ends_ms)
    return [one for at, one in enumerate(longest)
            if one.gate not in {before.gate for before in longest[:at]}]  # fmt: skip


def _in_turn(held: Sequence[Held]) -> list[Held]:
    firsts = _firsts(held)
    return [*firsts, *(one for one in held if one not in firsts)]
