"""One sheet as a picture: to scale, every part named, cuts numbered where they are."""

from dataclasses import replace
from functools import cache
from itertools import combinations

import pytest
from PIL import ImageStat

from kiosk.figure import DARK, Area, Box, Line, to_png
from kiosk.figure.shapes import BAND, INK, PAPER, RULE, overlap
from kiosk.figure.sheetfield import Region, items_of, trace
from kiosk.figure.sheetnames import key_of
from kiosk.figure.sheets import draw_sheet, lay_out_sheet, part_at
from kiosk.figure.sheetsketch import Look
from kiosk.language import use, use_catalogue
from kiosk.rules.breakdown.model import Part, Stock, Task
from kiosk.rules.breakdown.plan import break_down
from kiosk.rules.lengths import PER_MM, Length, System, from_mm, mm
from kiosk.rules.sheets.lines import cut_lines
from kiosk.rules.sheets.model import Material, PlannedSheet, Strip
from tests.sheetplans import INCH, Everything, a_plan, assert_clean
from tests.strange import Strange

SCREENS = ((960, 600), (1280, 720), (620, 420), (500, 720))
LISTS = {
    "glaze": ({}, System.MM),
    "kiln": ({"file": "kiln-room.csv", "size": INCH}, System.INCH),
    "twice": ({"times": 2, "tries": 10}, System.MM),
    "offcut": ({"offcuts": (("K7F3Q97", 1900.0, 320.0),)}, System.MM),
}


@pytest.fixture
def strange_words():
    use_catalogue(Strange(Everything()))
    yield
    use("en")


def look_of(planned, system=System.MM, *, made=0, grained=frozenset(), **more):
    lines = cut_lines(planned)
    done = lines[:made]
    ahead = lines[made].number if made < len(lines) else None
    return Look(
        lines=lines, done=frozenset(one.number for one in done), next_line=ahead, system=system,
        cut=frozenset(code for one in done for code in one.frees), grained=grained, **more,
    )  # fmt: skip


@cache
def pictures(name, size, *, made=0):
    how, system = LISTS[name]
    plan, names, grained = a_plan(**how)
    width, height = size
    found = []
    for planned in plan.sheets[:: 1 if name == "glaze" else 3]:
        look = look_of(planned, system, made=made, grained=grained)
        picture = lay_out_sheet(planned, names, look, width=width, height=height)
        found.append((planned, names, picture))
    return found


# -- words ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("made", [0, 9])
@pytest.mark.parametrize("size", SCREENS, ids=str)
@pytest.mark.parametrize("name", list(LISTS))
def test_no_words_touch_and_none_are_cut_off(name, size, made):
    for _planned, _names, picture in pictures(name, size, made=made):
        assert_clean(picture.figure)


@pytest.mark.parametrize("size", SCREENS[:2], ids=str)
def test_longer_words_of_another_language_find_room(size, strange_words):
    plan, names, grained = a_plan()
    for planned in plan.sheets[:6]:
        look = look_of(planned, made=9, grained=grained)
        picture = lay_out_sheet(planned, names, look, width=size[0], height=size[1])
        assert_clean(picture.figure)
        assert "grain" not in [words.text for words in picture.figure.words]


@pytest.mark.parametrize("size", SCREENS, ids=str)
@pytest.mark.parametrize("name", list(LISTS))
def test_every_part_is_named_in_its_place_or_in_the_legend(name, size):
    for planned, names, picture in pictures(name, size):
        assert picture.unlisted == 0
        said = [words.text for words in picture.figure.words]
        for code, box in picture.places:
            part, unit = names[code]
            within = " ".join(
                words.text for words in picture.figure.words
                if box.left <= words.x <= box.right and box.top <= words.y <= box.bottom
            )  # fmt: skip
            if unit in within:
                assert all(word in within for word in part.split()), (within, part)
            else:
                text = " ".join(said)
                assert f"{unit} {part}" in text, (planned.sheet.name, code)
        assert len(picture.places) == len(items_of(planned))


@pytest.mark.parametrize("size", SCREENS, ids=str)
def test_words_of_a_part_lie_within_it(size):
    for _planned, names, picture in pictures("glaze", size):
        units = {unit for _part, unit in names.values()}
        sheet = max((s for s in picture.figure.shapes if isinstance(s, Box) and s.fill == RULE),
                    key=lambda box: box.right - box.left)  # fmt: skip
        for words in picture.figure.words:
            on_sheet = sheet.left < words.x < sheet.right and sheet.top < words.y < sheet.bottom
            if words.text.split(" ")[0] in units and on_sheet:
                left, top, right, bottom = words.edges
                homes = [b for _code, b in picture.places if b.left <= left and right <= b.right
                         and b.top <= top + 3 and bottom <= b.bottom + 3]  # fmt: skip
                assert homes, words


