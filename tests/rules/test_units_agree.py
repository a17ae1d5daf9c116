from collections.abc import Sequence

import pytest

from kiosk.rules.partlist import PartList, accounted, read, units_of

HEAD = ["Part", "Length", "Width", "Qty"]
UNITS = ["Unit", "Part", "Length", "Width", "Qty", "Kind", "Finish", "Wall", "Hangs on", "Name"]


def listed(*rows: Sequence[str], units: str | None = "mm") -> PartList:
    result = read(rows, units=units)
    assert accounted(result, len(rows))
    return result


def unit_row(unit, kind="", finish="", wall="", hangs_on="", name=""):
    return [unit, "Side", "600", "300", "1", kind, finish, wall, hangs_on, name]


def test_a_list_without_units_makes_each_row_a_unit_of_its_own():
    result = listed(HEAD, ["Shelf", "600", "300", "2"], ["Shelf", "700", "300", "1"])
    assert [unit.unit for unit in units_of(result)] == ["Shelf", "Shelf (2)"]
    assert [unit.kind for unit in units_of(result)] == ["shelf", "shelf"]


def test_an_empty_unit_means_the_unit_above():
    result = listed(UNITS, unit_row("B1"), unit_row(""), unit_row("b1"))
    assert [line.unit for line in result.lines] == ["B1", "B1", "B1"]
    assert result.notes[0] == "No unit given, so the one above was taken: row 3."


def test_many_such_rows_are_named_in_short():
    result = listed(UNITS, unit_row("B1"), *[unit_row("")] * 10)
    assert "rows 3, 4, 5, 6, 7, 8, 9, 10 and 2 more" in result.notes[0]


def test_an_empty_unit_column_is_as_none():
    result = listed(["Unit", *HEAD], ["", "Side", "600", "300", "1"])
    assert result.problems == ()
    assert result.ignored == ("Unit",)
    assert result.lines[0].unit == "Side"


def test_a_first_row_without_a_unit_is_a_problem():
    (problem,) = listed(UNITS, unit_row(""), unit_row("B1")).problems
    assert (problem.row, problem.message) == (2, "The unit is missing.")


def test_a_kind_not_stated_is_guessed_from_the_name_and_noted():
    result = listed(
        UNITS, unit_row("A1", name="Shelf box"), unit_row("A2", name="Thing"), unit_row("Rail 1")
    )
    assert [unit.kind for unit in units_of(result)] == ["box", "panel", "rail"]
    assert "Kind not given, taken for box: A1." in result.notes


def test_what_one_row_says_of_a_unit_holds_for_all_its_rows():
    result = listed(
        UNITS,
        unit_row("P1", kind="panel"),
        unit_row("B1", kind="box", finish="clear + stripe", wall="W1", hangs_on="p1", name="Box"),
        unit_row("B1"),
    )
    (_, unit) = units_of(result)
    assert (unit.kind, unit.finish, unit.accent, unit.wall) == ("box", "clear", True, "W1")
    assert (unit.hangs_on, unit.name, len(unit.lines)) == ("P1", "Box", 2)


@pytest.mark.parametrize(
    ("field", "one", "other", "word"),
    [
        ("kind", "box", "shelf", "kind"),
        ("finish", "clear", "none", "finish"),
        ("finish", "clear", "clear + stripe", "finish"),
        ("wall", "W1", "W2", "wall"),
        ("hangs_on", "P1", "P2", "support"),
    ],
)
def test_rows_of_a_unit_that_disagree_are_a_problem(field, one, other, word):
    result = listed(
        UNITS,
        unit_row("P1"),
        unit_row("P2"),
        unit_row("B1", **{field: one}),
        unit_row("B1", **{field: other}),
    )
    (problem,) = result.problems
    assert problem.row == 5
    assert problem.message.startswith(f"The {word} of B1 is “{one}” in row 4 and “{other}” here.")


def test_rows_of_a_unit_that_say_the_same_agree():
    row = unit_row("B1", kind="box", finish="clear", wall="W1", name="Box")
    result = listed(UNITS, row, [*row[:5], "BOX", *row[6:]])
    assert (result.problems, result.notes) == ((), ())


def test_of_two_names_the_first_holds_and_it_is_noted():
    result = listed(UNITS, unit_row("B1", name="Box"), unit_row("B1", name="Bin"))
    assert result.problems == ()
    assert result.lines[1].unit_name == "Box"
    assert "“Bin” in row 3" in result.notes[0]


@pytest.mark.parametrize("word", ["-", "none", "wall", "W1", ""])
def test_a_unit_may_hang_on_the_wall_itself(word):
    result = listed(UNITS, unit_row("B1", wall="W1", hangs_on=word))
    assert result.problems == ()
    assert result.lines[0].hangs_on == ""


def test_a_support_that_is_not_in_the_list_is_a_problem_with_a_near_name():
    (problem,) = listed(UNITS, unit_row("Panel1"), unit_row("B1", hangs_on="Panel2")).problems
    assert (problem.row, problem.column, problem.value) == (3, "Hangs on", "Panel2")
    assert problem.remedy.startswith("Did you mean Panel1?")


def test_an_unlike_support_is_a_problem_without_a_guess():
    (problem,) = listed(UNITS, unit_row("B1", hangs_on="zzz")).problems
    assert problem.remedy.startswith("Write the unit")


def test_a_unit_that_hangs_on_itself_is_a_problem():
    (problem,) = listed(UNITS, unit_row("B1", hangs_on="B1")).problems
    assert problem.message == "B1 hangs on itself."


def test_a_circle_of_supports_is_one_problem():
    result = listed(
        UNITS,
        unit_row("A", hangs_on="B"),
        unit_row("B", hangs_on="C"),
        unit_row("C", hangs_on="B"),
        unit_row("D", hangs_on="A"),
    )
    assert [problem.message for problem in result.problems] == [
        "B hangs on C hangs on B: a circle."
    ]
