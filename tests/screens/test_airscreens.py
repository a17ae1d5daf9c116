"""The shop's air at the kiosk: seen, typed, struck, supposed."""

from dataclasses import replace
from datetime import timedelta

import pytest
from fake_matters import days_of_air
from fake_shop import NOW

from kiosk.rules.air import Air, Reading
from kiosk.rules.problems import Problem


@pytest.fixture
def airy(shop):
    """A shop with three days of readings, the last typed by Ida twelve minutes ago."""
    shop.read = Air(days_of_air(NOW))
    return shop


def open_air(kiosk):
    kiosk.tap(kiosk.desk.bench.shop)
    kiosk.tap(kiosk.button("Air"))


def type_figure(kiosk, figure):
    for letter in figure:
        kiosk.tap(kiosk.desk.show.keys[letter])
    kiosk.tap(kiosk.desk.show.use)


def test_the_air_is_shown_with_what_it_means(drive, airy):
    kiosk = drive(airy)
    open_air(kiosk)
    for name in (
        "Temperature",
        "Humidity",
        "Dew point",
        "Vapour pressure deficit",
        "Wood moisture",
    ):
        assert kiosk.shows(name)
    assert kiosk.shows("1.10 kPa")
    assert kiosk.shows("Last reading: typed by Ida 12 min ago")
    assert kiosk.shows("After it: the mean of the same hour of the last days")


def test_a_sensor_is_named_without_a_person(drive, airy):
    airy.read = Air(
        [*airy.read.readings, Reading(NOW - timedelta(minutes=3), 20, 50, source="sensor")]
    )
    kiosk = drive(airy)
    open_air(kiosk)
    assert kiosk.shows("Last reading: sensor 3 min ago")


def test_a_single_reading_is_held_and_drawn_from_an_hour_back(drive, shop):
    shop.read = Air([Reading(NOW - timedelta(minutes=12), 20, 50)])
    kiosk = drive(shop)
    open_air(kiosk)
    assert kiosk.shows("After it: held as last read")
    assert kiosk.shows("now")


def test_fahrenheit_is_shown_where_the_shop_reads_it(drive, airy):
    airy.fahrenheit = True
    kiosk = drive(airy)
    open_air(kiosk)
    assert kiosk.shows("69.1 °F")
    assert kiosk.shows("70 °F")  # the upper end of the curve's scale
    kiosk.tap(kiosk.button("Type a reading"))
    assert kiosk.shows("_ °F")


def test_without_a_reading_shop_and_air_say_what_the_clocks_run_on(drive, shop):
    kiosk = drive(shop)
    kiosk.tap(kiosk.desk.bench.shop)
    kiosk.tap(kiosk.button("Air: none read yet"))
    assert kiosk.shows("No reading yet: clocks run on the labels' own air")
    assert kiosk.desk.show.strike is None


def test_a_reading_is_typed_figure_by_figure(drive, shop):
    kiosk = drive(shop)
    kiosk.desk.shopdesk.air.open()
    kiosk.settle()
    kiosk.tap(kiosk.button("Type a reading"))
    type_figure(kiosk, "20.5")
    type_figure(kiosk, "55")
    kiosk.tap(kiosk.button("Not measured"))
    assert shop.calls == [("reading", Reading(NOW, 20.5, 55.0), "Mara")]
    assert kiosk.shows("Recorded: 20.5 °C and 55 %")
    assert kiosk.shows("Last reading: typed by Ida just now")


def test_the_panels_own_temperature_may_be_below_zero(drive, shop):
    kiosk = drive(shop)
    kiosk.desk.shopdesk.air.ask_reading()
    for figure in ("5", "55", "3−"):  # the sign comes in front whenever it is thought of
        type_figure(kiosk, figure)
    assert shop.calls == [("reading", Reading(NOW, 5.0, 55.0, -3.0), "Mara")]


def test_a_reading_with_a_problem_keeps_what_was_typed(drive, shop):
    kiosk = drive(shop)
    kiosk.desk.shopdesk.air.ask_reading()
    type_figure(kiosk, "70")
    assert kiosk.shows("70 °C is no temperature of a shop")
    assert kiosk.desk.show.typed == "70"
    kiosk.tap(kiosk.desk.show.keys["Delete"])
    kiosk.tap(kiosk.desk.show.use)
    assert kiosk.shows("Relative humidity")
    type_figure(kiosk, "0")
    assert kiosk.desk.show.typed == "0"
    assert shop.calls == []


