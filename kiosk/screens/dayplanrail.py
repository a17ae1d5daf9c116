"""Draw the day along a carpenter's rule: ticks and hours above, a row of bars for each name."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from typing import Final

from kivy.clock import Clock
from kivy.graphics import Color, Line, Rectangle, Triangle
from kivy.uix.widget import Widget

from kiosk.rules.dayplan.rail import Bar, RailRow
from kiosk.rules.words import say
from kiosk.screens.dayplanview import LOOKS, RailView
from kiosk.screens.face import Trim
from kiosk.theme import GROUND, INK, QUIET, SHELF, WHITE, Sizes, rgba
from kiosk.widgets.fewer import FewerLabel
from kiosk.widgets.fitting import FitLabel
from kiosk.widgets.marks import Mark
from kiosk.widgets.panels import Panel

_NAMES: Final = 0.13  # of the width, for who or where
_TALLEST: Final = 3.2  # letters of a lane at most, so that few rows do not swell
_TICKS: Final = {1: 0.2, 2: 0.34, 3: 0.5}  # of the rule's height


def least_of(sizes: Sizes, share: float = 0.8) -> int:
    """Return the smallest letters in use that are read at arm's length.

    share of the good size of 20 arc-minutes: 16 are the least of ISO 9241-303; fewer only for what
    stands elsewhere too.
    """
    return min(size for size in sizes.ladder if size >= sizes.small * share)


class Rail(Widget):
    """The rule with its rows; nothing on it is touched, the list below is."""

    def __init__(self, trim: Trim, view: RailView) -> None:
        super().__init__()
        self._trim, self.view = trim, view
        self.bars: list[Panel] = []
        self._later = Clock.create_trigger(self._draw, -1)
        self.bind(pos=self._later, size=self._later)

    def show(self, view: RailView) -> None:
        """Show another stretch, or the same with news."""
        self.view = view
        self._draw()

    # -- where things lie ------------------------------------------------------------------------

    def _x(self, at: datetime) -> float:
        view, left = self.view, self.x + self.width * _NAMES
        share = (at - view.starts) / (view.ends - view.starts)
        return float(left + min(1.0, max(0.0, share)) * (self.x + self.width - left))

    @property
    def _rule(self) -> float:
        return float(self._trim.sizes.small * 1.9)

    def _draw(self, *_: object) -> None:
        if min(self.size) < 2:
            return
        self.clear_widgets()
        self.canvas.before.clear()
        self.canvas.after.clear()
        self.bars = []
        top = self.y + self.height
        lanes = max(1, sum(row.lanes for row in self.view.rows))
        tall = min((self.height - self._rule) / lanes, self._trim.sizes.small * _TALLEST)
        self._draw_rule(top, top - self._rule)
        y = top - self._rule
        for row in self.view.rows:
            self._draw_row(row, y, tall)
            y -= tall * row.lanes
        self._draw_now(top, y)

    def _draw_rule(self, top: float, bottom: float) -> None:
        """Draw the rule itself: a piece for each stretch that is worked, ticks from below."""
        right = self.x + self.width
        thin = max(1.0, self._trim.sizes.outline / 2)
        with self.canvas.before:
            for starts, ends in self.view.hours:
                x, width = self._x(starts), self._x(ends) - self._x(starts)
                if width > 0:
                    Color(*rgba(WHITE))
                    Rectangle(pos=(x, bottom), size=(width, top - bottom))
                    Color(*rgba(INK))
                    Line(rectangle=(x, bottom, width, top - bottom), width=thin)
            Color(*rgba(INK))
            for tick in self.view.ticks:
                x, tall = self._x(tick.at), (top - bottom) * _TICKS[tick.weight]
                Line(points=[x, bottom, x, bottom + tall], width=thin)
            Line(points=[self._x(self.view.starts), bottom, right, bottom], width=thin)
        for tick in self.view.ticks:
            if tick.words:
                self._write_hour(tick.words, self._x(tick.at), top)

    def _write_hour(self, words: str, x: float, top: float) -> None:
        """Write an hour right of its tick, above the shorter ticks; none where the rule ends."""
        sizes, wide = self._trim.sizes, self._trim.sizes.small * 2.4
        if x + wide + sizes.gap > self.x + self.width:
            return
        label = FitLabel(ladder=sizes.ladder, text=words, bold=True, most=round(sizes.small * 0.9))
        label.size = (wide, self._rule * 0.64)
        label.pos = (x + sizes.gap / 2, top - label.height)
        self.add_widget(label)

    def _draw_row(self, row: RailRow, top: float, tall: float) -> None:
        sizes, height = self._trim.sizes, tall * row.lanes
        name = FitLabel(ladder=sizes.ladder, text=row.name, bold=True, most=sizes.small)
        name.size = (self.width * _NAMES - sizes.gap, height)
        name.pos = (self.x, top - height)
        self.add_widget(name)
        thin = max(1.0, sizes.outline / 3)
        with self.canvas.before:
            Color(*rgba(SHELF))
            Line(points=[self.x, top - height, self.x + self.width, top - height], width=thin)
        for bar in self._within(row):
            self._draw_bar(bar, top - tall * (bar.lane + 1), tall)

    def _within(self, row: RailRow) -> Iterator[Bar]:
        for bar in row.bars:
            if bar.ends > self.view.starts and bar.starts < self.view.ends:
                yield bar

    def _draw_bar(self, bar: Bar, bottom: float, tall: float) -> None:
        sizes, step = self._trim.sizes, bar.step
        shape, _word = LOOKS[step.state]
        ink = WHITE if step.state == "now" else QUIET if step.state == "done" else INK
        fill = {"now": INK, "done": GROUND}.get(step.state, WHITE)
        pad = max(1.0, sizes.outline * 0.3)
        x, width = self._x(bar.starts), self._x(bar.ends) - self._x(bar.starts)
        panel = Panel(fill=fill, line=max(2, round(sizes.outline * self._weight(bar))))
        panel.edge, panel.padding = ink if ink == QUIET else INK, [sizes.gap * 0.3, 0, 0, 0]
        panel.spacing = sizes.gap * 0.3
        panel.pos, panel.size = (x, bottom + pad), (max(width - 1, 3), tall - 2 * pad)
        side = round(sizes.small * 0.62)
        if shape and panel.width > side * 1.3:
            mark = Mark(shape=shape, tint=ink)
            # on a tall bar that is short in time the mark stands above the words
            if panel.height > sizes.small * 2.4 and panel.width < sizes.small * 4:
                panel.orientation, panel.padding = "vertical", [sizes.gap * 0.3] * 4
                mark.size_hint_y, mark.height = None, side
            else:
                mark.size_hint_x, mark.width = None, side
            panel.add_widget(mark)
        least = least_of(sizes)
        words = FewerLabel(ladder=sizes.ladder, least=least, most=sizes.small, color=rgba(ink))
        words.bold = step.state != "done"
        both = say("{unit} {step}", unit=step.unit, step=step.title)
        words.offer((both, step.unit), or_nothing=True)
        panel.add_widget(words)
        self.bars.append(panel)
        self.add_widget(panel)

    def _weight(self, bar: Bar) -> float:
        """Return how thick an edge is: the steps of the list below stand out."""
        return 1.0 if bar.step in self.view.listed else 0.4

    def _draw_now(self, top: float, bottom: float) -> None:
        """Draw a pointer on the rule, and a line down behind the bars."""
        view = self.view
        if not view.starts <= view.now <= view.ends:
            return
        x, half = self._x(view.now), self._rule * 0.18
        thin = max(1.5, self._trim.sizes.outline / 2)
        foot = top - self._rule
        with self.canvas.before:
            Color(*rgba(INK))
            Line(points=[x, bottom, x, foot], width=thin)
        with self.canvas.after:
            Color(*rgba(INK))
            Triangle(points=[x - half, foot + 2 * half, x + half, foot + 2 * half, x, foot])
