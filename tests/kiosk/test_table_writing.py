"""Tables we write hold no formula, and come back as they were."""

import csv
import io

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from openpyxl import Workbook
from typer.testing import CliRunner

from kiosk.cli import app
from kiosk.report import Json
from kiosk.tablereport import unit_table, write_units
from kiosk.tables import read_table
from kiosk.tables.writing import guard, keep_table, unguard, write_table

LIVE = "=+-@\t\r\n"
texts = st.one_of(
    st.text(max_size=12),
    st.builds(
        "{}{}".format, st.sampled_from([*LIVE, "'", "'=", "''-", "\uff1d"]), st.text(max_size=8)
    ),
)
# as people name things, with whatever a list from elsewhere may begin with; a cell of several lines
# with separators in it is read line by line on purpose, so there are none here
names = st.builds(
    "{}{}".format,
    st.sampled_from(["", "=", "+", "-", "@", "'", "'=", "''+", "\t", "\uff1d"]),
    st.text("abcÄß 019'\"()!=+-@", min_size=1, max_size=8),
)


def cells_of(text, separator=","):
    return list(csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True))


@settings(deadline=None)
@given(texts)
def test_no_text_is_taken_for_a_formula_and_each_comes_back(text):
    cell = guard(text)

    assert not cell.startswith(tuple(LIVE))
    assert unguard(cell) == text


@settings(deadline=None)
@given(st.lists(st.lists(texts, min_size=1, max_size=4), min_size=1, max_size=5))
def test_a_whole_table_is_safe_and_comes_back(rows):
    for separator in (",", "\t"):
        cells = cells_of(write_table(rows, separator=separator), separator)

        assert not [cell for row in cells for cell in row if cell.startswith(tuple(LIVE))]
        assert [[unguard(cell) for cell in row] for row in cells] == rows


@settings(max_examples=50, deadline=None)
@given(rows=st.lists(st.lists(names, min_size=3, max_size=3), min_size=3, max_size=8))
def test_our_reader_gives_back_what_our_writer_wrote(tmp_path_factory, rows):
    file = tmp_path_factory.mktemp("table") / "ours.csv"
    keep_table(rows, file)

    assert read_table(file) == (rows, ())


@pytest.mark.parametrize(
    ("cell", "written"),
    [
        (-5, "-5"),
        (-0.25, "-0.25"),
        (1_000_000, "1000000"),
        (True, "yes"),
        (None, ""),
        (float("nan"), ""),
        ("-5", "'-5"),
        ("=1+1", "'=1+1"),
        ("'=1+1", "''=1+1"),
        ("'tis", "'tis"),
        ("a=1", "a=1"),
    ],
)
def test_numbers_are_numbers_and_only_what_must_be_is_guarded(cell, written):
    assert cells_of(write_table([[cell, "x"]])) == [[written, "x"]]


def test_a_spreadsheet_finds_no_formula_in_what_we_write(tmp_path):
    """What openpyxl, written apart from us, would store as a formula has the type f."""
    sheet = Workbook().active
    for text in ("=1+1", '=HYPERLINK("https://x","y")'):
        sheet["A1"] = text
        assert sheet["A1"].data_type == "f"
        sheet["A1"] = guard(text)
        assert sheet["A1"].data_type == "s"


def test_a_table_that_cannot_be_written_leaves_no_half(tmp_path, monkeypatch):
    file = tmp_path / "units.csv"
    file.write_text("before", "utf-8")

    def fail(_handle):
        raise OSError("the disk is full")

    monkeypatch.setattr("os.fsync", fail)

    with pytest.raises(OSError, match="full"):
        keep_table([["a"]], file)

    assert file.read_text("utf-8") == "before"
    assert [one.name for one in tmp_path.iterdir()] == ["units.csv"]


def a_unit(**values: object) -> Json:
    return dict.fromkeys(unit_table([])[0], "") | values


def test_the_units_of_a_board_are_guarded(tmp_path):
    unit = a_unit(unit="=cmd|' /C calc'!A0", name="@SUM(A1)", coats_done=2, held=False)

    write_units([unit], tmp_path / "units.csv")

    (_head, row) = cells_of((tmp_path / "units.csv").read_text("utf-8-sig"))
    assert row[1:3] == ["'=cmd|' /C calc'!A0", "'@SUM(A1)"]
    assert row[12] == "2"
    assert read_table(tmp_path / "units.csv")[0][1][1] == "=cmd|' /C calc'!A0"


def test_commands_write_the_board_and_a_jobs_units(tmp_path):
    shop = tmp_path / "shop.db"
    listed = tmp_path / "list.csv"
    head = "Unit;Kind;Part;Qty;Length (mm);Width (mm)\n"
    listed.write_text(head + "-S1;shelf;Board;1;300;200\nS2;shelf;Board;1;300;200\n", "utf-8")
    run = CliRunner()
    taken = run.invoke(app, ["take-in", str(listed), "--job", "JARS", "--shop", str(shop)])
    assert taken.exit_code == 0, taken.output
    for name, words in (("b.csv", ["board"]), ("j.tsv", ["job", "JARS"])):
        made = run.invoke(app, [*words, "--csv", str(tmp_path / name), "--shop", str(shop)])
        assert made.exit_code == 0, made.output
        assert "2 units written" in made.output
        rows = read_table(tmp_path / name)[0]
        assert sorted(row[1] for row in rows[1:]) == ["-S1", "S2"]
    assert "'-S1" in (tmp_path / "b.csv").read_text("utf-8-sig")

    wrong = run.invoke(app, ["board", "--csv", "board.txt", "--shop", str(shop)])
    assert wrong.exit_code == 2
    assert run.invoke(app, ["job", "--csv", "b.csv", "--shop", str(shop)]).exit_code == 2
    for other in (["--out", str(tmp_path / "b.pdf")], ["--print"]):
        both = ["board", "--csv", str(tmp_path / "both.csv"), *other, "--shop", str(shop)]
        assert run.invoke(app, both).exit_code == 2
    assert not (tmp_path / "both.csv").exists()
