import pytest

from kiosk.rules.drafts import Heading
from kiosk.rules.headings import MEANINGS, read_meaning
from kiosk.rules.lengths import mm
from kiosk.rules.partlist import accounted, read

ODD = (
    ["Stueckliste"],
    ["Foo", "Long side", "Short side", "How often", ""],
    ["Side", "600", "300", "2", "left"],
    ["Back", "800", "300", "1", ""],
)
SAID = {"foo": "part", "Long side": "length", "SHORT  side": "width", "How often": "quantity"}


def listed(*rows, units="mm", **columns):
    result = read(rows, units=units, **columns)
    assert accounted(result, len(rows))
    return result


def test_headings_nobody_understands_are_read_as_a_person_says():
    assert listed(*ODD).lines == ()
    found = listed(*ODD, columns={**SAID, "column 5": "note"})
    assert found.problems == ()
    sizes = [(one.part, mm(one.length), mm(one.width), one.quantity) for one in found.lines]
    assert sizes == [("Side", 600, 300, 2), ("Back", 800, 300, 1)]
    assert [one.note for one in found.lines] == ["left", ""]
    assert found.header_row == 2


def test_a_list_that_is_not_understood_still_shows_its_headings():
    names = [one.name for one in listed(*ODD).headings]
    assert names == ["Foo", "Long side", "Short side", "How often", "column 5"]
    assert listed(*ODD).headings[1] == Heading("Long side", "", ("600", "800"))


def test_rows_of_figures_are_no_headings():
    assert listed(["a", "600", "300", "2"], ["b", "700", "300", "1"]).headings == ()


def test_what_a_person_says_goes_before_what_a_heading_means():
    head = ["Part", "Length", "Width", "Qty", "Remark"]
    found = listed(
        head,
        ["Side", "600", "300", "1", "Tall"],
        columns={"Length": "width", "Width": "length", "Part": "none", "Remark": "part"},
    )
    (line,) = found.lines
    assert (line.part, mm(line.length), mm(line.width)) == ("Tall", 300, 600)
    assert [one.meaning for one in found.headings] == ["", "width", "length", "quantity", "part"]
    assert found.ignored == ("Part",)


def test_a_header_row_stays_the_header_while_its_columns_are_left_out():
    said = {"Part": "none", "Length": "none", "Width": "none"}
    found = listed(["Part", "Length", "Width", "Qty"], ["Side", "600", "300", "1"], columns=said)
    assert found.header_row == 1
    assert [one.column for one in found.problems if one.row == 1] == ["part", "length", "width"]


def test_the_measure_in_a_heading_counts_whatever_the_heading_means():
    head = ["Part", "Long (in)", "Width", "Qty"]
    found = listed(head, ["Side", "20", "300", "1"], columns={"Long (in)": "length"})
    assert mm(found.lines[0].length) == 508


def test_a_heading_that_stands_twice_can_be_said_of_each():
    head = ["Part", "Size", "Size", "Qty"]
    said = {"Size": "length", "column 3": "width"}
    (line,) = listed(head, ["Side", "600", "300", "1"], columns=said).lines
    assert (mm(line.length), mm(line.width)) == (600, 300)


@pytest.mark.parametrize(
    ("said", "message"),
    [
        ({"Breadth": "width"}, "no column headed “Breadth”"),
        ({"Width": "colour"}, "“colour” is nothing a column can mean"),
        ({"Width": "length", "Length": "length"}, "Both “Width” and “Length”"),
    ],
)
def test_what_cannot_be_meant_is_a_problem_with_a_way_out(said, message):
    found = listed(["Part", "Length", "Width", "Qty"], ["Side", "600", "300", "1"], columns=said)
    assert message in found.problems[0].message
    assert found.problems[0].remedy


def test_a_wrong_heading_of_a_list_of_figures_is_a_problem_too():
    (first, *_) = listed(["1", "2", "3", "4"], columns={"Breadth": "width"}).problems
    assert first.remedy == "Write the heading as it stands in the list."


def test_every_meaning_is_read_as_it_is_shown():
    assert [read_meaning(words) for words in MEANINGS.values()] == list(MEANINGS)
    assert read_meaning("Hangs On") == "hangs_on"
    assert read_meaning("none") == read_meaning("") == ""
    assert read_meaning("colour") is None


@pytest.mark.parametrize(
    ("head", "cell", "units", "guessed"),
    [
        ("Length", "600", None, "mm"),
        ("Length", "600", "mm", ""),
        ("Length (mm)", "600", None, "mm"),  # the width names none
        ("Length", "23 3/4", None, "in"),
    ],
)
def test_a_unit_that_was_guessed_is_named(head, cell, units, guessed):
    rows = (["Part", head, "Width", "Qty"], ["Side", cell, "12", "1"])
    assert listed(*rows, units=units).guessed == guessed


def test_few_cells_of_each_column_are_shown_and_each_only_once():
    body = [["Side", str(600 + at), "300", "1"] for at in range(9)]
    found = listed(["Part", "Length", "Width", "Qty"], *body)
    assert [len(one.samples) for one in found.headings] == [1, 3, 1, 1]
