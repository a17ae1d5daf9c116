"""Sheets as JSON and text: what is said is enough to saw by, whoever saws."""

import copy
import random
import re
from datetime import UTC, datetime

import pytest

from kiosk.rules.breakdown.model import Part, Stock, Task
from kiosk.rules.breakdown.plan import break_down
from kiosk.rules.lengths import PER_MM, Length, System
from kiosk.rules.parts import Piece
from kiosk.rules.sheets.checks import codes_on
from kiosk.rules.sheets.lines import cut_lines
from kiosk.rules.sheets.model import Material, PlannedSheet, SheetPlan
from kiosk.rules.sheets.strips import as_part, pair_cleats
from kiosk.rules.sheets.views import Choice, CutDone, PartName, SheetsView, SheetView
from kiosk.sheetreport import Found, cut_text, found_json, found_text
from tests.sheetsaw import SawError, check_parts, saw_sheet

BIRCH = Material("Birch plywood 18", Length(18 * PER_MM))
NOW = datetime(2026, 3, 9, 8, tzinfo=UTC)
KERF = Length(3 * PER_MM)


def mm(value):
    return Length(round(value * PER_MM))


def piece(code, length, width, **more):
    return Piece(code=code, part=code, length=mm(length), width=mm(width), **more)


@pytest.fixture(scope="module")
def pieces():
    """Shelves, brackets, and cleats of which one pairs with two shorter ones."""
    cleat = {"bevel": 45.0, "thickness": mm(18), "grain": "length"}
    return [
        *(piece(f"B{n}", 1160, 400, grain="length") for n in range(3)),
        *(piece(f"K{n}", 380, 180, grain="") for n in range(7)),
        *(piece(f"W{n}", 500, 240, grain="width") for n in range(2)),
        *(piece(f"C{n}", 1139.5, 89.5, **cleat) for n in range(4)),
        piece("D0", 864, 70, **cleat),
        *(piece(f"E{n}", 414, 70, **cleat) for n in range(2)),
    ]


@pytest.fixture(scope="module")
def planned(pieces):
    """The sheets these are cut from."""
    strips, problems = pair_cleats(pieces, kerf=KERF, longest=mm(2430))
    assert problems == ()
    square = [
        Part(code=one.code, length=one.width, width=one.length, is_locked=True)
        if one.grain == "width"
        else Part(
            code=one.code, length=one.length, width=one.width, is_locked=one.grain == "length"
        )
        for one in pieces
        if not one.bevel
    ]
    stock = Stock(code="sheet", length=mm(2440), width=mm(1220), trim=mm(5))
    task = Task(parts=(*square, *map(as_part, strips)), stocks=(stock,), kerf=KERF)
    found, problems = break_down(task, draw=random.Random(4).random, tries=60)
    assert problems == ()
    codes = {strip.code: strip for strip in strips}
    return tuple(
        PlannedSheet(
            origin="plan",
            material=BIRCH,
            kerf=KERF,
            sheet=sheet,
            strips=tuple(codes[one.code] for one in sheet.parts if one.code in codes),
        )
        for sheet in found.sheets
    )


@pytest.fixture
def found(planned, pieces):
    """What was found: this layout, and one with fewer settings."""
    first = Choice(
        material=BIRCH, number=0, planned=planned, sheets=len(planned), offcuts=0, bound=1,
        cuts=40, settings=20, left_out=("X1",),
    )  # fmt: skip
    other = Choice(
        material=BIRCH, number=1, planned=planned, sheets=9, offcuts=0, bound=1, cuts=40,
        settings=12, largest_offcut=(mm(600), mm(300)),
    )  # fmt: skip
    names = {one.code: PartName(one.part, "G1", "") for one in pieces}
    plan = SheetPlan(
        id="", job="GLAZE", made=NOW, sheets=planned, bounds=((BIRCH, 1),), left_out=("X1",)
    )
    sheets = [
        SheetView(planned=one, lines=cut_lines(one), next=1, parts=len(codes_on(one)))
        for one in planned
    ]
    view = SheetsView(plan=plan, sheets=tuple(sheets), names=names, notes=("Taken to be so.",))
    return Found(view, (first,), (first, other))


@pytest.fixture
def rows(found):
    """The JSON of the sheets."""
    return found_json(found, UTC)["sheets"]


@pytest.fixture
def wanted(pieces):
    """What the list asks for, as `take-in --json` says it."""
    return {
        one.code: {
            "length_mm": one.length / PER_MM,
            "width_mm": one.width / PER_MM,
            "grain": one.grain,
        }
        for one in pieces
    }


def test_the_cuts_of_the_json_make_every_part_of_the_list(rows, wanted):
    assert sum(len(row["strips"]) for row in rows) >= 3
    check_parts(rows, wanted)


@pytest.mark.parametrize(
    "harm",
    [
        lambda row, cut: cut.update(measure_mm=cut["measure_mm"] + 1),
        lambda row, cut: cut.update(direction={"rip": "crosscut"}.get(cut["direction"], "rip")),
        lambda row, cut: row.update(kerf_mm=row["kerf_mm"] + 1),
        lambda row, cut: row["cuts"].remove(cut),
        lambda row, cut: row["parts"].pop(),
    ],
    ids=["moved", "turned", "thicker blade", "left out", "part gone"],
)
def test_the_saw_of_these_tests_sees_what_is_wrong(rows, wanted, harm):
    row = copy.deepcopy(rows[0])
    square = [cut for cut in row["cuts"] if not cut["trim"] and not cut["tilt"]]

    harm(row, square[1])

    with pytest.raises(SawError):
        check_parts([row, *rows[1:]], wanted)


