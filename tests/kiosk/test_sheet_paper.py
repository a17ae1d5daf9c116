"""Maps and cuts on paper: every cut, part and offcut is there, in words that fit their room."""

from collections import Counter
from dataclasses import replace
from datetime import UTC, datetime

import pypdfium2
import pytest

from kiosk.figure.paper import SIZES
from kiosk.figure.shapes import INK, PAPER, Box, Line
from kiosk.figure.sheetpages import SheetHead, draw_sheet_pages, lay_out_sheet_pages
from kiosk.figure.sheetsay import say_sides
from kiosk.figure.sheettable import compose_rows, height_of
from kiosk.language import use, use_catalogue
from kiosk.rules.breakdown.model import Breakdown, Direction, Part, Stock, Task
from kiosk.rules.breakdown.plan import break_down
from kiosk.rules.lengths import PER_MM, Length, System, tape
from kiosk.rules.sheets.lines import count_settings, cut_lines
from kiosk.rules.sheets.model import CutLine, Material, PlannedSheet
from kiosk.rules.sheets.views import SheetView
from labels.codes import shown as grouped
from tests.sheetplans import INCH, Everything, a_plan, a_view, assert_clean
from tests.strange import Strange

AT = datetime(2026, 3, 11, 9, 58, tzinfo=UTC)
HEAD = SheetHead(job="GLAZE", name="Glaze store", shop="Studio", at=AT)
KILN = {"file": "kiln-room.csv", "size": INCH, "sheets": 3, "tries": 20}


@pytest.fixture
def strange_words():
    use_catalogue(Strange(Everything()))
    yield
    use("en")


@pytest.fixture(scope="module")
def metric():
    return lay_out_sheet_pages(a_view(), HEAD, size=SIZES["a4"])


@pytest.fixture(scope="module")
def inch():
    head = replace(HEAD, job="KILN", system=System.INCH)
    return lay_out_sheet_pages(a_view(**KILN), head, size=SIZES["letter"])


def test_a_sheet_that_nothing_is_asked_of_is_not_fetched_unless_it_is_begun():
    view = a_view()
    first, *others = view.sheets
    idle = replace(first, parts=0, cut=frozenset())
    for sheet, is_there in ((first, True), (idle, False), (replace(idle, is_begun=True), True)):
        pages = lay_out_sheet_pages(replace(view, sheets=(sheet, *others)), HEAD, size=SIZES["a4"])
        assert bool(pages_of(first.planned.sheet.name, pages)) is is_there


def words(page):
    return [one.text for one in page.words]


def pages_of(name, pages):
    return [page for page in pages if any(text.startswith(f"{name}: ") for text in words(page)[:1])]


def column(page, name):
    """Return the words below a heading of the table, from above."""
    head = next(one for one in page.words if one.text == name)
    below = [one for one in page.words if abs(one.x - head.x) < 18 and one.y > head.y + 5]
    return [one.text for one in sorted(below, key=lambda one: one.y)]


# -- all of it is there --------------------------------------------------------------------------


def test_every_cut_stands_once_on_the_pages_of_its_sheet_in_order(metric):
    for sheet in a_view().sheets:
        found = [text for page in pages_of(sheet.planned.sheet.name, metric)
                 if "no." in words(page) for text in column(page, "no.")]  # fmt: skip
        assert found == [str(line.number) for line in sheet.lines]


def test_every_part_is_freed_once_with_name_unit_and_code(metric):
    plan, names, _grained = a_plan()
    said = Counter(text for page in metric for text in words(page))
    for code, (part, unit) in names.items():
        assert said[f"{unit} {part}, {grouped(code)}"] == 1, code
    assert not plan.left_out


def test_every_measure_is_said_as_the_saw_is_set(metric, inch):
    for pages, view, system in ((metric, a_view(), System.MM), (inch, a_view(**KILN), System.INCH)):
        for sheet in view.sheets:
            found = [text for page in pages_of(sheet.planned.sheet.name, pages)
                     if "measure" in words(page)
                     for text in measures(page)]  # fmt: skip
            assert found == [tape(line.measure, system) for line in sheet.lines]


def measures(page):
    head = next(one for one in page.words if one.text == "measure")
    below = [one for one in page.words if one.x == head.x + 16 and one.y > head.y + 5]
    found = [one.text for one in sorted(below, key=lambda one: one.y)]
    return [one for one in found if not one.startswith("long face")]


