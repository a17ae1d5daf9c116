"""What a shelf may carry by sag, strength and cap."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kiosk.rules.hanging.inches import GRAVITY
from kiosk.rules.hanging.kinds import Grain
from kiosk.rules.hanging.model import Shelf
from kiosk.rules.hanging.sag import section, simple, stiffness, tip_alone
from kiosk.rules.hanging.shelves import ELASTICITY, ShelfCheck, shelf_load
from kiosk.rules.lengths import from_mm

CALM = settings(max_examples=100, deadline=None, derandomize=True)
SHELF = Shelf(
    span=from_mm(800), depth=from_mm(300), thickness=from_mm(18), grain=Grain.ALONG, mass_kg=0
)


def test_the_worked_shelf_sags_before_it_breaks():
    # worked with E 6550: 24.3 kg; the default is 6500
    found = shelf_load(SHELF)
    assert found.by is ShelfCheck.SAG
    assert found.net_kg == pytest.approx(24.3 * 6500 / 6550, abs=0.1)
    assert found.limits[ShelfCheck.CAP] == 90


def test_a_short_shelf_is_capped():
    found = shelf_load(replace(SHELF, span=from_mm(300), mass_kg=4))
    assert found.by is ShelfCheck.CAP
    assert found.net_kg == 86


def test_a_very_short_board_may_break_first():
    # spans under some eight thicknesses; by hand 8 sigma Z / L² × L / g
    shelf = replace(SHELF, span=from_mm(40), thickness=from_mm(6), depth=from_mm(50))
    found = shelf_load(shelf)
    assert found.by is ShelfCheck.STRENGTH
    sigma = 34.0 / 4
    assert found.net_kg == pytest.approx(8 * sigma * 50 * 36 / 6 / 40 / GRAVITY)


def test_across_the_grain_it_carries_a_third():
    across = shelf_load(replace(SHELF, grain=Grain.ACROSS))
    along = shelf_load(SHELF)
    assert across.net_kg == pytest.approx(along.net_kg / 3)
    assert across.limits[ShelfCheck.STRENGTH] == pytest.approx(
        along.limits[ShelfCheck.STRENGTH] / 3
    )


def test_two_spans_carry_twice_one():
    assert shelf_load(replace(SHELF, spans=2)).limits[ShelfCheck.SAG] == pytest.approx(
        2 * shelf_load(SHELF).limits[ShelfCheck.SAG]
    )


def test_the_own_weight_comes_off_and_the_shops_factor_spares_the_cap():
    found = shelf_load(replace(SHELF, mass_kg=3), factor=0.8)
    assert found.limits[ShelfCheck.SAG] == pytest.approx(
        0.8 * shelf_load(SHELF).limits[ShelfCheck.SAG] - 3
    )
    assert found.limits[ShelfCheck.CAP] == 87


@CALM
@given(st.integers(200, 1500), st.integers(0, 400), st.sampled_from([9, 12, 18, 25]))
def test_the_allowed_load_sags_and_bends_no_more_than_allowed(span, out, thick):
    shelf = replace(SHELF, span=from_mm(span), overhang=from_mm(out), thickness=from_mm(thick))
    found = shelf_load(shelf)
    length = span + 2 * out
    ei = stiffness(ELASTICITY, depth=300, thickness=thick)
    z = section(depth=300, thickness=thick)
    w = found.limits[ShelfCheck.SAG] * GRAVITY / length
    sags = [simple(w, span=span, ei=ei) * 2 / (span / 240)]
    b = found.limits[ShelfCheck.STRENGTH] * GRAVITY / length
    bent = [b * span**2 / 8 / z]
    if out:
        sags.append(tip_alone(w, span=span, overhang=out, ei=ei) * 2 / (2 * out / 240))
        bent.append(b * out**2 / 2 / z)
    assert max(sags) == pytest.approx(1)
    assert max(bent) == pytest.approx(8.5)


@pytest.mark.parametrize("odd", [{"grain": Grain.UNKNOWN}, {"spans": 0}, {"spans": 3}])
def test_what_nobody_knows_is_not_reckoned(odd):
    with pytest.raises(ValueError, match="must be known"):
        shelf_load(replace(SHELF, **odd))
