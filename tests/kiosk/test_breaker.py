"""The search for layouts beside the screen: a real process, limited by tries."""

import os
import subprocess
import sys

import pytest

from kiosk.breaker import Found, Limit, look_for
from kiosk.rules.sheets.tasks import make_tasks
from tests.sheetbuild import SAW, THIN, a_part, a_stock

PIECES = [a_part(f"A{n}", 400 + 37 * n, 150 + 29 * (n % 5)) for n in range(24)]
TASKS, _PROBLEMS = make_tasks([*PIECES, a_part("T", of=THIN)], a_stock(), saw=SAW)
ORDERS = [one.task for one in TASKS]
FEW = Limit(tries=300)


def found(**how) -> list[Found]:
    heard: list[Found] = []
    asked = {"heard": heard.append, "go_on": lambda: True, "limit": FEW} | how
    look_for(ORDERS, **asked)
    return heard


def test_a_process_finds_the_same_layouts_each_time_as_this_one() -> None:
    first, second, here = found(), found(), found(processes=0)

    assert first == second == here
    assert [one.number for one in first if one.is_done] == [0, 1]
    assert all(one.options for one in first)
    shares = [one.share for one in first if one.number == 0]
    assert shares == sorted(shares)
    assert shares[-1] == 1.0


def test_the_search_goes_on_here_where_the_process_dies(capfd: pytest.CaptureFixture[str]) -> None:
    # it takes one number, so that the process ends with an error before it sends a thing
    assert found(work=os._exit) == found(processes=0)
    assert "TypeError" in capfd.readouterr().err


def test_a_search_that_is_stopped_has_told_the_best_so_far() -> None:
    heard: list[Found] = []
    endless = Limit(tries=10**9, seconds=10**6)
    found_by = {"limit": endless, "heard": heard.append, "go_on": lambda: len(heard) < 3}
    found(**found_by)

    assert len(heard) >= 3
    assert heard[-1].options
    assert not any(one.is_done for one in heard if one.number == 0)
    assert [one.number for one in heard if one.is_done] == [1]


def test_stopped_before_it_began_it_finds_a_first_layout_of_each() -> None:
    here = found(go_on=lambda: False, processes=0)

    assert [one.number for one in here if one.is_done] == [0, 1]
    assert found(go_on=lambda: False) == here


def test_seconds_are_a_cap() -> None:
    heard = found(limit=Limit(tries=10**9, seconds=0.0), processes=0)

    assert [one.number for one in heard if one.is_done] == [0, 1]


def test_a_process_of_the_search_knows_nothing_of_the_screen() -> None:
    asks = "import kiosk.breaker, sys; print([one for one in sys.modules if 'kivy' in one])"
    told = subprocess.run([sys.executable, "-c", asks], capture_output=True, text=True, check=True)
    assert told.stdout.strip() == "[]"