def test_equal_parts_share_a_letter_and_the_legend_counts_them():
    task = Task(
        parts=(Part(code="A", length=60 * PER_MM, width=60 * PER_MM, quantity=8),),
        stocks=(Stock(code="S", length=1000 * PER_MM, width=500 * PER_MM),),
    )
    found, _problems = break_down(task, draw=lambda: 0.5, tries=0)
    sheet = found.sheets[0]
    parts = tuple(replace(part, code=f"P{at}") for at, part in enumerate(sheet.parts))
    planned = replace(one_part_sheet(), sheet=replace(sheet, parts=parts), kerf=Length(0))
    names = {part.code: ("Spacer behind the panel", "G01") for part in parts}
    picture = lay_out_sheet(planned, names, Look(), width=620, height=420)
    said = [words.text for words in picture.figure.words]
    assert said.count("A") == 9  # once in the legend, once in each part
    assert "G01 Spacer behind the panel 60 × 60, 8 times" in said


def test_letters_go_on_past_z_and_leave_out_those_like_digits():
    keys = [key_of(number) for number in range(50)]
    assert keys[:3] == ["A", "B", "C"]
    assert keys[22:25] == ["Z", "AA", "AB"]
    assert len(set(keys)) == 50
    assert not {"I", "L", "O"} & set("".join(keys))


def test_inches_are_said_as_fractions():
    said = " ".join(w.text for _p, _n, one in pictures("kiln", (1280, 720))
                    for w in one.figure.words)  # fmt: skip
    assert '46 1/2"' in said
    assert '96" × 48"' in said


# -- geometry ------------------------------------------------------------------------------------


@pytest.mark.parametrize("size", [*SCREENS, (727, 470)], ids=str)
def test_everything_is_to_scale_within_a_dot(size):
    for planned, _names, picture in pictures("glaze", size):
        stock = planned.sheet.stock
        whole = next(s for s in picture.figure.shapes if isinstance(s, Box) and s.fill == RULE)
        wide, tall = whole.right - whole.left, whole.bottom - whole.top
        long, short = mm(Length(stock.length)), mm(Length(stock.width))
        scale = max(wide, tall) / long  # dots per millimetre
        assert min(wide, tall) == pytest.approx(short * scale, abs=1)
        for part in planned.sheet.parts:
            box = picture.box_of(part.code)
            if box is None:
                continue  # a strip: its cleats stand in its place
            sides = sorted((box.right - box.left, box.bottom - box.top))
            wanted = sorted(mm(Length(side)) * scale for side in (part.length, part.width))
            assert sides == pytest.approx(wanted, abs=1)
            if wide > tall:
                assert box.left - whole.left == pytest.approx(mm(Length(part.x)) * scale, abs=1)
                assert box.top - whole.top == pytest.approx(mm(Length(part.y)) * scale, abs=1)


def test_a_sheet_is_turned_where_it_is_larger_so_and_never_mirrored():
    planned = one_part_sheet()
    across = lay_out_sheet(planned, {}, look_of(planned), width=900, height=600)
    down = lay_out_sheet(planned, {}, look_of(planned), width=400, height=800)
    box, turned = across.box_of("A"), down.box_of("A")
    assert box.right - box.left > box.bottom - box.top
    assert turned.bottom - turned.top > turned.right - turned.left
    # its corner is the first of the sheet: upper left, a quarter turn on it is upper right
    assert box.left < 450
    whole = next(s for s in down.figure.shapes if isinstance(s, Box) and s.fill == RULE)
    assert whole.right - turned.right < turned.left - whole.left


def test_parts_do_not_overlap_and_lie_within_the_trimmed_sheet():
    for planned, _names, picture in pictures("glaze", (1280, 720)):
        boxes = [box for _code, box in picture.places]
        edges = [(box.left + 0.1, box.top + 0.1, box.right, box.bottom) for box in boxes]
        assert not any(overlap(one, other) for one, other in combinations(edges, 2))
        whole = next(s for s in picture.figure.shapes if isinstance(s, Box) and s.fill == RULE)
        trim = planned.sheet.stock.trim * picture.scale
        assert all(box.left >= whole.left + trim - 0.1 for box in boxes)


