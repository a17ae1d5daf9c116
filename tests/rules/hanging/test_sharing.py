"""How studs share what hangs, and what comes together on cleats and studs."""

from math import inf

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kiosk.rules.hanging.sharing import (
    Load,
    at_studs,
    bearing,
    on_studs,
    shares,
    worst_share,
)

CALM = settings(max_examples=100, deadline=None, derandomize=True)


def test_a_unit_off_the_middle():
    # derived: two studs 406.4 apart, 100 off: 0.746; three: 0.456
    assert worst_share([0, 406.4], 303.2, touching=inf) == pytest.approx(0.746, abs=5e-4)
    assert worst_share([0, 406.4, 812.8], 506.4, touching=inf) == pytest.approx(0.456, abs=5e-4)
    assert shares([0, 406.4], 203.2, touching=inf) == pytest.approx((0.5, 0.5))


@CALM
@given(st.lists(st.integers(0, 4000), min_size=2, max_size=6, unique=True), st.integers(-500, 4500))
def test_shares_hold_the_load_and_its_moment(studs, middle):
    found = shares(studs, middle, touching=inf)
    assert sum(found) == pytest.approx(1)
    turned = sum(one * (at - middle) for one, at in zip(found, studs, strict=True))
    assert turned == pytest.approx(0, abs=1e-6 * 4000)


@pytest.mark.parametrize("studs", [[], [5], [5, 5]])
def test_one_stud_shares_nothing(studs):
    with pytest.raises(ValueError, match="turning"):
        shares(studs, 5, touching=inf)


def a_load(unit, middle, load, cleat="c1"):
    return Load(
        unit=unit,
        cleat=cleat,
        middle=middle,
        touching=inf,
        load=load,
        pull=2 * load,
        moment=9 * load,
    )


def test_units_sum_up_at_each_stud():
    found = at_studs([a_load("a", 100, 100), a_load("b", 200, 60)], [0, 400])
    assert [one.load for one in found] == pytest.approx([75 + 30, 25 + 30])
    assert [one.pull for one in found] == pytest.approx([210, 110])
    assert [one.moment for one in found] == pytest.approx([945, 495])


def test_a_unit_that_lifts_a_stud_takes_nothing_off_another():
    found = at_studs([a_load("a", 500, 100), a_load("b", 100, 100)], [0, 400])
    assert found[0].load == pytest.approx(75)
    assert found[1].load == pytest.approx(125 + 25)


def test_studs_carry_all_their_cleats():
    loads = [
        a_load("a", 200, 100),
        a_load("b", 200, 50, cleat="c2"),
        a_load("c", 600, 30, cleat="c3"),
    ]
    found = on_studs(loads, {"c1": [0, 400], "c2": [0, 400], "c3": [400, 800]})
    assert {at: one.load for at, one in found.items()} == pytest.approx({0: 75, 400: 90, 800: 15})


@pytest.mark.parametrize(
    ("middle", "touching", "bearers"),
    [
        (600, 1200, [0, 400, 800, 1200]),
        (600, 1199, [400, 800]),
        (600, 100, [400, 800]),  # the next on either side
        (500, 400, [400, 800]),
        (420, 100, [400, 800]),
        (400, 100, [0, 400]),  # right before one: all of it is on that one
        (-50, 10, [0, 400]),  # beside all of them; refused elsewhere
    ],
)
def test_only_studs_before_a_unit_bear_it(middle, touching, bearers):
    studs = [0, 400, 800, 1200]
    assert bearing(studs, middle, touching=touching) == bearers
    found = shares(studs, middle, touching=touching)
    assert [at for at, one in zip(studs, found, strict=True) if one] in (bearers, [middle])
    assert sum(found) == pytest.approx(1)
