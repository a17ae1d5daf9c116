"""What the screen says of a cut, word by word."""

from types import SimpleNamespace

from kiosk.figure.sheetsay import say_sides
from kiosk.rules.lengths import PER_MM, System, mm, tape
from kiosk.screens import sheetpicture
from kiosk.screens.sheetpicture import Look, draw_way
from kiosk.screens.sheetsamples import sample_choices, sample_view
from kiosk.screens.sheetwords import say_all, say_cut

SHEETS = sample_view().sheets
NOTHING = SimpleNamespace(image=None)


def cuts(sheet):
    return [(line, say_cut(sheet.lines, line, System.MM, name=str)) for line in sheet.lines]


def test_what_nothing_is_cut_from_any_more_is_waste():
    for sheet in SHEETS:
        later = {line.piece_in for line in sheet.lines}
        for line, said in cuts(sheet):
            is_waste = said.rest.startswith("waste")
            if line.rest in later or line.keeps_offcut:
                assert not is_waste, line
                assert f"{line.rest} is left" in said.rest
    wasted = {
        said.rest: (mm(line.rest_length), mm(line.rest_width))
        for sheet in SHEETS
        for line, said in cuts(sheet)
        if said.rest.startswith("waste")
    }
    assert wasted
    for words, (length, width) in wasted.items():
        assert words == f"waste is left, {length:g} × {width:g} mm"


def test_the_second_cleat_of_a_pair_is_no_waste():
    bevels = [
        (line, said) for sheet in SHEETS for line, said in cuts(sheet) if line.tilt and line.rest
    ]
    assert bevels
    assert all(said.rest.startswith(f"{line.rest} is left") for line, said in bevels)


def test_a_bevel_says_the_long_face_too():
    for sheet in SHEETS:
        for line, said in cuts(sheet):
            assert said.is_bevel == bool(line.tilt)
            if line.tilt:
                assert tape(line.long_face, System.MM) in said.from_where
                assert line.long_face > line.measure


def test_a_trim_says_what_comes_off_and_what_is_left():
    line = SHEETS[0].lines[0]
    assert line.is_trim
    said = say_cut(SHEETS[0].lines, line, System.MM, name=str, trim=5 * PER_MM)
    assert (said.kind, said.measure) == ("Trim a long edge", "1215 mm")
    assert said.from_where == "is left once 5 mm of this edge is off"


def test_sentences_have_one_full_stop_between_them():
    assert say_all("Cut 9 is made", "", "Print its label.", "1 label") == (
        "Cut 9 is made. Print its label. 1 label"
    )


def test_the_picture_of_a_way_is_in_the_units_of_its_job(monkeypatch):
    looks = []
    monkeypatch.setattr(sheetpicture, "card_room", lambda _trim, _count: (400, 300))
    monkeypatch.setattr(
        sheetpicture,
        "_draw",
        lambda planned, names, look, room, *, scale: (
            looks.append(look) or SimpleNamespace(image=None)
        ),
    )
    draw_way(sample_choices()[0], None, count=2, system=System.INCH)
    assert looks == [Look(system=System.INCH)]


def test_sides_in_inches_read_as_on_a_tape():
    first = SHEETS[0].planned.sheet.stock
    assert say_sides(first.length, first.width, System.INCH) == '96 1/16" × 48 1/32"'
