"""A camera and a scanner that the kiosk reads by itself: their codes count as scans, once each."""

import threading
from dataclasses import replace
from types import SimpleNamespace

import pytest
from PIL import Image

from kiosk.camera import CameraMissing
from kiosk.grab import KEYS, NoDevice
from kiosk.screens.devices import Devices
from kiosk.screens.gear import Gear
from tests.bench.scenes import scene_of

LIMIT_S = 20  # a thread that has not answered by then never will


class Given:
    """Gives frames or strokes, then says that they were taken and stands still until let go."""

    def __init__(self, things, fault=None):
        self.things, self.fault = things, fault
        self.taken, self.free = threading.Event(), threading.Event()

    def __call__(self):
        if self.fault is not None:
            self.taken.set()
            raise self.fault
        return self._each()

    def _each(self):
        yield from self.things
        self.taken.set()
        self.free.wait(LIMIT_S)


@pytest.fixture
def given():
    made = []

    def make(things=(), fault=None):
        made.append(Given(things, fault))
        return made[-1]

    yield make
    for one in made:
        one.free.set()


@pytest.fixture
def label():
    scene, code = scene_of("50x25", 1)
    return Image.fromarray(scene.grey), code


def started(drive, shop, frames, **settings):
    shop.settings = replace(shop.settings, camera="0", **settings)
    kiosk = drive(shop, gear=Gear(frames=frames))
    assert frames.taken.wait(LIMIT_S)
    return kiosk


def test_a_code_in_sight_of_the_camera_counts_once(drive, shop, given, label):
    picture, code = label
    frames = given([picture] * 6)
    kiosk = started(drive, shop, frames)
    kiosk.settle()
    assert shop.scans == [code]
    assert kiosk.shows("Coat 2 on")
    frames.free.set()


def test_what_the_camera_sees_stands_beside_the_list(drive, shop, given, label):
    frames = given([label[0]] * 3)
    kiosk = started(drive, shop, frames)
    kiosk.app.show_live()
    kiosk.step(2)
    assert kiosk.desk.bench.live.is_live
    assert kiosk.shows("Due here: 1 of 7")
    frames.free.set()


@pytest.fixture
def told(monkeypatch):
    """Is set when a device has told what is wrong with it."""
    heard = threading.Event()
    for name in ("_tell_camera", "_tell_scanner"):
        tell = getattr(Devices, name)

        def hear(self, words, tell=tell):
            tell(self, words)
            heard.set()

        monkeypatch.setattr(Devices, name, hear)
    return heard


def test_a_missing_camera_is_said_and_scanning_goes_on(drive, shop, given, told):
    words = "Camera 0 does not open. Plug it in, or set another one."
    frames = given(fault=CameraMissing(words))
    kiosk = started(drive, shop, frames)
    assert told.wait(LIMIT_S)
    kiosk.app.show_live()
    kiosk.step(2)
    assert kiosk.shows(words)
    kiosk.scan("K7F3Q97")
    assert shop.scans == ["K7F3Q97"]


def test_without_a_camera_the_list_has_all_its_lines(drive, shop):
    kiosk = drive(shop)
    kiosk.app.show_live()
    assert kiosk.desk.bench.live is None
    assert kiosk.shows("Due here: 5 of 7")


def strokes_of(code):
    numbers = {letter: number for number, letter in KEYS.items()}
    keys = [*(numbers[letter] for letter in code), 28]
    return [SimpleNamespace(type=1, code=key, value=1) for key in keys]


def test_a_scanner_read_directly_counts_like_one_that_types(drive, shop, given):
    strokes = given(strokes_of("K7F3Q97"))
    shop.settings = replace(shop.settings, scanner_device="/dev/input/event7")
    kiosk = drive(shop, gear=Gear(strokes=strokes))
    assert strokes.taken.wait(LIMIT_S)
    kiosk.settle()
    assert shop.scans == ["K7F3Q97"]


def test_a_scanner_that_cannot_be_read_is_said(drive, shop, given, told):
    strokes = given(fault=NoDevice("/dev/input/event7 does not answer"))
    shop.settings = replace(shop.settings, scanner_device="/dev/input/event7")
    kiosk = drive(shop, gear=Gear(strokes=strokes))
    assert told.wait(LIMIT_S)
    kiosk.tick()
    assert kiosk.shows("/dev/input/event7 does not answer")


def test_pictures_are_drawn_without_reaching_any_device(drive, shop, given):
    frames = given()
    shop.settings = replace(shop.settings, camera="0", printer="Labels", mqtt_host="broker")
    kiosk = drive(shop, gear=Gear(frames=frames, is_connected=False))
    assert not kiosk.app.gear.prints.is_on
    assert kiosk.app.gear.devices._camera is None
    assert kiosk.app.gear.feed.say() == ""
    assert not frames.taken.is_set()