def test_a_tap_finds_the_part_and_nothing_beside_the_sheet():
    for planned, names, picture in pictures("glaze", (960, 600)):
        for code, box in picture.places:
            middle = ((box.left + box.right) / 2, (box.top + box.bottom) / 2)
            assert picture.part_at(*middle) == code
        assert picture.part_at(1, 1) is None
        assert picture.box_of("nowhere") is None
        look = look_of(planned, grained=a_plan()[2])
        code, box = picture.places[0]
        found = part_at(planned, box.left + 2, box.top + 2, width=960, height=600, names=names,
                        look=look)  # fmt: skip
        assert found == code


@pytest.mark.parametrize("size", SCREENS, ids=str)
def test_nothing_moves_and_no_letter_changes_while_a_sheet_is_cut(size):
    plan, names, _grained = a_plan()
    planned = max(plan.sheets, key=lambda one: len(items_of(one)))
    count = len(cut_lines(planned))
    found = [
        lay_out_sheet(planned, names, look_of(planned, made=made), width=size[0], height=size[1])
        for made in range(0, count + 1, 4)
    ]
    assert all(one.places == found[0].places for one in found)
    legends = [legend_of(one, names) for one in found]
    for later in legends[1:]:
        assert all(legends[0].get(text, key) == key for text, key in later.items())


def legend_of(picture, names):
    """Return the letter before each line of the legend."""
    units = {unit for _part, unit in names.values()}
    found = {}
    for key, text in zip(picture.figure.words, picture.figure.words[1:], strict=False):
        if len(key.text) < 3 and text.text.split(" ")[0] in units and key.y == text.y:
            found[text.text.split(",")[0]] = key.text
    return found


def test_a_bare_picture_has_places_but_no_words():
    plan, names, _grained = a_plan()
    planned = plan.sheets[2]
    picture = lay_out_sheet(planned, names, Look(is_bare=True), width=170, height=90)
    assert picture.figure.words == ()
    assert len(picture.places) == len(items_of(planned))
    long = max(box.right for _code, box in picture.places)
    assert 120 < long <= 170


# -- cuts ----------------------------------------------------------------------------------------


def one_part_sheet():
    """A sheet of 1000 x 500 with 10 off each edge, one part of 600 x 200 and kerf 4."""
    sizes = {"length": 600 * PER_MM, "width": 200 * PER_MM}
    task = Task(
        parts=(Part(code="A", is_locked=True, **sizes),),
        stocks=(Stock(code="S", length=1000 * PER_MM, width=500 * PER_MM, trim=10 * PER_MM),),
        kerf=4 * PER_MM,
    )
    found, _problems = break_down(task, draw=lambda: 0.5, tries=0)
    return PlannedSheet(
        origin="P", material=Material("ply", None), kerf=Length(4 * PER_MM), sheet=found.sheets[0]
    )


def region(*sides):
    return Region(*(side * PER_MM for side in sides))


def test_the_way_of_the_blade_is_worked_by_hand():
    planned = one_part_sheet()
    found = [(one.line.direction.value, one.piece, one.blade) for one in
             trace(planned, cut_lines(planned))]  # fmt: skip
    trims, rest = found[:4], found[4:]
    assert trims[0][2] == region(0, 6, 1000, 4)  # within the 10 mm that come off
    assert trims[1][2] == region(0, 490, 1000, 4)
    assert trims[2][2] == region(6, 10, 4, 480)
    assert trims[3][2] == region(990, 10, 4, 480)
    inner = region(10, 10, 980, 480)
    by_way = {way: (piece, blade) for way, piece, blade in rest}
    if rest[0][0] == "rip":
        assert by_way["rip"] == (inner, region(10, 210, 980, 4))
        assert by_way["crosscut"] == (region(10, 10, 980, 200), region(610, 10, 4, 200))
    else:
        assert by_way["crosscut"] == (inner, region(610, 10, 4, 480))
        assert by_way["rip"] == (region(10, 10, 600, 480), region(10, 210, 600, 4))


def test_a_line_whose_piece_is_not_there_is_left_out():
    planned = one_part_sheet()
    lines = cut_lines(planned)
    strange = replace(lines[-1], number=99, piece_in="S9.9")
    assert len(trace(planned, (*lines, strange))) == len(lines)


