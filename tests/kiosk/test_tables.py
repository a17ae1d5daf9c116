import zipfile
from datetime import date
from pathlib import Path

import openpyxl
import pytest

from kiosk import tables
from kiosk.tables import read_table, workbook
from tests.workbooks import write_ods, write_xlsx

ROWS = [["Part", "Length (mm)", "Width", "Qty"], ["Side", "603,5", "300", "2"]]


def reading_of(tmp_path, data: bytes, name="list.csv"):
    file = tmp_path / name
    file.write_bytes(data)
    return read_table(file)


def message_of(result):
    rows, problems = result
    assert rows == []
    (problem,) = problems
    assert problem.remedy
    return problem.message


@pytest.mark.parametrize("separator", [";", "\t", "|"])
@pytest.mark.parametrize("ending", ["\n", "\r\n", "\r"])
def test_separators_and_line_ends_are_found(tmp_path, separator, ending):
    text = ending.join(separator.join(row) for row in ROWS) + ending
    assert reading_of(tmp_path, text.encode()) == (ROWS, ())


def test_commas_separate_where_decimals_are_points(tmp_path):
    rows, problems = reading_of(tmp_path, b"Part,Length,Note\nSide,603.5,a;b\nTop,1,\n")
    assert rows == [["Part", "Length", "Note"], ["Side", "603.5", "a;b"], ["Top", "1", ""]]
    assert problems == ()


def test_a_first_line_may_name_the_separator(tmp_path):
    rows, _ = reading_of(tmp_path, b"sep=|\na,b|c,d\n1,2|3,4\n")
    assert rows == [["sep=", ""], ["a,b", "c,d"], ["1,2", "3,4"]]


@pytest.mark.parametrize(
    "coding",
    ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "utf-32", "cp1252", "latin-1"],
)
def test_western_text_is_decoded(tmp_path, coding):
    rows = [["Teil", "Länge", "Stück"], ["Rückwand groß", "603,5", "2"]] * 3
    text = "\n".join(";".join(row) for row in rows)
    assert reading_of(tmp_path, text.encode(coding)) == (rows, ())


def test_central_european_text_is_decoded(tmp_path):
    text = "Díl;Délka;Šířka;Počet\n" + "Boční stěna, zadní deska;603,5;300;2\n" * 5
    rows, _ = reading_of(tmp_path, text.encode("cp1250"))
    assert rows[0] == ["Díl", "Délka", "Šířka", "Počet"]


def test_line_breaks_in_quotes_stay_in_their_cell(tmp_path):
    rows, _ = reading_of(tmp_path, b'a,b,c\n1,"two\nlines, and more",3\n')
    assert rows == [["a", "b", "c"], ["1", "two\nlines, and more", "3"]]


@pytest.mark.parametrize("tail", [b"", b'Top,1,"2\nEnd,5,6\n'])
def test_a_quote_that_is_never_closed_swallows_no_rows(tmp_path, tail):
    rows, problems = reading_of(tmp_path, b'a,b,c\n"Side,1,2\nTop,3,4\n' + tail)
    assert problems == ()
    assert len(rows) == 3 + tail.count(b"\n")
    assert rows[2] == ["Top", "3", "4"]


def test_rows_inside_quotes_come_out_as_rows(tmp_path):
    rows, _ = reading_of(tmp_path, b'a,b,c,d\n"Side,1,2,3\nTop,3,4,5",7\nEnd,1,2,3')
    assert [len(row) for row in rows] == [4, 1, 5, 4]


def test_zero_bytes_are_dropped(tmp_path):
    assert reading_of(tmp_path, b"a,b\n1\x00,2\n")[0] == [["a", "b"], ["1", "2"]]


def test_a_table_of_one_column_is_read(tmp_path):
    assert reading_of(tmp_path, b"a\n\nb") == ([["a"], [], ["b"]], ())


@pytest.mark.parametrize("data", [b"", b" \n ", b"\xef\xbb\xbf", b"\x00\x00"])
def test_an_empty_file_is_a_problem(tmp_path, data):
    assert "is empty" in message_of(reading_of(tmp_path, data))


