"""The second opinion by Eurocode 5 against a handbook's example and hand-worked values."""

from dataclasses import replace

import pytest

from kiosk.rules.hanging.eurocode import missing, opinion
from kiosk.rules.hanging.model import Declared

# the case worked for this tool: d 5, d_1 3.2, f_u 600 and d_ef 3.52, so M_y 0.3 f_u d_ef^2.6
CASE = Declared(
    fax_mpa=11,
    fhead_mpa=10,
    rho_fhead=450,
    tension_n=5000,
    yield_nmm=0.3 * 600 * 3.52**2.6,
    outer_mm=5,
    inner_mm=3.2,
    head_mm=9.7,
)


def test_the_worked_case():
    assert CASE.yield_nmm == pytest.approx(4745.5, abs=0.1)
    found = opinion(CASE, threaded=40, side=36, main=40, gap=12.7)
    assert found.shear_k == pytest.approx(511.95, abs=0.01)
    assert found.axial_k == pytest.approx(940.9, abs=0.01)
    assert found.shear == pytest.approx(275.7, abs=0.05)
    assert found.axial == pytest.approx(506.6, abs=0.05)
    # over the load factor 1.5
    assert found.most(pull_share=0, shear_share=1) == pytest.approx(184, abs=0.5)
    assert found.most(pull_share=1, shear_share=0) == pytest.approx(338, abs=0.5)
    # squares add up: EN 1995-1-1, 8.28, from memory
    both = found.most(pull_share=1, shear_share=1)
    assert (1.5 * both / found.axial) ** 2 + (1.5 * both / found.shear) ** 2 == pytest.approx(1)


def test_withdrawal_of_a_handbook_example():
    # LVL Handbook Europe 2025, example 9.6: 2.25 kN each, two screws 1.9 kN in design
    declared = replace(CASE, fax_mpa=10, fhead_mpa=1000)
    alone = opinion(declared, threaded=45, side=36, main=40, gap=0, duration="permanent")
    assert alone.axial_k == pytest.approx(2250)
    two = opinion(declared, threaded=45, side=36, main=40, gap=0, screws=2, duration="permanent")
    assert 2 * two.axial == pytest.approx(1938, abs=1)


def test_the_steel_may_decide():
    found = opinion(replace(CASE, tension_n=500), threaded=40, side=36, main=40, gap=0)
    assert found.axial_k == 500


def test_denser_wood_than_declared_adds_nothing_and_lighter_takes_off():
    def axial(**more):
        return opinion(replace(CASE, **more), threaded=40, side=36, main=40, gap=0).axial_k

    assert axial(rho_fhead=350) == axial()
    assert axial(rho_fhead=500) == pytest.approx(940.9 * (450 / 500) ** 0.8)


@pytest.mark.parametrize(
    "name",
    ["fax_mpa", "fhead_mpa", "tension_n", "yield_nmm", "rho_fax", "rho_fhead", "outer_mm",
     "inner_mm", "head_mm"],
)  # fmt: skip
@pytest.mark.parametrize("value", [None, 0, float("nan"), float("inf")])
def test_a_value_that_is_missing_gives_no_opinion(name, value):
    lacking = replace(CASE, **{name: value})
    assert len(missing(lacking)) == 1
    assert opinion(lacking, threaded=40, side=36, main=40, gap=0) is None
