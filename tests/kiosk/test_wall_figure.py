"""A wall drawn to scale: all of it is there, where it is, in words that fit their room."""

import re
from dataclasses import replace
from datetime import UTC, datetime

import pypdfium2
import pytest

from kiosk.figure.paper import SIZES
from kiosk.figure.shapes import BAND, INK, ORANGE, Area, Box, Line, Words
from kiosk.figure.wall import lay_out_wall, units_on
from kiosk.figure.wallfield import HUNG, READY, WallLook, field_in
from kiosk.figure.wallfloor import seams
from kiosk.figure.wallpages import WallHead, draw_wall_pages, lay_out_wall_pages
from kiosk.figure.wallunits import draw_units, number_screws
from kiosk.figure.wallwords import Ground
from kiosk.language import use, use_catalogue
from kiosk.rules.hanging.cautions import ALWAYS
from kiosk.rules.hanging.hangviews import Checked
from kiosk.rules.hanging.reaching import KEEP_OUT
from kiosk.rules.hanging.wall import FloorLevel, Stud
from kiosk.rules.lengths import System, from_mm, show
from tests.hangwalls import AT, UNITS, a_fitting, a_view, a_wall
from tests.sheetplans import Everything, assert_clean
from tests.strange import Strange

PROGRESS = {"S1": HUNG, "S2": READY}
HEAD = WallHead(at=AT, name="North wall", job_name="Glaze store", shop="Studio", progress=PROGRESS)
SCREENS = ((1240, 620), (1860, 880), (700, 480))


@pytest.fixture
def strange_words():
    use_catalogue(Strange(Everything()))
    yield
    use("en")


@pytest.fixture(scope="module")
def view():
    return a_view()


@pytest.fixture(scope="module")
def picture(view):
    return drawn(view, 1860, 880)


def drawn(view, width, height, **how):
    numbers = number_screws(units_on(view.walls[0], view.units))
    look = WallLook(**{"progress": PROGRESS, "numbers": numbers} | how)
    return lay_out_wall(view.walls[0], view.units, look, width=width, height=height)


def said(*figures):
    return " ".join(one.text for figure in figures for one in figure.words)


def lines_in(figure, box):
    """Return the lines that lie wholly inside a box."""
    return [
        one
        for one in figure.shapes
        if isinstance(one, Line)
        and all(box.left <= x <= box.right and box.top <= y <= box.bottom for x, y in one.points)
    ]


# -- to scale ------------------------------------------------------------------------------------


def test_units_are_as_large_and_as_far_apart_as_they_are_on_the_wall(picture, view):
    scale = picture.field.scale * 1600
    for unit in ("S1", "B1", "L1"):
        fitting, box = view.unit(unit).fitting, picture.box_of(unit)
        assert box.right - box.left == pytest.approx(fitting.width / 1600 * scale)
        assert box.bottom - box.top == pytest.approx(fitting.height / 1600 * scale)
    left, other = picture.box_of("S1"), picture.box_of("B1")
    assert other.left - left.left == pytest.approx((1240 - 100) * scale)
    assert left.top - other.top == pytest.approx((2120 - 2100) * scale)


def test_every_screw_is_a_cross_where_it_goes(picture, view):
    place = picture.field
    for one in view.units:
        for screw in one.screws:
            x, y = place.x(screw.x), place.y(screw.y)
            strokes = [
                line
                for line in picture.figure.shapes
                if isinstance(line, Line)
                and len(line.points) == 2
                and sum(p[0] for p in line.points) / 2 == pytest.approx(x)
                and sum(p[1] for p in line.points) / 2 == pytest.approx(y)
            ]
            assert len(strokes) >= 2, screw


def test_the_scale_bar_is_half_a_metre_long_and_two_feet_in_inches(view):
    for system, length, name in (
        (System.MM, from_mm(500), "500 mm"),
        (System.INCH, from_mm(609.6), '24"'),
    ):
        found = drawn(a_view(system=system), 1240, 620, system=system)
        label = next(one for one in found.figure.words if one.text.startswith(f"{name};"))
        bars = [
            line
            for line in found.figure.shapes
            if isinstance(line, Line) and line.width == 2.0 and line.points[0][1] > 300
            and line.points[0][1] == line.points[1][1]
        ]  # fmt: skip
        bar = min(bars, key=lambda line: abs(line.points[0][1] - label.y))
        wide = bar.points[1][0] - bar.points[0][0]
        assert wide == pytest.approx(length * found.field.scale)


