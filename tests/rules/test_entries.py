from dataclasses import replace
from datetime import UTC, datetime

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kiosk.rules.entries import AHEAD_MS, STRIKABLE, Kind, from_ms, standing_entries, to_ms
from tests.builders import an_entry, at
from tests.strategies import logs


def ids(entries):
    return [entry.id for entry in standing_entries(entries)]


def test_milliseconds_and_times_are_the_same_thing_written_twice():
    moment = datetime(2026, 3, 2, 10, 10, 0, 123000, tzinfo=UTC)
    assert from_ms(to_ms(moment)) == moment


def test_a_late_scan_happened_when_it_says_and_sorts_when_it_was_recorded():
    entry = an_entry(Kind.STEP_DONE, {"at_ms": to_ms(at("09:00"))}, when="11:00")
    assert (entry.at, entry.order[0]) == (at("09:00"), to_ms(at("11:00")))


@pytest.mark.parametrize("stated", [None, "09:00", 1.5])
def test_a_stated_time_that_is_no_whole_number_is_passed_over(stated):
    assert an_entry(Kind.STEP_DONE, {"at_ms": stated}, when="11:00").at == at("11:00")


def test_a_kiosk_whose_clock_runs_ahead_is_cut_back_to_what_the_server_saw():
    fast = an_entry(Kind.STEP_DONE, when="15:00", received_ms=to_ms(at("10:00")))
    assert fast.at == from_ms(to_ms(at("10:00")) + AHEAD_MS)
    assert replace(fast, received_ms=to_ms(at("15:00"))).at == at("15:00")


def test_entries_cut_back_to_one_moment_stay_as_their_kiosk_wrote_them():
    seen = to_ms(at("10:00"))
    first = an_entry(Kind.STEP_DONE, when="15:00", seq=1, c=7, received_ms=seen)
    then = an_entry(Kind.STEP_DONE, when="15:01", seq=2, c=0, received_ms=seen)

    assert standing_entries([then, first]) == [first, then]


def test_the_order_is_logical_time_then_counter_then_kiosk_then_sequence():
    entries = [
        an_entry(Kind.STEP_DONE, when="08:00", seq=9, kiosk="K2"),
        an_entry(Kind.STEP_DONE, when="08:00", seq=2, kiosk="K1", c=1),
        an_entry(Kind.STEP_DONE, when="07:59", seq=3, kiosk="K2"),
        an_entry(Kind.STEP_DONE, when="08:00", seq=1, kiosk="K1", c=1),
        an_entry(Kind.STEP_DONE, when="08:00", seq=8, kiosk="K1"),
    ]
    assert ids(entries) == ["K2-3", "K1-8", "K2-9", "K1-1", "K1-2"]


@pytest.mark.parametrize("kind", list(Kind))
def test_a_strike_voids_steps_holds_lifts_and_spoils_and_nothing_else(kind):
    strike = an_entry(Kind.STRUCK, {"target": "K1-1"}, when="07:00", seq=2)
    left = ids([strike, an_entry(kind, when="08:00", seq=1)])
    assert left == (["K1-2"] if kind in STRIKABLE else ["K1-2", "K1-1"])


def test_a_strike_of_nothing_known_changes_nothing():
    assert ids([an_entry(Kind.STRUCK, {}), an_entry(Kind.STEP_DONE, seq=2)]) == ["K1-1", "K1-2"]


def test_a_copy_with_the_servers_stamp_counts_whichever_came_last():
    here = an_entry(Kind.STEP_DONE, when="15:00")
    stamped = replace(here, received_ms=to_ms(at("10:00")))
    for copies in ([here, stamped], [stamped, here]):
        assert [entry.at for entry in standing_entries(copies)] == [stamped.at]


@settings(derandomize=True, deadline=None)
@given(logs(), st.data())
def test_any_order_and_any_number_of_copies_gives_the_same_entries(entries, data):
    again = data.draw(st.lists(st.sampled_from(entries)))
    shuffled = data.draw(st.permutations(entries + again))
    assert standing_entries(shuffled) == standing_entries(entries)