def test_an_impossible_panel_is_asked_again(drive, shop):
    kiosk = drive(shop)
    kiosk.desk.shopdesk.air.ask_reading()
    for figure in ("20", "55", "200"):
        type_figure(kiosk, figure)
    assert kiosk.shows("200 °C is no surface temperature of a shop")
    assert kiosk.desk.show.typed == "200"
    kiosk.tap(kiosk.button("Back"))
    assert kiosk.desk.show.typed == "55"


def test_a_figure_takes_no_more_digits_than_one_has_and_one_sign(drive, shop):
    kiosk = drive(shop)
    kiosk.desk.shopdesk.air.ask_reading()
    pad = kiosk.desk.show
    for letter in "1234567890":
        pad.keys[letter].dispatch("on_release")
    assert pad.typed == "12345678"
    pad.keys["Clear"].dispatch("on_release")
    for letter in "5−−−":
        pad.keys[letter].dispatch("on_release")
    assert pad.typed == "-5"


def test_nothing_typed_is_no_reading(drive, shop):
    kiosk = drive(shop)
    kiosk.desk.shopdesk.air.ask_reading()
    kiosk.tap(kiosk.desk.show.keys["−"])
    kiosk.tap(kiosk.desk.show.use)
    assert kiosk.shows("Nothing is typed yet.")


@pytest.mark.parametrize(
    ("column", "typed"),
    [("temperature", "20.5"), ("humidity", "55"), ("surface temperature", "18"), ("time", "20.5")],
)
def test_what_the_shop_refuses_is_asked_again_where_it_is_wrong(drive, shop, column, typed):
    shop.refusing = (Problem("That will not do.", "Read it again.", column=column),)
    kiosk = drive(shop)
    kiosk.desk.shopdesk.air.ask_reading()
    for figure in ("20.5", "55", "18"):
        type_figure(kiosk, figure)
    assert kiosk.shows("That will not do. Read it again.")
    assert kiosk.desk.show.typed == typed
    assert shop.calls == []


def test_a_second_tap_keeps_no_second_reading(drive, shop):
    kiosk = drive(shop)
    kiosk.desk.shopdesk.air.ask_reading()
    for figure in ("20.5", "55"):
        type_figure(kiosk, figure)
    for letter in "18":
        kiosk.tap(kiosk.desk.show.keys[letter])
    pad = kiosk.desk.show
    pad.use.dispatch("on_release")
    pad.use.dispatch("on_release")
    kiosk.settle()
    assert len(shop.calls) == 1


def test_a_reading_that_could_not_be_kept_says_so(drive, shop):
    kiosk = drive(shop)
    kiosk.desk.shopdesk.air.ask_reading()
    shop.broken = OSError("The disk is full.")
    for figure in ("20.5", "55", "18"):
        type_figure(kiosk, figure)
    assert kiosk.shows("The reading was not kept. Type it again.")
    assert kiosk.shows("The disk is full.")


def test_back_leads_from_figure_to_figure_and_keeps_them(drive, airy):
    kiosk = drive(airy)
    open_air(kiosk)
    kiosk.tap(kiosk.button("Type a reading"))
    type_figure(kiosk, "20.5")
    kiosk.tap(kiosk.button("Back"))
    assert kiosk.desk.show.typed == "20.5"
    kiosk.tap(kiosk.button("Back"))
    assert kiosk.shows("Air of the shop")
    kiosk.tap(kiosk.button("Back"))
    kiosk.tap(kiosk.button("Back"))
    assert kiosk.desk.show is kiosk.desk.bench


def test_the_last_typed_reading_is_struck_after_a_second_tap(drive, airy):
    kiosk = drive(airy)
    open_air(kiosk)
    kiosk.tap(kiosk.button("Strike last typed"))
    assert kiosk.shows("Strike 20.5 °C and 55 %, typed 15:28 by Ida?")
    assert airy.calls == []
    kiosk.tap(kiosk.button("Strike it"))
    assert airy.calls == [("strike_reading", NOW - timedelta(minutes=12), "Mara")]
    assert kiosk.shows("Struck")


