"""How a unit hangs, said key by key: what is understood, and all that is not."""

from dataclasses import replace

import pytest

from kiosk.rules.hanging.fitting import Expected, Fitting, How, WallCleat
from kiosk.rules.hanging.fittingbody import fitting_body, fitting_from_body
from kiosk.rules.hanging.fitwords import KEYS, change_fitting
from kiosk.rules.hanging.kinds import Backing, Board, Goods, Grain, Head, Steel, StopOn, StripFixing
from kiosk.rules.hanging.model import Declared, Lock, Screw, Shelf
from kiosk.rules.lengths import from_mm

SAID = {
    "wall=G1": {"wall": "G1"},
    "how=carried": {"how": How.CARRIED},
    "on=G01": {"on": "G01"},
    "x=20": {"x": from_mm(20)},
    "Y=0": {"y": 0},
    "width=1160 mm": {"width": from_mm(1160)},
    "height=19,5": {"height": from_mm(19.5)},
    "depth=12 in": {"depth": from_mm(304.8)},
    "panel=0 mm": {"panel": 0},
    "void=18": {"void": from_mm(18)},
    "load_out=150": {"load_out": from_mm(150)},
    "self_out=140": {"self_out": from_mm(140)},
    "drop = 150": {"drop": from_mm(150)},
    "strip=880": {"strip": from_mm(880)},
    "stop_on=none": {"stop_on": StopOn.NONE},
    "strip_fixing=Glued and screwed": {"strip_fixing": StripFixing.GLUED_AND_SCREWED},
    "backing=masonry": {"backing": Backing.MASONRY},
    "self_kg=6,5 kg": {"self_kg": 6.5},
    "goods=tall glass": {"goods": Goods.TALL_GLASS},
}
CLEAT = {
    "cleat.name=row": {"name": "row"},
    "cleat.x=60": {"x": from_mm(60)},
    "cleat.y=510": {"y": from_mm(510)},
    "cleat.length=1120": {"length": from_mm(1120)},
    "cleat.height=70": {"height": from_mm(70)},
    "cleat.thickness=18": {"thickness": from_mm(18)},
    "cleat.board=plywood": {"board": Board.PLYWOOD},
    "cleat.plies=13": {"plies": 13},
    "cleat.glued=yes": {"is_glued": True},
    "cleat.rows=16, 67,5; 100": {"rows": (from_mm(16), from_mm(67.5), from_mm(100))},
    "cleat.bevel=45°": {"bevel": 45.0},
}
LONG = Screw(
    gauge=10,
    length=from_mm(89),
    steel=Steel.WOOD,
    head=Head.WASHER,
    head_across=from_mm(16),
    thread=from_mm(60),
)


@pytest.mark.parametrize(("words", "change"), SAID.items())
def test_a_thing_said_of_the_unit_is_kept_and_comes_back_from_the_log(words, change):
    found, problems = change_fitting(Fitting(), [words])

    assert (found, problems) == (replace(Fitting(), **change), ())
    assert fitting_from_body(fitting_body(found)) == found


@pytest.mark.parametrize(("words", "change"), CLEAT.items())
def test_a_thing_said_of_the_cleat_is_kept(words, change):
    found, problems = change_fitting(Fitting(), [words])

    assert (found, problems) == (Fitting(cleat=replace(WallCleat(), **change)), ())


def test_every_key_is_tried_here():
    tried = {word.partition("=")[0].strip().lower() for word in (*SAID, *CLEAT)}

    assert set(KEYS) - tried == {"screw", "declared", "lock", "shelf", "expected"}


@pytest.mark.parametrize(
    "words",
    [
        "10 x 89, steel wood, head washer, across 16, thread 60",
        "No. 10 × 89 mm; steel=wood; head=washer; across=16; thread=60",
        "gauge 10, length 89, steel wood, head washer, across 16, thread 60",
    ],
)
def test_a_screw_is_said_in_short_or_part_by_part(words):
    assert change_fitting(Fitting(), [f"screw={words}"]) == (Fitting(screw=LONG), ())


def test_of_what_steel_a_screw_is_is_never_guessed():
    found, _ = change_fitting(Fitting(), ["screw=8 x 64", "lock=2, 12 x 102"])

    assert found.screw == Screw(gauge=8, length=from_mm(64), steel=Steel.UNKNOWN)
    assert found.lock == Lock(
        screw=Screw(gauge=12, length=from_mm(102)), count=2, backing=Backing.UNKNOWN
    )


