"""Every reason for no number, with its words and the way out."""

from dataclasses import replace

import pytest

from kiosk.rules.hanging.kinds import (
    Backing,
    Board,
    Goods,
    Grain,
    Head,
    Premises,
    Soundness,
    Spot,
    Steel,
    StopOn,
    StripFixing,
)
from kiosk.rules.hanging.model import Declared, Lock, Screw, Shelf
from kiosk.rules.hanging.rating import rate
from kiosk.rules.hanging.refusals import OF_JOBS, Why, at_least, at_most
from kiosk.rules.hanging.refusing import refuse
from kiosk.rules.lengths import Length, System, from_mm
from kiosk.rules.words import Phrase
from tests.hanging import SCREW, braced, floating

NOTHING_DECLARED = Declared(outer_mm=5, inner_mm=3.2, head_mm=9.7)
SHELF = Shelf(
    span=from_mm(600), depth=from_mm(300), thickness=from_mm(18), grain=Grain.ALONG, mass_kg=2
)
GOOD_LOCK = Lock(screw=SCREW, count=2, backing=Backing.STUD)


def lock(**more):
    return {"unit_lock": replace(GOOD_LOCK, **more)}


# what is wrong, why it is refused, words of the sentence
CASES = [
    # 1: what the screws end in
    ({"wall_studs": ()}, Why.ONE_STUD, "fewer than two studs"),
    ({"wall_studs": (Length(0),)}, Why.ONE_STUD, "can turn about one"),
    ({"wall_studs": (Length(0), Length(0))}, Why.ONE_STUD, "fewer than two studs"),
    ({"wall_studs": (Length(0), from_mm(60))}, Why.STUDS_NEAR, "one measured twice"),
    ({"wall_backing": Backing.PANEL}, Why.NO_STUD, "end in the panel count zero"),
    ({"wall_backing": Backing.GYPSUM}, Why.NO_STUD, "no fastener reaches a stud"),
    ({"wall_backing": Backing.ANCHOR}, Why.NO_STUD, "anchors have no published equation"),
    ({"wall_backing": Backing.METAL}, Why.NO_STUD, "metal studs"),
    ({"wall_backing": Backing.MASONRY}, Why.NO_STUD, "masonry"),
    ({"wall_backing": Backing.UNKNOWN}, Why.NO_STUD, "nobody knows what the screws end in"),
    ({"wall_backing": Backing.END_GRAIN}, Why.NO_STUD, "end grain"),
    ({"wall_backing": Backing.PANEL_EDGE}, Why.NO_STUD, "panel's edge"),
    ({"wall_soundness": Soundness.DAMAGED}, Why.UNSOUND, "damaged, notched or cracked"),
    ({"wall_soundness": Soundness.UNKNOWN}, Why.UNSOUND, "whether the studs are sound"),
    ({"unit_middle": from_mm(407)}, Why.BESIDE, "beside all the studs"),
    ({"unit_middle": from_mm(-1)}, Why.BESIDE, "beside all the studs"),
    # 2: screws
    ({"screw_length": from_mm(76.2)}, Why.SHORT_SCREW, "27.5 mm into the stud; it needs 29 mm"),
    ({"screw_length": from_mm(30)}, Why.SHORT_SCREW, "reaches 0 mm into the stud"),
    ({"screw_gauge": 11}, Why.UNKNOWN_SCREW, "No. 11 screw is not in the table"),
    ({"screw_gauge": 16}, Why.UNKNOWN_SCREW, "no root diameter"),
    ({"screw_gauge": 5}, Why.UNKNOWN_SCREW, "no root diameter"),
    ({"screw_steel": Steel.UNKNOWN}, Why.UNKNOWN_SCREW, "no yield strength"),
    ({"screw_steel": Steel.DRYWALL}, Why.HARD_SCREW, "brittle"),
    ({"screw_steel": Steel.HARDENED}, Why.HARD_SCREW, "Hardened screws without design values"),
    ({"wall_gravity": 0.30}, Why.GRAVITY, "0.30 is outside 0.31 to 0.73"),
    ({"wall_gravity": 0.74}, Why.GRAVITY, "0.74 is outside"),
    ({"wall_gravity": float("nan")}, Why.GRAVITY, "outside"),
    (
        {"wall_void": from_mm(28), "screw_length": from_mm(140)},
        Why.GAP,
        "40.7 mm between the wood and the stud bear nothing; 40 mm",
    ),
    ({"screw_declared": NOTHING_DECLARED}, Why.DECLARED, "withdrawal strength, head pull-through"),
    # 3: hook and stop
    ({"unit_drop": from_mm(140.9)}, Why.UNHOOKS, "140.9 mm below the bevel and needs 141 mm"),
    ({"unit_stop_on": StopOn.NONE}, Why.NO_STOP, "has no stop"),
    ({"unit_drop": None}, Why.STOP_UNMEASURED, "Nobody measured how far"),
    ({"unit_stop_on": StopOn.BEVEL}, Why.STOP_LANDS, "cleat's bevel"),
    ({"unit_stop_on": StopOn.VOID}, Why.STOP_LANDS, "lands on nothing"),
    ({"unit_stop_on": StopOn.UNKNOWN}, Why.STOP_LANDS, "what the stop bears on"),
    ({"unit_load_out": from_mm(8)}, Why.LOAD_INSIDE, "inside the bevel"),
    (lock(backing=Backing.PANEL), Why.LOCK, "pull-lock is not screwed into a stud"),
    (lock(count=0), Why.LOCK, "pull-lock is not screwed into a stud"),
    (lock(screw=replace(SCREW, steel=Steel.DRYWALL)), Why.HARD_SCREW, "brittle"),
    (lock(screw=replace(SCREW, length=from_mm(60))), Why.SHORT_SCREW, "11.3 mm into the stud"),
    (lock(screw=replace(SCREW, gauge=3)), Why.UNKNOWN_SCREW, "No. 3"),
    # 4: cleat, strip
    ({"cleat_rows": (from_mm(18),)}, Why.ROWS, "14.5 mm to 17.5 mm above the cleat's lower edge"),
    ({"cleat_rows": (from_mm(14),)}, Why.ROWS, "14.5 mm to 17.5 mm"),
    ({"cleat_rows": ()}, Why.ROWS, "Screws must lie"),
    ({"cleat_height": from_mm(46)}, Why.ROWS, "too narrow for this screw: it must be 47 mm"),
    (
        {"cleat_height": from_mm(100), "cleat_rows": (from_mm(15), from_mm(60))},
        Why.ROWS_NEAR,
        "nearer than 48.3 mm split",
    ),
    ({"unit_strip_fixing": StripFixing.GLUED}, Why.STRIP, "not both glued and screwed"),
    ({"unit_strip_fixing": StripFixing.SCREWED}, Why.STRIP, "not both glued and screwed"),
    ({"unit_strip_fixing": StripFixing.UNKNOWN}, Why.STRIP, "not both glued and screwed"),
    ({"cleat_board": Board.MDF}, Why.BOARD, "MDF"),
    ({"cleat_board": Board.PARTICLEBOARD}, Why.BOARD, "particleboard"),
    ({"cleat_board": Board.UNKNOWN}, Why.BOARD, "Nobody knows what the cleat is made of"),
    (
        {"cleat_thickness": from_mm(11.9), "screw_length": from_mm(80)},
        Why.THIN,
        "thinner than 12 mm",
    ),
    ({"cleat_plies": 4}, Why.PLIES, "fewer than 5 plies"),
    ({"cleat_bevel": 30.0}, Why.BEVEL, "Only bevels of 45°"),
    # 5 and 6: what it is used for, where, and what depends on it
    ({"use_goods": Goods.PEOPLE}, Why.GOODS, "climb or hang"),
    ({"use_goods": Goods.ANIMALS}, Why.GOODS, "Animals"),
    ({"use_goods": Goods.DRAWERS_STEPPED_ON}, Why.GOODS, "used as steps"),
    ({"use_goods": Goods.SCREEN_ON_ARM}, Why.GOODS, "on an arm"),
    ({"use_goods": Goods.SWING}, Why.GOODS, "Swings"),
    ({"use_goods": Goods.LIFTING_GEAR}, Why.GOODS, "Lifting gear"),
    ({"use_goods": Goods.IMPACT}, Why.GOODS, "drop or knock"),
    ({"use_goods": Goods.MOVING}, Why.GOODS, "Moving loads"),
    ({"use_goods": Goods.TALL_GLASS}, Why.GOODS, "Tall glass"),
    ({"use_goods": Goods.AQUARIUM}, Why.GOODS, "Aquaria"),
    ({"use_spot": Spot.WET_ROOM}, Why.SPOT, "wet rooms"),
    ({"use_spot": Spot.OUTDOORS}, Why.SPOT, "Outdoors"),
    ({"use_spot": Spot.VEHICLE}, Why.SPOT, "Vehicles"),
    ({"use_spot": Spot.BOAT}, Why.SPOT, "Boats"),
    ({"use_spot": Spot.CEILING}, Why.SPOT, "ceiling"),
    ({"use_celsius": 66.0}, Why.HEAT, "more than 65 °C"),
    ({"use_celsius": float("nan")}, Why.HEAT, "more than 65 °C"),
    ({"use_premises": Premises.PUBLIC}, Why.PREMISES, "open to the public"),
    ({"use_premises": Premises.SAFETY_CRITICAL}, Why.PREMISES, "Lives depend"),
    ({"use_premises": Premises.OVER_BED}, Why.PREMISES, "sleeps or sits below"),
    ({"use_premises": Premises.EXIT_ROUTE}, Why.PREMISES, "way out"),
    ({"use_premises": Premises.SEISMIC}, Why.PREMISES, "earthquakes"),
    # shelves
    ({"unit_shelves": (replace(SHELF, grain=Grain.UNKNOWN),)}, Why.SHELF, "grain runs"),
    ({"unit_shelves": (replace(SHELF, spans=3),)}, Why.SHELF, "one span or two"),
    ({"unit_shelves": (replace(SHELF, span=from_mm(2400)),)}, Why.SHELF, "less than a kilogram"),
    # what only shows at the end
    ({"unit_self_mass_kg": 21.0}, Why.TOO_WEAK, "less than a kilogram besides itself"),
    # figures nobody can have measured
    ({"unit_load_out": Length(0)}, Why.FIGURES, "How far out the load is cannot be so"),
    ({"unit_self_out": Length(-5)}, Why.FIGURES, "own weight is cannot be so"),
    ({"unit_drop": Length(0)}, Why.FIGURES, "The stop's distance"),
    ({"unit_strip": Length(0)}, Why.FIGURES, "touching length"),
    ({"unit_self_mass_kg": -1.0}, Why.FIGURES, "The unit's own weight cannot"),
    ({"unit_self_mass_kg": float("nan")}, Why.FIGURES, "The unit's own weight cannot"),
    ({"unit_self_mass_kg": float("inf")}, Why.FIGURES, "The unit's own weight cannot"),
    ({"cleat_thickness": Length(0)}, Why.FIGURES, "The cleat's thickness"),
    ({"cleat_height": Length(0)}, Why.FIGURES, "The cleat's height"),
    ({"screw_length": Length(0)}, Why.FIGURES, "The screw's length"),
    ({"screw_thread": Length(0)}, Why.FIGURES, "The screw's thread"),
    ({"screw_head_across": Length(0)}, Why.FIGURES, "The head's width"),
    ({"wall_panel": Length(-1)}, Why.FIGURES, "The panel's thickness"),
    ({"wall_gypsum": Length(-1)}, Why.FIGURES, "The gypsum's thickness"),
    ({"wall_void": Length(-1)}, Why.FIGURES, "The hollow behind the panel"),
    (lock(screw=replace(SCREW, length=Length(0))), Why.FIGURES, "The screw's length"),
    ({"unit_shelves": (SHELF, replace(SHELF, span=Length(0)))}, Why.FIGURES, "A shelf's span"),
    ({"unit_shelves": (replace(SHELF, depth=Length(0)),)}, Why.FIGURES, "A shelf's depth"),
    ({"unit_shelves": (replace(SHELF, thickness=Length(0)),)}, Why.FIGURES, "A shelf's thick"),
    ({"unit_shelves": (SHELF,) * 4}, Why.FIGURES, "The shelves weigh more than the whole unit"),
    ({"unit_shelves": (replace(SHELF, mass_kg=-1.0),)}, Why.FIGURES, "A shelf's weight"),
    ({"unit_shelves": (replace(SHELF, overhang=Length(-1)),)}, Why.FIGURES, "A shelf's overhang"),
]