def test_what_if_shows_a_board_that_says_so_and_records_nothing(drive, airy):
    kiosk = drive(airy)
    open_air(kiosk)
    kiosk.tap(kiosk.button("What if"))
    type_figure(kiosk, "22")
    type_figure(kiosk, "45")
    assert kiosk.shows("If it is 22 °C and 45 % from now: nothing of this is recorded")
    (count, title), *_rest = kiosk.desk.show.board._counts
    assert (count.text, title.text) == ("6", "resting")
    assert airy.calls == []
    kiosk.tap(kiosk.button("Back"))
    assert kiosk.shows("Air of the shop")
    assert kiosk.shows("20.6 °C")


def test_what_if_refuses_an_impossible_air_too(drive, airy):
    kiosk = drive(airy)
    kiosk.desk.shopdesk.air.ask_what_if()
    type_figure(kiosk, "22")
    type_figure(kiosk, "145")
    assert kiosk.desk.show.typed == "145"
    assert not kiosk.shows("nothing of this is recorded")


def test_the_age_of_a_reading_goes_on_while_it_is_looked_at(drive, airy):
    kiosk = drive(airy)
    open_air(kiosk)
    airy.at = NOW + timedelta(minutes=1)
    kiosk.tick()
    assert kiosk.shows("Last reading: typed by Ida 13 min ago")


def test_a_scan_while_a_figure_is_typed_counts_and_is_not_covered(drive, shop):
    kiosk = drive(shop)
    kiosk.desk.shopdesk.air.ask_reading()
    kiosk.scan("K7F3Q97")
    assert kiosk.shows("Coat 2 on")
    assert shop.scans == ["K7F3Q97"]


def test_a_slow_answer_does_not_cover_the_scan_that_came_first(drive, airy):
    kiosk = drive(airy)
    kiosk.desk.shopdesk.open()
    kiosk.desk.shopdesk.air.open()
    kiosk.desk.open_bench()
    kiosk.settle()
    assert kiosk.desk.show is kiosk.desk.bench


@pytest.mark.parametrize("opened", ["open", "ask_reading", "ask_what_if"])
def test_the_air_left_alone_goes_home(drive, airy, opened):
    kiosk = drive(airy)
    getattr(kiosk.desk.shopdesk.air, opened)()
    kiosk.settle()
    kiosk.tick(59)
    assert kiosk.desk.show is not kiosk.desk.bench
    kiosk.tick(2)
    assert kiosk.desk.show is kiosk.desk.bench


def test_a_supposed_board_left_alone_goes_home(drive, airy):
    from kiosk.screens.airtyped import Typed

    kiosk = drive(airy)
    kiosk.desk.shopdesk.air.suppose(Typed("22", "45", None))
    kiosk.settle()
    assert kiosk.shows("nothing of this is recorded")
    kiosk.tick(61)
    assert kiosk.desk.show is kiosk.desk.bench


def test_the_buttons_of_the_air_stand_on_the_other_side_for_the_left_hand(drive, airy):
    airy.settings = replace(airy.settings, left_handed=True)
    kiosk = drive(airy)
    open_air(kiosk)
    assert kiosk.desk.show.strike.x < kiosk.desk.show.back.x


def test_a_curve_is_whole_where_it_was_read_and_in_dashes_after(window):
    from kivy.graphics import Line

    from kiosk.widgets.airline import AirLine

    curve = AirLine(
        [1, 2, 3, 4, 5, 4, 3, 2, 1], low=0, high=6, now=0.5, read_until=0.5, size=(400, 100)
    )
    points = curve.points()
    assert points[0][0] == 0
    assert points[-1][0] == 400
    assert all(0 <= y <= 100 for _, y in points)
    lines = [one for one in curve.canvas.children if isinstance(one, Line)]
    lengths = [len(one.points) // 2 for one in lines]
    # the frame, five points as read, a dash of three points, and now
    assert lengths == [4, 5, 3, 2]