def test_the_saw_of_these_tests_sees_a_bevel_set_wrong(rows, wanted):
    row = next(row for row in rows if row["strips"])
    bevel = next(cut for cut in row["cuts"] if cut["tilt"])

    bevel["measure_mm"] += 0.5

    with pytest.raises(SawError):
        check_parts(rows, wanted)


def test_parts_lie_where_the_cuts_leave_them(rows):
    """The sizes of the places are those that come out of the saw, and all lie on the sheet."""
    for row in rows:
        freed = saw_sheet(row)
        for part in row["parts"]:
            size = (round(part["length_mm"] * PER_MM), round(part["width_mm"] * PER_MM))
            assert all(abs(a - b) <= 2 for a, b in zip(size, freed[part["code"]], strict=True))
            assert part["x_mm"] >= row["trim_mm"] <= part["y_mm"]
            assert part["x_mm"] + part["length_mm"] <= row["length_mm"] - row["trim_mm"] + 0.01
            assert part["y_mm"] + part["width_mm"] <= row["width_mm"] - row["trim_mm"] + 0.01


def test_only_the_lanes_of_one_strip_overlap_in_plan(rows):
    """By what the leaning blade leaves: t tan a - k / cos a, 18 - 3 / cos 45° = 13.757 mm."""
    for row in rows:
        for number, one in enumerate(row["parts"]):
            for other in row["parts"][number + 1 :]:
                along, across = (
                    _overlap(one, other, "x", "length"),
                    _overlap(one, other, "y", "width"),
                )
                if along > 0 and across > 0:
                    assert one["strip"] == other["strip"] is not None
                    assert across == pytest.approx(18 - 3 * 2**0.5, abs=0.01)


def _overlap(one, other, at, size):
    ends = [part[f"{at}_mm"] + part[f"{size}_mm"] for part in (one, other)]
    return min(ends) - max(one[f"{at}_mm"], other[f"{at}_mm"])


def test_each_part_names_the_cut_that_frees_it(rows):
    for row in rows:
        for part in row["parts"]:
            assert part["code"] in row["cuts"][part["cut"] - 1]["frees"]
            assert (part["unit"], part["is_cut"]) == ("G1", False)


def test_what_was_found_says_bound_totals_and_choices(found, planned):
    said = found_json(found, UTC)

    assert (said["bound"], said["new_sheets"], said["plan"]) == (1, len(planned), None)
    assert said["cuts"] == sum(len(row["cuts"]) for row in said["sheets"])
    assert said["parts_wanted"] == 19
    (row,) = said["materials"]
    assert (row["choice"], row["thickness_mm"]) == (1, 18)
    assert [one["settings"] for one in row["alternatives"]] == [said["settings"]] * 2
    assert row["alternatives"][1]["largest_offcut_mm"] == [600, 300]
    assert said["left_out"] == ["X1"]


def test_the_text_marks_the_next_cut_and_names_the_parts(found):
    text = found_text(found, System.MM)

    lines = text.splitlines()
    assert "--keep" in lines[0]
    assert "at least 1" in lines[1]
    assert lines[2].startswith("  * --choice 1")
    assert lines[3].startswith("    --choice 2")
    assert sum(" NEXT " in line for line in lines) == len(found.view.sheets)
    for row in found_json(found, UTC)["sheets"]:
        assert all(f"G1 {part['code']} " in text for part in row["parts"])
    beside = r"^.* bevel 45° +52 mm .*= G1 E0 E0; rest \S+ = G1 E1 E1; long face 70 mm$"
    assert re.search(beside, text, re.MULTILINE)  # 18 mm at 45 degrees: the short face is 70 - 18
    assert re.search(r" trim +1215 mm  5 mm off a long edge$", text, re.MULTILINE)
    assert re.search(r" trim +2435 mm  5 mm off a short edge$", text, re.MULTILINE)
    assert re.search(r"; offcut \S+ to keep, \d", text)
    assert re.search(r"; waste \d", text)
    assert "There are not sheets enough for: X1" in text
    assert "Taken to be so." in text


def test_measures_can_be_read_on_a_tape(found):
    cuts = [line for line in found_text(found, System.MM).splitlines() if line.startswith("   ")]
    assert cuts
    assert not [line for line in cuts if re.search(r"\d\.\d\d", re.sub(r"S[\d.]+", "", line))]
    inches = re.sub(r"S[\d.]+", "", found_text(found, System.INCH))
    assert re.findall(r"\d+/\d+\"", inches)
    assert not re.findall(r"\d\.\d+\" ", inches)


def test_a_bevel_names_both_faces_and_no_other_cut_does(rows):
    bevels = [cut for row in rows for cut in row["cuts"] if cut["tilt"]]
    assert bevels
    assert {cut["long_face_mm"] - cut["measure_mm"] for cut in bevels} == {18}  # as thick, at 45°
    square = [cut for row in rows for cut in row["cuts"] if not cut["tilt"]]
    assert {cut["long_face_mm"] for cut in square} == {None}


def test_a_job_in_inches_reads_its_sheets_in_inches(found):
    assert "mm" not in found_text(found, System.INCH)


def test_a_cut_says_which_labels_are_due_and_what_comes_next():
    done = CutDone(outcome="recorded", message="Cut 4 is made.", labels=("K7F3Q97",), next=5)

    assert cut_text(done).splitlines() == [
        "Cut 4 is made.", "Stick on: K7F-3Q97", "Next: cut 5"
    ]  # fmt: skip
