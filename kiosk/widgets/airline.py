"""Draw a curve of values over time: whole as far as it was read, in dashes where it is foreseen."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from kivy.graphics import Color, Line, Rectangle
from kivy.uix.widget import Widget

from kiosk.theme import INK, QUIET, SHELF, WHITE, rgba

_DASH = 2  # of four steps two are drawn where the curve is foreseen


class AirLine(Widget):
    """One curve in its box; shares are of the width, from the left."""

    def __init__(
        self,
        values: Sequence[float],
        *,
        low: float,
        high: float,
        now: float,
        read_until: float,
        ticks: Sequence[float] = (),
        line: float = 2.0,
        **kwargs: Any,
    ) -> None:
        """Take values at even steps over the whole width, and the scale from low to high."""
        super().__init__(**kwargs)
        self._values, self._low, self._high = list(values), low, high
        self._now, self._until, self._ticks, self._line = now, read_until, ticks, line
        self.bind(pos=self._draw, size=self._draw)
        self._draw()

    def points(self) -> list[tuple[float, float]]:
        """Return the curve in pixels of the window's own box."""
        span, last = self._high - self._low or 1.0, max(1, len(self._values) - 1)
        inset = self._line * 2
        tall = max(self.height - 2 * inset, 1)
        return [
            (
                self.x + self.width * at / last,
                self.y + inset + tall * min(max((value - self._low) / span, 0.0), 1.0),
            )
            for at, value in enumerate(self._values)
        ]

    def _draw(self, *_: object) -> None:
        self.canvas.clear()
        if min(self.width, self.height) < 4:
            return
        with self.canvas:
            Color(*rgba(WHITE))
            Rectangle(pos=self.pos, size=self.size)
            Color(*rgba(SHELF))
            for tick in self._ticks:
                self._upright(tick, 1.0)
            Color(*rgba(INK))
            self._frame()
            self._curve()
            Color(*rgba(QUIET))
            self._upright(self._now, self._line)

    def _upright(self, share: float, width: float) -> None:
        across = self.x + self.width * share
        Line(points=[across, self.y, across, self.y + self.height], width=width)

    def _frame(self) -> None:
        right, top = self.x + self.width, self.y + self.height
        corners = [self.x, self.y, right, self.y, right, top, self.x, top]
        Line(points=corners, width=1, close=True)

    def _curve(self) -> None:
        points, last = self.points(), max(1, len(self._values) - 1)
        read = [one for at, one in enumerate(points) if at / last <= self._until]
        if len(read) > 1:
            Line(points=[side for one in read for side in one], width=self._line)
        ahead = points[max(len(read) - 1, 0) :]
        for at in range(0, len(ahead) - 1, 2 * _DASH):
            dash = ahead[at : at + _DASH + 1]
            Line(points=[side for one in dash for side in one], width=self._line)
