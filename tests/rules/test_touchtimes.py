"""Touch times are the intervals between scans, without breaks, nights and what is implausible."""

from datetime import datetime, timedelta

import numpy
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.rules.entries import Kind
from kiosk.rules.reasons import GO_AHEAD_REASONS
from kiosk.rules.touchtimes import (
    ENOUGH,
    UNSAID,
    learn_samples,
    quantile,
    times_said,
    touch_times,
    whole_minutes,
)
from tests.builders import CUT_ONLY, SETUP, ZONE, a_unit, an_entry, at, setup

KINDS = {("GLAZE", "S1"): "shelf", ("GLAZE", "S2"): "shelf", ("GLAZE", "P1"): "panel"}
NOON, QUARTER_TO = at("12:00"), at("12:45")


def paused(start: datetime, end: datetime) -> float:
    """Minutes of a break from 12:00 to 12:45 on the Monday."""
    inside = min(end, QUARTER_TO) - max(start, NOON)
    return max(0.0, inside / timedelta(minutes=1))


def scans(*lines, person="Ida"):
    """Entries from lines such as `S1 sand 10:00`."""
    found = []
    for seq, line in enumerate(lines, 1):
        unit, step, when = line.split(maxsplit=2)
        early = ""
        if when.endswith(" late"):
            when, early = when.removesuffix(" late"), str(GO_AHEAD_REASONS[3])
        body = {"step": step} | ({"early": early} if early else {})
        found.append(
            an_entry(Kind.STEP_DONE, body, when=when, seq=seq, unit=a_unit(unit), person=person)
        )
    return found


def learned(entries, routes=SETUP.routes, *, rests=None):
    """Learn; rests are ends of rests by unit and step, such as {"S1 sand": "08:20"}."""

    def rested(entry):
        end = (rests or {}).get(f"{entry.unit} {entry.body['step']}")
        return at(end) if end else None

    return learn_samples(entries, KINDS, routes, zone=ZONE, paused=paused, rested=rested)


def test_an_interval_belongs_to_the_step_that_ends_it():
    found = learned(scans("S1 fill 08:00", "S1 sand 08:12", "P1 coat-1 08:20"))
    assert found == {("shelf", "sand"): [12.0], ("panel", "coat-1"): [8.0]}


def test_an_interval_begins_no_earlier_than_the_rest_was_over_that_was_waited_for():
    entries = scans("S2 fill 08:00", "S1 sand 08:23")
    assert learned(entries, rests={"S1 sand": "08:20"}) == {("shelf", "sand"): [3.0]}
    assert learned(entries, rests={"S1 sand": "07:50"}) == {("shelf", "sand"): [23.0]}


def test_a_rest_that_was_not_waited_for_changes_nothing():
    entries = scans("S2 fill 08:00", "S1 sand 08:12")
    assert learned(entries, rests={"S1 sand": "08:20"}) == {("shelf", "sand"): [12.0]}


def test_units_done_together_were_begun_when_the_first_was_ready():
    entries = scans("S2 fill 08:00", "S1 sand 08:40", "S2 sand 08:40")
    rests = {"S1 sand": "08:10", "S2 sand": "08:20"}
    assert learned(entries, rests=rests) == {("shelf", "sand"): [15.0]}
    assert learned(entries, rests={"S1 sand": "08:10"}) == {("shelf", "sand"): [20.0]}


def test_a_break_before_the_rest_was_over_is_not_taken_out_twice():
    entries = scans("S2 fill 11:55", "S1 sand 12:55")
    assert learned(entries, rests={"S1 sand": "12:30"}) == {("shelf", "sand"): [10.0]}


def test_the_break_is_taken_out():
    assert learned(scans("S1 fill 11:55", "S1 sand 12:50")) == {("shelf", "sand"): [10.0]}


def test_the_first_scan_of_a_day_tells_nothing():
    assert learned(scans("S1 fill 16:55", "S1 sand Tue 07:40")) == {}


def test_parts_scanned_within_seconds_share_the_time():
    entries = scans("S1 fill 08:00", "S1 cut 08:12", "S2 cut 08:12", "S1 cut 08:12")
    assert learned(entries) == {("shelf", "cut"): [4.0]}


def test_what_is_far_too_long_or_short_tells_of_something_else():
    entries = scans("S1 fill 08:00", "S1 sand 08:01", "S2 sand 10:00", "S1 coat-1 10:09")
    assert learned(entries) == {("shelf", "coat-1"): [9.0]}


def test_a_step_scanned_long_after_it_was_done_is_left_out():
    entries = scans("S1 fill 08:00", "S1 sand 08:10 late", "S1 coat-1 08:20")
    assert learned(entries) == {("shelf", "coat-1"): [10.0]}
    together = scans("S1 fill 08:00", "S1 sand 08:10 late", "S2 sand 08:10")
    assert learned(together) == {}


def test_two_people_are_told_apart_and_nobody_by_the_kiosk():
    mixed = scans("S1 fill 08:00", "S1 sand 08:20") + scans("S2 fill 08:10", person="Ivo")
    assert learned(mixed) == {("shelf", "sand"): [20.0]}
    nobody = scans("S1 fill 08:00", "S1 sand 08:20", person="")
    assert learned(nobody) == {("shelf", "sand"): [20.0]}


def test_a_step_or_unit_nobody_knows_only_begins_the_next():
    entries = scans("S1 polish 08:00", "X9 sand 08:05", "S1 sand 08:20")
    assert learned(entries) == {("shelf", "sand"): [15.0]}


def only(samples, said=None):
    times = touch_times(SETUP.routes, {("shelf", "sand"): samples}, said or {})
    return times["shelf", "sand"]


def test_without_scans_the_route_counts():
    time = only([])
    assert (time.used, time.learned, time.count) == (10, None, 0)
    assert time.room == pytest.approx(12)


def test_few_scans_count_by_their_number_and_eight_alone():
    assert only([20.0] * 4).used == pytest.approx(15)
    assert only([20.0] * ENOUGH).used == only([20.0] * 40).used == pytest.approx(20)


def test_room_is_what_four_of_five_need():
    time = only([10.0] * 6 + [20.0] * 4)
    assert (time.used, time.room) == (10, 20)


def test_what_the_shop_says_counts_before_what_was_learned():
    time = only([20.0] * 10, {("shelf", "sand"): 30.0})
    assert (time.used, time.set, time.learned, time.room) == (30, 30, 20, 36)


def test_a_step_without_minutes_takes_ten():
    time = touch_times(setup(CUT_ONLY).routes, {}, {})["rail", "cut"]
    assert (time.catalogue, time.used, time.each) == (UNSAID, UNSAID, True)


@given(st.lists(st.floats(0, 1e3), min_size=1), st.floats(0, 1))
def test_quantiles_are_those_of_numpy(values, share):
    assert quantile(values, share) == pytest.approx(float(numpy.quantile(values, share)))


def test_the_last_word_counts_and_none_takes_it_back():
    def said(minutes, kind="shelf"):
        return an_entry(Kind.TOUCH_TIME_SET, {"kind": kind, "step": "sand", "minutes": minutes})

    assert times_said([said(5), said(7)]) == {("shelf", "sand"): 7.0}
    for none in (None, True, "7", 0, -1, 1e9, float("nan")):
        assert times_said([said(5), said(none)]) == {}
    assert times_said([said(5, kind=3), an_entry(Kind.STEP_DONE, {"kind": "a"})]) == {}


def test_minutes_of_a_plan_are_whole_and_at_least_one():
    assert [whole_minutes(one) for one in (0.2, 2.0, 2.1, 3.0000000001)] == [1, 2, 3, 3]