def test_the_floor_dips_below_the_datum_as_it_was_read(picture):
    place = picture.field
    floor = next(
        one
        for one in picture.figure.shapes
        if isinstance(one, Line) and one.width == 3.0 and one.colour == INK
    )
    below = [y - place.y(0) for _x, y in floor.points[1:-1]]  # from end to end
    assert below == pytest.approx([down * 1600 * place.scale for down in (0, 3, 7, 9.5)])
    assert {"0", "−3", "−7", "−9.5"} <= {one.text for one in picture.figure.words}


def test_screws_are_kept_off_services_by_a_frame_drawn_to_scale(picture, view):
    outlet = view.walls[0].wall.services[0]
    place = picture.field
    left = place.x(outlet.x - KEEP_OUT)
    frames = [
        one
        for one in picture.figure.shapes
        if isinstance(one, Line) and one.colour == ORANGE and one.dash
    ]
    assert any(one.points[0][0] == pytest.approx(left) for one in frames)
    assert {"outlet", "pipe"} <= {one.text for one in picture.figure.words}


def test_studs_lie_at_their_places_with_width_and_wood(picture, view):
    words = {one.text: one for one in picture.figure.words}
    for stud in view.walls[0].wall.studs[1:-1]:
        name = show(stud.x, System.MM, unit_mark=False)
        assert words[name].x == pytest.approx(picture.field.x(stud.x))
    assert "stud, 38.1 mm wide, SPF" in said(picture.figure)


def test_a_stud_of_its_own_wood_says_so_and_one_unknown_too():
    studs = [*a_wall().studs]
    studs[2] = replace(studs[2], species="")
    found = drawn(a_view(wall=a_wall(studs=tuple(studs))), 1860, 880)
    words = [one.text for one in found.figure.words]
    text = said(found.figure)
    assert "A stud, 38.1 mm wide, species unknown" in text
    assert "B stud, 38.1 mm wide, SPF" in text
    assert "831.85 A" in words
    assert sum(one.endswith(" B") for one in words) == 5


# -- all of it is there --------------------------------------------------------------------------


def test_every_unit_is_named_with_what_the_check_says(picture):
    text = said(picture.figure)
    for unit in (*UNITS, "R1"):
        assert re.search(rf"\b{unit}\b", text), unit
    for words in ("19 kg, hung", "10 kg, ready to hang", "NOT RATED", "override", "carried by S2"):
        assert words in text


def test_only_rated_units_have_a_number_of_kilograms(picture, view):
    found = re.findall(r"\d+ kg", said(picture.figure))
    rated = [f"{one.net_kg} kg" for one in view.units if one.checked is Checked.RATED]
    assert sorted(found) == sorted(rated)


def test_states_differ_by_shape_and_not_by_colour_alone(picture):
    def leaning(unit):
        box = picture.box_of(unit)
        return [one for one in lines_in(picture.figure, box) if one.width == 0.8
                and one.points[0][0] != one.points[1][0]
                and one.points[0][1] != one.points[1][1]]  # fmt: skip

    assert not leaning("S1")
    ways = {unit: {(a[0] - b[0]) * (a[1] - b[1]) > 0 for a, b in
                   (one.points for one in leaning(unit))} for unit in ("B2", "B3")}  # fmt: skip
    assert ways == {"B2": {True, False}, "B3": {True}}
    grounds = [one for one in picture.figure.shapes if isinstance(one, Box) and one.fill == BAND]
    assert picture.box_of("S1").left in [one.left for one in grounds]
    assert picture.box_of("S2").left not in [one.left for one in grounds if
                                             one.top == picture.box_of("S2").top]  # fmt: skip
    ring = [one for one in picture.figure.shapes if isinstance(one, Area) and len(one.points) == 32]
    assert ring


def test_every_screw_has_its_number_in_the_drawing_or_the_legend(view):
    numbers = set(number_screws(view.units).values())
    assert numbers == set(range(1, len(numbers) + 1))
    for size in SCREENS:
        found = drawn(view, *size)
        alone = {one.text for one in found.figure.words if one.text.isdigit()}
        runs = re.findall(r"screws ([\d–, ]+)", said(found.figure))
        listed = {int(n) for n in alone} | {n for run in runs for n in spread(run)}
        assert numbers <= listed, size


def spread(run):
    for part in run.strip(" ,").split(", "):
        first, _dash, last = part.partition("–")
        yield from range(int(first), int(last or first) + 1)


