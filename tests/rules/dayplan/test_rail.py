"""The day along a rule: rows, lanes, ticks, and the order of the list."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone

from kiosk.rules.dayplan.day import DayPlan, DayStep
from kiosk.rules.dayplan.rail import by_person, by_station, order_of_list, ticks, whole_day

AT = datetime(2026, 3, 12, 9, 0, tzinfo=UTC)


def moment(clock):
    hours, minutes = clock.split(":")
    return AT.replace(hour=int(hours), minute=int(minutes))


def step(unit, starts, ends, *people, station="finish", state="later"):
    return DayStep(
        "GLZ", unit, "coat-1", "coat 1", station, people, moment(starts), moment(ends), state=state
    )


def day(*steps, people=("Ann", "Ben"), hours=()):
    return DayPlan(AT, hours=hours, people=people, steps=steps)


def test_everybody_has_a_row_also_without_steps():
    rows = by_person(day(step("S1", "09:00", "09:30", "Ann")))
    assert [(row.name, len(row.bars), row.lanes) for row in rows] == [("Ann", 1, 1), ("Ben", 0, 1)]


def test_a_step_of_two_stands_on_both_rows():
    rows = by_person(day(step("S1", "09:00", "09:30", "Ann", "Ben")))
    assert [len(row.bars) for row in rows] == [1, 1]


def test_who_is_not_on_the_list_and_what_nobody_is_named_for_come_last():
    rows = by_person(day(step("S1", "09:00", "09:30", "Cleo"), step("S2", "09:00", "09:30")))
    assert [row.name for row in rows] == ["Ann", "Ben", "Cleo", "nobody named"]


def test_nobody_does_two_steps_at_once():
    rows = by_person(
        day(
            step("S1", "09:00", "10:00", "Ann"),
            step("S2", "09:40", "10:10", "Ann"),
            step("S3", "09:40", "10:20", "Ann"),
        )
    )
    bars = [(bar.step.unit, bar.ends) for bar in rows[0].bars]
    # S2 has no stretch of its own left
    assert bars == [("S1", moment("09:40")), ("S3", moment("10:20"))]


def test_stations_come_in_the_order_of_the_work_and_others_after_them():
    rows = by_station(
        day(
            step("S1", "09:00", "09:30", station="road"),
            step("S2", "09:00", "09:30", station="install"),
            step("S3", "09:00", "09:30", station="cut"),
        )
    )
    assert [row.name for row in rows] == ["cut", "install", "road"]


def test_what_goes_on_at_once_at_a_station_lies_in_lanes():
    (row,) = by_station(
        day(
            step("S1", "09:00", "10:00"),
            step("S2", "09:30", "10:30"),
            step("S3", "10:00", "11:00"),
        )
    )
    assert row.lanes == 2
    assert [(bar.step.unit, bar.lane) for bar in row.bars] == [("S1", 0), ("S2", 1), ("S3", 0)]


def test_only_a_stretch_that_is_shown_takes_lanes():
    steps = (
        step("S1", "09:00", "10:00"),
        step("S2", "09:00", "10:00"),
        step("S3", "14:00", "15:00"),
    )
    (row,) = by_station(day(*steps), (moment("12:00"), moment("16:00")))
    assert (row.lanes, [bar.step.unit for bar in row.bars]) == (1, ["S3"])


def test_ticks_stand_at_the_shops_quarters_and_hours_are_written():
    half_past = timezone(timedelta(hours=5, minutes=30))
    found = list(ticks(moment("09:05"), moment("10:05"), half_past))
    # 09:15 is 14:45 there, 09:30 the full hour
    assert [(one.weight, one.words) for one in found] == [(1, ""), (3, "15:00"), (1, ""), (2, "")]
    assert [one.at.astimezone(UTC).minute for one in found] == [15, 30, 45, 0]


def test_the_rule_of_a_day_runs_in_full_hours_around_work_and_steps():
    one = day(step("S1", "06:50", "07:20"), hours=((moment("07:30"), moment("17:00")),))
    assert whole_day(one) == (moment("06:00"), moment("17:00"))
    late = replace(one, steps=(step("S1", "16:50", "17:20"),))
    assert whole_day(late) == (moment("07:00"), moment("18:00"))


def test_the_rule_of_an_empty_day_has_four_hours():
    assert whole_day(day()) == (moment("09:00"), moment("13:00"))


def test_what_is_ahead_comes_first_by_time_and_what_is_done_last():
    steps = (
        step("S1", "07:00", "07:30", state="done"),
        step("S2", "07:30", "08:00", state="done"),
        step("S4", "10:00", "10:30"),
        step("S3", "09:00", "09:30", state="now"),
    )
    assert [one.unit for one in order_of_list(day(*steps))] == ["S3", "S4", "S2", "S1"]
