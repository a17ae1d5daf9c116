"""What the part list knows of how a unit hangs, and what it must not make up."""

import pytest

from kiosk.rules.hanging.complete import complete, how_of
from kiosk.rules.hanging.fitting import Fitting, How, WallCleat
from kiosk.rules.hanging.kinds import Board, StopOn, StripFixing
from kiosk.rules.hanging.weighing import board_of, density, weigh
from kiosk.rules.lengths import from_mm
from tests.wallbuild import a_panel, a_piece, a_spec, braced


def strip(length=880, width=70, **more):
    return a_piece("strip", length, width, **{"bevel": 45.0, **more})


def filled(spec, *others, said=None):
    specs = {one.unit: one for one in (spec, *others)}
    return complete(spec, said or Fitting(), specs=specs)


def lengths(fitting, *names):
    return [getattr(fitting, name) for name in names]


def test_a_shelf_is_filled_in_from_its_pieces_and_its_panel():
    shelf = a_spec(
        "S", "shelf", a_piece("board", 900, 300), a_piece("lip", 900, 40), strip(), hangs_on="P"
    )
    found = filled(shelf, a_panel(), said=Fitting(x=from_mm(100)))
    fitting = found.fitting
    assert (fitting.wall, fitting.how, fitting.on) == ("W", How.CLEAT, "P")
    assert lengths(fitting, "panel", "void", "depth", "width", "strip") == [
        from_mm(18), 0, from_mm(300), from_mm(900), from_mm(880),
    ]  # fmt: skip
    # the board begins in front of the strip: 18 + 300 / 2
    assert fitting.load_out == fitting.self_out == from_mm(168)
    cleat = fitting.cleat
    assert lengths(cleat, "thickness", "height", "length", "x") == [
        from_mm(18), from_mm(70), from_mm(880), from_mm(110),
    ]  # fmt: skip
    assert cleat.board is Board.PLYWOOD
    notes = {str(one.what): (str(one.value), str(one.basis)) for one in found.notes}
    assert notes["the unit's depth"] == ("300 mm", "the width of board")
    assert notes["panel behind the cleat"] == ("18 mm", "the thickness of face of P")
    assert notes["hollow behind the panel"][0] == "nothing"
    assert "18 mm + 300 mm / 2" in notes["how far out the load is"][1]
    assert "720 kg/m³, from memory" in notes["its own weight"][1]


def test_what_must_be_measured_stays_open():
    found = filled(a_spec("S", "shelf", a_piece("board", 900, 300), strip(), hangs_on="P")).fitting
    assert (found.drop, found.x, found.y, found.cleat.y, found.cleat.x) == (None,) * 5
    assert (found.stop_on, found.strip_fixing) == (StopOn.UNKNOWN, StripFixing.UNKNOWN)
    assert (found.cleat.plies, found.cleat.rows, found.screw, found.lock) == (0, (), None, None)


def test_what_people_said_stays_as_they_said():
    said = braced()
    found = filled(
        a_spec("S", "shelf", a_piece("board", 700, 200), strip(100, 20), hangs_on="P"),
        a_panel(),
        said=said,
    )
    again = {name: getattr(found.fitting, name) for name in ("x", "cleat", "load_out", "strip")}
    assert again == {name: getattr(said, name) for name in again}
    assert found.fitting.self_kg == 9.0
    assert {str(one.what) for one in found.notes} == {
        "panel behind the cleat", "hollow behind the panel", "the unit's depth",
    }  # fmt: skip


def test_a_panel_on_cleats_stands_off_the_wall_and_that_counts_as_hollow():
    off = a_spec("P", "panel", a_piece("face", 2000, 1200), strip(1140, 90))
    shelf = a_spec("S", "shelf", a_piece("board", 900, 300), hangs_on="P")
    found = filled(shelf, off)
    assert found.fitting.void == from_mm(18)
    assert any("P hangs on cleats so thick" in one.basis for one in found.notes)


def test_on_the_bare_wall_there_is_no_panel():
    found = filled(a_spec("S", "shelf", a_piece("board", 900, 300), strip())).fitting
    assert (found.panel, found.void, found.on) == (0, 0, "")
    wall = a_spec("W", "wall")
    found = filled(a_spec("S", "shelf", strip(), hangs_on="W"), wall).fitting
    assert (found.panel, found.void) == (0, 0)


def test_a_panel_without_a_face_or_thickness_leaves_the_layers_open():
    bare = a_spec("P", "panel", a_piece("face", 2000, 1200, None))
    assert filled(a_spec("S", "shelf", strip(), hangs_on="P"), bare).fitting.panel is None
    empty = a_spec("P", "panel")
    assert filled(a_spec("S", "shelf", strip(), hangs_on="P"), empty).fitting.panel is None


