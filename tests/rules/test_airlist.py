from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.rules import airlist
from kiosk.rules.airlist import read_air_list

BERLIN = ZoneInfo("Europe/Berlin")
NOW = datetime(2026, 11, 20, tzinfo=UTC)
HEAD = ["Time", "Temperature (°C)", "Humidity (%)"]


def lost_or_doubled(result, n_rows):
    """Rows below the header that are in none, or in two, of readings, problems and skipped."""
    body = n_rows - (result.header_row or 0)
    wrong = {p.row for p in result.problems if p.row and p.row > (result.header_row or 0)}
    left = [skip.row for skip in result.skipped]
    twice = len(left) - len(set(left)) + len(wrong.intersection(left))
    return body - len(result.readings) - len(wrong) - len(left) + twice * 1000


def listed(*rows, now=NOW, zone=BERLIN, dates=None):
    result = read_air_list(rows, now=now, zone=zone, dates=dates)
    assert lost_or_doubled(result, len(rows)) == 0
    return result


def timed(*texts, **how):
    """Read a file with one row for each time, each with its own temperature."""
    return listed(HEAD, *([text, str(10 + n), "50"] for n, text in enumerate(texts)), **how)


def times(result):
    assert result.problems == ()
    return [f"{reading.at:%m-%d %H:%M}" for reading in result.readings]


def only(result):
    """The one reading of a file without problems, without its time and source."""
    assert result.problems == ()
    (reading,) = result.readings
    return (reading.temperature_c, reading.humidity, reading.surface_c, reading.speed_m_s)


# -- headings ------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "head",
    [
        ["Time", "Temperature", "Humidity"],
        ["Timestamp", "Temp (°C)", "RH (%)"],
        ["Date/Time", "T [°C]", "%rH"],
        ["Date Time", "Temp, °C (LGR S/N: 1234, SEN S/N: 5)", "RH, % (LGR S/N: 1234, SEN S/N: 5)"],
        ["time", "Celsius(°C)", "Humidity(%rh)"],
        ["Date", "degC", "RH"],
        ["DATE_TIME", "TEMP_C", "REL_HUMIDITY"],
        ["Time", "1 Temperature", "2 Humidity"],
        ["Time", "Temprature", "Humidty"],
        ["Zeitstempel", "Temperatur", "rel. Feuchte"],
        ["Datum/Uhrzeit", "Lufttemperatur (°C)", "rel. Luftfeuchtigkeit [%]"],
        ["Horodatage", "Température", "Humidité relative (%)"],
        ["Date et heure", "Température de l'air (ºC)", "HR (%)"],
        ["Fecha y hora", "Temperatura (℃)", "Humedad relativa"],
        ["Tijdstip", "Temperatuur", "Relatieve vochtigheid"],
        ["Uhrzeit", "T", "H"],
    ],
)
def test_headings_are_understood_in_many_words(head):
    result = listed(head, ["2026-03-05 08:00", "18.5", "65"])

    assert only(result) == (18.5, 65, None, None)
    assert result.columns == dict(zip(head, ("time", "temperature", "humidity"), strict=True))


def test_headings_may_stand_below_serial_numbers_and_remarks():
    above = [["Serial number", "1234"], ["Temperature and humidity of the kiln room"], []] * 12
    head = ["No.", "Humidity", "Dew point", "Time", "Temperature"]

    result = listed(*above, head, ["1", "65", "11.7", "2026-03-05 08:00", "18.5"])

    assert only(result) == (18.5, 65, None, None)
    assert result.header_row == 37
    assert result.ignored == ("No.", "Dew point")


def test_the_row_with_most_headings_counts():
    result = listed(
        ["Time", "Humidity"], HEAD, ["Time", "Temperature"], ["2026-03-05 08:00", "9", "8"]
    )

    assert result.header_row == 2
    assert only(result) == (9, 8, None, None)


@pytest.mark.parametrize("at", [0, 40])
def test_without_headings_in_the_first_forty_rows_nothing_is_read(at):
    rows = [["2026-03-05 08:00", "18", "65"]] * at + [HEAD] * (at > 0)

    result = listed(*rows)

    (problem,) = result.problems
    assert problem.message.startswith("No row with headings" if rows else "The file is empty")
    assert problem.remedy
    assert result.header_row is None
    assert [skip.row for skip in result.skipped] == list(range(1, len(rows) + 1))