def test_every_offcut_is_named_with_its_size_and_goes_to_stock(metric):
    for sheet in a_view().sheets:
        said = " ".join(text for page in pages_of(sheet.planned.sheet.name, metric)
                        for text in words(page))  # fmt: skip
        kept = [line for line in sheet.lines if line.keeps_offcut]
        assert len(kept) == len(sheet.planned.sheet.offcuts)
        assert said.count(", to stock") == len(kept)
        for offcut in sheet.planned.sheet.offcuts:
            size = say_sides(offcut.length, offcut.width, System.MM)
            assert f"Offcut {offcut.piece}: label it {size}, to stock" in said


def test_the_head_says_what_the_saw_must_know_and_comes_again_overleaf(metric):
    name = "S5"
    first, *others = pages_of(name, metric)
    assert others
    said = words(first)
    assert "S5: Birch plywood 18, 18 mm" in said
    assert "GLAZE, sheet 5 of 11" in said
    assert "2500 × 1250 mm; 10 mm off each edge; kerf 3.2 mm" in said
    assert "9 new sheets of this for the job; fewer than 8 cannot do" in said
    assert "Wed 11 Mar 2026, 09:58" in said
    for page in others:
        assert "S5: Birch plywood 18, 18 mm (continued)" in words(page)
        assert {"no.", "kind of cut", "from", "measure", "gives", "remains"} <= set(words(page))


def test_bevels_are_said_with_tilt_and_the_cautions_beside_them(metric):
    said = " ".join(text for page in pages_of("S5", metric) for text in words(page))
    assert "bevel 45°" in said
    bevel = next(one for sheet in a_view().sheets for one in sheet.lines if one.tilt)
    assert bevel.long_face > bevel.measure
    assert f"long face {tape(bevel.long_face, System.MM)}" in said
    assert "Tilt the blade to 45°" in said
    assert "Lean the blade away from the fence" in said
    plain = next(sheet for sheet in a_view().sheets if not sheet.planned.strips)
    page = pages_of(plain.planned.sheet.name, metric)[0]
    assert "Tilt the blade" not in " ".join(words(page))


# -- the first page ------------------------------------------------------------------------------


def test_the_first_page_says_what_is_to_be_marked_by_hand(metric):
    said = " ".join(words(metric[0]))
    assert "Write each sheet's number on it" in said
    assert "Write the name, such as S1.2, on each piece that is cut further" in said


def test_the_first_page_says_what_to_fetch_and_what_it_comes_to(metric):
    said = " ".join(words(metric[0]))
    assert "Studio: Cutting GLAZE, Glaze store" in said
    names = ", ".join(f"S{number}" for number in range(1, 10))
    assert f"9 × Birch plywood 18, 18 mm, 2500 × 1250 mm: {names}" in said
    view = a_view()
    birch = [s for s in view.sheets if s.planned.material.name == "Birch plywood 18"]
    cuts = sum(len(sheet.lines) for sheet in birch)
    assert f"9 new sheets, fewest possible 8, 128 parts, {cuts} cuts" in said
    assert "on no sheet" not in said
    small = [text for text in words(metric[0]) if text.endswith(" parts") and text[0] == "S"]
    assert len(small) == len(view.sheets)
    assert sum(int(text.split()[1]) for text in small) == len(a_plan()[1])


def test_cautions_of_the_saw_stand_on_the_first_page(metric):
    said = " ".join(words(metric[0]))
    for caution in ("guards on", "unplug before changing", "Riving knife", "push stick",
                    "extraction and a particle mask", "The blade takes 3.2 mm"):  # fmt: skip
        assert caution in said


def test_parts_on_no_sheet_are_told_loudly_at_the_top(inch):
    view = a_view(**KILN)
    assert view.unplanned
    page = inch[0]
    loud = next(one for one in page.words if "on no sheet" in one.text)
    assert loud.text == f"{len(view.unplanned)} parts are on no sheet"
    assert loud.colour == PAPER
    assert loud.size >= 20
    assert any(isinstance(one, Box) and one.fill == INK and one.top < loud.y < one.bottom
               for one in page.shapes)  # fmt: skip
    assert loud.y < next(one for one in page.words if one.text == "Fetch").y
    said = " ".join(words(page))
    part, unit = a_plan(**KILN)[1][view.unplanned[0]]
    assert f"{unit} {part}" in said


