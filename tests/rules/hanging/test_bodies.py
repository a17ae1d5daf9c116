"""Walls and fittings survive being written down; a body half understood is not half taken in."""

import json
from dataclasses import fields

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.rules.hanging.bodies import (
    NotUnderstood,
    choice,
    read_figure,
    read_flag,
    read_length,
    read_level,
    read_text,
    read_whole,
    record,
    row,
    several,
)
from kiosk.rules.hanging.fitting import Fitting
from kiosk.rules.hanging.fittingbody import fitting_body, fitting_from_body
from kiosk.rules.hanging.kinds import (
    Board,
)
from kiosk.rules.hanging.wall import MeasuredWall, Stud
from kiosk.rules.hanging.wallbody import wall_body, wall_from_body
from kiosk.rules.lengths import LONGEST
from tests.wallbuild import WALL, braced
from tests.wallstrategies import fittings, scraps, walls


def through_json(body):
    return json.loads(json.dumps(body))


@given(fittings)
def test_a_fitting_comes_back_as_it_was(fitting):
    assert fitting_from_body(through_json(fitting_body(fitting))) == fitting


@given(walls)
def test_a_wall_comes_back_as_it_was(wall):
    assert wall_from_body(through_json(wall_body(wall))) == wall


def test_what_nobody_said_is_left_out_and_lengths_are_whole_numbers():
    assert fitting_body(Fitting()) == {}
    assert fitting_body(Fitting(drop=1600)) == {"drop": 1600}
    body = wall_body(WALL)
    assert body["studs"][0] == [320000, 60960, "SPF"]
    assert body["layers"] == [["gypsum", 20320]]
    assert "floor" not in body


def test_a_newer_program_may_have_written_more():
    body = fitting_body(braced()) | {"sway": 3}
    assert fitting_from_body(body) == braced()
    more = wall_body(WALL)
    more["studs"] = [[*one, "notched"] for one in more["studs"]]
    assert wall_from_body(more) == WALL


@given(st.sampled_from([one.name for one in fields(Fitting)]), scraps)
def test_a_damaged_fitting_says_nothing_or_all_else(name, scrap):
    body = fitting_body(braced())
    found = fitting_from_body({**body, name: scrap})
    assert found == Fitting() or fitting_body(found) | {name: 0} == body | {name: 0}


@given(st.sampled_from([one.name for one in fields(MeasuredWall)]), scraps)
def test_a_damaged_wall_is_one_of_which_nothing_is_known(name, scrap):
    body = {**wall_body(WALL), name: scrap}
    found = wall_from_body(body)
    if not isinstance(body["wall"], str):
        assert found is None
    elif found.width == 0:
        assert found == MeasuredWall(wall=body["wall"], width=0, height=0)
    else:
        assert wall_body(found) | {name: 0} == wall_body(WALL) | {name: 0}


def test_a_wall_without_a_name_or_size_is_none_or_unknown():
    assert wall_from_body({}) is None
    assert wall_from_body({"wall": "W"}) == MeasuredWall(wall="W", width=0, height=0)


@pytest.mark.parametrize(
    ("read", "wrong"),
    [
        (read_text, 3),
        (read_flag, 1),
        (read_whole, True),
        (read_whole, 1.0),
        (read_whole, -1),
        (read_figure, True),
        (read_figure, "3"),
        (read_figure, float("nan")),
        (read_figure, 1e6),
        (read_level, True),
        (read_level, 2.0),
        (read_level, LONGEST + 1),
        (read_length, -1),
        (choice(Board), "paper"),
        (choice(Board), 3),
        (several(read_text), "ab"),
        (several(read_text), [""] * 2001),
        (record(Stud, {}), []),
        (record(Stud, {}), {}),
        (row(Stud, {}), {}),
        (row(Stud, {"x": read_length}), [3]),
    ],
)
def test_what_is_not_understood_is_refused(read, wrong):
    with pytest.raises(NotUnderstood):
        read(wrong)
