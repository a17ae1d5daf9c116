from datetime import UTC, date, datetime, time
from zoneinfo import ZoneInfo

import pytest

from kiosk.rules.airlist import read_air_list
from kiosk.tables import read_table
from tests.workbooks import write_ods, write_xlsx

BERLIN = ZoneInfo("Europe/Berlin")
NOW = datetime(2026, 11, 20, tzinfo=UTC)
EIGHT = datetime(2026, 3, 5, 7, 0, tzinfo=UTC)  # 08:00 in Berlin
COMMAS = """\
Glaze store logger,,
Serial number,1234,
"Date Time, GMT+01:00","Temp, °F (LGR S/N: 1234)","RH, % (LGR S/N: 1234)"
03/05/26 08:00:00 AM,64.4,65.5
03/05/26 08:30:00 AM,--,65.5
03/13/26 08:00:00 PM,68,50
"""
SEMICOLONS = """\
Brennraum;;;;
Datum;Uhrzeit;Temperatur [°C];rel. Feuchte [%];Taupunkt [°C]
05.03.2026;08:00:00;18,0;65,5;11,4

13.03.2026;20:00:00;20,0;50,0;9,3
Mittelwert;;19,0;57,8;
"""
TABS = "Heure\tTempérature\tHumidité\n2026-03-05T07:00Z\t18 °C\t65,5 %\n1773428400\t68 °F\t50 %\n"
AS_READ = [(EIGHT, 18, 65.5), (datetime(2026, 3, 13, 19, 0, tzinfo=UTC), 20, 50)]


def cell(*numbers):
    """A date as a workbook has it, which knows no zones."""
    return datetime(*numbers, tzinfo=UTC).replace(tzinfo=None)


def read(file):
    rows, problems = read_table(file)
    assert problems == ()
    result = read_air_list(rows, now=NOW, zone=BERLIN)
    assert result.problems == ()
    return result


def values(result):
    return [(one.at, one.temperature_c, one.humidity) for one in result.readings]


@pytest.mark.parametrize("coding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
@pytest.mark.parametrize(("text", "left_out"), [(COMMAS, [5]), (SEMICOLONS, [4, 6]), (TABS, [])])
def test_text_files_are_read_whatever_their_separator_and_coding(tmp_path, text, left_out, coding):
    file = tmp_path / "air.csv"
    file.write_bytes(text.encode(coding))

    result = read(file)

    assert values(result) == AS_READ
    assert [skip.row for skip in result.skipped] == left_out


def test_date_cells_of_a_workbook_are_read(tmp_path):
    file = tmp_path / "air.xlsx"
    head = ["Time", "Temperature (°C)", "Humidity (%)"]
    write_xlsx(
        file,
        [
            ["Kiln room", None, None],
            head,
            [cell(2026, 3, 5, 8, 0), 18, 65.5],
            [cell(2026, 3, 6, 0, 0), 18.25, 0.1 + 65.2],
            [cell(2026, 3, 13, 20, 0), 20.0, 50],
            [cell(2026, 3, 13, 20, 0, 0, 500_000), "ERR", 50],
        ],
    )

    result = read(file)

    midnight = (datetime(2026, 3, 5, 23, 0, tzinfo=UTC), 18.25, 65.3)
    assert values(result) == [AS_READ[0], midnight, AS_READ[1]]
    assert [skip.row for skip in result.skipped] == [6]


def test_date_and_clock_cells_of_a_workbook_are_read(tmp_path):
    file = tmp_path / "air.xlsx"
    write_xlsx(
        file,
        [
            ["Date", "Time", "Temp °C", "RH"],
            [date(2026, 3, 5), time(8, 0), 18, 65.5],
            [cell(2026, 3, 6), time(0, 0), 19, 60],
            [cell(2026, 3, 13, 20, 0), cell(2026, 3, 13, 20, 0), 20, 50],
        ],
    )

    result = read(file)

    midnight = (datetime(2026, 3, 5, 23, 0, tzinfo=UTC), 19, 60)
    assert values(result) == [AS_READ[0], midnight, AS_READ[1]]


def test_seconds_since_1970_survive_a_workbook(tmp_path):
    file = tmp_path / "air.ods"
    write_ods(
        file,
        [["Timestamp", "Temp °C", "RH"], [1772694000, 18, 65.5], [1773428400000, 20, 50]],
    )

    assert values(read(file)) == AS_READ