def test_a_missing_column_is_asked_for_once():
    result = listed(
        ["Time", "Temperature"], ["2026-03-05 08:00", "18"], [], ["2026-03-05 09:00", "--"]
    )

    (problem,) = result.problems
    assert (problem.row, problem.column) == (1, "humidity")
    assert {skip.why for skip in result.skipped if skip.row != 3} == {
        "the file has no column for the humidity"
    }


def test_a_file_without_times_says_so():
    result = listed(["Temperature", "Humidity"], ["18", "65"])

    (problem,) = result.problems
    assert (problem.row, problem.column) == (1, "time")


def test_other_columns_are_named_as_ignored():
    head = [*HEAD, "Dew point (°C)", "Absolute humidity", "Temperature 2", "x" * 121, ""]

    result = listed(head, ["2026-03-05 08:00", "18", "65", "11", "10", "19", "1"])

    assert result.ignored == ("Dew point (°C)", "Absolute humidity", "Temperature 2", "x" * 121)


def test_a_panels_temperature_and_the_airs_speed_are_read_where_they_are():
    head = [*HEAD, "Panel temperature", "Air speed (m/s)"]

    result = listed(
        head,
        ["2026-03-05 08:00", "18", "65", "16,5", "0,2"],
        ["2026-03-05 09:00", "18", "65", "--", "0.3 m/s"],
        ["2026-03-05 10:00", "18", "65"],
    )

    assert result.problems == ()
    assert [(r.surface_c, r.speed_m_s) for r in result.readings] == [
        (16.5, 0.2), (None, 0.3), (None, None),
    ]  # fmt: skip
    assert {reading.source for reading in result.readings} == {"imported"}


@pytest.mark.parametrize(
    ("head", "speed"),
    # by definition of foot, mile and hour
    [("Air speed", 10), ("Speed (km/h)", 2.7778), ("Air velocity [fpm]", 0.0508),
     ("Air velocity ft/min", 0.0508), ("Wind speed mph", 4.4704)],
)  # fmt: skip
def test_air_speeds_come_to_metres_a_second(head, speed):
    assert only(listed([*HEAD, head], ["2026-03-05 08:00", "18", "65", "10"]))[3] == speed


# -- temperatures and humidities -----------------------------------------------------------------


@pytest.mark.parametrize(
    "head", ["Temp (°F)", "Temp F", "Temp, degF", "Temp [F]", "Fahrenheit", "T/ºF"]
)
def test_a_heading_names_the_unit_of_its_column(head):
    result = listed(["Time", head, "RH"], ["2026-03-05 08:00", "64.4", "65"])

    assert only(result) == (18, 65, None, None)
    assert result.notes == ()


def test_a_row_below_the_headings_may_name_the_units():
    result = listed(
        ["Time", "Temp", "Surface", "RH"],
        ["", "°F", "", "%"],
        ["2026-03-05 08:00", "64.4", "50", "65"],
    )

    assert only(result) == (18, 65, 10, None)
    assert result.skipped[0].why == "a remark"


def test_a_cell_that_names_its_unit_counts_above_its_heading():
    result = listed(["Time", "Temp (°F)", "RH"], ["2026-03-05 08:00", "18 °C", "65 %"])

    assert only(result) == (18, 65, None, None)


@pytest.mark.parametrize("head", ["Temperature", "Temperature (C/F)"])
def test_a_temperature_without_any_unit_is_taken_as_celsius_and_noted(head):
    result = listed(["Time", head, "RH"], ["2026-03-05 08:00", "18", "65"])

    assert only(result)[0] == 18
    assert result.notes == (f"“{head}” names no unit: it is taken as °C.",)


def test_no_note_is_needed_where_every_cell_names_its_unit():
    result = listed(["Time", "Temp", "RH"], ["2026-03-05 08:00", "64.4 F", "65"])

    assert only(result)[0] == 18
    assert result.notes == ()


