"""Readings in entries of the log, gathered in any order."""

from datetime import timedelta
from itertools import permutations

import pytest

from kiosk.rules.air import Reading
from kiosk.rules.airlog import READINGS_EACH, AirLog, air_bodies, readings_of
from kiosk.rules.entries import Entry, Kind, to_ms
from tests.builders import at


def entry(ident, body, *, kind=Kind.AIR_READ, seq=1, l=0, received=None) -> Entry:  # noqa: E741
    return Entry(ident, "K", seq, l, 0, 0, "Ida", kind, "", "", body, received)


def read(clock, temperature=20.0, **more) -> Reading:
    return Reading(at(clock), temperature, 50.0, **more)


def body_of(*readings):
    (body,) = air_bodies(readings)
    return body


def test_readings_come_back_from_the_log_as_they_went_in():
    readings = [read("08:00", 18.25, surface_c=16.5, speed_m_s=0.2), read("08:05")]
    assert readings_of(body_of(*readings)) == readings
    sensor = read("08:00", source="sensor")
    assert readings_of(body_of(sensor)) == [sensor]


def test_a_long_file_is_kept_in_several_entries():
    many = [
        Reading(at("08:00") + timedelta(minutes=n), 20, 50) for n in range(2 * READINGS_EACH + 1)
    ]
    bodies = air_bodies(many)
    assert [len(body["readings"]) for body in bodies] == [READINGS_EACH, READINGS_EACH, 1]
    assert [one for body in bodies for one in readings_of(body)] == many


@pytest.mark.parametrize(
    "row",
    [
        None,
        [],
        [1, 20, 50, None],
        ["1", 20, 50, None, None],
        [-1, 20, 50, None, None],
        [10**15, 20, 50, None, None],
        [1, None, 50, None, None],
        [1, 20, None, None, None],
        [1, "20", 50, None, None],
        [1, True, 50, None, None],
        [1, 200, 50, None, None],
        [1, 20, 0, None, None],
        [True, 20, 50, None, None],
        [1, 10**400, 50, None, None],
        [1, 20, 50, 10**400, None],
        [1, 20, 50, "16", None],
        [1, float("nan"), 50, None, None],
    ],
)
def test_a_row_that_is_no_reading_is_left_out_and_the_others_count(row):
    good = [to_ms(at("08:00")), 20, 50, None, None]
    assert readings_of({"source": "typed", "readings": [row, good]}) == [read("08:00")]


@pytest.mark.parametrize("body", [{}, {"readings": 5}, {"readings": None}])
def test_an_entry_without_readings_holds_none(body):
    assert readings_of(body) == []


def test_which_entry_comes_first_does_not_matter():
    entries = [
        entry("a", body_of(read("08:00", 18), read("08:10", 18)), seq=1, l=1),
        entry("b", body_of(read("08:00", 19)), seq=2, l=2),
        entry("c", body_of(read("08:00", 99 - 70)), seq=3, l=3),
        entry("s", {"target": "c"}, kind=Kind.STRUCK, seq=4, l=4),
        entry("a", body_of(read("08:00", 18), read("08:10", 18)), seq=1, l=1),
        entry("o", {}, kind=Kind.PRODUCTS_SET, seq=5, l=5),
    ]
    for order in permutations(entries):
        log = AirLog()
        for one in order:
            log.take(one)
        assert log.readings() == [read("08:00", 19), read("08:10", 18)]
        assert log.entry_of(at("08:00")).id == "b"
        assert log.entry_of(at("08:01")) is None


def test_the_copy_with_the_servers_stamp_settles_which_reading_counts():
    # its clock was an hour ahead; the server's stamp puts it before the other
    ahead = entry("a", body_of(read("08:00", 18)), seq=1, l=3_600_000)
    stamped = entry("a", body_of(read("08:00", 18)), seq=1, l=3_600_000, received=0)
    other = entry("b", body_of(read("08:00", 19)), seq=2, l=100_000)
    for order in permutations([ahead, stamped, other]):
        log = AirLog()
        for one in order:
            log.take(one)
        assert log.readings() == [read("08:00", 19)]


def test_it_tells_whether_the_readings_may_have_changed():
    log = AirLog()
    assert not log.take(entry("s", {"target": "x"}, kind=Kind.STRUCK))
    assert not log.take(entry("o", {}, kind=Kind.PRODUCTS_SET))
    assert log.take(entry("a", body_of(read("08:00"))))
    assert log.take(entry("t", {"target": "a"}, kind=Kind.STRUCK))
    assert log.readings() == []


def test_readings_after_a_moment_may_be_left_out():
    log = AirLog()
    log.take(entry("a", body_of(read("08:00"), read("09:00"))))
    assert log.readings(at("08:59")) == [read("08:00")]
