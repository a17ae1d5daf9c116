from collections.abc import Sequence

import pytest

from kiosk.rules.lengths import mm
from kiosk.rules.partlist import PartList, accounted, read

HEAD = ["Part", "Length", "Width", "Qty"]


def listed(*rows: Sequence[str], units: str | None = "mm") -> PartList:
    result = read(rows, units=units)
    assert accounted(result, len(rows))
    return result


def one(head: str, cell: str) -> PartList:
    """Read a list of one part with one more column."""
    return listed([*HEAD, head], ["Side", "600", "300", "1", cell])


@pytest.mark.parametrize(
    "head",
    [
        ["Part", "Length", "Width", "Qty"],
        ["part name", "LEN", "w", "No. off"],
        ["Description", "L (mm)", "W [mm]", "Pcs"],
        ["Component", "Length/mm", "Width in mm", "Quantity"],
        ["Name", "Height", "Width", "Count"],
        ["Name", "Length", "Depth", "Count"],
        ["Name", "Height", "Depth", "Count"],
        ["Part", "Length (cut) (mm)", "Width (no edge)", "Qty (pcs)"],
        ["Part", "Lenght", "Width", "Quanttity"],
        ["Bezeichnung", "Länge", "Breite", "Stück"],
        ["Bauteil", "LÄNGE (mm)", "B", "Anzahl"],
        ["Pièce", "Longueur", "Largeur", "Nombre"],
        ["Désignation", "Long.", "Larg.", "Qté"],
        ["Nombre", "Largo", "Ancho", "Cantidad"],
        ["Pieza", "Longitud (mm)", "Anchura", "Uds."],
        ["Onderdeel", "Lengte", "Breedte", "Aantal"],
    ],
)
def test_headers_are_understood_in_many_words(head):
    result = listed(head, ["Side", "600", "300", "2"])
    (line,) = result.lines
    assert result.problems == ()
    assert (line.part, mm(line.length), mm(line.width), line.quantity) == ("Side", 600, 300, 2)


def test_columns_may_stand_in_any_order_below_other_rows():
    result = listed(
        ["My list"], [], ["Qty", "Colour", "W", "Part", "L"], ["2", "red", "3", "A", "6"]
    )
    assert result.header_row == 3
    assert result.columns == {"Qty": "quantity", "W": "width", "Part": "part", "L": "length"}
    assert result.ignored == ("Colour",)
    assert result.lines[0].row == 4


def test_a_running_number_headed_item_gives_way_to_a_description():
    result = listed(["Item", "Description", "L", "W", "Qty"], ["1", "Side", "6", "3", "1"])
    assert result.lines[0].part == "Side"


def test_a_header_below_row_20_is_not_looked_for():
    rows = [["x"]] * 20 + [HEAD, ["Side", "600", "300", "1"]]
    result = listed(*rows)
    assert result.header_row is None
    assert len(result.skipped) == 22
    assert "headings" in result.problems[0].message


def test_an_empty_list_is_a_problem():
    assert [problem.message for problem in listed().problems] == ["The list is empty."]


def test_a_missing_column_is_named_once_and_no_row_is_lost():
    result = listed(["Part", "Length", "Width"], ["Side", "600", "300"], ["Top", "x", "300"])
    assert [problem.row for problem in result.problems] == [1, 3]
    assert result.problems[0].message == "The list has no column for the quantity."
    assert result.skipped[0].why == "the list has no column for quantity"
    assert result.lines == ()


def test_every_problem_is_named_with_row_column_value_and_remedy():
    result = listed(
        ["Teil", "Länge", "Breite", "Stk", "Grain", "Kind", "Bevel", "Finish"],
        ["", "0", "about 3", "2.5", "upwards", "sofa", "95", "oil, clear"],
        ["Top", "600", "300", "0"],
        ["Top", "600", "300", "10000"],
    )
    found = {(problem.row, problem.column, problem.value) for problem in result.problems}
    assert found == {
        (2, "Teil", ""),
        (2, "Länge", "0"),
        (2, "Breite", "about 3"),
        (2, "Stk", "2.5"),
        (2, "Grain", "upwards"),
        (2, "Kind", "sofa"),
        (2, "Bevel", "95"),
        (2, "Finish", "oil, clear"),
        (3, "Stk", "0"),
        (4, "Stk", "10000"),
    }
    assert len(result.problems) == len(found)
    assert all(problem.remedy and problem.message for problem in result.problems)