@pytest.mark.parametrize(
    ("cells", "column", "value"),
    [
        (["warm1", "65"], "Temperature (°C)", "warm1"),
        (["85", "65"], "Temperature (°C)", "85"),
        (["18", "damp 5"], "Humidity (%)", "damp 5"),
        (["18", "0.65"], "Humidity (%)", "0.65"),
        (["18", "101"], "Humidity (%)", "101"),
        (["18", "65", "-100"], "Surface temp", "-100"),
        (["18", "65", "16", "11"], "Speed", "11"),
        (["18", "65", "16", "1 knot"], "Speed", "1 knot"),
    ],
)
def test_a_value_that_cannot_be_is_a_problem_that_says_where(cells, column, value):
    result = listed([*HEAD, "Surface temp", "Speed"], ["2026-03-05 08:00", *cells])

    (problem,) = result.problems
    assert (problem.row, problem.column, problem.value) == (2, column, value)
    assert problem.remedy


def test_every_problem_of_a_row_is_named():
    result = listed(HEAD, ["2026-12-24 08:00", "99", "0"])

    assert [problem.column for problem in result.problems] == [HEAD[1], HEAD[2], HEAD[0]]
    assert result.problems[2].value == "2026-12-24 08:00"


# -- rows that hold no reading -------------------------------------------------------------------


@pytest.mark.parametrize(
    "mark", ["", "--", "NaN", "ERR", "OL", "n/a", "***", "Err 2", "?", "No data"]
)
@pytest.mark.parametrize("place", [1, 2])
def test_a_row_whose_sensor_had_no_answer_is_left_out_by_name(mark, place):
    row = ["2026-03-05 08:00", "18", "65"]
    row[place] = mark

    result = listed(HEAD, row, ["2026-03-05 09:00", "19", "66"])

    assert only(result)[0] == 19
    (skip,) = result.skipped
    assert skip.row == 2
    assert skip.why.startswith(f"no {('temperature', 'humidity')[place - 1]}")
    assert mark in skip.why


@pytest.mark.parametrize(
    ("row", "why"),
    [
        ([], "blank row"),
        (["", " "], "blank row"),
        (["# stopped at 9"], "a remark (starts with #)"),
        (["Logger stopped"], "a remark"),
        (["", "", "", "button pressed"], "a remark"),
        (HEAD, "the headings again"),
        (["Average", "18.2", "64"], "a summary, not a reading"),
        (["Mittelwert:", "18,2", "64"], "a summary, not a reading"),
    ],
)
def test_rows_that_are_no_readings_are_left_out_by_name(row, why):
    result = listed(HEAD, row, ["2026-03-05 08:00", "18", "65"])

    assert only(result)[0] == 18
    assert [(skip.row, skip.why) for skip in result.skipped] == [(2, why)]


def test_a_row_with_values_and_no_time_is_a_problem():
    (problem,) = timed("").problems

    assert (problem.row, problem.message) == (2, "The time is missing.")


@pytest.mark.parametrize("text", ["2026-03-29 02:30", "32.3.2026 8:00", "3/5/2026 8:00"])
def test_a_row_that_lacks_a_value_is_no_problem_whatever_its_time(text):
    result = listed(HEAD, [text, "--", "65"])

    assert result.problems == ()
    assert [skip.row for skip in result.skipped] == [2]


def test_exact_doubles_are_dropped_and_named():
    row = ["2026-03-05 08:00", "18", "65"]

    result = listed(HEAD, row, row, ["2026-03-05T07:00Z", "18,0", "65 %"])

    assert only(result)[0] == 18
    assert [(s.row, s.why) for s in result.skipped] == [
        (3, "the same reading as in row 2"), (4, "the same reading as in row 2"),
    ]  # fmt: skip
    assert result.notes == ()


def test_of_two_readings_for_one_time_the_later_row_counts_and_is_noted():
    at = "2026-03-05 08:00"

    one = listed(HEAD, [at, "18", "65"], [at, "19", "65"])
    two = listed(HEAD, [at, "18", "65"], [at, "19", "65"], [at, "20", "65"])

    assert only(one)[0] == 19
    assert one.skipped[0].row == 2
    assert one.notes == ("Of two rows for one time the later counts, such as row 3 and not row 2.",)
    assert only(two)[0] == 20
    assert "2 times" in two.notes[0]