@pytest.mark.parametrize(
    ("data", "what"),
    [
        (b"%PDF-1.7 ...", "a PDF"),
        (b"\x89PNG\r\n", "a picture"),
        (b"PK\x03\x04 broken", "cannot be read"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1 broken", "cannot be read"),
        (bytes([0, 0, 0x81, 0x8D, 0x8F, 0, 0xFF, 0, 0]) * 50, "neither a table nor a workbook"),
    ],
)
def test_what_is_no_table_is_a_problem(tmp_path, data, what):
    assert what in message_of(reading_of(tmp_path, data))


def test_an_endless_cell_is_a_problem(tmp_path):
    data = b'a,b\n"' + b"x" * 200_000
    assert "never closed" in read_table_remedy(reading_of(tmp_path, data))


def read_table_remedy(result):
    return result[1][0].remedy


def test_a_file_that_is_not_there_is_a_problem(tmp_path):
    assert "there is no such file" in message_of(read_table(tmp_path / "none.csv"))


def test_a_folder_is_a_problem(tmp_path):
    assert "it is a folder" in message_of(read_table(tmp_path))


def test_a_name_no_system_allows_is_a_problem():
    assert "cannot be read" in message_of(read_table(Path("a\x00b.csv")))


def test_a_file_that_is_too_large_is_a_problem(tmp_path, monkeypatch):
    monkeypatch.setattr(tables, "LARGEST_BYTES", 10)
    assert "the most is" in message_of(reading_of(tmp_path, b"a,b\n" * 10))


@pytest.mark.parametrize(("write", "ending"), [(write_xlsx, "xlsx"), (write_ods, "ods")])
@pytest.mark.parametrize("misnamed", ["", ".csv"])
def test_workbooks_are_read_by_content_from_the_first_sheet_with_rows(
    tmp_path, write, ending, misnamed
):
    file = tmp_path / f"list.{ending}{misnamed}"
    write(file, [["Part", "Length", "Qty"], ["Side", 603.0, 2], ["Top", 0.1 + 0.2, 1e20]])
    rows, problems = read_table(file)
    assert problems == ()
    assert rows == [["Part", "Length", "Qty"], ["Side", "603", "2"], ["Top", "0.3", "1e+20"]]


def test_rows_of_a_workbook_are_numbered_as_people_see_them(tmp_path):
    book = openpyxl.Workbook()
    book.active["B3"] = "Part"
    book.active["B4"] = date(2030, 1, 2)
    book.active["C4"] = True
    book.active["C3"] = False
    book.save(tmp_path / "list.xlsx")
    rows, _ = read_table(tmp_path / "list.xlsx")
    assert rows == [["", "", ""], ["", "", ""], ["", "Part", "no"], ["", "2030-01-02", "yes"]]


def test_a_workbook_without_rows_is_a_problem(tmp_path):
    write_xlsx(tmp_path / "list.xlsx", [])
    assert "no rows on any sheet" in message_of(read_table(tmp_path / "list.xlsx"))


def test_a_workbook_that_unpacks_too_large_is_a_problem(tmp_path, monkeypatch):
    with zipfile.ZipFile(tmp_path / "list.xlsx", "w", zipfile.ZIP_DEFLATED) as packed:
        packed.writestr("xl/workbook.xml", b"0" * 3_000_000)
    monkeypatch.setattr(workbook, "MOST_UNPACKED_BYTES", 2_000_000)
    assert "too large when unpacked" in message_of(read_table(tmp_path / "list.xlsx"))


@pytest.mark.parametrize("corner", ["XFD1048576", "A5000001", "GSP1000000"])
def test_a_stray_cell_far_outside_the_list_is_a_problem(tmp_path, corner):
    with zipfile.ZipFile(tmp_path / "list.xlsx", "w") as packed:
        packed.writestr("xl/worksheets/styles.txt", "")
        packed.writestr(
            "xl/worksheets/sheet1.xml", f'<row><c s="1" r="{corner}"><v>1</v></c></row>'
        )
    assert "far outside the list" in message_of(read_table(tmp_path / "list.xlsx"))


class PanicException(BaseException):
    pass


def test_a_panic_of_the_workbook_reader_is_a_problem(tmp_path, monkeypatch):
    write_xlsx(tmp_path / "list.xlsx", [["a"]])

    def panic(data):
        raise PanicException

    monkeypatch.setattr(workbook, "_first_sheet", panic)
    assert "cannot be read" in message_of(read_table(tmp_path / "list.xlsx"))


def test_being_stopped_by_a_person_is_no_problem_of_the_workbook(tmp_path, monkeypatch):
    write_xlsx(tmp_path / "list.xlsx", [["a"]])

    def stop(data):
        raise KeyboardInterrupt

    monkeypatch.setattr(workbook, "_first_sheet", stop)
    with pytest.raises(KeyboardInterrupt):
        read_table(tmp_path / "list.xlsx")