def test_rows_that_are_no_parts_are_left_out_and_named():
    result = listed(
        HEAD,
        ["", " ", ""],
        ["# doors follow"],
        ["Side", "600", "300", "1"],
        HEAD,
        ["part", "length", "width", "pcs"],
        ["Total", "", "", "1"],
        ["Zwischensumme"],
    )
    assert [skip.row for skip in result.skipped] == [2, 3, 5, 6, 7, 8]
    assert [skip.why for skip in result.skipped] == [
        "blank row",
        "a remark (starts with #)",
        "the headings again",
        "the headings again",
        "a total",
        "a total",
    ]
    assert len(result.lines) == 1


def test_a_part_called_total_with_sizes_is_a_part():
    assert listed(HEAD, ["Total stop", "600", "300", "1"]).lines[0].part == "Total stop"


def test_a_row_with_one_cell_is_one_problem_with_the_way_out():
    (problem,) = listed(HEAD, ["Doors", "", "", ""]).problems
    assert (problem.row, problem.value) == (2, "Doors")
    assert "put # in front" in problem.remedy


def test_a_cell_beyond_the_header_is_a_problem():
    result = listed(HEAD, ["Side", "603", "5", "300", "2"])
    assert "more cells than the header" in result.problems[0].message


@pytest.mark.parametrize(
    ("cell", "count"),
    [("2", 2), ("2 off", 2), ("x2", 2), ("2,0", 2), ("2.00", 2), ("3 Stück", 3), ("9999", 9999)],
)
def test_quantities_are_read_as_people_write_them(cell, count):
    assert listed(HEAD, ["Side", "600", "300", cell]).lines[0].quantity == count


@pytest.mark.parametrize("cell", ["1,000", "two", "-1", "1/2", "0", ""])
def test_other_quantities_are_problems(cell):
    (problem,) = listed(HEAD, ["Side", "600", "300", cell]).problems
    assert (problem.row, problem.column, problem.value) == (2, "Qty", cell)


@pytest.mark.parametrize(
    ("head", "cell", "field", "value"),
    [
        ("Grain", "lengthwise", "grain", "length"),
        ("Maserung", "quer", "grain", "width"),
        ("Grain", "none", "grain", ""),
        ("Grain", "-", "grain", ""),
        ("Grain", "any", "grain", ""),
        ("Kind", "Cabinet", "kind", "box"),
        ("Kind", "étagère", "kind", "shelf"),
        ("Kind", "-", "kind", "panel"),
        ("Bevel", "45°", "bevel", 45.0),
        ("Bevel", "22,5 deg", "bevel", 22.5),
        ("Bevel", "none", "bevel", 0.0),
        ("Edge", "none", "edge", ""),
        ("Edge", "front", "edge", "front"),
        ("Finish", "Clear", "finish", "clear"),
        ("Finish", "Hard wax", "finish", "hard-wax"),
        ("Finish", "лак", "finish", "лак"),
        ("Finish", "raw", "finish", ""),
        ("Finish", "-", "finish", ""),
        ("Thickness", "18", "thickness", 18 * 1600),
        ("Thickness", "-", "thickness", None),
        ("Material", "Birch\u00a0 ply\t18", "material", "Birch ply 18"),
    ],
)
def test_cells_are_read_to_values(head, cell, field, value):
    (line,) = one(head, cell).lines
    assert getattr(line, field) == value


@pytest.mark.parametrize(
    ("cell", "finish", "accent"),
    [
        ("clear + stripe", "clear", True),
        ("enamel, accent", "enamel", True),
        ("Streifen", "", True),
        ("none + stripe", "", True),
        ("oil", "oil", False),
    ],
)
def test_a_stripe_goes_on_top_of_a_finish(cell, finish, accent):
    (line,) = one("Finish", cell).lines
    assert (line.finish, line.accent) == (finish, accent)


@pytest.mark.parametrize(
    ("head", "cell"),
    [
        ("Grain", "→"),
        ("Thickness", "0"),
        ("Bevel", "90"),
        ("Finish", "oil/clear"),
        ("Note", "n" * 201),
    ],
)
def test_a_cell_that_cannot_be_read_is_a_problem(head, cell):
    (problem,) = one(head, cell).problems
    assert (problem.row, problem.column, problem.value) == (2, head, cell)


def test_fractions_beside_numbers_too_large_for_inches_are_asked_about():
    rows = [["Part", "Length", "Width", "Qty", "Thickness"], ["Face", "144", "48", "1", "3/4"]]

    result = read(rows, units=None)

    assert ["too large for inches" in problem.message for problem in result.problems] == [True]
    assert read(rows, units="in").problems == ()


def test_a_list_that_names_no_unit_says_that_it_was_read_as_mm():
    rows = [["Part", "Length", "Width", "Qty"], ["Face", "600", "300", "1"]]

    assert any("read as mm" in note for note in read(rows, units=None).notes)
    assert not any("read as mm" in note for note in read(rows, units="mm").notes)
