"""How long steps take, at the kiosk: learned, set by hand, and back to what was learned."""

import pytest

from kiosk.screens.figurepad import FigurePad


@pytest.fixture
def times(drive, shop):
    kiosk = drive(shop)
    kiosk.tap(kiosk.desk.bench.day)
    kiosk.tap(kiosk.button("Print, times"))
    kiosk.tap(kiosk.button("How long steps take"))
    return kiosk


def press(kiosk, figure):
    for letter in figure:
        kiosk.desk.show.keys[letter].dispatch("on_release")
    kiosk.desk.show.use.dispatch("on_release")
    kiosk.settle()


def test_each_step_says_what_counts_and_where_it_comes_from(times):
    for words in (
        "shelf: glue up",
        "35 min",
        "learned 31 min (12 scans), route 25 min",
        "route 20 min, not learned yet",
    ):
        assert times.shows(words), words


def test_a_time_is_typed_and_kept(times, shop):
    times.tap(times.button("shelf: sand to 220 grit"))
    assert isinstance(times.desk.show, FigurePad)
    press(times, "27")
    assert shop.asked[-1] == ("set_touch_time", "shelf", "sand", 27.0)
    assert times.shows("27 min")


def test_what_the_shop_said_is_taken_back(times, shop):
    times.tap(times.button("shelf: glue up"))
    assert times.shows("four of five within 42 min")
    times.tap(times.button("As learned"))
    assert shop.asked[-1] == ("set_touch_time", "shelf", "glue-up", None)
    assert times.shows("31 min")


def test_a_step_nobody_learned_goes_back_to_the_route(times, shop):
    times.tap(times.button("panel: hang"))
    times.tap(times.button("As in the route"))
    assert shop.asked[-1] == ("set_touch_time", "panel", "hang", None)


@pytest.mark.parametrize("figure", ["0", ""])
def test_what_is_no_time_is_asked_again(times, shop, figure):
    times.tap(times.button("shelf: cut"))
    press(times, figure)
    assert times.shows("That is no time.")
    assert not [one for one in shop.asked if one[0] == "set_touch_time"]


def test_a_refused_time_says_why_and_keeps_what_was_typed(times, shop):
    shop.time_refused = "9999 min is more than a day."
    times.tap(times.button("shelf: cut"))
    press(times, "9999")
    assert times.shows("9999 min is more than a day. Type less.")
    assert times.desk.show.typed == "9999"
