"""Read a scanner directly on Linux, past layout, focus and Caps Lock; needs the `scanner` extra."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterable
from typing import Any, Final

# Key codes of linux/input-event-codes.h for a US keyboard.
_ROWS: Final = {2: "1234567890", 16: "qwertyuiop", 30: "asdfghjkl", 44: "zxcvbnm"}
KEYS: Final = {first + n: key.upper() for first, row in _ROWS.items() for n, key in enumerate(row)}
ENDS: Final = frozenset((28, 96, 15))  # Enter, keypad Enter, Tab
_KEY, _DOWN = 1, 1  # EV_KEY, pressed
AGAIN_AFTER_S: Final = 5.0  # an unplugged scanner is looked for this often (choice)

Strokes = Callable[[], Iterable[Any]]  # Any: events with type, code and value, as evdev has them


class NoDevice(Exception):
    """The device cannot be read; the text says why and the way out."""


def device_strokes(path: str) -> Iterable[Any]:
    """Yield the events of a device that is ours alone while it is read.

    Raises:
        NoDevice: it is not there, not allowed, or the library is missing.
    """
    try:
        import evdev  # type: ignore[import-not-found,unused-ignore]  # an extra, Linux only
    except ImportError as error:
        words = "Reading a scanner directly needs: pip install 'cleatclock[scanner]'"
        raise NoDevice(words) from error
    try:
        device = evdev.InputDevice(path)
        with device.grab_context():
            yield from device.read_loop()
    except PermissionError as error:
        words = f"{path} may not be read: put the kiosk's user into the group input."
        raise NoDevice(words) from error
    except OSError as error:
        raise NoDevice(f"{path} does not answer: is the scanner plugged in? ({error})") from error


class Grab:
    """The codes of one scanner, on a thread of its own.

    take gets each code when it ends with Enter or Tab, tell a sentence when the device cannot be
    read, once until that changes. A scanner that was unplugged is looked for again.
    """

    def __init__(
        self,
        path: str,
        *,
        take: Callable[[str], None],
        tell: Callable[[str], None],
        strokes: Strokes | None = None,
        again_after: float = AGAIN_AFTER_S,
    ) -> None:
        """Take the device's path; strokes gives its events in a test."""
        self._take, self._tell, self._again_after = take, tell, again_after
        self._strokes = strokes or (lambda: device_strokes(path))
        self._told = ""
        self._ending = threading.Event()
        self._thread: threading.Thread | None = None

    def start(self) -> None:
        """Begin to read; may be called twice."""
        if self._thread is None:
            self._thread = threading.Thread(target=self._run, name="scanner", daemon=True)
            self._thread.start()

    def stop(self) -> None:
        """End reading; a thread that waits for the device ends with the program."""
        self._ending.set()
        self._thread = None

    def _run(self) -> None:
        while not self._ending.is_set():
            try:
                self._read(self._strokes())
            except NoDevice as error:
                if str(error) != self._told:
                    self._told = str(error)
                    self._tell(self._told)
            self._ending.wait(self._again_after)

    def _read(self, strokes: Iterable[Any]) -> None:
        text = ""
        for stroke in strokes:
            if self._ending.is_set():
                return
            self._told = ""
            if stroke.type != _KEY or stroke.value != _DOWN:
                continue
            if stroke.code in ENDS:
                code, text = text, ""
                if code:
                    self._take(code)
            else:
                text += KEYS.get(stroke.code, "")
