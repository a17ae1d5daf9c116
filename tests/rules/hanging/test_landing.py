"""Cleats in each other's way, and stops that bear on another cleat or on nothing."""

from dataclasses import replace

import pytest

from kiosk.rules.hanging.fitting import Fitting
from kiosk.rules.lengths import from_mm
from tests.wallbuild import a_job, a_panel, a_shelf, braced, checked, whys

# the worked shelf's cleat from 1000 to 1100: its bevel bears at 1091, its stop 230 lower at 861


def both(**other):
    job = a_job(a_panel(), a_shelf("S"), a_shelf("T"), S=braced(), T=braced(**other))
    view = checked(job)
    return whys(view.unit("S")), whys(view.unit("T"))


@pytest.mark.parametrize(
    ("y", "found"), [(760, []), (761, ["stop_lands"]), (861, ["stop_lands"]), (862, [])]
)
def test_a_stop_on_another_cleat_is_refused(y, found):
    assert both(y=y)[0] == found


def test_only_cleats_below_it_on_the_same_panel_are_met():
    assert both(y=800, cleat_x=from_mm(656.4), x=656.4)[0] == []
    other = a_job(a_panel(), a_panel("Q"), a_shelf("S"), a_shelf("T", hangs_on="Q"))
    apart = replace(other, fittings={"S": braced(), "T": braced(y=800)})
    assert whys(checked(apart).unit("S")) == []
    shared = {"cleat_name": "low"}
    job = a_job(a_panel(), a_shelf("S"), a_shelf("T"), S=braced(**shared), T=braced(**shared))
    assert whys(checked(job).unit("S")) == []


def test_a_stop_below_its_panel_bears_on_nothing():
    panel = Fitting(x=from_mm(100), width=from_mm(1200), y=from_mm(861), height=from_mm(900))
    job = a_job(a_panel(), a_shelf("S"), S=braced(), P=panel)
    assert whys(checked(job).unit("S")) == []
    higher = Fitting(x=from_mm(100), width=from_mm(1200), y=from_mm(862), height=from_mm(900))
    job = a_job(a_panel(), a_shelf("S"), S=braced(), P=higher)
    (one,) = checked(job).unit("S").refusals
    assert one.message == "Its stop is below its panel and bears on nothing."


def test_what_nobody_said_is_in_nobodys_way():
    assert both(y=800, drop=None, cleat_y=None)[0] == []
    assert both(y=800, drop=None)[0] == ["stop_lands"]


def test_a_stop_is_as_wide_as_its_unit_and_not_as_its_cleat():
    wide = braced(x=0, width=from_mm(806.4))
    beside = braced(y=800, x=750, cleat_x=from_mm(700))
    job = a_job(a_panel(), a_shelf("S"), a_shelf("T"), S=wide, T=beside)
    assert whys(checked(job).unit("S")) == ["stop_lands"]
    narrow = replace(job, fittings={"S": braced(), "T": beside})
    assert whys(checked(narrow).unit("S")) == []
