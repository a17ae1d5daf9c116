"""A scanner read directly: key codes to codes, and words where the device cannot be read."""

import queue
import sys
from types import SimpleNamespace

import pytest

from kiosk.grab import KEYS, Grab, NoDevice, device_strokes

CODES = {letter: code for code, letter in KEYS.items()}


def press(text, end=28):
    for letter in text:
        for value in (1, 0):
            yield SimpleNamespace(type=1, code=CODES[letter], value=value)
    yield SimpleNamespace(type=0, code=0, value=0)
    yield SimpleNamespace(type=1, code=end, value=1)


def test_strokes_become_a_code_at_enter_or_tab_and_an_empty_end_is_none():
    taken, told = queue.Queue(), queue.Queue()
    lines = iter([[*press("K7F3Q97"), *press("", 15), *press("AB", 15)]])

    def strokes():
        try:
            yield from next(lines)
        except StopIteration:
            raise NoDevice("unplugged") from None

    grab = Grab("x", take=taken.put, tell=told.put, strokes=strokes, again_after=0.01)
    grab.start()
    grab.start()
    assert [taken.get(timeout=10) for _ in range(2)] == ["K7F3Q97", "AB"]
    assert told.get(timeout=10) == "unplugged"
    grab.stop()
    assert taken.empty()


def test_a_device_that_is_missing_is_told_once_until_that_changes():
    told, seen = queue.Queue(), queue.Queue()

    def strokes():
        seen.put(1)
        raise NoDevice("not there")

    grab = Grab("x", take=lambda _code: None, tell=told.put, strokes=strokes, again_after=0.01)
    grab.start()
    for _ in range(4):
        seen.get(timeout=10)
    grab.stop()
    assert told.qsize() == 1


class Device:
    """What evdev gives of a device."""

    def __init__(self, path):
        if path == "locked":
            raise PermissionError(13, "denied")
        if path == "gone":
            raise FileNotFoundError(2, "no such file")

    def grab_context(self):
        from contextlib import nullcontext

        return nullcontext()

    def read_loop(self):
        yield from press("AB")


def test_events_come_from_the_library_and_its_errors_become_words(monkeypatch):
    monkeypatch.setitem(sys.modules, "evdev", SimpleNamespace(InputDevice=Device))
    assert len(list(device_strokes("there"))) == 6
    with pytest.raises(NoDevice, match="group input"):
        list(device_strokes("locked"))
    with pytest.raises(NoDevice, match="plugged in"):
        list(device_strokes("gone"))


def test_without_the_library_it_says_what_to_install(monkeypatch):
    monkeypatch.setitem(sys.modules, "evdev", None)
    with pytest.raises(NoDevice, match=r"cleatclock\[scanner\]"):
        list(device_strokes("any"))
