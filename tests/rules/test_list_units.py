from collections.abc import Sequence

import pytest

from kiosk.rules.lengths import mm
from kiosk.rules.partlist import PartList, accounted, read


def listed(*rows: Sequence[str], units: str | None = None) -> PartList:
    result = read(rows, units=units)
    assert accounted(result, len(rows))
    return result


def sizes(result: PartList) -> list[tuple[float, float]]:
    assert result.problems == ()
    return [(mm(line.length), mm(line.width)) for line in result.lines]


HEAD = ["Part", "Length", "Width", "Qty"]


def test_a_header_names_the_unit_of_its_column():
    result = listed(["Part", "Len (cm)", "W [in]", "Qty"], ["A", "60,3", "10", "1"], units="inch")
    assert sizes(result) == [(603, 254)]


def test_a_cell_goes_before_its_header():
    assert sizes(listed(["Part", "L (mm)", "W (mm)", "Qty"], ["A", '10"', "2 cm", "1"])) == [
        (254, 20)
    ]


@pytest.mark.parametrize("head", ["Units", "UoM", "Unit"])
def test_a_column_may_name_the_unit_of_each_row(head):
    result = listed([*HEAD, head], ["A", "60", "30", "1", "cm"], ["B", "10", "10", "1", "in"])
    assert sizes(result) == [(600, 300), (254, 254)]


def test_a_unit_column_with_other_words_names_what_is_hung():
    result = listed([*HEAD, "Unit"], ["A", "60", "30", "1", "mm"], ["B", "10", "10", "1", "B1"])
    assert [line.unit for line in result.lines] == ["mm", "B1"]


def test_an_unknown_unit_of_measure_is_a_problem():
    (problem,) = listed([*HEAD, "UoM"], ["A", "60", "30", "1", "ell"]).problems
    assert (problem.column, problem.value) == ("UoM", "ell")


@pytest.mark.parametrize(
    ("units", "size"),
    [(None, 60), ("mm", 60), ("cm", 600), ("in", 1524), ("inch", 1524), ("ft", 18288)],
)
def test_the_unit_given_holds_where_the_list_names_none(units, size):
    assert sizes(listed(HEAD, ["A", "60", "60", "1"], units=units)) == [(size, size)]


def test_fractions_show_that_a_list_is_in_inches():
    result = listed(HEAD, ["A", "23 3/4", "12", "1"], ["B", "24", "11.5", "1"])
    assert sizes(result) == [(603.25, 304.8), (609.6, 292.1)]
    assert "read as inches" in result.notes[0]


def test_plain_numbers_beside_inch_marks_are_inches_too():
    assert sizes(listed(HEAD, ["A", '24"', "12", "1"], ["B", "24", "12", "1"]))[1] == (609.6, 304.8)


@pytest.mark.parametrize("units", [None, "mm"])
def test_large_plain_numbers_beside_fractions_are_asked_about(units):
    result = listed(HEAD, ["A", "23 3/4", "300", "1"], ["B", "603", "300", "1"], units=units)
    (problem,) = result.problems
    assert (problem.row, problem.column, problem.value) == (3, "Length", "603")


def test_a_thickness_in_inches_leaves_metric_columns_alone():
    result = listed([*HEAD, "Thickness"], ["A", "603", "300", "1", '3/4"'])
    assert sizes(result) == [(603, 300)]
    assert mm(result.lines[0].thickness or 0) == 19.05


def test_a_metric_mark_beside_a_fraction_keeps_plain_numbers_metric():
    result = listed([*HEAD, "T"], ["A", "100", "60 mm", "1", "3/4"])
    assert sizes(result) == [(100, 60)]


def test_a_fraction_under_a_metric_header_is_asked_about():
    (problem,) = listed(["Part", "L (mm)", "W (mm)", "Qty"], ["A", "23 3/4", "300", "1"]).problems
    assert "Is it inches?" in problem.message


@pytest.mark.parametrize("cell", ["2.440", "2,440"])
def test_a_number_that_may_be_thousands_is_asked_about(cell):
    (problem,) = listed(HEAD, ["A", cell, "300", "1"], units="mm").problems
    assert (problem.row, problem.column, problem.value) == (2, "Length", cell)


def test_a_thickness_with_three_decimals_is_not_asked_about():
    (line,) = listed([*HEAD, "T"], ["A", "600", "300", "1", "6.350"], units="mm").lines
    assert mm(line.thickness or 0) == 6.35


def test_a_cell_that_is_no_number_is_a_problem_not_a_guess():
    (problem,) = listed(HEAD, ["A", "wide", "300", "1"]).problems
    assert problem.value == "wide"
