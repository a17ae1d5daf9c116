"""Draw the marks of states and outcomes as shapes, so that no font can lack one."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from kivy.graphics import Color, Ellipse, Line, Mesh, Rectangle
from kivy.properties import NumericProperty, StringProperty
from kivy.uix.widget import Widget

from kiosk.theme import INK, rgba

Points = list[tuple[float, float]]


class Mark(Widget):
    """One mark in the middle of its box; share fills the clock, 0 to 1."""

    shape = StringProperty("dot")
    share = NumericProperty(0.0)
    tint = StringProperty(INK)

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.bind(pos=self._draw, size=self._draw, shape=self._draw)
        self.bind(share=self._draw, tint=self._draw)
        self._draw()

    def _draw(self, *_: object) -> None:
        self.canvas.clear()
        side = min(self.width, self.height)
        if side < 4 or self.shape not in _SHAPES:
            return
        # not center_x or center_y: Kivy may still hold their values of before the move
        left = self.x + (self.width - side) / 2
        bottom = self.y + (self.height - side) / 2
        pen = _Pen(left, bottom, side, self.share)
        with self.canvas:
            Color(*rgba(self.tint))
            _SHAPES[self.shape](pen)


class _Pen:
    """Turns points of a unit square into pixels."""

    def __init__(self, left: float, bottom: float, side: float, share: float) -> None:
        self.left, self.bottom, self.side, self.share = left, bottom, side, share

    def at(self, x: float, y: float) -> tuple[float, float]:
        return self.left + x * self.side, self.bottom + y * self.side

    def line(self, *points: tuple[float, float], width: float = 0.06, close: bool = False) -> None:
        flat = [value for x, y in points for value in self.at(x, y)]
        Line(points=flat, width=self.side * width, close=close, cap="square", joint="miter")

    def fill(self, *points: tuple[float, float]) -> None:
        """Fill a convex outline."""
        vertices: list[float] = []
        for x, y in points:
            vertices += [*self.at(x, y), 0, 0]
        Mesh(vertices=vertices, indices=list(range(len(points))), mode="triangle_fan")

    def disc(self, x: float, y: float, radius: float) -> None:
        left, bottom = self.at(x - radius, y - radius)
        Ellipse(pos=(left, bottom), size=(2 * radius * self.side,) * 2, segments=64)

    def box(self, x: float, y: float, width: float, height: float) -> None:
        Rectangle(pos=self.at(x, y), size=(width * self.side, height * self.side))


def _clock(pen: _Pen) -> None:
    """Draw a pie filled by the share that has passed, from twelve o'clock on."""
    x, y = pen.at(0.5, 0.5)
    Line(circle=(x, y, pen.side * 0.42), width=pen.side * 0.035)
    left, bottom = pen.at(0.14, 0.14)
    turn = 360 * min(max(pen.share, 0.0), 1.0)
    if turn:
        size = (pen.side * 0.72,) * 2
        Ellipse(pos=(left, bottom), size=size, angle_start=0, angle_end=turn, segments=96)


def _drop(pen: _Pen) -> None:
    pen.disc(0.5, 0.36, 0.28)
    pen.fill((0.5, 0.96), (0.255, 0.5), (0.745, 0.5))


def _late(pen: _Pen) -> None:
    """Draw a stroke and a dot, as one marks a line that must not be overlooked."""
    pen.fill((0.36, 0.95), (0.64, 0.95), (0.57, 0.34), (0.43, 0.34))
    pen.disc(0.5, 0.16, 0.12)


def _bracket(pen: _Pen) -> None:
    pen.box(0.16, 0.1, 0.14, 0.8)
    pen.box(0.16, 0.76, 0.72, 0.14)
    pen.line((0.3, 0.3), (0.68, 0.74), width=0.045)


def _tick(pen: _Pen) -> None:
    pen.line((0.16, 0.5), (0.4, 0.24), (0.84, 0.76), width=0.07)


def _ticks(pen: _Pen) -> None:
    pen.line((0.08, 0.5), (0.26, 0.3), (0.6, 0.72), width=0.05)
    pen.line((0.46, 0.36), (0.54, 0.3), (0.92, 0.72), width=0.05)


def _arrow(pen: _Pen) -> None:
    pen.line((0.12, 0.5), (0.8, 0.5), width=0.06)
    pen.line((0.58, 0.74), (0.86, 0.5), (0.58, 0.26), width=0.06)


def _question(pen: _Pen) -> None:
    x, y = pen.at(0.5, 0.66)
    Line(circle=(x, y, pen.side * 0.2, -100, 130), width=pen.side * 0.06, cap="square")
    pen.line((0.56, 0.47), (0.5, 0.34), width=0.06)
    pen.disc(0.5, 0.14, 0.075)


def _bars(pen: _Pen) -> None:
    pen.box(0.24, 0.14, 0.18, 0.72)
    pen.box(0.58, 0.14, 0.18, 0.72)


def _dot(pen: _Pen) -> None:
    pen.disc(0.5, 0.5, 0.14)


def _scan(pen: _Pen) -> None:
    """Draw bars of unequal width: the label to be read."""
    at = 0.08
    for width in (0.08, 0.03, 0.05, 0.1, 0.03, 0.08, 0.03):
        pen.box(at, 0.16, width, 0.68)
        at += width + 0.07


def _cross(pen: _Pen) -> None:
    pen.line((0.22, 0.22), (0.78, 0.78), width=0.06)
    pen.line((0.22, 0.78), (0.78, 0.22), width=0.06)


_SHAPES: dict[str, Callable[[_Pen], None]] = {
    "clock": _clock,
    "drop": _drop,
    "late": _late,
    "bracket": _bracket,
    "tick": _tick,
    "ticks": _ticks,
    "arrow": _arrow,
    "question": _question,
    "bars": _bars,
    "dot": _dot,
    "scan": _scan,
    "cross": _cross,
}