@pytest.mark.parametrize(("wrong", "why", "words"), CASES)
def test_it_is_refused_with_its_reason_and_no_number(wrong, why, words):
    found = rate(floating(150, **wrong), shop=1)
    assert not found.is_rated
    assert (found.net_kg, found.gross_kg, found.governing) == (None, None, None)
    assert found.limits == {}
    assert [one.why for one in found.refusals] == [why]
    said = found.refusals[0]
    assert words in said.message
    assert said.remedy
    # it can be said in another language
    assert isinstance(said.message, Phrase)
    assert isinstance(said.remedy, Phrase)


def test_every_reason_is_tried():
    tried = {why for _wrong, why, _words in CASES} | {Why.SPLITS, Why.TOGETHER}
    assert tried == set(Why) - OF_JOBS


@pytest.mark.parametrize("kind", [Backing, Soundness, Goods, Spot, Premises, StopOn, StripFixing])
def test_every_value_but_the_good_one_is_refused(kind):
    good = {
        Backing.STUD, Soundness.SOUND, Goods.STORED, Spot.DRY_INDOORS, Premises.PRIVATE,
        StopOn.FACE, StripFixing.GLUED_AND_SCREWED,
    }  # fmt: skip
    values = [value for wrong, _why, _words in CASES for value in wrong.values()]
    tried = {value for value in values if isinstance(value, kind)}
    assert tried == set(kind) - good