def test_a_panel_on_cleats_is_as_wide_as_its_strips_run():
    found = filled(a_spec("P", "panel", a_piece("face", 2000, 1200), strip(1140, 90))).fitting
    assert (found.width, found.height, found.depth) == tuple(map(from_mm, (1200, 2000, 18)))
    assert found.load_out == from_mm(27)
    # neither side is as long as the strip: the nearer one
    odd = filled(a_spec("P", "panel", a_piece("face", 900, 500), strip(1140, 90))).fitting
    assert odd.width == from_mm(900)
    assert filled(a_panel()).fitting.width is None
    only = filled(a_spec("P", "panel", strip(1140, 90))).fitting
    assert (only.width, only.depth) == (None, None)


def test_a_box_is_as_wide_as_its_strip_and_two_sides():
    box = a_spec(
        "B", "box", a_piece("side", 420, 320), a_piece("back", 418, 598, 6), strip(564), wall=""
    )
    found = filled(box).fitting
    assert found.width == from_mm(600)
    assert found.depth == from_mm(320)  # the thin back does not stand out
    assert found.wall == ""


def test_strips_that_differ_say_only_what_they_agree_on():
    unit = a_spec(
        "S", "shelf", strip(880, 70), strip(500, 70, thickness=12), strip(500, 70, bevel=30.0)
    )
    found = filled(unit).fitting.cleat
    assert lengths(found, "thickness", "height", "length") == [None, from_mm(70), from_mm(500)]
    # only 45° was worked out: the one that is otherwise gets the unit refused
    assert found.bevel == 30.0
    mixed = filled(a_spec("S", "shelf", strip(material="Oak"), strip(material="Oak plywood")))
    assert mixed.fitting.cleat.board is Board.UNKNOWN
    nobody = filled(a_spec("S", "shelf", strip(material="")))
    assert nobody.fitting.cleat.board is Board.UNKNOWN


def test_another_bevel_is_taken_over_so_that_it_is_refused():
    found = filled(a_spec("S", "shelf", strip(bevel=30.0)))
    assert found.fitting.cleat.bevel == 30.0
    assert any(one.value == "30°" for one in found.notes)
    said = Fitting(cleat=WallCleat(bevel=44.0, board=Board.LUMBER))
    assert filled(a_spec("S", "shelf", strip(bevel=30.0)), said=said).fitting.cleat == (
        WallCleat(
            bevel=44.0,
            board=Board.LUMBER,
            thickness=from_mm(18),
            height=from_mm(70),
            length=from_mm(880),
        )
    )


def test_a_unit_without_pieces_knows_nothing():
    found = filled(a_spec("S", "shelf")).fitting
    assert (found.width, found.depth, found.self_kg, found.load_out) == (None,) * 4
    assert filled(a_spec("S", "shelf", a_piece("board", 900, 300))).fitting.load_out is None


def test_a_unit_left_of_its_cleat_keeps_the_cleat_on_the_wall():
    wide = filled(a_spec("S", "shelf", strip(880)), said=Fitting(x=0, width=from_mm(500)))
    assert wide.fitting.cleat.x == 0


@pytest.mark.parametrize(
    ("unit", "on", "how"),
    [
        (a_spec("S", "shelf", hangs_on="P"), a_panel(), How.CLEAT),
        (a_spec("S", "shelf"), a_panel(), How.CLEAT),
        (a_panel("Q"), a_panel(), How.SCREWED),
        (a_spec("Q", "panel", strip()), a_panel(), How.CLEAT),
        (a_spec("D", "door", hangs_on="B"), a_spec("B", "box"), How.CARRIED),
        (a_spec("D", "door"), a_spec("B", "box"), How.CARRIED),
        (a_spec("V", "divider", hangs_on="B"), a_spec("B", "shelf"), How.CARRIED),
        (a_spec("B", "box", hangs_on="B"), a_spec("W", "wall"), How.CLEAT),
    ],
)
def test_what_holds_a_unit_follows_from_its_kind_and_what_it_hangs_on(unit, on, how):
    assert how_of(unit, {one.unit: one for one in (on, unit)}) is how


def test_a_carried_unit_is_given_no_distance_of_its_own():
    box = a_spec("B", "box", strip())
    door = a_spec("D", "door", a_piece("leaf", 400, 300), strip(), hangs_on="B")
    assert filled(door, box).fitting.load_out is None


def test_weight_by_volume_and_density():
    # 1 m × 0.5 m × 20 mm are 10 litres: 7.2 kg of plywood, 8 kg of what nobody knows
    board = a_piece("board", 1000, 500, 20)
    assert weigh([board]) == pytest.approx(7.2)
    assert weigh([a_piece("board", 1000, 500, 20, material="")]) == pytest.approx(8.0)
    assert weigh([board, board]) == pytest.approx(14.4)
    assert weigh([board, a_piece("board", 1, 1, None)]) is None
    assert weigh([]) is None
    assert density("Solid OAK") == 780.0
    # nothing heavier than wood may pass for wood
    assert density("Glass 6, toughened") == 2600.0
    assert density("Steel") == 7900.0
    assert density("Laminated birch plywood") == 1450.0
    assert board_of("Fichtensperrholz 18") is Board.PLYWOOD
    assert board_of("solid spruce") is Board.LUMBER
    assert board_of("Birch") is Board.UNKNOWN
    assert filled(a_spec("S", "shelf", a_piece("b", 100, 100, material=""))).notes