def test_a_sheet_that_failed_its_check_is_told_and_offcuts_are_fetched_by_code():
    view = a_view(offcuts=(("K7F3Q97", 1900.0, 320.0),))
    view = replace(view, faults=("S2: cut 4: there is no piece S2.3 to cut",), notes=("A note.",))
    page = lay_out_sheet_pages(view, HEAD, size=SIZES["a4"])[0]
    said = " ".join(words(page))
    assert "1 sheet failed its check and is not here" in said
    assert "S2: cut 4: there is no piece S2.3 to cut" in said
    assert "offcut K7F-3Q97 of Birch plywood 18, 18 mm, 1900 × 320 mm: S1" in said
    assert "1 offcut used" in said
    assert "A note." in said


def test_a_sheet_that_is_begun_is_not_fetched_again_and_its_cuts_are_ticked():
    view = a_view(done=6)
    pages = lay_out_sheet_pages(view, HEAD, size=SIZES["a4"])
    said = " ".join(words(pages[0]))
    assert "already begun: Birch plywood 18, 18 mm, 2500 × 1250 mm: S1" in said
    assert "8 × Birch plywood 18" in said
    table = pages_of("S1", pages)[0]
    head = next(one for one in table.words if one.text == "no.")
    ticks = [one for one in table.shapes if isinstance(one, Line) and len(one.points) == 3
             and one.width == 2.4 and one.points[0][0] < head.x]  # fmt: skip
    below = [one for one in ticks if one.points[0][1] > head.y]
    assert len(below) == 6


# -- the table -----------------------------------------------------------------------------------


def a_line(number, measure, *, way=Direction.RIP, tilt=0.0, trim=False, **more):
    return CutLine(
        number=number, piece_in="S1", direction=way, measure=Length(measure * PER_MM),
        piece_out=f"S1.{number}", tilt=tilt, is_trim=trim, **more,
    )  # fmt: skip


def test_a_trim_says_how_much_it_takes_off_which_edge(metric, inch):
    for pages, view, off in ((metric, a_view(), "10 mm"), (inch, a_view(**KILN), '25/64"')):
        for sheet in view.sheets:
            said = [text for page in pages_of(sheet.planned.sheet.name, pages)
                    for text in words(page)]  # fmt: skip
            trims = sum(line.is_trim for line in sheet.lines)
            assert trims in (0, 4)
            for edge in ("long", "short"):
                assert said.count(f"{off} off a {edge} edge") == trims / 2


def test_settings_are_counted_where_the_fence_or_the_blade_is_moved():
    lines = (
        a_line(1, 1240, trim=True), a_line(2, 400), a_line(3, 400), a_line(4, 300),
        a_line(5, 300, way=Direction.CROSSCUT), a_line(6, 300, tilt=45.0),
        a_line(7, 300, tilt=45.0),
    )  # fmt: skip
    assert count_settings(lines) == 4
    rows = compose_rows(lines, {}, system=System.MM)
    assert [row.is_new for row in rows] == [False, True, False, True, True, True, False]
    assert [row.is_more for row in rows] == [False, True, False, False, False, True, False]


def test_settings_of_square_sheets_are_those_of_the_breakdown():
    for sheet in a_view().sheets:
        if not sheet.planned.strips:
            breakdown = Breakdown(sheets=(sheet.planned.sheet,), bound=1, levels=None)
            assert count_settings(sheet.lines) == breakdown.settings


def test_a_triangle_marks_each_new_setting_and_a_bar_ties_the_others(metric):
    for sheet in a_view().sheets:
        pages = pages_of(sheet.planned.sheet.name, metric)
        marks = 0
        for page in pages:
            if "measure" not in words(page):
                continue
            head = next(one for one in page.words if one.text == "measure")
            marks += sum(type(one).__name__ == "Area" and one.points[0][0] == head.x
                         and one.points[0][1] > head.y for one in page.shapes)  # fmt: skip
        assert marks == count_settings(sheet.lines)


