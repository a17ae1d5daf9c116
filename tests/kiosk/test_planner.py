"""The search on every core: real processes, limited by evaluations."""

import os
import subprocess
import sys

import pytest

from kiosk.planner import Limit, look_for
from kiosk.rules.dayplan import gridcheck
from kiosk.rules.dayplan.model import Plan
from kiosk.rules.dayplan.portfolio import first_plan
from tests.shops import make_shop

SHOP = make_shop(2, units=8)
FEW = Limit(evaluations=60, seed=3)


def test_processes_find_the_same_better_plan_each_time() -> None:
    heard: list[Plan] = []
    plan = look_for(SHOP, limit=FEW, processes=2, heard=heard.append)
    assert heard[0].placed == first_plan(SHOP).placed
    assert plan.cost < heard[0].cost
    assert min(one.cost for one in heard) == plan.cost
    assert gridcheck.find_faults(SHOP, plan) == ()
    assert look_for(SHOP, limit=FEW, processes=2) == plan


def test_the_search_goes_on_here_where_processes_die(capfd: pytest.CaptureFixture[str]) -> None:
    here = look_for(SHOP, limit=FEW, processes=0)
    assert here.cost < first_plan(SHOP).cost
    # it takes one number, so each process ends with an error before it sends a thing
    assert look_for(SHOP, limit=FEW, processes=2, work=os._exit) == here  # type: ignore[arg-type]
    assert "TypeError" in capfd.readouterr().err


def test_a_search_that_is_stopped_gives_the_best_so_far() -> None:
    endless = Limit(evaluations=10**9)
    heard: list[Plan] = []
    plan = look_for(
        SHOP, limit=endless, processes=1, heard=heard.append, go_on=lambda: len(heard) < 3
    )
    assert plan == heard[-1]
    stopped = look_for(SHOP, limit=endless, processes=1, go_on=lambda: False)
    assert stopped.placed == first_plan(SHOP).placed


def test_a_plan_known_before_is_not_lost() -> None:
    known = look_for(SHOP, limit=FEW, processes=0)
    again = look_for(SHOP, [known], limit=Limit(evaluations=0), processes=0)
    assert again.placed == known.placed


def test_a_limit_by_seconds_ends() -> None:
    plan = look_for(SHOP, limit=Limit(seconds=0.0), processes=0)
    assert plan.cost <= first_plan(SHOP).cost


def test_a_search_without_a_limit_is_refused() -> None:
    with pytest.raises(ValueError, match="limit"):
        look_for(SHOP, limit=Limit())


def test_a_process_of_the_search_knows_nothing_of_the_screen() -> None:
    asks = "import kiosk.planner, sys; print([one for one in sys.modules if 'kivy' in one])"
    told = subprocess.run([sys.executable, "-c", asks], capture_output=True, text=True, check=True)
    assert told.stdout.strip() == "[]"