def test_the_lanes_of_a_strip_are_its_long_face_and_what_the_slot_leaves():
    # 18 mm, 45 degrees, kerf 3.2: 150 wide gives two faces of 81.74, 63.74 short, slot 4.53
    found = [from_mm(side) for side in (81.74, 63.74)]
    strip = Strip(
        code="A", length=from_mm(600), width=from_mm(150), thickness=from_mm(18), tilt=45,
        long_faces=(found[0], found[0]), setting=found[1],
        lanes=((("X", from_mm(600)),), (("Y", from_mm(300)), ("Z", from_mm(290)))),
    )  # fmt: skip
    planned = one_part_sheet()
    parts = (replace(planned.sheet.parts[0], width=from_mm(150)),)
    planned = replace(planned, kerf=from_mm(3.2), strips=(strip,),
                      sheet=replace(planned.sheet, parts=parts))  # fmt: skip
    x, y, z = items_of(planned)
    assert (x.code, y.code, z.code) == ("X", "Y", "Z")
    assert mm(x.region.width) == pytest.approx(81.74)
    assert mm(y.region.width) == pytest.approx(63.74, abs=0.02)
    assert mm(y.region.y - x.region.y) == pytest.approx(81.74 + 4.53, abs=0.02)
    assert mm(z.region.x - y.region.x) == pytest.approx(300 + 3.2)
    assert mm(y.width) == pytest.approx(81.74)  # what is said is the long face
    bevel = next(one for one in trace(planned, cut_lines(planned)) if one.line.tilt)
    assert mm(bevel.hidden.y - x.region.y) == pytest.approx(63.74)
    assert mm(bevel.blade.y - x.region.y) == pytest.approx(81.74)


def test_a_number_stands_at_its_own_line_or_leads_to_it():
    for planned, _names, picture in pictures("glaze", (1280, 720), made=4):
        shapes = picture.figure.shapes
        leads = [s.points for s in shapes if isinstance(s, Line) and s.width == 1.0]
        whole = next(s for s in shapes if isinstance(s, Box) and s.fill == RULE)
        scale = picture.scale
        for one in trace(planned, cut_lines(planned))[5:]:
            number = [w for w in picture.figure.words if w.text == str(one.line.number)]
            assert len(number) < 2
            for words in number:
                blade = one.blade
                left, top = whole.left + blade.x * scale, whole.top + blade.y * scale
                right, bottom = left + blade.length * scale, top + blade.width * scale
                high = words.y - 0.34 * words.size
                on_line = left - 1 <= words.x <= right + 1 and top - 1 <= high <= bottom + 1
                led = any(
                    left - 1 <= x <= right + 1 and abs(to_x - words.x) < 20
                    and abs(to_y - high) < 20 for (x, _y), (to_x, to_y) in two(leads)
                ) or any(
                    top - 1 <= y <= bottom + 1 and abs(to_x - words.x) < 20
                    and abs(to_y - high) < 20 for (_x, y), (to_x, to_y) in two(leads)
                )  # fmt: skip
                assert on_line or led, (planned.sheet.name, one.line.number)


def two(runs):
    return [run for run in runs if len(run) == 2]


@pytest.mark.parametrize("name", list(LISTS))
def test_nearly_all_cuts_have_their_number_on_a_large_picture(name):
    wanted = found = 0
    for planned, _names, picture in pictures(name, (1280, 720)):
        said = {words.text for words in picture.figure.words}
        numbers = [str(line.number) for line in cut_lines(planned)]
        wanted += len(numbers)
        found += sum(number in said for number in numbers)
    assert found > 0.9 * wanted


def test_the_next_cut_is_thick_numbered_in_a_disc_and_its_piece_outlined():
    planned = one_part_sheet()
    picture = lay_out_sheet(planned, {}, look_of(planned, made=4), width=900, height=600)
    shapes = picture.figure.shapes
    discs = [one for one in shapes if isinstance(one, Area) and one.colour == INK]
    (number,) = [w for w in picture.figure.words if w.text == "5"]
    assert number.colour == PAPER
    assert any(min(x for x, _ in disc.points) < number.x < max(x for x, _ in disc.points)
               for disc in discs)  # fmt: skip
    piece = trace(planned, cut_lines(planned))[4].piece
    outlines = [one for one in shapes if isinstance(one, Line) and len(one.points) == 5]
    (outline,) = outlines
    xs, ys = [x for x, _ in outline.points], [y for _, y in outline.points]
    wide, tall = max(xs) - min(xs) + outline.width, max(ys) - min(ys) + outline.width
    assert wide == pytest.approx(piece.length * picture.scale, abs=1)
    assert tall == pytest.approx(piece.width * picture.scale, abs=1)
    thick = [s for s in shapes if isinstance(s, Line) and len(s.points) == 2 and s.width > 4]
    assert thick


