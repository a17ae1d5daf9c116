"""Hours known ahead hold the work: of everybody, of each station, of each crew, and long enough."""

from dataclasses import replace

import pytest

from kiosk.rules.dayplan.enough import BEYOND, has_room
from kiosk.rules.dayplan.model import Chain, Due, Problem, Span, Work, Worker

FAR = Span(BEYOND + 480, BEYOND + 490)  # so that the hours reach far enough
FULL = (Span(0, 100), FAR)


BOTH = (Worker("Ada", FULL), Worker("Bo", FULL))


def shop(*works, people=BOTH, due=None):
    return Problem(0, people, (), (), (Due("J1", due),), (Chain(0, "u", works),))


def test_nothing_to_do_needs_no_hours():
    assert has_room(replace(shop(), chains=(), people=()))


@pytest.mark.parametrize(("minutes", "enough"), [(88, True), (89, False)])
def test_all_work_fills_four_tenths_of_all_hours(minutes, enough):
    assert has_room(shop(Work("cut", "cut", minutes))) == enough


@pytest.mark.parametrize(("minutes", "enough"), [(44, True), (45, False)])
def test_what_one_alone_knows_counts_by_their_hours(minutes, enough):
    people = (Worker("Ada", FULL), Worker("Bo", FULL, ("cut",)))
    assert has_room(shop(Work("coat", "finish", minutes), people=people)) == enough


@pytest.mark.parametrize(("minutes", "enough"), [(8, True), (9, False)])
def test_what_two_do_counts_by_the_time_both_are_there(minutes, enough):
    people = (Worker("Ada", FULL), Worker("Bo", (Span(80, 500),)))  # from 80 to 100
    assert has_room(shop(Work("hang", "install", minutes, crew=2), people=people)) == enough


def test_hours_reach_past_the_hang_day_and_past_all_that_is_waited_for():
    assert has_room(shop(Work("cut", "cut", 10), due=490))
    assert not has_room(shop(Work("cut", "cut", 10), due=491))
    assert has_room(shop(Work("cut", "cut", 10, earliest=490)))
    assert not has_room(shop(Work("cut", "cut", 10, earliest=491)))


@pytest.mark.parametrize(("minutes", "enough"), [(44, True), (45, False)])
def test_what_two_do_takes_the_hours_of_both(minutes, enough):
    people = (*BOTH, Worker("Cy", FULL))
    works = (Work("hang", "install", 44, crew=2), Work("cut", "cut", minutes))
    assert has_room(shop(*works, people=people)) == enough
