from dataclasses import replace
from datetime import timedelta
from itertools import combinations
from math import pi, sin
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kiosk.figure import DARK, Area, Box, Figure, Line, Words, draw_curve, to_png, to_svg
from kiosk.figure.flags import Flag, Free, place_flags
from kiosk.figure.shapes import BLUE, GREY, INK, ORANGE, PAPER, hatch, overlap
from kiosk.rules.air import Air, Reading
from kiosk.rules.curve import clock_curve
from kiosk.rules.drying import recoat_windows, run_clock
from tests.builders import SETUP, ZONE, at

SIZES = ((800, 480), (1000, 600), (1280, 800))
SVG = "{http://www.w3.org/2000/svg}"


def air(mean, swing, *, damp=55.0, last="Tue 16:00") -> Air:
    """Return hourly readings from Monday 00:00, warmest and driest at 15:00."""
    start, found = at("00:00"), []
    while (when := start + timedelta(hours=len(found))) <= at(last):
        wave = sin((len(found) - 9) * 2 * pi / 24)
        found.append(Reading(when, mean + swing * wave, damp - 2 * swing * wave))
    return Air(found)


def a_curve(stage="recoat", start="Tue 15:00", now="Tue 16:20", *, within=None, **more):
    product = SETUP.products[more.pop("product", "enamel")]
    within = air(18, 4) if within is None else within
    clock = run_clock(product, stage, at(start), air=within)
    assert clock is not None
    if more.pop("windows", False):
        more["window"] = recoat_windows(product, at(start), air=within)
    return clock_curve(clock, now=at(now), zone=ZONE, **more)


LONG = "Glaze store shelf with a name that goes on and on beyond every edge of a small screen"
CURVES = {
    "overnight": a_curve(subject="Shelf S1, coat 1"),
    "held": a_curve(within=air(11, 5)),
    "held now": a_curve("full", now="Tue 22:30", product="pva-interior", within=air(13, 3)),
    "damp": a_curve(within=air(14, 5, damp=84), windows=True),
    "no readings": a_curve("touch", within=Air()),
    "no readings, windows": a_curve(within=Air(), windows=True, product="oil-polyurethane"),
    "end not in sight": a_curve("touch", within=Air([Reading(at("Tue 15:10"), 4, 60)])),
    "window open": a_curve(now="Wed 09:00", windows=True),
    "window closes by the label": a_curve("window"),
    "glue still open": a_curve("open", now="Tue 15:03", product="pva-interior"),
    "fourteen days": a_curve("load", "Mon 15:00", product="clear", subject=LONG),
    "months": a_curve("load", "Mon 15:00", within=air(9, 6), subject=LONG),
    "fahrenheit": a_curve(fahrenheit=True),
    "long over": a_curve("touch", "Mon 15:00"),
    "not begun": a_curve(now="Mon 15:00"),
    "wiping": a_curve("load", product="shellac", within=air(18, 4, last="Tue 15:00")),
}


@pytest.fixture(params=[(name, size) for name in CURVES for size in SIZES], ids=str)
def figure(request) -> Figure:
    name, (width, height) = request.param
    return draw_curve(CURVES[name], width, height)


def texts(figure: Figure) -> list[str]:
    return [words.text for words in figure.words]


def assert_clean(figure: Figure) -> None:
    for one, other in combinations(figure.words, 2):
        assert not overlap(one.edges, other.edges), (one.text, other.text)
    for words in figure.words:
        left, top, right, bottom = words.edges
        inside = left >= 0 and top >= 0 and right <= figure.width and bottom <= figure.height
        assert inside, (words.text, words.edges)


# -- the layout ----------------------------------------------------------------------------------


def test_no_words_touch_and_none_are_cut_off(figure):
    assert len(figure.words) > 5
    assert_clean(figure)


@settings(max_examples=40, deadline=None)
@given(
    st.sampled_from(["touch", "recoat", "sand", "tape", "stack", "load", "window"]),
    st.floats(3, 33),
    st.floats(0, 9),
    st.integers(-60, 60 * 24 * 30),
    st.booleans(),
    st.sampled_from(SIZES),
)
def test_words_stay_apart_whatever_the_air_and_the_time(stage, mean, swing, minutes, wide, size):
    enamel, start = SETUP.products["enamel"], at("Tue 15:00")
    clock = run_clock(enamel, stage, start, air=air(mean, swing))
    assert clock is not None
    window = recoat_windows(enamel, start, air=air(mean, swing)) if wide else ()
    now = start + timedelta(minutes=minutes)
    curve = clock_curve(clock, now=now, zone=ZONE, window=window, subject="Kiln room rail R2")
    assert_clean(draw_curve(curve, *size))