def test_what_remains_is_a_piece_an_offcut_or_waste():
    lines = (
        a_line(1, 400, rest="S1", rest_length=Length(PER_MM), rest_width=Length(2 * PER_MM)),
        a_line(2, 300, rest="S1.9", rest_length=Length(900 * PER_MM),
               rest_width=Length(300 * PER_MM), keeps_offcut=True),
        a_line(3, 200, rest="S1.8", rest_length=Length(900 * PER_MM),
               rest_width=Length(9 * PER_MM), frees=("K7F3Q97",)),
        replace(a_line(4, 100, rest="S1.7", rest_length=Length(5), rest_width=Length(5)),
                frees=("A", "B")),
    )  # fmt: skip
    rows = compose_rows(lines, {"K7F3Q97": ("Side", "G01")}, system=System.MM)
    assert rows[0].remains == ("S1: 1 × 2",)
    assert rows[1].remains == ("Offcut S1.9: label it", "900 × 300, to stock")
    assert rows[2].remains == ("waste: 900 × 9",)
    assert rows[2].gives == ("G01 Side, K7F-3Q97",)
    assert rows[3].remains == ()  # what remains is a part itself
    assert rows[3].gives == ("A", "B")
    assert rows[0].gives == ("S1.1, waste",)
    assert height_of(rows[3], 727, System.MM) > height_of(rows[2], 727, System.MM)


def test_a_sheet_that_is_a_part_as_it_is_says_so():
    task = Task(
        parts=(Part(code="A", length=600 * PER_MM, width=300 * PER_MM),),
        stocks=(Stock(code="S", length=600 * PER_MM, width=300 * PER_MM),),
    )
    found, _problems = break_down(task, draw=lambda: 0.5, tries=0)
    planned = PlannedSheet(origin="P", material=Material("ply", None), kerf=Length(0),
                           sheet=found.sheets[0])  # fmt: skip
    assert cut_lines(planned) == ()
    view = replace(a_view(), sheets=(SheetView(planned=planned, lines=(), parts=1),))
    pages = lay_out_sheet_pages(view, HEAD, size=SIZES["a4"])
    assert "This sheet is a part as it is: nothing is cut." in words(pages[1])
    assert "1 part, 0 cuts" in " ".join(words(pages[0]))


# -- room ----------------------------------------------------------------------------------------


def test_no_words_leave_a_page_or_lie_over_others(metric, inch):
    for page in (*metric, *inch):
        assert_clean(page)


def test_no_row_runs_into_the_foot_of_a_page(metric, inch):
    for page in (*metric, *inch):
        foot = page.words[-1]
        assert "page" in foot.text
        lowest = max(one.edges[3] for one in page.words if one is not foot)
        boxes = [one.bottom for one in page.shapes if isinstance(one, Box)]
        lines = [y for one in page.shapes if isinstance(one, Line) for _x, y in one.points]
        assert max([lowest, *boxes, *lines]) < foot.edges[1] - 4


def test_words_of_another_language_fit_as_well(strange_words):
    for paper in ("a4", "letter"):
        pages = lay_out_sheet_pages(a_view(done=8), HEAD, size=SIZES[paper])
        assert "Fetch" not in words(pages[0])
        for page in pages:
            assert_clean(page)
            assert not any(text.endswith("…") for text in words(page)), words(page)


def test_a_job_of_two_hundred_parts_and_more_stands_on_its_pages():
    view = a_view(times=2, tries=10)
    assert sum(sheet.parts for sheet in view.sheets) > 200
    pages = lay_out_sheet_pages(view, HEAD, size=SIZES["a4"])
    found = Counter(text for page in pages for text in words(page))
    names = a_plan(times=2, tries=10)[1]
    assert all(found[f"{unit} {part}, {grouped(code)}"] == 1
               for code, (part, unit) in names.items())  # fmt: skip
    for page in pages:
        assert_clean(page)
        assert "see the list" not in " ".join(words(page))


def test_it_is_written_as_a_pdf_of_that_paper_and_as_pictures(tmp_path):
    view = replace(a_view(), sheets=a_view().sheets[:1])
    (file,) = draw_sheet_pages(view, tmp_path / "sheets.pdf", head=HEAD, paper="letter")
    document = pypdfium2.PdfDocument(file)
    count = len(lay_out_sheet_pages(view, HEAD, size=SIZES["letter"]))
    assert len(document) == count > 1
    assert document[0].get_size() == pytest.approx((612, 792), abs=1)  # 8.5 x 11 in at 72 dpi
    files = draw_sheet_pages(view, tmp_path / "sheets.png", head=HEAD, paper="a4")
    assert [one.name for one in files] == [f"sheets-{number + 1}.png" for number in range(count)]


def test_another_paper_is_an_error(tmp_path):
    with pytest.raises(KeyError):
        draw_sheet_pages(a_view(), tmp_path / "sheets.pdf", head=HEAD, paper="a3")
