"""A picture that changes: what a camera sees, or in words why there is nothing to be seen."""

from __future__ import annotations

from typing import Any

from kivy.graphics import Color, Rectangle
from kivy.graphics.texture import Texture

from kiosk.rules.words import _
from kiosk.theme import GROUND, INK, Sizes
from kiosk.widgets.fitting import FitLabel
from kiosk.widgets.panels import Panel

WAITS = _("The camera starts")


class LiveView(Panel):
    """The latest picture, filling its box without being stretched, or words."""

    def __init__(self, sizes: Sizes, **kwargs: Any) -> None:
        super().__init__(
            fill=GROUND, line=sizes.outline, edge=INK, padding=[sizes.gap] * 4, **kwargs
        )
        self.label = FitLabel(
            ladder=sizes.ladder, text=WAITS, most=sizes.small, bold=True, halign="center"
        )
        self.add_widget(self.label)
        self._texture: Any = None  # Any: Kivy's texture
        with self.canvas.after:
            self._tint = Color(1, 1, 1, 0)
            self._box = Rectangle()
        self.bind(pos=self._place, size=self._place)

    @property
    def is_live(self) -> bool:
        """Tell whether a picture is shown."""
        return bool(self._tint.a)

    def say(self, words: str) -> None:
        """Show words in place of a picture."""
        self._tint.a = 0
        self.label.text = words or WAITS

    def show(self, size: tuple[int, int], rgb: bytes) -> None:
        """Show a picture: rows of red, green, blue bytes from the top."""
        if self._texture is None or self._texture.size != size:
            self._texture = Texture.create(size=size, colorfmt="rgb")
            self._texture.flip_vertical()  # a picture's first row is its top
            self._box.texture = self._texture
        self._texture.blit_buffer(rgb, colorfmt="rgb", bufferfmt="ubyte")
        self._tint.a = 1
        self.label.text = ""
        self._place()
        self.canvas.ask_update()

    def _place(self, *_: object) -> None:
        if self._texture is None:
            return
        wide, tall = self._texture.size
        inner = (self.width - 2 * self.line, self.height - 2 * self.line)
        scale = min(inner[0] / wide, inner[1] / tall)
        size = (wide * scale, tall * scale)
        left = self.x + (self.width - size[0]) / 2
        bottom = self.y + (self.height - size[1]) / 2
        self._box.pos, self._box.size = (round(left), round(bottom)), size
