"""A scanner read directly: key codes to codes, and words where the device cannot be read."""

import os
import queue
import sys
from types import SimpleNamespace

import pytest

from kiosk.grab import KEYS, Grab, NoDevice, device_strokes
from kiosk.scanner import QUIET_S

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
    """What evdev gives of a device; a pipe tells that there is something to read."""

    def __init__(self, path):
        if path in TROUBLE:
            raise TROUBLE[path]
        self.calls = []
        self.fd, self._other = os.pipe()
        os.write(self._other, b"1")
        MADE.append(self)

    def grab(self):
        self.calls.append("grab")

    def read(self):
        if "read" in self.calls:
            raise OSError(19, "No such device")
        self.calls.append("read")
        os.read(self.fd, 1)
        return press("AB")

    def unplug(self):
        os.write(self._other, b"1")

    def close(self):
        self.calls.append("close")
        os.close(self.fd)
        os.close(self._other)


MADE: list[Device] = []
TROUBLE = {
    "locked": PermissionError(13, "denied"),
    "gone": FileNotFoundError(2, "no such file"),
    "busy": OSError(16, "busy"),
}


@pytest.fixture
def library(monkeypatch):
    monkeypatch.setitem(sys.modules, "evdev", SimpleNamespace(InputDevice=Device))
    MADE.clear()


def test_a_device_is_ours_alone_until_it_is_unplugged(library):
    strokes = device_strokes("there")

    assert len([next(strokes) for _ in range(6)]) == 6
    assert next(strokes) is None  # nothing came for a tick
    MADE[0].unplug()
    with pytest.raises(NoDevice, match="plugged in"):
        next(strokes)
    assert MADE[0].calls == ["grab", "read", "close"]


def test_a_device_is_let_go_when_reading_ends(library):
    strokes = device_strokes("there")
    next(strokes)

    strokes.close()

    assert MADE[0].calls[-1] == "close"


@pytest.mark.parametrize(
    ("path", "says"),
    [("locked", "group input"), ("gone", "plugged in"), ("busy", "Another program")],
)
def test_what_keeps_a_device_from_being_read_is_said_in_words(library, path, says):
    with pytest.raises(NoDevice, match=says):
        list(device_strokes(path))


def test_without_the_library_it_says_what_to_install(monkeypatch):
    monkeypatch.setitem(sys.modules, "evdev", None)
    with pytest.raises(NoDevice, match=r"cleatclock\[scanner\]"):
        list(device_strokes("any"))


class Line:
    """A scanner with a clock of its own: strokes, and rests of so many seconds."""

    def __init__(self, *acts):
        self.acts, self.now = acts, 100.0

    def strokes(self):
        for act in self.acts:
            if isinstance(act, str):
                yield from list(press(act))[:-1]
            else:
                self.now += act
                yield None
        raise NoDevice("unplugged")

    def read(self, suffix="any"):
        """Return the codes that were taken until the scanner was unplugged."""
        taken, told = [], queue.Queue()
        grab = Grab(
            "x", take=taken.append, tell=told.put, strokes=self.strokes, again_after=60.0,
            suffix=suffix, seconds=lambda: self.now,
        )  # fmt: skip
        grab.start()
        assert told.get(timeout=10) == "unplugged"
        grab.stop()
        return taken


def test_a_scanner_without_a_suffix_is_read_when_nothing_more_comes():
    assert Line("K7F3Q97", QUIET_S + 0.01).read() == ["K7F3Q97"]
    assert Line("K7F3Q97", QUIET_S - 0.01).read() == []


def test_codes_that_came_in_one_go_are_told_apart():
    assert Line("K7F3Q97A2B3C4M", 0.4).read() == ["K7F3Q97", "A2B3C4M"]


def test_a_scanners_mark_and_hyphen_come_through():
    assert Line("]Q1K7F3Q97", 0.4, "K7F-3Q97", 0.4).read() == ["]Q1K7F3Q97", "K7F-3Q97"]


@pytest.mark.parametrize("suffix", ["enter", "tab"])
def test_a_scanner_that_sends_a_suffix_is_waited_for(suffix):
    assert Line("K7F3Q97", 0.4).read(suffix) == []


def test_the_keypads_digits_count_like_the_others():
    keypad = {
        82: "0",
        79: "1",
        80: "2",
        81: "3",
        75: "4",
        76: "5",
        77: "6",
        71: "7",
        72: "8",
        73: "9",
    }
    assert {code: KEYS[code] for code in keypad} == keypad
    assert [KEYS[code] for code in range(2, 12)] == list("1234567890")


def test_reading_begins_again_after_a_stop():
    taken = queue.Queue()
    grab = Grab(
        "x", take=taken.put, tell=lambda _words: None, strokes=lambda: press("AB"), again_after=60.0
    )
    for _ in range(2):
        grab.start()
        assert taken.get(timeout=10) == "AB"
        grab.stop()


def test_it_is_told_when_a_device_can_be_read_again():
    told, tries = queue.Queue(), []

    def strokes():
        tries.append(1)
        if len(tries) == 1:
            raise NoDevice("unplugged")
        yield None
        yield None
        raise NoDevice("unplugged")

    grab = Grab("x", take=lambda _code: None, tell=told.put, strokes=strokes, again_after=0.01)
    grab.start()
    said = [told.get(timeout=10) for _ in range(3)]
    grab.stop()
    assert said == ["unplugged", "", "unplugged"]