# -- states --------------------------------------------------------------------------------------


def grey_of(figure, box):
    """Return how light the picture is within a box, printed in greys."""
    picture = to_png(figure).convert("L")
    inner = picture.crop((round(box.left) + 2, round(box.top) + 2, round(box.right) - 2,
                          round(box.bottom) - 2))  # fmt: skip
    return ImageStat.Stat(inner).mean[0]


def test_cut_parts_offcuts_and_waste_differ_in_black_and_white():
    planned = one_part_sheet()
    lines = cut_lines(planned)
    fresh = lay_out_sheet(planned, {}, Look(lines=lines), width=900, height=600)
    done = replace(Look(lines=lines), cut=frozenset("A"))
    cut = lay_out_sheet(planned, {}, done, width=900, height=600)
    assert grey_of(cut.figure, cut.box_of("A")) < grey_of(fresh.figure, fresh.box_of("A")) - 20
    ticks = [s for s in cut.figure.shapes if isinstance(s, Line) and len(s.points) == 3]
    assert len(ticks) > len([s for s in fresh.figure.shapes if isinstance(s, Line)
                             and len(s.points) == 3])  # fmt: skip
    assert "cut already" in [w.text for w in cut.figure.words]
    assert "Offcut" in [w.text for w in fresh.figure.words]


def test_a_spoiled_part_is_crossed_and_said_and_a_tapped_one_outlined():
    planned = one_part_sheet()
    look = look_of(planned)
    plain = lay_out_sheet(planned, {}, look, width=900, height=600)
    spoiled = lay_out_sheet(planned, {}, replace(look, spoiled=frozenset("A")), width=900,
                            height=600)  # fmt: skip
    assert "spoiled" in [w.text for w in spoiled.figure.words]
    assert len(spoiled.figure.shapes) == len(plain.figure.shapes) + 2
    tapped = lay_out_sheet(planned, {}, replace(look, tapped="A"), width=900, height=600)
    box = tapped.box_of("A")
    assert any(isinstance(s, Line) and len(s.points) == 5 and s.width == 4
               and s.points[0][0] == pytest.approx(box.left + 2)
               for s in tapped.figure.shapes)  # fmt: skip


def test_only_grained_parts_have_an_arrow():
    planned = one_part_sheet()
    plain = lay_out_sheet(planned, {}, look_of(planned), width=900, height=600)
    grained = lay_out_sheet(planned, {}, look_of(planned, grained=frozenset("A")), width=900,
                            height=600)  # fmt: skip
    assert len(grained.figure.shapes) == len(plain.figure.shapes) + 3  # a line and two heads
    assert "grain" in [w.text for w in plain.figure.words]


def test_it_is_drawn_in_the_dark_with_colours_of_the_dark():
    planned = one_part_sheet()
    figure = draw_sheet(planned, {}, width=900, height=600, lines=cut_lines(planned), next_line=5,
                        cut=frozenset("A"))  # fmt: skip
    used = set()
    for shape in figure.shapes:
        if isinstance(shape, Box):
            used |= {shape.fill, shape.edge} - {""}
        else:
            used.add(shape.colour)
    assert used <= set(DARK)
    assert {BAND, INK, PAPER} <= used
    night = to_png(figure, tints=DARK)
    assert night.getpixel((2, 2)) == (0x15, 0x18, 0x1B)


def test_nothing_is_drawn_beyond_the_picture():
    for made in (0, 4, 9):
        for _planned, _names, picture in pictures("glaze", (960, 600), made=made):
            figure = picture.figure
            for shape in figure.shapes:
                if isinstance(shape, Line | Area):
                    assert all(0 <= x <= figure.width and 0 <= y <= figure.height
                               for x, y in shape.points)  # fmt: skip
                elif isinstance(shape, Box):
                    assert 0 <= shape.left <= shape.right <= figure.width
                    assert 0 <= shape.top <= shape.bottom <= figure.height


def test_a_picture_too_small_for_the_legend_says_how_many_are_missing():
    plan, names, _grained = a_plan(times=2, tries=10)
    planned = max(plan.sheets, key=lambda one: len(items_of(one)))
    long = {code: (f"{part} of the tall cupboard by the door", unit)
            for code, (part, unit) in names.items()}  # fmt: skip
    picture = lay_out_sheet(planned, long, look_of(planned), width=420, height=260)
    assert_clean(picture.figure)
    assert picture.unlisted > 0
    said = [words.text for words in picture.figure.words]
    assert f"and {picture.unlisted} more: see the list" in said