def test_readings_come_by_time_whatever_the_order_of_rows():
    result = timed("2026-03-05 09:00", "2026-03-05 07:00", "2026-03-05 08:00")

    assert [reading.temperature_c for reading in result.readings] == [11, 12, 10]


def test_too_long_a_file_is_one_problem(monkeypatch):
    monkeypatch.setattr(airlist, "MOST_ROWS", 3)
    rows = [HEAD, *([f"2026-03-05 08:0{n}", "18", "65"] for n in range(3))]

    assert listed(*rows[:3]).problems == ()
    result = read_air_list(rows, now=NOW, zone=BERLIN)

    (problem,) = result.problems
    assert "4 rows" in problem.message
    assert (result.readings, result.skipped, result.header_row) == ((), (), None)


def test_a_reading_a_minute_for_a_year_is_not_too_long():
    assert airlist.MOST_ROWS > 366 * 24 * 60


# -- dates and times -----------------------------------------------------------------------------

# 5 March 2026, 08:00 in Berlin is 07:00 UTC; 1772694000 s after 1970 by `date -d @1772694000 -u`
EIGHT = datetime(2026, 3, 5, 7, 0, tzinfo=UTC)


@pytest.mark.parametrize(
    "text",
    [
        "2026-03-05 08:00",
        "2026-03-05T08:00:00",
        "2026-03-05T07:00:00Z",
        "2026-03-05T07:00:00.000Z",
        "2026-03-05 07:00 UTC",
        "2026-03-05T08:00:00+01:00",
        "2026-03-05T08:00+0100",
        "2026-03-05T08:00+01",
        "2026-03-05 02:30:00 -04:30",
        "2026-03-05, 08:00",
        "2026/03/05 08:00:00",
        "2026/3/5 8:00",
        "2026.03.05 08:00",
        "05.03.2026 08:00",
        "05.03.2026 08:00:00",
        "5.3.26 8:00",
        "05.03.2026 8.00",
        "05.03.2026 8h00",
        "2026-03-05 8:00 AM",
        "2026-03-05 08:00:00 a.m.",
        "1772694000",
        "1772694000.0",
        "1772694000,0",
        "1772694000000",
    ],
)
def test_times_are_read_in_many_forms(text):
    result = timed(text)

    assert result.problems == ()
    assert [reading.at for reading in result.readings] == [EIGHT]


@pytest.mark.parametrize(
    ("text", "clock"),
    [("12:00 AM", "00:00"), ("12:30 PM", "12:30"), ("1:05 p. m.", "13:05"), ("11:59 pm", "23:59")],
)
def test_a_clock_of_twelve_hours_is_read(text, clock):
    result = timed(f"2026-03-05 {text}", zone=UTC)

    assert times(result) == [f"03-05 {clock}"]


def test_the_day_may_end_at_24():
    assert times(timed("2026-03-05 24:00", zone=UTC)) == ["03-06 00:00"]


@pytest.mark.parametrize(
    "text", ["2026-03-05 08:00:00.1234567", "1772697600.1234", "1772697600123"]
)
def test_times_are_kept_to_the_millisecond(text):
    (reading,) = timed(text, zone=UTC).readings

    assert reading.at == EIGHT + timedelta(hours=1, milliseconds=123)


@pytest.mark.parametrize(
    "text",
    [
        "yesterday 8",
        "8:00",
        "2026-03-05",
        "31.02.2026 08:00",
        "05.13.2026 08:00",
        "2026-13-05 08:00",
        "2026-03-05 25:00",
        "2026-03-05 24:01",
        "2026-03-05 08:60",
        "2026-03-05 08:00:60",
        "2026-03-05 13:00 PM",
        "2026-03-05 0:30 AM",
        "2026-03-05 08:00 +15:00",
        "26-03-05 08:00",
        "123/3/2026 08:00",
        "5/3/226 08:00",
        "1899-12-31 08:00",
        "2100-01-01 08:00",
        "177269760",
    ],
)
def test_what_is_no_time_is_a_problem_that_says_where(text):
    (problem,) = timed(text).problems

    assert (problem.row, problem.column, problem.value) == (2, "Time", text)
    assert text in problem.message
    assert "2026-03-05 08:00" in problem.remedy