def test_a_wide_wall_full_of_screws_loses_none():
    wide = a_wall(
        width=from_mm(7200),
        studs=tuple(Stud(x=from_mm(150 + 300 * n), width=from_mm(45)) for n in range(24)),
        services=(),
    )
    units = {
        f"S{n}": (f"Shelf {n}", "shelf", a_fitting(100 + 700 * n, 1500, 690, 300, on=""))
        for n in range(10)
    }
    view = a_view(wall=wide, units=units)
    assert sum(len(one.screws) for one in view.units) >= 40
    found = drawn(view, 700, 480)
    assert not found.unlisted
    runs = re.findall(r"screws ([\d–, ]+)", said(found.figure))
    alone = {int(one.text) for one in found.figure.words if one.text.isdigit()}
    listed = alone | {n for run in runs for n in spread(run)}
    assert set(number_screws(view.units).values()) <= listed


def test_a_number_without_room_is_told_in_the_legend_beside_its_unit(view):
    place = field_in(view.walls[0].wall, Box(0, 0, 60, 60))
    ground = Ground((0, 0, 60, 60))
    numbers = number_screws(view.units)
    drawn_small = draw_units(view.units, place, WallLook(numbers=numbers), ground)
    alone = {
        int(one.text) for one in drawn_small.over if isinstance(one, Words) and one.text.isdigit()
    }
    told = {
        number
        for _unit, words in ground.entries
        if words.startswith("screws ")
        for number in spread(words.removeprefix("screws "))
    }
    assert told
    assert alone | told == set(numbers.values())
    assert not alone & told


def test_a_unit_too_small_for_its_name_is_never_named_in_another():
    units = {
        f"S{n}": (f"Shelf {n}", "shelf", a_fitting(3 + 120 * n, 1500, 115, 60)) for n in range(10)
    }
    found = drawn(a_view(units=units), 700, 480)
    for unit in units:
        at = [one for one in found.figure.words if one.text == unit and one.x < 330]
        for word in at:
            middle = (word.edges[0] + word.edges[2]) / 2
            assert found.unit_at(middle, word.y - 3) in (None, unit)
        assert f"{unit} Shelf {unit[1:]}" in said(found.figure)


def test_a_unit_without_a_place_is_in_the_legend_with_the_reason():
    units = UNITS | {"Q1": ("Odd box", "box", replace(a_fitting(0, 0, 500, 300), x=None))}
    found = drawn(a_view(units=units), 1240, 620)
    assert "nobody said where it hangs" in said(found.figure)
    assert found.box_of("Q1") is None


def test_a_seam_says_whether_it_lies_on_a_stud(view):
    assert [(one.left, one.right, one.on_stud) for one in seams(view.walls[0])] == [
        ("P1", "P2", True)
    ]
    studs = tuple(one for one in a_wall().studs if one.x != from_mm(19.05 + 3 * 406.4))
    off = a_view(wall=a_wall(studs=studs))
    assert seams(off.walls[0])[0].on_stud is False
    assert "seam on NO stud" in said(drawn(off, 1240, 620).figure)


# -- to tap --------------------------------------------------------------------------------------


def test_a_tap_finds_the_unit_under_it_and_a_small_one_over_a_large(picture):
    box = picture.box_of("S1")
    assert picture.unit_at((box.left + box.right) / 2, box.top + 2) == "S1"
    assert picture.unit_at(box.left - 3, box.top) is None
    inside = UNITS | {"N1": ("Nook", "box", a_fitting(200, 1850, 300, 200))}
    found = drawn(a_view(units=inside), 1240, 620)
    small, large = found.box_of("N1"), found.box_of("S1")
    assert found.unit_at(small.left + 2, small.top + 2) == "N1"
    assert found.unit_at(large.right - 2, large.top + 2) == "S1"


# -- words fit -----------------------------------------------------------------------------------


@pytest.mark.parametrize("size", SCREENS)
@pytest.mark.parametrize("system", list(System))
def test_no_words_touch_others_or_leave_the_picture(size, system):
    found = drawn(a_view(system=system), *size, system=system)
    assert_clean(found.figure)
    assert not found.unlisted


@pytest.mark.usefixtures("strange_words")
@pytest.mark.parametrize("size", SCREENS[:2])
def test_longer_words_fit_too(size):
    found = drawn(a_view(), *size)
    assert_clean(found.figure)
    assert not found.unlisted


def test_a_wall_without_floor_studs_or_units_is_drawn_as_it_is():
    bare = a_wall(studs=(), floor=(), services=())
    found = drawn(a_view(wall=bare, units={"S1": UNITS["S1"]}), 1240, 620)
    assert_clean(found.figure)
    assert "S1" in said(found.figure)


# -- on paper ------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def pages(view):
    return lay_out_wall_pages(view, view.walls[0], HEAD, size=SIZES["a4"])


