"""Screws by number: table L3, strength of the steel, reductions, thread and holes."""

import pytest

from kiosk.rules.hanging.inches import INCH, POUND_FORCE, psi
from kiosk.rules.hanging.screws import (
    SIZES,
    bending_yield,
    holes,
    reduction,
    thread_in,
)


def test_sizes_are_those_of_the_table():
    # NDS 2018, table L3, as transcribed by others: (D, D_r, D_H) in inches
    table = {
        6: (0.138, 0.113, 0.262), 8: (0.164, 0.131, 0.312), 10: (0.190, 0.152, 0.363),
        12: (0.216, 0.171, 0.414), 14: (0.242, 0.196, 0.480),
    }  # fmt: skip
    for gauge, (shank, root, head) in table.items():
        size = SIZES[gauge]
        assert (size.shank, size.root, size.head) == pytest.approx(
            (shank * 25.4, root * 25.4, head * 25.4)
        )


@pytest.mark.parametrize(
    ("gauge", "ksi"), [(6, 100), (7, 90), (8, 90), (9, 90), (10, 80), (12, 80), (14, 70)]
)
def test_thicker_screws_are_of_softer_steel(gauge, ksi):
    # NDS 2018, table 12L, as transcribed by others; No. 6 from memory
    assert bending_yield(SIZES[gauge].shank) == pytest.approx(ksi * 6.894757, rel=1e-6)


def test_nothing_is_known_of_thicker_screws():
    with pytest.raises(ValueError, match="bending yield"):
        bending_yield(7.0)
    with pytest.raises(ValueError, match="too thick"):
        reduction(0.25 * INCH)


def test_the_reduction_is_by_the_root_and_does_not_jump():
    assert reduction(SIZES[10].root) == 2.2
    assert reduction(SIZES[12].root) == pytest.approx(2.21)
    assert reduction(SIZES[14].root) == pytest.approx(2.46)
    # the reading "10 D - 0.5" would jump here by 1
    assert reduction(0.1701 * INCH) == pytest.approx(reduction(0.17 * INCH), abs=0.002)
    # and a nominal diameter of No. 10 would give 2.4 in place of 2.2: 8 % low
    assert reduction(SIZES[10].shank) == pytest.approx(2.4)


def test_thread_is_two_thirds_and_at_least_four_diameters():
    assert thread_in(40.2, 88.9, shank=4.826) == 40.2
    assert thread_in(80.0, 90.0, shank=4.826) == pytest.approx(60.0)
    assert thread_in(80.0, 12.0, shank=4.826) == pytest.approx(19.304)


# Drills from NDS 2018, 12.1.5, after a handbook of building construction; clearance holes are
# common practice, no source
@pytest.mark.parametrize(
    ("gauge", "soft", "hard", "clearance"),
    [(8, 2.33, 2.99, 4.5), (10, 2.70, 3.47, 5.0), (12, 3.04, 3.91, 6.0), (14, 3.48, 4.48, 6.5)],
)
def test_holes(gauge, soft, hard, clearance):
    assert holes(gauge, 0.42).stud == pytest.approx(soft, abs=0.01)
    assert holes(gauge, 0.60).stud == pytest.approx(hard, abs=0.01)
    assert holes(gauge, 0.42).clearance == clearance


def test_pounds_and_inches():
    # international agreement of 1959 and CGPM 1901: 0.45359237 kg times 9.80665 m/s²
    assert pytest.approx(0.45359237 * 9.80665, rel=1e-12) == POUND_FORCE
    assert psi(1000) == pytest.approx(6.894757, rel=1e-6)