def test_a_time_still_to_come_is_a_problem():
    result = timed("2026-03-05 08:00", "2026-03-05 08:02", now=EIGHT + timedelta(seconds=1))

    (problem,) = result.problems
    assert (problem.row, problem.column, problem.value) == (3, "Time", "2026-03-05 08:02")


def test_a_date_without_a_clock_time_is_midnight_among_others_that_have_one():
    result = timed("2026-03-04 23:00", "2026-03-05", zone=UTC)

    assert times(result) == ["03-04 23:00", "03-05 00:00"]


@pytest.mark.parametrize(
    ("day", "clock"),
    [
        ("05.03.2026", "08:00"),
        ("2026-03-05", "8:00 AM"),
        ("2026-03-05 00:00:00", "08:00:00"),
        ("2026-03-05T00:00", "1899-12-31 08:00:00"),
        ("2026-03-05 08:00:00", "2026-03-05 08:00:00"),
    ],
)
@pytest.mark.parametrize("swapped", [False, True])
def test_date_and_clock_time_may_stand_in_two_columns(day, clock, swapped):
    pair, heads = [day, clock], ["Date", "Time"]
    if swapped:
        pair, heads = pair[::-1], heads[::-1]

    result = listed([*heads, "Temp °C", "RH"], [*pair, "18", "65"])

    assert only(result)[0] == 18
    assert result.readings[0].at == EIGHT
    assert result.columns["Date"] == "date"
    assert result.columns["Time"] == "clock"


def test_half_a_time_is_a_problem():
    result = listed(["Temp °C", "RH", "Date", "Time"], ["18", "65", "2026-03-05"], ["18", "65"])

    assert [problem.row for problem in result.problems] == [2, 3]
    assert {problem.column for problem in result.problems} == {"Date + Time"}


def test_a_column_with_both_counts_above_two_with_half():
    head = ["Date", "Time", "Timestamp", "T °C", "RH"]

    result = listed(head, ["x", "y", "2026-03-05 08:00", "18", "65"])

    assert result.readings[0].at == EIGHT
    assert result.ignored == ("Date", "Time")


@pytest.mark.parametrize(
    ("head", "clock"),
    [
        ("Date Time, GMT-05:00", "13:00"),
        ("Time (UTC)", "08:00"),
        ("Time (UTC+5:30)", "02:30"),
        ("Time, GMT+2", "06:00"),
        ("Time (UTC+00:00)", "08:00"),
        ("Time (UTC+99:00)", "08:00"),
    ],
)
def test_a_heading_may_name_the_zone(head, clock):
    result = listed([head, "T °C", "RH"], ["2026-03-05 08:00", "18", "65"])

    assert times(result) == [f"03-05 {clock}"]
    assert "as their heading says" in result.notes[0]


# -- which is the day and which the month --------------------------------------------------------


@pytest.mark.parametrize(
    ("texts", "found"),
    [
        (["3/5/2026 8:00 AM", "3/13/2026 8:00 AM"], ["03-05 08:00", "03-13 08:00"]),
        (["5/3/2026 8:00", "13/3/2026 8:00"], ["03-05 08:00", "03-13 08:00"]),
        (["5-3-2026 8:00", "13-3-2026 8:00"], ["03-05 08:00", "03-13 08:00"]),
        (["03/05/26 8:00", "03/13/26 8:00"], ["03-05 08:00", "03-13 08:00"]),
        (["31.3.2026 8:00", "4.5.2026 8:00"], ["03-31 08:00", "05-04 08:00"]),
        # only the one order runs forward, else only the one runs backwards
        (["3/9/2026 8:00", "3/10/2026 8:00", "4/1/2026 8:00"],
         ["03-09 08:00", "03-10 08:00", "04-01 08:00"]),
        (["9/3/2026 8:00", "10/3/2026 8:00", "1/4/2026 8:00"],
         ["03-09 08:00", "03-10 08:00", "04-01 08:00"]),
        (["1/4/2026 8:00", "10/3/2026 8:00", "9/3/2026 8:00"],
         ["03-09 08:00", "03-10 08:00", "04-01 08:00"]),
        (["4/4/2026 8:00"], ["04-04 08:00"]),
    ],
)  # fmt: skip
def test_the_whole_file_tells_whether_the_day_comes_first(texts, found):
    assert times(timed(*texts, zone=UTC)) == found


