"""A picture that says where it was touched."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PIL import Image

from kiosk.widgets.picture import Picture


class Sight(Picture):
    """A picture that acts where it is touched, when the finger is lifted from it.

    act gets shares of its width and height, counted from its left top.
    """

    def __init__(
        self, image: Image.Image, act: Callable[[float, float], object], **kwargs: Any
    ) -> None:
        super().__init__(image, **kwargs)
        self._act = act

    def on_touch_down(self, touch: Any) -> bool:
        """Take a touch that begins on the picture."""
        if self._share_of(touch) is None:
            return bool(super().on_touch_down(touch))
        touch.grab(self)
        return True

    def on_touch_up(self, touch: Any) -> bool:
        """Act where the finger was lifted on the picture."""
        if touch.grab_current is not self:
            return bool(super().on_touch_up(touch))
        touch.ungrab(self)
        share = self._share_of(touch)
        if share is not None:
            self._act(*share)
        return True

    def _share_of(self, touch: Any) -> tuple[float, float] | None:
        (left, bottom), (wide, tall) = self._box.pos, self._box.size
        across, up = (touch.x - left) / wide, (touch.y - bottom) / tall
        if 0 <= across <= 1 and 0 <= up <= 1:
            return across, 1 - up
        return None
