"""Show a picture that was drawn elsewhere, pixel for pixel where it fits."""

from __future__ import annotations

from typing import Any

from kivy.graphics import Color, Rectangle
from kivy.graphics.texture import Texture
from kivy.uix.widget import Widget
from PIL import Image


class Picture(Widget):
    """A picture in the middle of its box, made smaller where it is too large, never stretched."""

    def __init__(self, image: Image.Image, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        plain = image.convert("RGB")
        self._texture = Texture.create(size=plain.size, colorfmt="rgb")
        self._texture.blit_buffer(plain.tobytes(), colorfmt="rgb", bufferfmt="ubyte")
        self._texture.flip_vertical()  # a picture's first row is its top, a texture's its bottom
        with self.canvas:
            Color(1, 1, 1, 1)
            self._box = Rectangle(texture=self._texture)
        self.bind(pos=self._place, size=self._place)
        self._place()

    def _place(self, *_: object) -> None:
        wide, tall = self._texture.size
        scale = min(self.width / wide, self.height / tall, 1.0)
        size = (wide * scale, tall * scale)
        left = self.x + (self.width - size[0]) / 2
        bottom = self.y + (self.height - size[1]) / 2
        self._box.pos, self._box.size = (round(left), round(bottom)), size