def test_a_row_without_an_answer_still_tells_the_order():
    result = listed(HEAD, ["3/5/2026 8:00", "18", "65"], ["3/13/2026 8:00", "--", "65"], zone=UTC)

    assert times(result) == ["03-05 08:00"]


@pytest.mark.parametrize(
    "texts",
    [
        ["3/5/2026 8:00"],
        ["3/5/2026 8:00", "3/5/2026 9:00"],
        ["3/5/2026 8:00", "4/5/2026 8:00"],
        ["3/5/2026 8:00", "5/1/2026 8:00", "4/6/2026 8:00"],
        ["3/5/2026 8:00", "13/3/2026 8:00", "3/14/2026 8:00"],
    ],
)
def test_where_it_stays_unclear_the_order_is_asked_for_once(texts):
    result = timed("2026-03-01 08:00", *texts)

    (problem,) = result.problems
    assert (problem.row, problem.column, problem.value) == (3, "Time", texts[0])
    assert "day-first" in problem.remedy
    assert "month-first" in problem.remedy
    assert len(result.readings) == 1
    assert len(result.skipped) == len(texts) - 1


@pytest.mark.parametrize(
    ("dates", "found"), [("day-first", "05-03 08:00"), ("month-first", "03-05 08:00")]
)
def test_the_order_can_be_given(dates, found):
    result = timed("3/5/2026 8:00", zone=UTC, dates=dates)

    assert times(result) == [found]


def test_dots_mean_day_first_whatever_order_is_given():
    assert times(timed("3.5.2026 8:00", zone=UTC, dates="month-first")) == ["05-03 08:00"]


def test_a_given_order_that_a_row_cannot_have_is_that_rows_problem():
    result = timed("3/5/2026 8:00", "13/5/2026 8:00", zone=UTC, dates="month-first")

    (problem,) = result.problems
    assert problem.row == 3


@pytest.mark.parametrize(
    ("head", "found"),
    [("Time (dd/mm/yyyy hh:mm)", "05-03 08:00"), ("Time (MM/DD/YYYY)", "03-05 08:00"),
     ("Zeit (TT-MM-JJJJ)", "05-03 08:00")],
)  # fmt: skip
def test_a_heading_may_show_the_order(head, found):
    assert times(listed([head, "T °C", "RH"], ["3/5/2026 8:00", "18", "65"], zone=UTC)) == [found]


# -- the clocks go forward and back --------------------------------------------------------------
# Berlin 2026 by the IANA time zone data: forward on 29 March at 02:00, back on 25 October at 03:00.


@pytest.mark.parametrize("clock", ["02:00", "02:59"])
def test_a_time_the_clocks_went_over_is_a_problem(clock):
    (problem,) = timed(f"2026-03-29 {clock}").problems

    assert (problem.row, problem.column, problem.value) == (2, "Time", f"2026-03-29 {clock}")
    assert "does not exist" in problem.message


def test_the_hours_around_the_one_that_does_not_exist_are_one_apart():
    result = timed("2026-03-29 01:59", "2026-03-29 03:00")

    assert times(result) == ["03-29 00:59", "03-29 01:00"]


HALF_HOURS = ["01:30", "02:00", "02:30", "02:00", "02:30", "03:00"]
AS_UTC = ["23:30", "00:00", "00:30", "01:00", "01:30", "02:00"]


@pytest.mark.parametrize("step", [1, -1])
def test_the_files_order_tells_the_two_runs_of_an_hour_apart(step):
    result = timed(*(f"2026-10-25 {clock}" for clock in HALF_HOURS[::step]))

    assert [at[6:] for at in times(result)] == AS_UTC
    assert [reading.temperature_c for reading in result.readings][::step] == list(range(10, 16))