def test_a_good_unit_is_not_refused():
    assert refuse(floating(150)) == ()
    assert refuse(floating(141)) == ()
    assert refuse(braced(unit_shelves=(SHELF,))) == ()
    assert refuse(floating(25, unit_lock=GOOD_LOCK)) == ()


def test_all_reasons_come_at_once():
    wrong = floating(
        50,
        wall_backing=Backing.GYPSUM,
        screw_steel=Steel.DRYWALL,
        use_spot=Spot.OUTDOORS,
        cleat_board=Board.MDF,
    )
    assert {one.why for one in refuse(wrong)} == {
        Why.NO_STUD,
        Why.HARD_SCREW,
        Why.SPOT,
        Why.BOARD,
        Why.UNHOOKS,
    }


def test_gaps_and_ranges_just_within_pass():
    assert refuse(floating(150, wall_gravity=0.31)) == ()
    assert refuse(floating(150, wall_gravity=0.73)) == ()
    deep = floating(150, wall_void=from_mm(27.3), screw_length=from_mm(110))
    assert refuse(deep) == ()


def test_lengths_are_said_as_the_shop_reads_them():
    short = floating(150, screw_length=from_mm(76.2))
    (found,) = refuse(short, system=System.INCH)
    assert found.message == 'The screw reaches 1 1/16" into the stud; it needs 1 3/16".'


def test_least_and_most_are_rounded_to_the_safe_side():
    assert at_least(28.956, System.MM) == "29 mm"
    assert at_least(141.00000000000003, System.MM) == "141 mm"
    assert at_most(17.522, System.MM) == "17.5 mm"


def test_a_load_beside_its_own_weight_is_taken_at_the_further_one():
    near = rate(floating(150, unit_load_out=from_mm(100)), shop=1)
    assert near.net_kg == rate(floating(150), shop=1).net_kg
    assert rate(floating(140, unit_load_out=from_mm(100)), shop=1).refusals[0].why is Why.UNHOOKS


def test_a_screw_nobody_described_is_taken_for_the_worst():
    plain = Screw(gauge=10, length=from_mm(88.9))
    assert (plain.head, plain.steel) == (Head.COUNTERSUNK, Steel.UNKNOWN)