def test_no_shape_reaches_beyond_the_picture(figure):
    for shape in figure.shapes:
        if isinstance(shape, Line | Area):
            assert all(0 <= x <= figure.width and 0 <= y <= figure.height for x, y in shape.points)
        elif isinstance(shape, Box):
            assert 0 <= shape.left <= shape.right <= figure.width
            assert 0 <= shape.top <= shape.bottom <= figure.height


def test_no_upright_line_runs_through_words_outside_the_panels(figure):
    panels = [s for s in figure.shapes if isinstance(s, Box) and s.edge and not s.fill]
    top = min(panel.top for panel in panels)
    above = [words for words in figure.words if words.edges[3] < top]
    lines = [shape.points for shape in figure.shapes if isinstance(shape, Line)]
    upright = [line for line in lines if len(line) == 2 and line[0][0] == line[1][0]]
    for (x, y), (_, to_y) in upright:
        for words in above:
            left, high, right, low = words.edges
            assert not (left < x < right and y < low and high < to_y), words.text


# -- what it says --------------------------------------------------------------------------------


def test_the_end_now_and_the_estimate_are_labelled():
    found = texts(draw_curve(CURVES["overnight"], 800, 480))
    assert CURVES["overnight"].end_words in found
    assert {"now 16:20", "estimate →", "0 %", "50 %", "100 %"} <= set(found)
    assert found[0] == "Shelf S1, coat 1: may be coated again"


@pytest.mark.parametrize(("name", "words"), [("held", "too cold"), ("damp", "too damp")])
def test_what_holds_the_clock_is_hatched_and_said(name, words):
    held = draw_curve(CURVES[name], 800, 480)
    bare = draw_curve(replace(CURVES[name], held=()), 800, 480)
    assert words in texts(held)
    assert words not in texts(bare)
    assert len(held.shapes) > len(bare.shapes) + 10


def test_every_kind_of_hold_is_said_at_least_once(figure, request):
    name, _ = request.node.callspec.params["figure"]
    wanted = {one.words for one in CURVES[name].held}
    assert wanted <= set(texts(figure))


def test_windows_have_a_bracket_with_their_times():
    curve = CURVES["window open"]
    found = texts(draw_curve(curve, 800, 480))
    assert [one.words for one in curve.windows] == [text for text in found if "coat again " in text]


def test_without_readings_there_is_no_panel_of_the_air():
    found = texts(draw_curve(CURVES["no readings"], 800, 480))
    assert not any("humidity" in text or "°C" in text for text in found)


@pytest.mark.parametrize(("name", "unit"), [("overnight", "°C"), ("fahrenheit", "°F")])
def test_both_lines_of_the_air_end_in_a_value_with_its_unit(name, unit):
    curve = CURVES[name]
    last, found = curve.points[-1], texts(draw_curve(curve, 1000, 600))
    assert f"{last.temperature:.0f} {unit}" in found
    assert f"{last.humidity:.0f} % humidity" in found


def test_days_too_narrow_to_see_are_drawn_as_their_mean():
    found = texts(draw_curve(CURVES["months"], 800, 480))
    assert any(text.startswith("Air, mean of each day") for text in found)
    assert "9 °C" in found  # the mean of the swing between 3 and 15 °C


def test_the_expected_line_is_dashed_after_the_last_reading_and_solid_before():
    bold = [
        shape
        for shape in draw_curve(CURVES["overnight"], 800, 480).shapes
        if isinstance(shape, Line) and shape.width == 3.0
    ]
    progress_known, progress_supposed = bold[:2]
    assert (progress_known.dash, bool(progress_supposed.dash)) == ((), True)
    assert progress_known.points[-1] == progress_supposed.points[0]


def test_a_now_beyond_the_picture_is_pointed_to():
    assert "now 16:20 →" in texts(draw_curve(CURVES["long over"], 800, 480))
    assert "← now 15:00" in texts(draw_curve(CURVES["not begun"], 800, 480))


def test_a_title_that_is_too_long_ends_in_an_ellipsis():
    curve = replace(CURVES["overnight"], title=LONG * 3, why=f"{LONG} {LONG} {LONG}")
    figure = draw_curve(curve, 800, 480)
    assert texts(figure)[0].endswith("…")
    assert_clean(figure)


# -- places for words ----------------------------------------------------------------------------


def test_three_flags_at_one_moment_are_stacked():
    flags = [Flag(300, f"flag number {n}", 14, "#000000") for n in range(3)]
    places = place_flags(flags, 0, 400)
    for one, other in combinations(places, 2):
        same = one.lane == other.lane
        assert not same or one.right < other.left or other.right < one.left


def test_flags_that_have_room_stay_in_the_lowest_lane():
    flags = [Flag(x, "now", 14, "#000000") for x in (50, 200, 350)]
    assert {place.lane for place in place_flags(flags, 0, 500)} == {0}