def test_each_hour_once_and_two_alike_are_two_runs_where_their_values_differ():
    twice = ["2026-10-25 02:00", "18", "65"]

    apart = timed("2026-10-25 01:00", "2026-10-25 02:00", "2026-10-25 02:00", "2026-10-25 03:00")
    alike = listed(HEAD, twice, twice)

    assert [at[6:] for at in times(apart)] == ["23:00", "00:00", "01:00", "02:00"]
    assert [at[6:] for at in times(alike)] == ["00:00"]


def test_a_named_zone_needs_no_order():
    result = timed("2026-10-25T02:30+01:00", "2026-10-25T02:30+02:00")

    assert [at[6:] for at in times(result)] == ["00:30", "01:30"]


@given(st.integers(0, 40), st.sampled_from([10, 15, 20, 30, 60]), st.booleans())
def test_a_night_of_readings_survives_the_change_of_clocks(skip, minutes, backwards):
    first = datetime(2026, 10, 24, 21, 0, tzinfo=UTC)
    moments = [first + timedelta(minutes=minutes * n) for n in range(48)][: -skip or None]
    texts = [f"{at.astimezone(BERLIN):%d.%m.%Y %H:%M}" for at in moments]
    rows = [[text, f"{10 + n * 0.1:.1f}", "50"] for n, text in enumerate(texts)]

    result = listed(HEAD, *(rows[::-1] if backwards else rows))

    assert [reading.at for reading in result.readings] == moments


# -- every row is somewhere ----------------------------------------------------------------------

CELLS = [
    "",
    " ",
    "-",
    "--",
    "NaN",
    "ERR",
    "OL",
    "18",
    "18,5",
    "64F",
    "0.5",
    "65 %",
    "120",
    "#",
    "Max",
]
CELLS += ["Logger stopped", "Time", "RH", "°C", "x", "١٢", "²", "\x00", "1e9"]
TIMES = [
    "2026-03-05 08:00",
    "3/5/2026 8:00",
    "13/5/2026 8:00",
    "5/13/2026 8:00",
    "05.03.2026",
    "8:00",
]
TIMES += [
    "2026-03-29 02:30",
    "2026-10-25 02:30",
    "2026-10-25 02:00",
    "2026-03-05T07:00Z",
    "1772697600",
]
TIMES += ["2026-03-05T08:00+14:59", "0001-01-01 00:00", "9999-12-31 23:59", "2099-12-31 24:00"]
NAMES = [
    "Time",
    "Date",
    "Temp",
    "Temp (°F)",
    "RH",
    "Humidity",
    "Surface temperature",
    "Air speed",
    "No",
]


@given(
    st.lists(st.lists(st.sampled_from([*CELLS, *NAMES]), max_size=6), max_size=4),
    st.permutations(NAMES),
    st.lists(st.lists(st.sampled_from([*CELLS, *TIMES, *TIMES]), max_size=10), max_size=12),
    st.sampled_from([None, "day-first", "month-first", "sideways"]),
)
def test_whatever_the_cells_hold_no_row_is_lost(above, head, below, dates):
    listed(*above, head, *below, dates=dates)


@given(
    st.lists(
        st.tuples(st.sampled_from(TIMES), st.sampled_from(CELLS), st.sampled_from(CELLS)),
        max_size=12,
    ),
    st.sampled_from([None, "day-first", "month-first"]),
)
def test_no_row_of_a_likely_file_is_lost_and_readings_run_forward(rows, dates):
    result = listed(HEAD, *(list(row) for row in rows), dates=dates)

    moments = [reading.at for reading in result.readings]
    assert moments == sorted(set(moments))
    assert all(reading.at.tzinfo is UTC for reading in result.readings)


@pytest.mark.no_cover
@given(st.text(max_size=40))
def test_no_time_is_too_odd_to_answer(text):
    listed(HEAD, [text, "18", "65"])


def test_a_lost_or_doubled_row_is_noticed():
    result = listed(HEAD, ["2026-03-05 08:00", "18", "65"])

    assert lost_or_doubled(result, 2) == 0
    assert lost_or_doubled(result, 3) != 0
    assert lost_or_doubled(result, 1) != 0
