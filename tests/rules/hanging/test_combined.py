"""Pull and shear at once, against bisection on the published formula."""

from math import hypot

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kiosk.rules.hanging.combined import most
from tests.hangingroutes import formula, most_by_bisection

CALM = settings(max_examples=200, deadline=None, derandomize=True)
NUMBERS = st.floats(20, 5000)
SHARES = st.floats(0.001, 20)


@CALM
@given(NUMBERS, NUMBERS, SHARES, SHARES)
def test_it_is_what_bisection_finds(pull, shear, t, v):
    found = most(pull, shear, pull_share=t, shear_share=v)
    assert found == pytest.approx(most_by_bisection(pull, shear, t, v), rel=1e-9)


def test_pure_pull_and_pure_shear():
    assert most(394, 121, pull_share=0.5, shear_share=0) == pytest.approx(788)
    assert most(394, 121, pull_share=0, shear_share=0.25) == pytest.approx(484)


def test_shear_never_exceeds_what_a_screw_holds_in_shear():
    # derived for this tool: at 45° the formula alone admits 131 N where the screw holds 121
    assert formula(394, 121, 1, 1) / hypot(1, 1) == pytest.approx(130.9, abs=0.1)
    assert most(394, 121, pull_share=1, shear_share=1) == pytest.approx(121)


@pytest.mark.parametrize("shares", [(0, 0), (-1, 1), (1, -1)])
def test_a_load_must_go_somewhere(shares):
    with pytest.raises(ValueError, match="share"):
        most(100, 100, pull_share=shares[0], shear_share=shares[1])