def test_every_screw_stands_in_the_table_with_all_its_measures(pages, view):
    text = said(*pages)
    numbers = number_screws(view.units)
    for one in view.units:
        for screw in one.screws:
            row = " ".join(
                (
                    str(numbers[screw.x, screw.y]), one.unit, show(screw.x, System.MM),
                    show(screw.y, System.MM), show(screw.stud, System.MM),
                    f"No. {screw.gauge} × {show(screw.length, System.MM)}",
                    show(screw.penetration, System.MM), f"{screw.pilot:.1f} mm",
                    f"{screw.clearance:.1f} mm", show(screw.to_end, System.MM),
                )
            )  # fmt: skip
            assert row in text, row
    assert "No screws are given for B2, B3: not rated." in text


def test_every_unit_stands_in_the_order_with_its_reason(pages, view):
    text = said(*pages)
    for step in view.order:
        one = view.unit(step.unit)
        assert re.search(rf"\b{step.number} {step.unit} {re.escape(one.name)}\b", text), step
        assert step.why in text


def test_every_refusal_with_its_remedy_and_the_override_are_on_paper(pages, view):
    text = said(*pages)
    refused = [one for one in view.units if one.refusals]
    assert {one.unit for one in refused} == {"B2", "B3"}
    for one in refused:
        for refusal in one.refusals:
            assert refusal.message in text
            assert refusal.remedy in text
    assert "B2: OVERRIDE by Mara: Mara has screwed the shelf to the studs by hand" in text


def test_spacer_shims_panels_cleats_services_and_cautions_are_on_paper(pages, view):
    text = said(*pages)
    wall = view.walls[0]
    for at, thick in wall.shims:
        assert f"{show(at, System.MM)} {show(thick, System.MM)}" in text
    for panel in wall.panels:
        assert f"{panel.unit} {show(panel.x, System.MM)}" in text
        assert show(panel.width, System.MM) in text
        for row in panel.rows:
            assert show(row, System.MM) in text
    for words in (*ALWAYS, *wall.notes):
        assert words in text
    own = {words for one in view.units for words in one.cautions}
    assert all(words in text for words in own)
    assert "Seam of P1 and P2 at 1219.2 mm: on a stud" in text


def test_a_floor_too_uneven_is_to_be_scribed():
    floor = tuple(FloorLevel(x=from_mm(x), level=from_mm(y)) for x, y in ((0, 0), (2400, -30)))
    view = a_view(wall=a_wall(floor=floor))
    text = said(*lay_out_wall_pages(view, view.walls[0], HEAD, size=SIZES["a4"]))
    assert "scribe the panels" in text


@pytest.mark.parametrize(("paper", "system"), [("a4", System.MM), ("letter", System.INCH)])
def test_no_words_on_paper_touch_others_or_leave_it(paper, system):
    view = a_view(system=system)
    head = replace(HEAD, system=system)
    for page in lay_out_wall_pages(view, view.walls[0], head, size=SIZES[paper]):
        assert_clean(page)
        assert max(one.edges[3] for one in page.words) <= page.height - 30


@pytest.mark.usefixtures("strange_words")
def test_longer_words_fit_on_paper_too():
    view = a_view()
    for page in lay_out_wall_pages(view, view.walls[0], HEAD, size=SIZES["a4"]):
        assert_clean(page)


def test_the_pdf_has_the_size_of_the_paper(tmp_path, view):
    file = tmp_path / "wall.pdf"
    at = datetime(2026, 3, 11, 9, 58, tzinfo=UTC)
    files = draw_wall_pages(view, view.walls[0], file, head=replace(HEAD, at=at), paper="letter")
    assert files == (file,)
    document = pypdfium2.PdfDocument(file)
    try:
        assert [round(side) for side in document[0].get_size()] == [612, 792]
    finally:
        document.close()


def test_loads_of_an_inch_job_are_on_paper_in_pounds_too(view):
    head = replace(HEAD, system=System.INCH)
    words = said(*lay_out_wall_pages(view, view.walls[0], head, size=SIZES["letter"]))
    for one in view.units:
        if one.checked is Checked.RATED and one.wall == "W1":
            assert f"{one.net_kg} kg ({int(one.net_kg / 0.45359237)} lb)" in words


def test_a_bare_wall_is_drawn_larger_with_its_units_and_without_legend_and_signs(view):
    plain = drawn(view, 700, 500, progress={})
    look = WallLook(is_bare=True)
    bare = lay_out_wall(view.walls[0], view.units, look, width=700, height=500)
    assert bare.field.scale > plain.field.scale
    assert {unit for unit, _box in bare.places} == {unit for unit, _box in plain.places}
    assert "y counts up from" in said(plain.figure)
    assert "y counts up from" not in said(bare.figure)
    for unit, box in bare.places:
        middle = (box.left + box.right) / 2, (box.top + box.bottom) / 2
        assert bare.unit_at(*middle) is not None, unit
