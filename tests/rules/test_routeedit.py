"""Routes changed by taps: coats, filler and scuffing, each kind by itself, comments kept."""

from itertools import product
from pathlib import Path

import pytest

import kiosk
from kiosk.rules.parts import KINDS
from kiosk.rules.route import Wait, parse_routes
from kiosk.rules.routeedit import MOST_COATS, Finishing, as_shipped, finish_so, finishing_of

SHIPPED = (Path(kiosk.__file__).parent / "data" / "routes.toml").read_text("utf-8")
AS_IT_SHIPS = parse_routes(SHIPPED)[0]


def read(text):
    routes, problems = parse_routes(text)
    assert problems == ()
    return routes


def names(route):
    return [step.name for step in route.steps]


def step_of(route, name):
    return next(step for step in route.steps if step.name == name)


def test_the_shipped_finishing_is_read():
    assert finishing_of(SHIPPED, "panel", shipped=SHIPPED) == Finishing(2, filler=True, scuff=True)
    assert finishing_of(SHIPPED, "door", shipped=SHIPPED) == Finishing(2, filler=None, scuff=True)
    assert finishing_of(SHIPPED, "wall", shipped=SHIPPED) == Finishing(2, filler=None, scuff=False)


def test_a_third_coat_stands_behind_the_second_and_the_rests_count_from_it():
    route = read(finish_so(SHIPPED, "shelf", Finishing(3), shipped=SHIPPED))["shelf"]
    at = names(route).index("coat-2")
    assert names(route)[at : at + 4] == ["coat-2", "scuff-3", "coat-3", "mask"]
    third = step_of(route, "coat-3")
    assert (third.title, third.done) == ("coat 3", "coat 3 on")
    assert third.waits == (Wait("coat-2", "recoat"),)
    assert step_of(route, "scuff-3").closes == (Wait("coat-2", "window"),)
    assert (third.minutes, third.crew, third.whole) == (10, 1, True)
    scuff = step_of(route, "scuff-3")
    assert (scuff.minutes, scuff.crew, scuff.whole) == (4, 1, False)
    assert step_of(route, "mask").waits == (Wait("coat-3", "tape"),)
    assert Wait("coat-3", "hang") in step_of(route, "hang").waits


def test_an_added_coat_and_its_scuff_take_as_long_and_as_many_as_the_last():
    start = SHIPPED.index('name = "coat-2"', SHIPPED.index("[wall]"))
    slow = SHIPPED[:start] + SHIPPED[start:].replace("minutes = 40", "minutes = 55\ncrew = 2", 1)
    route = read(finish_so(slow, "wall", Finishing(3, scuff=True), shipped=SHIPPED))["wall"]
    coat, scuff = step_of(route, "coat-3"), step_of(route, "scuff-3")
    assert (coat.minutes, coat.crew, coat.whole) == (55, 2, True)
    assert (scuff.minutes, scuff.crew, scuff.whole) == (22, 2, False)
    untimed = slow.replace("minutes = 55\n", "")
    route = read(finish_so(untimed, "wall", Finishing(3, scuff=True), shipped=SHIPPED))["wall"]
    assert step_of(route, "scuff-3").minutes == 0


def test_one_coat_leaves_no_scuff_and_the_rests_count_from_it():
    route = read(finish_so(SHIPPED, "door", Finishing(1), shipped=SHIPPED))["door"]
    assert names(route) == ["clean", "mask", "coat-1", "unmask", "refit"]
    assert step_of(route, "unmask").closes == (Wait("coat-1", "score"),)
    # a second coat later is scuffed before, as it ships
    again = finish_so(
        finish_so(SHIPPED, "door", Finishing(1), shipped=SHIPPED),
        "door",
        Finishing(2),
        shipped=SHIPPED,
    )
    assert "scuff-2" in names(read(again)["door"])


def test_a_wall_keeps_its_own_words_and_its_end():
    route = read(finish_so(SHIPPED, "wall", Finishing(3), shipped=SHIPPED))["wall"]
    third = step_of(route, "coat-3")
    assert (third.title, third.done, third.uses) == ("paint 3", "paint 3 on", "wall_paint")
    assert third.closes == (Wait("coat-2", "window"),)
    assert route.ends == (Wait("coat-3", "hang"),)


