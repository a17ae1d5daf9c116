"""Units that share a cleat, against what each may carry alone."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kiosk.rules.hanging.checks import Check
from kiosk.rules.hanging.kinds import Backing
from kiosk.rules.hanging.model import Declared
from kiosk.rules.hanging.rating import rate
from kiosk.rules.hanging.refusals import Why
from kiosk.rules.hanging.sharedcleat import rate_together, stud_use, unit_load
from kiosk.rules.hanging.sharing import Sum, at_studs
from kiosk.rules.lengths import from_mm, mm
from tests.hanging import floating

CALM = settings(max_examples=40, deadline=None, derandomize=True)
STUDS = (0, 400, 800, 1200)
DECLARED = Declared(
    fax_mpa=11,
    fhead_mpa=10,
    tension_n=5000,
    yield_nmm=4745.5,
    outer_mm=5,
    inner_mm=3.2,
    head_mm=9.7,
)


def at(middle, drop=150, studs=STUDS, **more):
    return floating(
        drop,
        unit_middle=from_mm(middle),
        unit_strip=from_mm(380),
        wall_studs=tuple(map(from_mm, studs)),
        **more,
    )


def used(hangings, ratings, shop=1.0):
    """The most that any stud's screws are used by, all units loaded as rated."""
    loads = [unit_load(name, hangings[name], rating=ratings[name]) for name in hangings]
    places = [mm(one) for one in next(iter(hangings.values())).wall.studs]
    return max(
        stud_use(hangings[name], ratings[name], brought=brought, shop=shop)
        for brought in at_studs(loads, places)
        for name in hangings
    )


def test_one_unit_alone_is_rated_as_ever():
    hangings = {"A": at(600)}
    assert rate_together(hangings, shop=1) == {"A": rate(hangings["A"], shop=1)}
    assert used(hangings, rate_together(hangings, shop=1)) == pytest.approx(1)
    assert rate_together({}) == {}


@pytest.mark.parametrize("shop", [0.8, 1.0])
def test_two_units_at_one_place_carry_half_each(shop):
    two = {"A": at(600, unit_self_mass_kg=0.0), "B": at(600, unit_self_mass_kg=0.0)}
    alone = rate(two["A"], shop=shop)
    found = rate_together(two, shop=shop)
    for one in found.values():
        assert one.gross_kg == pytest.approx(alone.gross_kg / 2)
        assert one.net_kg == int(alone.gross_kg / 2)
        assert one.governing is Check.SCREWS
        assert one.pull_n == pytest.approx(alone.pull_n / 2)
        assert one.limits[Check.SCREWS] == pytest.approx(alone.limits[Check.SCREWS] / 2)


@CALM
@given(
    st.lists(st.integers(0, 1200), min_size=1, max_size=4),
    st.floats(0, 6),
    st.sampled_from([0.8, 1.0]),
    st.booleans(),
)
def test_no_stud_takes_more_than_its_screws_hold(middles, mass, shop, declared):
    more = {"screw_declared": DECLARED} if declared else {}
    hangings = {
        f"U{number}": at(middle, unit_self_mass_kg=mass, **more)
        for number, middle in enumerate(middles)
    }
    found = rate_together(hangings, shop=shop)
    if all(one.is_rated for one in found.values()):
        assert used(hangings, found, shop) <= 1 + 1e-6
        for name, one in found.items():
            assert one.net_kg <= rate(hangings[name], shop=shop).net_kg
            assert one.gross_kg == pytest.approx(mass + min(one.limits.values()))
    else:
        assert all(not one.is_rated and one.refusals for one in found.values())


def test_one_unit_without_a_number_leaves_all_without():
    found = rate_together({"A": at(300), "B": at(900, drop=50)}, shop=1)
    assert [one.why for one in found["A"].refusals] == [Why.TOGETHER]
    assert "Another unit on this cleat has no number" in found["A"].refusals[0].message
    assert [one.why for one in found["B"].refusals] == [Why.UNHOOKS]


def test_units_too_heavy_by_themselves_get_no_number():
    heavy = {name: at(600, unit_self_mass_kg=12.0) for name in "AB"}
    assert rate(heavy["A"], shop=1).is_rated
    found = rate_together(heavy, shop=1)
    assert "too heavy for it by themselves" in found["A"].refusals[0].message


def test_too_little_left_for_one_gets_no_number():
    crowd = {name: at(600, unit_self_mass_kg=10.3) for name in "AB"}
    found = rate_together(crowd, shop=1)
    assert "leave too little for one" in found["B"].refusals[0].message


def test_units_on_one_cleat_share_its_wall():
    other = at(600, wall_gypsum=from_mm(16))
    with pytest.raises(ValueError, match="share its wall"):
        rate_together({"A": at(600), "B": other})


def test_no_load_uses_nothing():
    case = at(600)
    assert stud_use(case, rate(case), brought=Sum(0, 0, 0)) == 0
    nowhere = replace(case, wall=replace(case.wall, backing=Backing.GYPSUM))
    assert stud_use(nowhere, rate(nowhere), brought=Sum(1, 1, 1)) == 0
    assert unit_load("A", nowhere, rating=rate(nowhere)).pull == 0
