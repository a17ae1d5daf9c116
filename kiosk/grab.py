"""Read a scanner directly on Linux, past layout, focus and Caps Lock; needs the `scanner` extra."""

from __future__ import annotations

import errno
import select
import threading
import time
from collections.abc import Callable, Iterable
from typing import Any, Final

from kiosk.rules.words import _, say
from kiosk.scanner import Reader

# Key codes of linux/input-event-codes.h for a US keyboard, with - and ], and the keypad's digits.
_ROWS: Final = {
    2: "1234567890-", 16: "qwertyuiop", 27: "]", 30: "asdfghjkl", 44: "zxcvbnm",
    71: "789", 75: "456", 79: "1230",
}  # fmt: skip
KEYS: Final = {first + n: key.upper() for first, row in _ROWS.items() for n, key in enumerate(row)}
ENDS: Final = frozenset((28, 96, 15))  # Enter, keypad Enter, Tab
_KEY, _DOWN = 1, 1  # EV_KEY, pressed
AGAIN_AFTER_S: Final = 5.0  # an unplugged scanner is looked for this often (choice)
TICK_S: Final = 0.1  # how often a code without a suffix, or the end, is looked for (choice)

# Any: events with type, code and value, as evdev has them; None where nothing came for a while.
Strokes = Callable[[], Iterable[Any]]


class NoDevice(Exception):
    """The device cannot be read; the text says why and the way out."""


def device_strokes(path: str) -> Iterable[Any]:
    """Yield the events of a device that is ours alone while it is read, and None when it rests.

    Raises:
        NoDevice: it is not there, not allowed, taken by another, or the library is missing.
    """
    try:
        import evdev  # type: ignore[import-not-found,unused-ignore]  # an extra, Linux only
    except ImportError as error:
        words = _("Reading a scanner directly needs: pip install 'cleatclock[scanner]'")
        raise NoDevice(words) from error
    device = None
    try:
        device = evdev.InputDevice(path)
        device.grab()
        while True:
            if select.select([device.fd], [], [], TICK_S)[0]:
                yield from device.read()
            else:
                yield None
    except OSError as error:
        raise NoDevice(_words(path, error)) from error
    finally:
        if device is not None:
            device.close()  # which lets it go too


def _words(path: str, error: OSError) -> str:
    if error.errno in (errno.EACCES, errno.EPERM):
        return say("{path} may not be read: put the kiosk's user into the group input.", path=path)
    if error.errno == errno.EBUSY:
        return say(
            "Another program reads {path} already: end it, or take its path out of the settings.",
            path=path,
        )
    return say(
        "{path} does not answer: is the scanner plugged in? ({error})", path=path, error=error
    )


class Grab:
    """The codes of one scanner, on a thread of its own.

    take gets each code when it ends with Enter or Tab, or without a suffix when nothing more comes;
    tell gets a sentence when the device cannot be read, once until that changes, and nothing ("")
    once it can be read again. Both are called on that thread. A scanner that was unplugged is
    looked for again.
    """

    def __init__(
        self,
        path: str,
        *,
        take: Callable[[str], None],
        tell: Callable[[str], None],
        strokes: Strokes | None = None,
        again_after: float = AGAIN_AFTER_S,
        suffix: str = "any",
        seconds: Callable[[], float] = time.monotonic,
    ) -> None:
        """Take the device's path; strokes gives its events in a test."""
        self._take, self._tell, self._again_after = take, tell, again_after
        self._strokes = strokes or (lambda: device_strokes(path))
        self._suffix, self._seconds = suffix, seconds
        self._told = ""
        self._ending = threading.Event()
        self._thread: threading.Thread | None = None

    def start(self) -> None:
        """Begin to read; may be called twice, and again after stop."""
        if self._thread is None:
            self._ending = threading.Event()
            self._thread = threading.Thread(
                target=self._run, args=(self._ending,), name="scanner", daemon=True
            )
            self._thread.start()

    def stop(self) -> None:
        """End reading; the device is let go within a tick."""
        self._ending.set()
        self._thread = None

    def _run(self, ending: threading.Event) -> None:
        while not ending.is_set():
            try:
                self._read(self._strokes(), ending)
            except NoDevice as error:
                if str(error) != self._told:
                    self._told = str(error)
                    self._tell(self._told)
            ending.wait(self._again_after)

    def _read(self, strokes: Iterable[Any], ending: threading.Event) -> None:
        reader = Reader(suffix=self._suffix)
        for stroke in strokes:
            if ending.is_set():
                return
            if self._told:
                self._told = ""
                self._tell("")
            if stroke is None:
                self._poll(reader)
            elif stroke.type == _KEY and stroke.value == _DOWN:
                self._press(reader, stroke.code)

    def _press(self, reader: Reader, key: int) -> None:
        if key not in ENDS:
            reader.feed(KEYS.get(key, ""), self._seconds())
        elif code := reader.end(self._seconds()):
            self._take(code)

    def _poll(self, reader: Reader) -> None:
        while self._suffix not in ("enter", "tab") and (code := reader.poll(self._seconds())):
            self._take(code)
