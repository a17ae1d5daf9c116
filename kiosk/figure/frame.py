"""Place moments and shares in a panel, and draw what both panels have."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

from kiosk.figure.shapes import GREY, INK, RULE, Box, Dot, Line, Shape, Words
from kiosk.rules.curve import Curve

_DASH: Final = (7.0, 5.0)  # of what is an estimate


@dataclass(frozen=True, slots=True)
class Frame:
    """The edges of a panel, the span of time across it, and the size of its letters."""

    begins_ms: float
    ends_ms: float
    left: float
    right: float
    top: float
    bottom: float
    size: int

    def at(self, top: float, bottom: float) -> Frame:
        """Return the same panel between other heights."""
        return replace(self, top=top, bottom=bottom)

    def x(self, ms: float) -> float:
        """Return where a moment is; one outside the span is at the edge."""
        share = (ms - self.begins_ms) / (self.ends_ms - self.begins_ms)
        return self.left + min(1.0, max(0.0, share)) * (self.right - self.left)

    def y(self, share: float) -> float:
        """Return where a share of the panel's height is, 0 at the bottom."""
        return self.bottom - share * (self.bottom - self.top)


def beside(frame: Frame, y: float, text: str) -> Words:
    """Return the words of a tick left of a panel."""
    return Words(frame.left - 6, y + 0.33 * frame.size, text, frame.size, "end", GREY)


def grid(curve: Curve, frame: Frame) -> Iterator[Shape]:
    """Yield the edge of a panel and an upright line at each tick of the time."""
    yield Box(frame.left, frame.top, frame.right, frame.bottom, edge=RULE)
    for tick in curve.ticks:
        x = frame.x(tick.value)
        yield Line(((x, frame.top), (x, frame.bottom)), 1.0, RULE)


def marks(curve: Curve, frame: Frame) -> Iterator[Shape]:
    """Yield the upright lines of now and of the last reading."""
    upright = ((curve.estimate_ms, 1.0, GREY, _DASH), (curve.now_ms, 2.0, INK, ()))
    for ms, width, colour, dash in upright:
        if curve.begins_ms <= ms <= curve.ends_ms:
            x = frame.x(ms)
            yield Line(((x, frame.top), (x, frame.bottom)), width, colour, dash)


def estimated(dots: Sequence[Dot], turn: float, width: float, colour: str) -> Iterator[Shape]:
    """Yield a line that is dashed from where it is an estimate."""
    known = [dot for dot in dots if dot[0] <= turn]
    supposed = [dot for dot in dots if dot[0] >= turn]
    if len(known) > 1:
        yield Line(tuple(known), width, colour)
    if len(supposed) > 1:
        yield Line(tuple(supposed), width, colour, _DASH)
