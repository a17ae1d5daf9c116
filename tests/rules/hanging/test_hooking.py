"""How a unit sits on its cleat, against a linear programme over the contact forces."""

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.optimize import linprog

from kiosk.rules.hanging.hooking import hook, least_drop

CALM = settings(max_examples=150, deadline=None, derandomize=True)


def balance(load, out, contact, drop, above, *, locked=False):
    """The least lock that keeps the unit in balance, or None where nothing does.

    Unknown and never negative: the bevel's force along its normal, the stop, the strip's top, the
    lock. Sums across and up, and turning about the bevel.
    """
    root = 0.5**0.5
    found = linprog(
        [0, 0, 0, 1],
        A_eq=[
            [root, 0, 0, 0],
            [-root, 1, 1, -1],
            [0, drop, -above, 0],
        ],
        b_eq=[load, 0, load * (out - contact)],
        bounds=[(0, None)] * 3 + [(0, None if locked else 0)],
    )
    return found if found.status == 0 else None


# derived for this tool: e 150, x_c 9, 100 N; the pull in loads by the stop's distance
@pytest.mark.parametrize(
    ("drop", "pull", "hooks"),
    [
        (25, 5.64, False), (50, 2.82, False), (75, 1.88, False), (100, 1.41, False),
        (141, 1.00, True), (150, 1.00, True), (300, 1.00, True), (600, 1.00, True),
    ],
)  # fmt: skip
def test_a_short_stop_multiplies_the_pull(drop, pull, hooks):
    found = hook(100, out=150, contact=9, drop=drop)
    assert found.pull == pytest.approx(100 * pull, rel=1e-9)
    assert found.hooks is hooks
    assert found.lock == pytest.approx(100 * (pull - 1), abs=1e-9)
    assert (balance(100, 150, 9, drop, 0) is not None) is hooks


def test_a_deep_shelf_needs_a_longer_back():
    # worked: depth 400, e 200, stop at 150: 191/150
    found = hook(1, out=200, contact=9, drop=150)
    assert found.pull == pytest.approx(191 / 150)
    assert not found.hooks
    assert least_drop(out=200, contact=9) == pytest.approx(191)
    assert hook(1, out=200, contact=9, drop=191).hooks


def test_where_the_strip_bears_moves_only_stop_and_top():
    # worked: braced shelf, e 186, h 230: 0.7696 and 0.2304, with a = 20 0.788 and 0.212
    level = hook(1, out=186, contact=9, drop=230)
    assert (level.stop, level.top) == pytest.approx((0.7696, 0.2304), abs=5e-5)
    above = hook(1, out=186, contact=9, drop=230, above=20)
    assert (above.stop, above.top) == pytest.approx((0.788, 0.212), abs=5e-4)
    assert above.pull == level.pull


@CALM
@given(
    st.floats(10, 2000), st.floats(10, 600), st.floats(6, 15), st.floats(5, 900), st.floats(0, 40)
)
def test_the_forces_are_those_of_the_programme(load, out, contact, drop, above):
    assume(out >= contact)
    need = out - contact
    assume(abs(drop - need) > 1e-4 * need)
    found = hook(load, out=out, contact=contact, drop=drop, above=above)
    free = balance(load, out, contact, drop, above)
    # infeasible exactly where the criterion says that it unhooks
    assert (free is not None) is found.hooks is (drop >= need)
    if free is not None:
        bevel, stop, top, _lock = free.x
        assert found.pull == pytest.approx(bevel * 0.5**0.5, rel=1e-4)
        assert (found.stop, found.top) == pytest.approx((stop, top), rel=1e-4, abs=1e-4 * load)
    else:
        held = balance(load, out, contact, drop, above, locked=True)
        assert found.lock == pytest.approx(held.x[3], rel=1e-4)
        assert found.stop == pytest.approx(held.x[1], rel=1e-4)
        assert found.pull == pytest.approx(held.x[3] + load, rel=1e-4)


def test_other_bevels():
    # steeper from level: more pull, sooner hooked
    found = hook(100, out=150, contact=9, drop=100, bevel=60)
    assert found.pull == pytest.approx(100 * 3**0.5)
    assert found.hooks
    assert least_drop(out=150, contact=9, bevel=60) == pytest.approx(141 / 3**0.5)


@pytest.mark.parametrize(("out", "drop"), [(8, 100), (150, 0), (150, -1), (float("nan"), 100)])
def test_what_cannot_hang_so_is_no_case(out, drop):
    with pytest.raises(ValueError, match="stop lies below"):
        hook(1, out=out, contact=9, drop=drop)
