"""Listen to a scanner that types like a keyboard, whatever is on the screen."""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import Any

from kivy.clock import Clock
from kivy.core.window import Window, WindowBase

from kiosk.scanner import STALE_AFTER_S, Reader

_ENTER = (13, 271)  # Enter, keypad Enter
_TAB = (9,)
# people end what they type with Enter at a scanner without a suffix too
ENDS = {"enter": _ENTER, "tab": _TAB, "none": _ENTER, "any": (*_ENTER, *_TAB)}
# Fewer frames than these between two keys: the screen stood still, not the scanner. Kivy hands on
# keys at frames, so a frame that took long looks like a pause in the middle of a code. Choice.
FEW_FRAMES = 4
POLL_S = 1 / 20  # how often a code without a suffix is looked for (choice)


class Wedge:
    """Hands every code to `on_code`: it ends with Enter or Tab, or by nothing more; one a process.

    suffix is what the scanner sends after a code: enter, tab, none, or any of these.
    """

    def __init__(
        self,
        on_code: Callable[[str], None],
        *,
        suffix: str = "any",
        layout: str = "",
        seconds: Callable[[], float] = time.monotonic,
        ended: Callable[[], object] = lambda: None,
        typed: Callable[[str], bool] = lambda _text: False,
    ) -> None:
        """Take `ended`, told when Enter or Tab came and no code with it.

        typed says of a text without an end whether somebody is typing it at a pad.
        """
        self._typed = typed
        self._on_code, self._seconds, self._ended = on_code, seconds, ended
        self._ends = ENDS.get(suffix, ENDS["any"])
        self._may_end_bare = suffix not in ("enter", "tab")
        self._reader = Reader(suffix=suffix, layout=layout)
        self._last = 0.0
        self._lag, self._frame = 0.0, 0
        self._polling: Any = None  # Any: Kivy's clock event

    def start(self) -> None:
        """Begin to listen."""
        Window.bind(on_textinput=self._text, on_key_down=self._key)
        # A field that loses focus makes Kivy 2.3.1 stop SDL's text input for good, and with it
        # every scan (kivy #5296, #8136). Here the keyboard is let go without stopping it.
        Window.release_keyboard = self._release

    def stop(self) -> None:
        """Listen no more, and give the window its own way back."""
        Window.unbind(on_textinput=self._text, on_key_down=self._key)
        self._end_polling()
        if "release_keyboard" in vars(Window):
            del Window.release_keyboard

    @staticmethod
    def _release(*args: Any) -> bool:
        WindowBase.release_keyboard(Window, *args)
        Window._sdl_keyboard = None
        return True

    def is_waiting(self) -> bool:
        """Tell whether an Enter would end a text that is coming in, and mean nothing itself."""
        return self._reader.is_waiting and self._key_time() - self._last <= STALE_AFTER_S

    def _text(self, _window: object, text: str) -> None:
        self._last = self._key_time()
        self._reader.feed(text, self._last)
        if self._may_end_bare and self._polling is None:
            self._polling = Clock.schedule_interval(self.poll, POLL_S)

    def _key_time(self) -> float:
        """Return when a key came, without the time the screen stood still meanwhile."""
        now, frame = self._seconds() - self._lag, Clock.frames
        if frame - self._frame < FEW_FRAMES and now - self._last > STALE_AFTER_S:
            self._lag += now - self._last
            now = self._last
        self._frame = frame
        return now

    def _key(self, _window: object, key: int, *_: object) -> bool:
        if key not in self._ends:
            return False
        code = self._reader.end(self._key_time())
        if code is None:
            self._ended()
            return False
        self._on_code(code)
        return True  # the key goes no further: it must press nothing

    def forget(self) -> None:
        """Drop what was typed so far: a person took a letter back, which no scanner does."""
        self._reader.end(self._key_time())

    def poll(self, _dt: float = 0.0) -> None:
        """Hand over a whole code after which nothing came; rest where nothing waits."""
        now = self._seconds() - self._lag
        code = self._reader.poll(now)
        if code is None:
            if not self._reader.is_waiting or now - self._last > STALE_AFTER_S:
                self._end_polling()
            return
        if not self._reader.is_waiting:  # else codes glued together: the next one comes next time
            self._end_polling()
        if not self._typed(code):
            self._on_code(code)

    def _end_polling(self) -> None:
        if self._polling is not None:
            self._polling.cancel()
            self._polling = None
