"""Ratings: properties that must hold for any unit, and what stands beside the number."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kiosk.rules.hanging.cautions import ALWAYS
from kiosk.rules.hanging.checks import CHECKS, Check
from kiosk.rules.hanging.kinds import Backing, Board, Grain, Head
from kiosk.rules.hanging.loads import judge
from kiosk.rules.hanging.model import Declared, Lock, Shelf
from kiosk.rules.hanging.rating import rate
from kiosk.rules.hanging.species import GRAVITIES
from kiosk.rules.lengths import System, from_mm
from kiosk.rules.words import Phrase
from tests.hanging import SCREW, braced, cleat, floating, hanging, unit

CALM = settings(max_examples=150, deadline=None, derandomize=True)
LOCK = Lock(screw=SCREW, count=2, backing=Backing.STUD)
STUDS = (0, 400, 800, 1200)


def made(out, drop, mass, *, height=100.0, studs=(0, 400), locked=True, **more):
    at = tuple(map(from_mm, studs))
    middle = from_mm((studs[0] + studs[-1]) / 2)
    lock = LOCK if locked else None
    rows = (15, height - 18 - 15) if height >= 100 else (16,)
    hung = unit(out, drop, mass, middle=middle, lock=lock)
    return hanging(hung, cleat(height, *rows), wall_studs=at, **more)


def net(case, **more):
    """The number on the card; no number is less than any."""
    return rate(case, **more).net_kg or 0


UNITS = {
    "out": st.integers(12, 450),
    "drop": st.integers(5, 600),
    "mass": st.floats(0, 20),
    "height": st.sampled_from([50.0, 100.0, 140.0]),
    "locked": st.booleans(),
}


@CALM
@given(longer=st.integers(1, 400), **UNITS)
def test_a_longer_stop_never_lowers_the_rating(longer, drop, **rest):
    assert net(made(drop=drop + longer, **rest)) >= net(made(drop=drop, **rest))


@CALM
@given(further=st.integers(1, 100), **UNITS)
def test_further_out_it_never_carries_more(further, out, **rest):
    assert net(made(out=out + further, **rest)) <= net(made(out=out, **rest))


@CALM
@given(more=st.floats(0.1, 20), **UNITS)
def test_a_heavier_unit_never_carries_more(more, mass, **rest):
    assert net(made(mass=mass + more, **rest)) <= net(made(mass=mass, **rest))


@CALM
@given(count=st.integers(2, 4), **UNITS)
def test_one_stud_fewer_never_raises_the_rating(count, **rest):
    whole = made(studs=STUDS[:count], **rest)
    for fewer in ((*STUDS[: count - 1],), (*STUDS[1:count],)):
        # the unit hangs where it hung
        less = replace(whole, wall=replace(whole.wall, studs=tuple(map(from_mm, fewer))))
        assert net(less) <= net(whole)


@CALM
@given(species=st.sampled_from(sorted(GRAVITIES)), **UNITS)
def test_unknown_studs_never_carry_more_than_known_ones(species, **rest):
    known = net(made(wall_species=species, **rest))
    assert net(made(wall_species="", **rest)) <= known
    assert net(made(wall_species="some wood", **rest)) <= known


@CALM
@given(thicker=st.floats(0.1, 20), **UNITS)
def test_more_gypsum_never_helps(thicker, **rest):
    assert net(made(wall_gypsum=from_mm(12.7 + thicker), **rest)) <= net(made(**rest))


@pytest.mark.no_cover
@CALM
@given(**UNITS)
def test_what_is_worse_never_carries_more(**rest):
    whole = net(made(**rest))
    assert net(made(cleat_is_glued=False, **rest)) <= whole
    assert net(made(screw_head=Head.COUNTERSUNK, **rest)) <= whole
    assert net(made(use_is_damp=True, **rest)) <= whole
    assert net(made(use_celsius=45.0, **rest)) <= whole
    assert net(made(cleat_board=Board.LUMBER, **rest)) <= whole
    assert net(made(unit_strip=from_mm(100), **rest)) <= whole
    assert net(made(screw_thread=from_mm(20), **rest)) <= whole
    assert net(made(**rest), shop=0.8) <= net(made(**rest), shop=1)


@CALM
@given(load=st.floats(0, 100), more=st.floats(0, 100), **UNITS)
def test_more_load_never_reads_safer(load, more, **rest):
    rating = rate(made(**rest))
    less, most = judge(load, rating), judge(load + more, rating)
    assert less.is_enough or not most.is_enough
    assert rating.net_kg or not less.is_enough


@CALM
@given(**UNITS)
def test_no_number_is_above_any_check(**rest):
    found = rate(made(**rest))
    if found.is_rated:
        assert found.net_kg <= min(found.limits.values())
        assert found.net_kg >= 1
        assert found.gross_kg == pytest.approx(rest["mass"] + min(found.limits.values()))
        assert found.limits[found.governing] == min(found.limits.values())
        assert not found.refusals
    else:
        assert found.refusals


def test_the_short_stop_is_rated_no_better_than_practice_and_a_longer_back_helps():
    # 10 to 15 lb on such a shelf: common practice, no source
    short = rate(floating(25, unit_lock=LOCK), shop=1)
    assert 1 <= short.net_kg <= 10 * 0.45359237
    long = rate(floating(150), shop=1)
    assert long.net_kg >= 3 * short.net_kg
    assert not rate(floating(25), shop=1).is_rated


SHELF = Shelf(
    span=from_mm(800), depth=from_mm(300), thickness=from_mm(18), grain=Grain.ALONG, mass_kg=3
)


def test_several_shelves_add_up_each_by_its_own_limit():
    strong = braced(wall_species="Southern Pine", wall_studs=tuple(map(from_mm, STUDS)))
    strong = replace(strong, unit=replace(strong.unit, middle=from_mm(600)))
    short = replace(SHELF, span=from_mm(300))
    found = rate(replace(strong, unit=replace(strong.unit, shelves=(SHELF, short))), shop=1)
    assert found.shelves[0].net_kg == pytest.approx(24.345 * 6500 / 6550 - 3, abs=0.05)
    assert found.shelves[1].net_kg == 87
    screws = rate(strong, shop=1).limits[Check.SCREWS]
    assert found.limits[Check.SAG] == pytest.approx(sum(one.net_kg for one in found.shelves))
    assert found.net_kg == int(min(screws, found.limits[Check.SAG]))


def test_a_strong_unit_without_shelves_is_capped():
    strong = braced(
        230, wall_species="Southern Pine", screw_head=Head.WASHER, screw_head_across=from_mm(16)
    )
    many = tuple(map(from_mm, range(0, 1201, 300)))
    strong = replace(
        strong,
        wall=replace(strong.wall, studs=many),
        unit=replace(strong.unit, middle=from_mm(600), self_mass_kg=10.0),
    )
    found = rate(strong, shop=1)
    assert found.governing is Check.CAP
    assert found.net_kg == 80


def test_a_weak_lock_decides():
    lock = replace(LOCK, count=1, screw=replace(SCREW, head=Head.COUNTERSUNK))
    strong = braced(30, unit_lock=lock, unit_self_mass_kg=0.5)
    found = rate(strong, shop=1)
    assert found.governing is Check.LOCK
    # worked by hand: 393.80 × 0.6 over the difference of pulls, 177/30 - 1
    assert found.gross_kg * 9.80665 == pytest.approx(236.28 / 4.9, rel=1e-4)


def test_a_lock_that_is_not_needed_changes_nothing():
    locked, plain = rate(floating(150, unit_lock=LOCK)), rate(floating(150))
    assert locked.limits == plain.limits
    assert locked.cautions == plain.cautions


def test_the_cleat_may_decide_where_it_stands_out_far():
    far = braced(cleat_thickness=from_mm(12), cleat_rows=(from_mm(15), from_mm(67)))
    far = replace(
        far,
        screw=replace(SCREW, head=Head.WASHER, head_across=from_mm(20)),
        unit=replace(far.unit, strip=from_mm(1600)),
        wall=replace(far.wall, species="Southern Pine"),
    )
    found = rate(far, shop=1)
    assert found.governing is Check.CLEAT
    # by hand: 2 × (800 - 203.2) counts as free; 8.5 MPa × 100 × 12²/6 over free²/8/1600
    free = 2 * (800 - 203.2)
    assert found.gross_kg * 9.80665 == pytest.approx(8.5 * 100 * 144 / 6 * 8 * 1600 / free**2)


@pytest.mark.parametrize("shop", [0, -1, 1.01, float("nan")])
def test_the_shops_factor_only_takes_off(shop):
    with pytest.raises(ValueError, match="shop's factor"):
        rate(floating(150), shop=shop)


def test_the_shops_factor_leaves_the_own_weight_whole():
    # 0.8 × 21.278 kg - 6 kg
    assert rate(floating(150)).limits[Check.SCREWS] == pytest.approx(0.8 * 21.2783 - 6, abs=1e-3)
    assert rate(floating(150)).net_kg == 11


def said(rating):
    return {str(one.what): str(one.value) for one in rating.assumptions}


def test_every_assumption_is_a_value_that_is_shown():
    found = rate(floating(150, unit_shelves=(SHELF,)))
    shown = said(found)
    assert shown["studs"] == "SPF: 0.42"
    assert shown["screws"] == "No. 10 × 88.9 mm, root 3.86 mm"
    assert shown["penetration into the stud"] == "40.2 mm"
    assert shown["cleat on panel"] == "glued and screwed"
    assert shown["gap"] == "12.7 mm"
    assert shown["load duration, damp, warmth"] == "0.90"
    assert shown["load and own weight hang out"] == "150 mm"
    assert shown["stop below the bevel"] == "150 mm"
    assert shown["shop factor"] == "0.80"
    assert shown["elasticity of shelves"] == "6500 MPa, across the grain divided by 3"
    assert shown["sag of shelves"] == "span / 240 after 2.0-fold creep"
    assert "share of pull-through left under a countersunk head" not in shown
    for one in found.assumptions:
        assert one.value
        assert isinstance(one.what, Phrase)
        assert isinstance(one.basis, Phrase)


def test_assumptions_follow_what_was_entered():
    loose = said(rate(floating(150, cleat_is_glued=False, wall_species=""), shop=1))
    assert loose["cleat on panel"] == "screwed only; the panel counts as gap"
    assert loose["gap"] == "30.7 mm"
    assert loose["studs"] == "unknown species: 0.36"
    assert "elasticity of shelves" not in loose
    assert "studs share the load" not in loose
    three = tuple(map(from_mm, (0, 406.4, 812.8)))
    assert said(rate(floating(150, wall_studs=three), shop=1))["studs share the load"] == (
        "as if cleat and unit did not bend"
    )
    other = said(rate(floating(150, wall_gravity=0.45, screw_head=Head.COUNTERSUNK), shop=1))
    assert other["specific gravity of the studs"] == "0.45"
    assert other["share of pull-through left under a countersunk head"] == "0.6"


def test_locks_and_second_opinions_are_shown_too():
    declared = Declared(
        fax_mpa=11, fhead_mpa=10, tension_n=5000, yield_nmm=4745.5,
        outer_mm=5, inner_mm=3.2, head_mm=9.7,
    )  # fmt: skip
    case = floating(150, unit_lock=LOCK, screw_declared=declared)
    shown = said(rate(case, shop=1))
    assert shown["pull-lock"] == "2 × No. 10 × 88.9 mm into studs"
    assert shown["second opinion"] == "k_mod 0.70, divided by 1.3 and by 1.5"
    assert shown["densities of the second opinion"] == "stud 350, plywood 450 kg/m³"
    assert shown["screws meet the stud's middle within"] == "4.0 mm either way"


def test_cautions_always_stand_beside_a_number():
    found = rate(floating(150))
    assert found.cautions[: len(ALWAYS)] == ALWAYS
    asked = "no engineering approval;sound wood studs;climbs, hangs, sits;every year;cables"
    for words in (*asked.split(";"), "under 38 °C"):
        assert any(words in one for one in ALWAYS)
    own = found.cautions[len(ALWAYS) :]
    assert "40.2 mm into the studs: more than 31.75 mm" in own[0]
    assert "No shelf was entered" in own[1]


def test_some_units_need_more_cautions():
    case = floating(
        25, unit_lock=LOCK, unit_self_mass_kg=1.0, cleat_board=Board.LUMBER,
        screw_length=from_mm(79), unit_shelves=(replace(SHELF, span=from_mm(400), mass_kg=1),),
    )  # fmt: skip
    own = rate(replace(case, unit=replace(case.unit, lock=LOCK)), shop=1).cautions[len(ALWAYS) :]
    assert [one[:20] for one in own] == ["Without its pull-loc", "A lumber cleat is we"]


def test_figures_are_said_in_inches_too():
    found = rate(floating(150), system=System.INCH)
    assert said(found)["stop below the bevel"] == '5 7/8"'
    assert any('1 1/4"' in one for one in found.cautions)


def test_every_check_has_a_name():
    assert set(CHECKS) == set(Check)


def test_the_locks_of_a_unit_off_the_middle_are_pulled_unevenly():
    weak = replace(LOCK, count=1)
    middle = rate(floating(50, unit_lock=weak, unit_self_mass_kg=0), shop=1)
    aside = rate(
        floating(50, unit_lock=weak, unit_self_mass_kg=0, unit_middle=from_mm(304.8)), shop=1
    )
    # three quarters of it on the nearer stud, where one of two screws would take half
    assert aside.limits[Check.LOCK] == pytest.approx(middle.limits[Check.LOCK] / 1.5)