def test_words_avoid_what_is_taken_and_say_so_where_there_is_no_room():
    room = (0.0, 0.0, 100.0, 20.0)
    found = Free(room, [(0, 0, 50, 20)], [], []).find(40, 20, begins=0, ends=100)
    assert found is not None
    assert found[0] >= 50
    assert Free(room, [room], [], []).find(40, 20, begins=0, ends=100) is None


def test_words_rather_hide_an_upright_line_than_the_curve():
    dots = [(x, 30.0) for x in range(0, 101, 2)]
    found = Free((0, 0, 100, 40), [], [50.0], dots).find(90, 20, begins=0, ends=100)
    assert found == (5, 0, 95, 20)


@given(st.floats(0, 300), st.floats(1, 300), st.floats(1, 200), st.sampled_from([-1, 0, 1]))
def test_a_hatch_stays_in_its_box(left, width, height, lean):
    box = Box(left, 10, left + width, 10 + height)
    tiny = 1e-6
    for line in hatch(box, lean=lean, gap=7):
        for x, y in line.points:
            assert box.left - tiny <= x <= box.right + tiny
            assert box.top - tiny <= y <= box.bottom + tiny


# -- SVG and PNG ---------------------------------------------------------------------------------


def test_the_svg_is_well_formed_and_holds_all_words(figure):
    root = ElementTree.fromstring(to_svg(figure))
    assert root.tag == f"{SVG}svg"
    assert root.get("viewBox") == f"0 0 {figure.width} {figure.height}"
    assert [tag.text for tag in root.iter(f"{SVG}text")] == texts(figure)


@pytest.mark.parametrize("text", ["<b>&\"'", "a\x00b\x1b", "]]>", "größte ½ ″"])
def test_any_text_gives_well_formed_svg(text):
    figure = Figure(100, 50, (Words(5, 20, text, 12),))
    (found,) = ElementTree.fromstring(to_svg(figure)).iter(f"{SVG}text")
    assert found.text == "".join(letter for letter in text if letter.isprintable())


@pytest.mark.parametrize("scale", [0.5, 1, 2])
def test_the_png_has_the_scaled_size_and_is_drawn_on(scale):
    picture = to_png(draw_curve(CURVES["overnight"], 800, 480), scale)
    assert picture.size == (800 * scale, 480 * scale)
    assert picture.convert("L").getextrema()[0] < 60


def test_a_dashed_line_leaves_gaps_and_a_solid_one_does_not():
    def row(dash):
        line = Line(((10.0, 20.0), (90.0, 20.0)), 4.0, "#000000", dash)
        picture = to_png(Figure(100, 40, (line,)), 1).convert("L")
        return [picture.getpixel((x, 20)) for x in range(12, 88)]

    assert max(row(())) < 100
    dashed = row((8.0, 8.0))
    assert (min(dashed), max(dashed)) == (0, 255)
    assert sum(dot < 128 for dot in dashed) == pytest.approx(38, abs=5)


def test_shapes_are_filled_and_edged_as_they_say():
    shapes = (
        Box(10, 10, 40, 30, fill="#ff0000"),
        Box(50, 10, 80, 30, edge="#0000ff"),
        Area(((10, 35), (40, 35), (25, 48)), "#00ff00"),
    )
    picture = to_png(Figure(100, 50, shapes), 1)
    assert picture.getpixel((25, 20)) == (255, 0, 0)
    assert picture.getpixel((65, 20)) == (255, 255, 255)
    assert picture.getpixel((65, 10))[2] > picture.getpixel((65, 10))[0]
    assert picture.getpixel((25, 40)) == (0, 255, 0)


def test_the_same_curve_gives_the_same_picture():
    one, other = (to_svg(draw_curve(CURVES["damp"], 800, 480)) for _ in range(2))
    assert one == other


def luminance(colour: str) -> float:
    """Relative luminance as WCAG 2.2 defines it."""
    parts = [int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)]
    red, green, blue = (
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


@pytest.mark.parametrize("ink", [INK, GREY, BLUE, ORANGE])
def test_in_the_dark_words_and_lines_keep_seven_to_one(ink):
    # success criterion 1.4.6 of WCAG 2.2
    paper, drawn = luminance(DARK[PAPER]), luminance(DARK[ink])
    assert (drawn + 0.05) / (paper + 0.05) >= 7


def test_a_picture_in_the_dark_has_no_white_paper(figure):
    light, dark = to_png(figure), to_png(figure, tints=DARK)
    corner = (0, 0)
    assert light.getpixel(corner) == (255, 255, 255)
    assert "#{:02x}{:02x}{:02x}".format(*dark.getpixel(corner)) == DARK[PAPER]
    bright = sum(dark.convert("L").histogram()[200:])
    assert bright < 0.2 * dark.width * dark.height
