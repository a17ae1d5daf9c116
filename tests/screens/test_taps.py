"""One tap is one tap: one source of touches, and the second touch of a stroke does nothing."""

import subprocess
import sys
from dataclasses import replace

import pytest
from fake_shop import recorded, too_early

from kiosk.rules.scanning import Offer, Outcome

SOURCES = """
from kiosk.app import boot
boot((640, 400), fullscreen=False)
from kivy.base import EventLoop, runTouchApp, stopTouchApp
from kivy.clock import Clock
from kivy.config import Config
from kivy.core.window import Window
from kivy.uix.widget import Widget
def tell(_dt):
    for name, value in Config.items("input"):
        print(name, value)
    for one in EventLoop.input_providers:
        print(type(one).__name__, getattr(one, "disable_multitouch", ""))
    print("screensaver", Window.allow_screensaver)
    stopTouchApp()
Clock.schedule_once(tell)
runTouchApp(Widget())
"""


def test_the_mouse_without_multitouch_is_the_only_source_of_touches():
    ran = subprocess.run(
        [sys.executable, "-c", SOURCES], capture_output=True, text=True, timeout=60, check=False
    )
    assert [line.strip() for line in ran.stdout.splitlines()] == [
        "mouse mouse,disable_multitouch",
        # the window's own, which Kivy gives fingers of phones only: on a desktop it stays silent
        "SDL2MotionEventProvider",
        "MouseMotionEventProvider True",
        "screensaver False",
    ], ran.stderr


def twice(kiosk, widget, *, apart=0.12):
    """Two touches of one stroke: the second before, or just after, the first is answered."""
    kiosk.seconds += 1.0
    kiosk.touch(widget)
    kiosk.seconds += apart
    kiosk.touch(widget)


def test_strike_last_tapped_twice_strikes_one_entry(drive, shop):
    kiosk = drive(shop)
    kiosk.scan("K7F3Q97")
    twice(kiosk, kiosk.desk.bench.strike)
    assert [call[0] for call in shop.calls].count("strike_last") == 1


def test_strike_last_tapped_again_after_a_while_strikes_another(drive, shop):
    kiosk = drive(shop)
    twice(kiosk, kiosk.desk.bench.strike, apart=0.5)
    assert [call[0] for call in shop.calls].count("strike_last") == 2


def test_a_problem_tapped_twice_is_recorded_once(drive, shop):
    kiosk = drive(shop)
    kiosk.scan("K7F3Q97")
    kiosk.tap(kiosk.button("Problem"))
    kiosk.tap(kiosk.button("Part spoiled"))
    twice(kiosk, kiosk.button("Record it"))
    assert [call[0] for call in shop.calls] == ["scan", "problem"]


def test_a_second_touch_does_not_press_what_has_just_appeared_below_it(drive, shop):
    kiosk = drive(shop)
    kiosk.scan("K7F3Q97")
    twice(kiosk, kiosk.button("Problem"))
    assert len(shop.calls) == 1
    assert kiosk.shows("Coat failed")


def test_going_ahead_tapped_twice_is_recorded_once(drive, shop):
    kiosk = drive(shop)
    shop.plan["K7F3Q97"] = too_early("K7F3Q97")
    kiosk.scan("K7F3Q97")
    twice(kiosk, kiosk.button("Touch test is dry"))
    assert shop.recorded == 1


@pytest.mark.parametrize(
    ("outcome", "offer", "call"),
    [(Outcome.ON_HOLD, Offer("lift", "G05", "Lift it"), "lift"),
     (Outcome.ALREADY, Offer("also", "mask", "Masked too"), "scan")],
)  # fmt: skip
def test_an_offer_tapped_twice_is_taken_once(drive, shop, outcome, offer, call):
    kiosk = drive(shop)
    shop.plan["K7F3Q97"] = replace(recorded("K7F3Q97"), outcome=outcome, offers=(offer,))
    kiosk.scan("K7F3Q97")
    before = len(shop.calls)
    twice(kiosk, kiosk.button(offer.words))
    assert [one[0] for one in shop.calls[before:]] == [call]


def test_a_touch_while_the_shop_has_not_answered_the_first_does_nothing(drive, shop):
    kiosk = drive(shop)
    kiosk.desk.asking = 1
    twice(kiosk, kiosk.desk.bench.strike, apart=0.05)
    assert [call[0] for call in shop.calls].count("strike_last") == 1
    kiosk.desk.asking = 0


def test_the_same_letter_may_be_tapped_twice_fast(drive, shop):
    kiosk = drive(shop)
    kiosk.tap(kiosk.button("Number pad"))
    twice(kiosk, kiosk.desk.pad.keys["7"])
    assert kiosk.desk.pad.typed == "77"


def test_eight_taps_at_four_a_second_add_eight_though_each_is_kept(drive, shop):
    kiosk = drive(shop)
    places = kiosk.desk.shopdesk.upkeep.places
    places.open()
    places.open_place(0)
    kiosk.settle()
    before = shop.settings.places[0].slots
    for _tap in range(8):
        kiosk.seconds += 0.25
        kiosk.touch(kiosk.desk.show.more[0])
    assert shop.kept["places"][0].slots == before + 8
    assert kiosk.shows(str(before + 8))


def test_a_second_touch_counts_on_less_and_more_and_on_no_button_beside_them(drive, shop):
    kiosk = drive(shop)
    places = kiosk.desk.shopdesk.upkeep.places
    places.open()
    places.open_place(0)
    kiosk.settle()
    kiosk.desk.asking = 1
    for key, is_passed_over in (
        (kiosk.desk.show.less[0], False),
        (kiosk.button("Take away"), True),
    ):
        kiosk.seconds += 1.0
        finger = Finger(key.center)
        assert not kiosk.app.taps.is_second(finger, kiosk.seconds, kiosk.desk)
        second = kiosk.app.taps.is_second(finger, kiosk.seconds + 0.1, kiosk.desk)
        assert second == is_passed_over
    kiosk.desk.asking = 0


def test_a_touch_that_brought_less_and_more_does_not_change_a_figure(drive, shop):
    kiosk = drive(shop)
    places = kiosk.desk.shopdesk.upkeep.places
    places.open()
    places.open_place(0)
    kiosk.settle()
    steps = kiosk.desk.show
    kiosk.desk.open_bench()
    kiosk.settle()
    kiosk.seconds += 1.0
    finger = Finger(steps.more[0].center)
    assert not kiosk.app.taps.is_second(finger, kiosk.seconds, kiosk.desk)
    kiosk.desk.put(steps)
    kiosk.settle()
    assert kiosk.app.taps.is_second(finger, kiosk.seconds + 0.1, kiosk.desk)


class Finger:
    def __init__(self, spot):
        self.x, self.y = spot


def test_two_buttons_tapped_one_after_the_other_both_act(drive, shop):
    kiosk = drive(shop)
    kiosk.tap(kiosk.button("Problem"))
    kiosk.seconds += 0.1
    kiosk.touch(kiosk.button("Back"))
    assert kiosk.desk.show is kiosk.desk.bench