def test_lengths_without_a_unit_are_in_the_jobs():
    found, problems = change_fitting(
        Fitting(), ["x=1 3/4", "screw=10 x 3 1/2, steel wood", "y=10 mm"], unit="inch"
    )

    assert problems == ()
    assert (found.x, found.y) == (from_mm(44.45), from_mm(10))
    assert found.screw.length == from_mm(88.9)


def test_declared_values_belong_to_the_screw_whichever_is_said_first():
    words = ["declared=outer_mm 5, inner_mm 3.2, head_mm 9.7, fax_mpa 11", "screw=10 x 89"]

    found, problems = change_fitting(Fitting(), words)
    alone, wrong = change_fitting(Fitting(), words[:1])

    assert problems == ()
    assert found.screw.declared == Declared(outer_mm=5, inner_mm=3.2, head_mm=9.7, fax_mpa=11)
    assert (alone, [one.column for one in wrong]) == (Fitting(), ["declared"])
    assert "screw=" in wrong[0].remedy
    assert change_fitting(found, ["declared="])[0].screw.declared is None


def test_what_is_said_several_times_adds_up_and_replaces_what_was():
    shelf = "shelf=span 530, depth 300, thickness 18, grain along, kg 4.2, spans 2, overhang 20"
    plain = "shelf=span 400, depth 300, thickness 18, grain across, kg 3"
    first, _ = change_fitting(Fitting(), [shelf, "expected=kg 20"])

    found, problems = change_fitting(
        first, [plain, shelf, "expected=books", "expected=tools, length 800, depth 250"]
    )

    assert problems == ()
    assert [one.grain for one in first.shelves] == [Grain.ALONG]
    assert [one.span for one in found.shelves] == [from_mm(400), from_mm(530)]
    assert found.shelves[1] == Shelf(
        span=from_mm(530), depth=from_mm(300), thickness=from_mm(18), grain=Grain.ALONG,
        mass_kg=4.2, spans=2, overhang=from_mm(20),
    )  # fmt: skip
    assert found.expected == (
        Expected(use="books"),
        Expected(use="tools", length=from_mm(800), depth=from_mm(250)),
    )
    assert change_fitting(found, ["shelf=", "expected=unknown"])[0] == Fitting()


@pytest.mark.parametrize("nothing", ["", "unknown", " Unknown "])
def test_what_is_taken_back_is_as_if_nobody_had_said_it(nothing):
    said, problems = change_fitting(Fitting(), [*SAID, *CLEAT, "screw=10 x 89", "lock=1, 8 x 64"])
    keys = [*(word.partition("=")[0] for word in (*SAID, *CLEAT)), "screw", "lock"]

    found, more = change_fitting(said, [f"{key}={nothing}" for key in keys])

    assert (problems, more) == ((), ())
    assert said != Fitting()
    assert found == Fitting()


WRONG = {
    "drp=150": "drp",
    "drop": "drop",
    "drop=far": "drop",
    "self_kg=heavy": "self_kg",
    "cleat.plies=many": "cleat.plies",
    "cleat.glued=perhaps": "cleat.glued",
    "cleat.rows=16, up": "cleat.rows",
    "stop_on=air": "stop_on",
    "screw=11 x 89": "screw",
    "screw=x": "screw",
    "lock=12 x 102": "lock",
    "shelf=span 530": "shelf",
    "shelf=wide": "shelf",
    "expected=elephants": "expected",
}


def test_all_that_is_wrong_is_told_at_once_and_what_is_right_is_understood():
    found, problems = change_fitting(Fitting(), [*WRONG, "x=20"])

    assert found == Fitting(x=from_mm(20))
    assert [one.column for one in problems] == list(WRONG.values())
    assert all(one.message and one.remedy for one in problems)


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ("drp=150", "drop"),
        ("screw=11 x 89", "gauge"),
        ("shelf=span 530", "depth, thickness, grain, kg"),
        ("expected=elephants", "household"),
        ("stop_on=air", "face"),
    ],
)
def test_the_way_out_names_what_may_be_written(words, told):
    _, (problem,) = change_fitting(Fitting(), [words])

    assert told in f"{problem.message} {problem.remedy}"