def test_without_scuffing_a_coat_is_bound_to_the_window_before_it():
    text = finish_so(SHIPPED, "shelf", Finishing(2, scuff=False), shipped=SHIPPED)
    route = read(text)["shelf"]
    assert "scuff-2" not in names(route)
    assert step_of(route, "coat-2").closes == (Wait("coat-1", "window"),)
    back = finish_so(text, "shelf", Finishing(2, scuff=True), shipped=SHIPPED)
    assert read(back) == AS_IT_SHIPS


def test_without_filler_sanding_waits_for_the_glue_and_filler_comes_back_as_it_ships():
    text = finish_so(SHIPPED, "box", Finishing(2, filler=False), shipped=SHIPPED)
    route = read(text)["box"]
    assert "fill" not in names(route)
    assert step_of(route, "sand").waits == (Wait("glue-up", "clamp"),)
    back = finish_so(text, "box", Finishing(2, filler=True), shipped=SHIPPED)
    assert read(back) == AS_IT_SHIPS


BARE = """
[shelf]
title = "Brett"
[[shelf.step]]
name = "hang"
title = "hang"
done = "hung"
station = "install"
standing = "ready_to_hang"
"""


def test_a_shop_s_own_route_without_coats_gets_filler_only():
    others = "".join(
        f'[{kind}]\nlike = "shelf"\n' for kind in KINDS if kind not in ("shelf", "door", "wall")
    )
    text = BARE + others + SHIPPED[SHIPPED.index("[door]") :]
    assert finishing_of(text, "shelf", shipped=SHIPPED) == Finishing(0, filler=False)
    route = read(finish_so(text, "shelf", Finishing(3, filler=True), shipped=SHIPPED))["shelf"]
    assert names(route) == ["hang", "fill"]
    assert route.title == "Brett"


def test_filler_without_sanding_stands_before_the_first_coat():
    cut = SHIPPED.index('[[shelf.step]]\nname = "fill"')
    coat = SHIPPED.index('[[shelf.step]]\nname = "coat-1"')
    text = SHIPPED[:cut] + SHIPPED[coat:]
    route = read(finish_so(text, "shelf", Finishing(2, filler=True), shipped=SHIPPED))["shelf"]
    at = names(route).index("fill")
    assert names(route)[at + 1] == "coat-1"
    assert step_of(route, "fill").waits == (Wait("glue-up", "clamp"),)


@pytest.mark.no_cover
@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize(
    ("coats", "filler", "scuff"),
    list(product(range(1, MOST_COATS + 1), (True, False, None), (True, False, None))),
)
def test_whatever_is_chosen_is_a_sound_route_and_no_other_kind_changes(kind, coats, filler, scuff):
    text = finish_so(SHIPPED, kind, Finishing(coats, filler, scuff), shipped=SHIPPED)
    routes = read(text)
    assert len([step for step in routes[kind].steps if step.is_coat]) == coats
    assert {one: routes[one] for one in KINDS if one != kind} == {
        one: AS_IT_SHIPS[one] for one in KINDS if one != kind
    }
    assert read(as_shipped(text, kind, shipped=SHIPPED)) == AS_IT_SHIPS


def test_more_coats_than_the_most_are_not_made_and_none_neither():
    for wanted, count in ((9, MOST_COATS), (0, 1)):
        text = finish_so(SHIPPED, "wall", Finishing(wanted), shipped=SHIPPED)
        assert finishing_of(text, "wall", shipped=SHIPPED).coats == count


def test_comments_of_other_kinds_are_kept():
    text = SHIPPED.replace("[door]", "# doors of the kiln room\n[door]")
    assert "# doors of the kiln room" in finish_so(text, "box", Finishing(3), shipped=SHIPPED)
    assert finish_so(text, "box", Finishing(3), shipped=SHIPPED).startswith("# Routes:")


def test_a_kinds_own_crews_are_kept_when_its_route_is_written_out():
    text = as_shipped(SHIPPED, "panel", shipped=SHIPPED)
    assert "[panel]" in text
    assert read(text)["panel"] == AS_IT_SHIPS["panel"]
    assert step_of(read(text)["panel"], "hang").crew == 2
    assert step_of(read(text)["shelf"], "hang").crew == 1
