"""Walls from tables: read wholly or not at all, with every problem and the way out."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.rules.hanging.kinds import Backing, Premises, Soundness, Spot
from kiosk.rules.hanging.species import GRAVITIES
from kiosk.rules.hanging.wall import (
    LAYERS,
    SERVICES,
    FloorLevel,
    Layer,
    MeasuredWall,
    Service,
    Stud,
)
from kiosk.rules.hanging.wallcheck import check_wall
from kiosk.rules.hanging.wallfile import read_wall
from kiosk.rules.hanging.walltable import WHATS, wall_rows
from kiosk.rules.lengths import System, from_mm
from tests.wallbuild import WALL

TABLE = """
Glaze store, north wall
What;Name;X (mm);Y;Width;Height;Thickness (in);Level

wall;;;;5400;2600;;
backing;stud
soundness;sound
spot;Dry indoors
premises;private
datum;floor at the door
celsius;28,5
damp;no
finder;2 mm
stud;SPF;200;;38;;;
stud;;606,4;;38;;;
floor;;0;;;;;0
floor;;2000;;;;;−3
layer;gypsum;;;;;1/2;
service;Outlet;560;300;70;70;;
"""


def rows(text=TABLE):
    return [line.split(";") for line in text.strip().splitlines()]


def problems(*lines):
    text = ["what;name;x;y;width;height;thickness;level", "wall;;;;3000;2500", *lines]
    wall, found = read_wall("W", [line.split(";") for line in text])
    assert wall is None
    return [(one.row, one.column, one.message) for one in found]


def test_a_table_as_people_write_it_is_read():
    wall, wrong = read_wall("G1", rows())
    assert wrong == ()
    assert wall == MeasuredWall(
        wall="G1",
        width=from_mm(5400),
        height=from_mm(2600),
        studs=(
            Stud(x=from_mm(200), width=from_mm(38), species="SPF"),
            Stud(x=from_mm(606.4), width=from_mm(38)),
        ),
        floor=(FloorLevel(x=0, level=0), FloorLevel(x=from_mm(2000), level=from_mm(-3))),
        layers=(Layer(name="gypsum", thickness=from_mm(12.7)),),
        services=(
            Service(
                kind="outlet",
                x=from_mm(560),
                y=from_mm(300),
                width=from_mm(70),
                height=from_mm(70),
            ),
        ),
        datum="floor at the door",
        backing=Backing.STUD,
        soundness=Soundness.SOUND,
        spot=Spot.DRY_INDOORS,
        premises=Premises.PRIVATE,
        celsius=28.5,
        finder=from_mm(2),
    )


def test_lengths_are_in_the_jobs_unit_where_nothing_names_one():
    text = "what,x,width,height\nwall,,200,96\nstud,16,1 1/2,"
    wall, wrong = read_wall("W", [line.split(",") for line in text.splitlines()], unit="inch")
    assert wrong == ()
    assert wall.studs[0] == Stud(x=from_mm(406.4), width=from_mm(38.1))
    assert wall.width == from_mm(5080)


def test_what_nobody_said_stays_unknown():
    wall, _wrong = read_wall("W", rows("what;x;width;height\nwall;;3000;2500"))
    assert wall == MeasuredWall(wall="W", width=from_mm(3000), height=from_mm(2500))
    blank = (
        "what;name;x;width;height\nwall;;;3000;2500\nspot;;5\ncelsius; \ndamp\ndatum;;5\nstud\n;;;"
    )
    assert read_wall("W", rows(blank)) == (wall, ())


def test_a_table_without_headings_is_none():
    wall, (wrong,) = read_wall("W", [["stud", "SPF", "200"]])
    assert wall is None
    assert wrong.remedy == "Export the template, and fill it in."
    assert read_wall("W", [])[0] is None


def test_all_problems_are_told_with_row_and_column():
    found = problems(
        "door;;200",
        "stud;oak;200;;38",
        "stud;;abc;;38",
        "stud;;4000;;3",
        "floor;;100;;;;;",
        "layer;paper;;;;;0",
        "service;ghost;3100;0;0;70",
        "spot;moon",
        "damp;perhaps",
        "celsius;warm",
    )
    assert found == [
        (3, "what", "This is nothing of a wall."),
        (4, "name", "“oak” is no species that is known here."),
        (5, "x", "“abc” is not a length we can read. Write it like 603, 603.5 mm, 23 3/4\" or"
         " 1' 11 3/4\"."),
        (6, "x", "The stud at 4000 mm lies beside the wall."),
        (6, "width", "The stud at 4000 mm is 3 mm wide; that is no stud."),
        (7, "level", "The length is missing."),
        (8, "name", "“paper” is no layer that is known here."),
        (8, "thickness", "How thick the layer of paper is was not measured."),
        (9, "name", "“ghost” is no service that is known here."),
        (9, "x", "A service of the kind ghost lies beside the wall."),
        (9, "width", "A service of the kind ghost has no size."),
        (10, "name", "This is no spot that is known here."),
        (11, "name", "This is neither yes nor no."),
        (12, "name", "This is no temperature."),
    ]  # fmt: skip
    assert all(one.remedy for one in read_wall("W", rows("what;x;width\nstud;1;1"))[1])


@pytest.mark.parametrize(
    ("lines", "told"),
    [
        (("wall;;;;1;1",), (3, "what", "Row 2 says this already.")),
        (
            ("stud;;100;;38", "stud;;150;;38"),
            (None, "x", "Two studs near 100 mm are one measured twice."),
        ),
        (("celsius;99",), (3, "name", "99 °C is no wall's temperature.")),
        (("finder;40",), (3, "name", "So wrong no stud finder is.")),
        (("stud;;-5;;38",), (3, "x", "“-5” is less than nothing; a length starts above 0.")),
        (("floor;;4000;;;;;1",), (3, "x", "The floor at 4000 mm lies beside the wall.")),
        (("stud;;100;;0",), (3, "width", "The stud at 100 mm is 0 wide; that is no stud.")),
    ],
)  # fmt: skip
def test_what_does_not_fit_the_rest_is_told(lines, told):
    assert told in problems(*lines)


def test_a_wall_without_a_size_is_told():
    wall, (wrong,) = read_wall("W", rows("what;x;width;height\nstud;100;38"))
    assert wall is None
    assert wrong.message == "No row says how wide and high the wall is."
    _none, (zero,) = read_wall("W", rows("what;x;width;height\nwall;;0;2500"))
    assert (zero.row, zero.column, zero.message) == (
        2,
        "width",
        "The wall's width was not measured.",
    )


def test_a_wall_without_a_name_is_told():
    assert [one.column for one in check_wall(replace(WALL, wall=""))] == ["wall"]
    assert check_wall(WALL) == ()
    told = check_wall(replace(WALL, services=(Service(kind="x", x=0, y=0, width=0, height=0),)))
    assert len(told) == 2


def test_a_template_reads_back_as_a_wall_nobody_measured():
    empty = MeasuredWall(wall="W", width=0, height=0)
    template = wall_rows(empty)
    assert template[0][0] == "what"
    assert {one[0] for one in template[1:]} == set(WHATS)
    wall, (wrong,) = read_wall("W", template)
    assert wall is None
    assert wrong.remedy == "Add a row that begins with wall."


hundredths = st.integers(0, 200_000).map(lambda n: n * 16)
sizes = st.integers(1, 200_000).map(lambda n: n * 16)


@st.composite
def walls(draw):
    width, height = draw(sizes), draw(sizes)
    places = st.integers(0, width // 16).map(lambda n: n * 16)
    at = draw(st.lists(st.integers(0, width // 160_000), unique=True, max_size=4))
    return MeasuredWall(
        wall="W",
        width=width,
        height=height,
        studs=tuple(
            Stud(
                x=n * 160_000,
                width=draw(st.integers(2000, 20000)) * 16,
                species=draw(st.sampled_from(("", *GRAVITIES))),
            )
            for n in at
        ),
        floor=tuple(
            FloorLevel(x=x, level=draw(hundredths) - draw(hundredths))
            for x in draw(st.lists(places, max_size=3))
        ),
        layers=tuple(
            Layer(name=one, thickness=draw(sizes))
            for one in draw(st.lists(st.sampled_from(LAYERS), max_size=2))
        ),
        services=tuple(
            Service(
                kind=one,
                x=draw(places),
                y=draw(st.integers(0, height // 16)) * 16,
                width=draw(sizes),
                height=draw(sizes),
            )
            for one in draw(st.lists(st.sampled_from(SERVICES), max_size=2))
        ),
        datum=draw(st.sampled_from(("", "floor at the door"))),
        backing=draw(st.sampled_from(Backing)),
        soundness=draw(st.sampled_from(Soundness)),
        spot=draw(st.none() | st.sampled_from(Spot)),
        premises=draw(st.none() | st.sampled_from(Premises)),
        celsius=float(draw(st.integers(-30, 65))),
        is_damp=draw(st.booleans()),
        finder=draw(st.integers(0, 3000)) * 16,
    )


@given(walls(), st.sampled_from(("mm", "inch")))
def test_a_wall_written_as_a_table_reads_back_the_same(wall, unit):
    assert check_wall(wall) == ()
    assert read_wall("W", wall_rows(wall), unit=unit) == (wall, ())


def test_a_wall_in_inches_reads_back_in_inches():
    inches = replace(WALL, finder=from_mm(3.175), studs=(Stud(x=40640 * 16, width=60960),))
    table = wall_rows(inches, system=System.INCH)
    found, wrong = read_wall("W", table, unit="inch")
    assert wrong == ()
    assert found.studs == inches.studs


cells = st.sampled_from(
    ("", "stud", "wall", "floor", "layer", "service", "spot", "5", "0", "x", "½")
)


@given(st.lists(st.lists(cells, max_size=9), max_size=8))
def test_no_table_breaks_the_reading_and_nothing_is_half_taken_in(table):
    wall, wrong = read_wall("W", [["What", "Name", "X", "Y", "Width", "Height"], *table])
    assert (wall is None) == bool(wrong)
    assert wall is None or check_wall(wall) == ()
    assert all(one.message and one.remedy for one in wrong)
