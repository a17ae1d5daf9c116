"""How a cleat pries its screws out, against a system of equations for unit and cleat."""

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from kiosk.rules.hanging.hooking import hook
from kiosk.rules.hanging.prying import PIVOT, moment, row_limits, row_pulls
from tests.hangingroutes import solved

CALM = settings(max_examples=300, deadline=None, derandomize=True)


def ruled(load, out, thick, height, drop, rows):
    hooked = hook(load, out=out, contact=thick / 2, drop=drop)
    bevel_at = height - thick / 2
    turning = moment(hooked, load, out=out, contact=thick / 2, bevel_at=bevel_at, drop=drop)
    return row_pulls(turning, rows)


@CALM
@given(
    st.floats(15, 500),
    st.floats(12, 30),
    st.floats(40, 160),
    st.floats(5, 700),
    st.lists(st.floats(8, 120), min_size=1, max_size=3),
)
def test_rows_pull_as_the_equations_say(out, thick, height, drop, rows):
    assume(out > thick / 2 + 1 and thick < height and max(rows) < height - thick)
    bevel_at, need = height - thick / 2, out - thick / 2
    assume(abs(drop - need) > 1e-6)
    # within 2 mm of the lower edge a stop presses on the toe itself, which turns nothing
    assume(not bevel_at - PIVOT < drop < bevel_at)
    exact, _toe = solved(100, out, thick, height, drop, rows)
    found = ruled(100, out, thick, height, drop, rows)
    if drop >= bevel_at or (drop < need and out >= height - PIVOT):
        assert found == pytest.approx(exact, rel=1e-4)
    else:
        # a stop that bears on the cleat holds it back, or nearly unhooks a thin unit: safe side
        assert max(found) >= max(exact) * (1 - 1e-9)


# worked for this tool: floating shelf, c 50, row at 16, e 150; pull of the row in loads
@pytest.mark.parametrize(
    ("drop", "pull"), [(25, 10.714), (50, 8.499), (100, 4.571), (150, 3.429), (300, 3.429)]
)
def test_the_floating_shelf(drop, pull):
    assert ruled(1, 150, 18, 50, drop, [16])[0] == pytest.approx(pull, abs=5e-4)
    assert solved(1, 150, 18, 50, drop, [16])[0][0] == pytest.approx(pull, abs=5e-4)


def test_the_braced_shelf():
    assert ruled(1, 186, 18, 100, 230, [15, 67])[1] == pytest.approx(1.4497, abs=5e-5)
    assert ruled(1, 186, 18, 100, 60, [15, 67])[1] == pytest.approx(2.7515, abs=5e-5)
    assert solved(1, 186, 18, 100, 60, [15, 67])[0][1] == pytest.approx(2.7515, abs=5e-5)


def test_against_a_strip_of_finite_elements():
    # own finite elements on bedding without tension: pull of the upper row in pulls,
    # the middle of what it found for two stiffnesses; a pivot 2 mm up is safe or low by under 1 %
    cases = [(80, [40], 2.03), (80, [55], 1.465), (30, [12], 2.58), (80, [20, 60], 1.23)]
    for height, rows, found in cases:
        # a pull alone at the height of the tip's middle, as the strip was loaded
        turning = 1.0 * (height - PIVOT)
        assert max(row_pulls(turning, rows)) >= 0.99 * found


def test_pressure_at_the_toe_is_never_tension():
    for drop in (30, 60, 150, 400):
        _pulls, toe = solved(100, 186, 18, 100, drop, [15, 67])
        assert toe > 0


def test_two_rows_barely_cut_the_upper_pull():
    one, two = row_pulls(98, [67])[0], row_pulls(98, [15, 67])[1]
    assert 0.95 < two / one < 1


def test_limits_of_a_row():
    # derived: at least the cleat's thickness and six diameters, about 47 mm for No. 10
    low, high = row_limits(thickness=18, height=47, shank=4.826)
    assert (low, high) == pytest.approx((14.478, 14.522))


@pytest.mark.parametrize("rows", [[], [2.0], [10.0, 1.0]])
def test_a_row_below_the_pivot_is_none(rows):
    with pytest.raises(ValueError, match="lower edge"):
        row_pulls(100, rows)
