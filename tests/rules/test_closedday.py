"""A day on which nobody works says so, and when work goes on."""

from dataclasses import replace
from datetime import date, time

import pytest

from kiosk.rules.closedday import say_closed
from kiosk.rules.workday import Away, Hours
from tests.builders import ZONE, at

SHOP = Hours(time(7, 30), time(17), time(12), 45, (0, 1, 2, 3, 4))
# the builders' week begins on Monday, 2 March 2026


def closed(when, people=(SHOP,), shop=SHOP):
    return say_closed(shop, people, now=at(when), zone=ZONE)


def away(first, last):
    return replace(SHOP, away=(Away(date.fromisoformat(first), date.fromisoformat(last)),))


@pytest.mark.parametrize("when", ["Mon 07:00", "Mon 10:00", "Fri 18:00"])
def test_a_day_of_work_is_not_closed(when):
    assert closed(when) == ""


def test_a_weekend_goes_on_on_monday():
    assert closed("Sat 10:00") == "The shop is closed today. Work goes on Mon 07:30."


def test_the_first_who_comes_tells_when_work_goes_on():
    late, early = replace(SHOP, opens=time(9)), replace(SHOP, opens=time(6), days=(1,))
    assert closed("Sun 10:00", (late, early)).endswith("Work goes on Mon 09:00.")
    assert closed("Sun 10:00", (early,)).endswith("Work goes on Tue 06:00.")


def test_everybody_away_on_a_day_the_shop_is_open():
    day = at("Wed 10:00").date()
    gone = away(day.isoformat(), day.isoformat())
    assert closed("Wed 10:00", (gone, gone)) == "Nobody is there today. Work goes on Thu 07:30."
    assert closed("Wed 10:00", (gone, SHOP)) == ""


def test_a_long_stretch_names_the_date():
    today = at("Wed 10:00").date()
    gone = away(today.isoformat(), today.replace(day=today.day + 9).isoformat())
    words = closed("Wed 10:00", (gone,), gone)
    assert words.startswith("The shop is closed today. Work goes on ")
    assert str(today.year) in words
    assert words.endswith(", 07:30.")


def test_who_is_away_for_a_year_comes_back():
    gone = away("2026-03-02", "2027-03-02")
    assert closed("Mon 10:00", (gone,)).endswith("Work goes on Wed 3 Mar 2027, 07:30.")


def test_where_no_day_is_known_it_is_said():
    words = closed("Wed 10:00", (replace(SHOP, days=()),))
    assert words == "Nobody is there today. No day of work is known from here on."
    assert closed("Wed 10:00", ()).startswith("Nobody is there today.")
