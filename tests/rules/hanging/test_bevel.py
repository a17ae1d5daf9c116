"""Stresses at the bevel against integration of its traction, and what it bears."""

import numpy as np
import pytest

from kiosk.rules.hanging.bevel import (
    BEARING,
    BENDING,
    LUMBER_TENSION,
    ROLLING_SHEAR,
    most,
    most_between,
    stress,
)
from kiosk.rules.hanging.kinds import Board


def test_the_worked_short_strip():
    # worked: strip 300, cleat 18, H = V = 500 N
    found = stress(500, 500, length=300, thickness=18)
    assert (found.tension, found.shear, found.bearing) == pytest.approx(
        (0.2778, 0.1389, 0.0926), abs=5e-5
    )
    # lumber fails, plywood passes
    assert most(Board.LUMBER, pull_share=1, length=300, thickness=18) < 500
    assert most(Board.PLYWOOD, pull_share=1, length=300, thickness=18) > 500
    # EN 1995-1-1 for permanent loads, from memory
    assert pytest.approx(0.185, abs=5e-4) == LUMBER_TENSION


def test_the_root_is_bent_by_half_the_thickness():
    # an even traction on the bevel: across h, from the notch (0) to the tip (t); it acts at 45°
    # outward and down on the tip's root, a level section as wide as the cleat
    t, pull, load = 18.0, 500.0, 500.0
    x = (np.arange(20000) + 0.5) / 20000 * t  # from the wall outward, the bevel's height is x
    across, down = pull / len(x), load / len(x)
    bending = (across * x).sum() - (down * (x - t / 2)).sum()
    assert bending == pytest.approx(pull * t / 2, rel=1e-6)
    section = 300 * t**2 / 6
    assert bending / section == pytest.approx(
        stress(pull, load, length=300, thickness=t).tension, rel=1e-6
    )


def test_each_of_the_three_may_decide():
    def allowed(board, pull):
        return most(board, pull_share=pull, length=300, thickness=18)

    face = 300 * 18
    assert allowed(Board.LUMBER, 1) == pytest.approx(LUMBER_TENSION * face / 3)
    assert allowed(Board.PLYWOOD, 1) == pytest.approx(ROLLING_SHEAR * face / 1.5)
    assert allowed(Board.PLYWOOD, 0.1) == pytest.approx(BEARING * face)


def test_a_cleat_bends_little_between_studs():
    # derived: about 2 MPa at 406 for the worked floating shelf without a lock
    load = most_between(1.0, length=880, height=50, thickness=18, free=406.4)
    bent = 208.67 / 880 * 406.4**2 / 8 / (50 * 18**2 / 6)
    assert bent == pytest.approx(1.81, abs=0.01)
    assert load == pytest.approx(208.67 * BENDING / bent, rel=1e-3)
