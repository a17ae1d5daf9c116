"""Listen to a scanner that types like a keyboard, whatever is on the screen."""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import Any

from kivy.core.window import Window, WindowBase

from kiosk.scanner import Reader

_ENTER = (13, 271)  # Enter, keypad Enter
_TAB = (9,)
ENDS = {"enter": _ENTER, "tab": _TAB, "any": (*_ENTER, *_TAB)}


class Wedge:
    """Hands every code that ends with Enter or Tab to `on_code`; one per process."""

    def __init__(
        self,
        on_code: Callable[[str], None],
        *,
        suffix: str = "any",
        seconds: Callable[[], float] = time.monotonic,
    ) -> None:
        self._on_code, self._seconds = on_code, seconds
        self._ends = ENDS.get(suffix, ENDS["any"])
        self._reader = Reader()

    def start(self) -> None:
        """Begin to listen."""
        Window.bind(on_textinput=self._text, on_key_down=self._key)
        # A field that loses focus makes Kivy 2.3.1 stop SDL's text input for good, and with it
        # every scan (kivy #5296, #8136). Here the keyboard is let go without stopping it.
        Window.release_keyboard = self._release

    def stop(self) -> None:
        """Listen no more, and give the window its own way back."""
        Window.unbind(on_textinput=self._text, on_key_down=self._key)
        if "release_keyboard" in vars(Window):
            del Window.release_keyboard

    @staticmethod
    def _release(*args: Any) -> bool:
        WindowBase.release_keyboard(Window, *args)
        Window._sdl_keyboard = None
        return True

    def _text(self, _window: object, text: str) -> None:
        self._reader.feed(text, self._seconds())

    def _key(self, _window: object, key: int, *_: object) -> bool:
        if key not in self._ends:
            return False
        code = self._reader.end(self._seconds())
        if code is None:
            return False
        self._on_code(code)
        return True  # the key goes no further: it must press nothing
