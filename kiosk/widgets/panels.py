"""Boxes with a fill and an outline, and the large buttons made of them."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from kivy.graphics import Color, Line, Rectangle
from kivy.properties import NumericProperty, StringProperty
from kivy.uix.behaviors.button import ButtonBehavior
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from kiosk.theme import GROUND, INK, PRESSED, WHITE, Sizes, rgba
from kiosk.widgets.fitting import FitLabel
from kiosk.widgets.marks import Mark


class Panel(BoxLayout):
    """A box with a fill, part of it in another where share is below 1, and an outline."""

    fill = StringProperty(GROUND)
    rest = StringProperty(WHITE)
    share = NumericProperty(1.0)
    edge = StringProperty(INK)
    line = NumericProperty(0)

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        with self.canvas.before:
            self._rest_colour = Color()
            self._rest_box = Rectangle()
            self._fill_colour = Color()
            self._fill_box = Rectangle()
            self._edge_colour = Color()
            self._edge_line = Line(width=1, close=True, joint="miter")
        for name in ("pos", "size", "fill", "rest", "share", "edge", "line"):
            self.fbind(name, self._draw)
        self._draw()

    def _draw(self, *_: object) -> None:
        self._rest_colour.rgba = rgba(self.rest)
        self._rest_box.pos, self._rest_box.size = self.pos, self.size
        self._fill_colour.rgba = rgba(self.fill)
        self._fill_box.pos = self.pos
        self._fill_box.size = (self.width * min(max(self.share, 0.0), 1.0), self.height)
        self._edge_colour.rgba = rgba(self.edge) if self.line else (0, 0, 0, 0)
        inset = self.line / 2
        left, bottom = self.x + inset, self.y + inset
        # not right and top: Kivy may still hold their values of before the move
        right, top = self.x + self.width - inset, self.y + self.height - inset
        self._edge_line.points = [left, bottom, right, bottom, right, top, left, top]
        self._edge_line.width = max(self.line / 2, 1)


class BigButton(ButtonBehavior, Panel):
    """A button of words and perhaps a mark, for gloves: it acts when the finger is lifted."""

    def __init__(
        self,
        text: str,
        act: Callable[[], object],
        *,
        sizes: Sizes,
        shape: str = "",
        most: int = 0,
        fill: str = WHITE,
        ink: str = INK,
        **kwargs: Any,
    ) -> None:
        kwargs.setdefault("padding", [sizes.gap * 1.2, sizes.gap * 0.6])
        super().__init__(fill=fill, line=sizes.outline, spacing=sizes.gap, **kwargs)
        self._plain, self._act = fill, act
        self._side, self._ink = min(sizes.touch * 0.5, (most or sizes.body) * 1.1), ink
        self.mark: Mark | None = None
        self.label = FitLabel(
            ladder=sizes.ladder,
            text=text,
            bold=True,
            most=most or sizes.body,
            color=rgba(ink),
            halign="center",
        )
        self.add_widget(self.label)
        self.show_mark(shape)

    def show_mark(self, shape: str) -> None:
        """Show a mark before the words, or none where shape is empty."""
        if (self.mark.shape if self.mark else "") == shape:
            return
        if self.mark is not None:
            self.remove_widget(self.mark)
            self.mark = None
        if shape:
            self.mark = Mark(shape=shape, tint=self._ink, size_hint_x=None, width=self._side)
            # children stand in reverse order: the last is drawn first from the left
            self.add_widget(self.mark, index=len(self.children))

    def on_press(self) -> None:
        """Show that the touch was felt."""
        self.fill = PRESSED

    def on_release(self) -> None:
        """Act."""
        self.fill = self._plain
        self._act()

    def on_touch_up(self, touch: Any) -> bool:
        """Show the plain fill again where the finger left the button."""
        handled = bool(super().on_touch_up(touch))
        self.fill = self._plain
        return handled


def gap(size: float, *, across: bool = True) -> Widget:
    """Return an empty stretch of a row, or of a column where across is False."""
    if across:
        return Widget(size_hint_x=None, width=size)
    return Widget(size_hint_y=None, height=size)
