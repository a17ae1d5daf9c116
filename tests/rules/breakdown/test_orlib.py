"""OR-Library: single sheets against published best values, packings against proved numbers.

Sources and terms: tests/data/README.md.
"""

from dataclasses import replace
from random import Random

import pytest

from kiosk.rules.breakdown import recut, sawable
from kiosk.rules.breakdown.bound import least_sheets
from kiosk.rules.breakdown.plan import break_down
from tests.cutting import BEST_VALUES, best_pattern, load, rows, sheet_values

FAST = [name for name in BEST_VALUES if name != "gcut13"]  # that one is in the benchmarks
# Fewest sheets, parts not turned and turned: where a lower bound computed by others met a layout,
# or a solver proved one sheet less impossible; None where that is open.
PROVED = {
    "cgcut1": (2, 2),
    "cgcut2": (2, 2),
    "cgcut3": (23, None),
    "gcut1": (5, 4),
    "gcut2": (6, None),
    "gcut4": (14, 13),
    "gcut5": (3, 3),
    "gcut6": (None, 6),
    "gcut7": (11, 10),
    "gcut9": (3, 3),
    "gcut10": (None, 7),
    "gcut12": (16, 15),
    "gcut13": (2, 2),
    "ngcut1": (3, 3),
    "ngcut2": (4, 3),
    "ngcut3": (3, 3),
    "ngcut4": (2, 2),
    "ngcut5": (3, 3),
    "ngcut6": (3, 2),
    "ngcut7": (1, 1),
    "ngcut8": (2, 2),
    "ngcut9": (3, 3),
    "ngcut10": (3, 3),
    "ngcut11": (2, 2),
    "ngcut12": (3, 3),
}
# Lower bounds by dual feasible functions as others computed them, where they are not the fewest.
BOUNDS = {
    ("gcut1", False): 4,
    ("gcut6", False): 6,
    ("gcut8", False): 12,
    ("gcut8", True): 12,
    ("gcut10", False): 7,
    ("gcut11", False): 8,
    ("gcut11", True): 7,
    ("cgcut3", True): 17,
    ("ngcut6", False): 2,
}


@pytest.mark.no_cover
@pytest.mark.parametrize("name", FAST)
def test_an_exact_recursion_gives_the_published_value_and_its_sheet_is_found(name):
    value, pattern = best_pattern(name)
    assert value == BEST_VALUES[name]

    length, width, parts = rows(name)
    assert sum(parts[one][0] * parts[one][1] * n for one, n in pattern.items()) <= length * width
    task = load(name, turns=False)
    chosen = tuple(
        replace(task.parts[number], quantity=count) for number, count in sorted(pattern.items())
    )
    found, _problems = break_down(replace(task, parts=chosen), draw=Random(1).random, tries=2_000)

    assert found is not None
    assert found.taken == 1
    assert sheet_values(name, found) == [value]


@pytest.mark.no_cover
@pytest.mark.parametrize(
    ("name", "turns"),
    # those that are not proved are the benchmark's: they take as long as all others
    [(name, turns) for name, some in PROVED.items() for turns in (False, True) if some[turns]],
)
def test_packings_take_no_sheet_more_than_proved(name, turns):
    task = load(name, turns=turns)
    found, _problems = break_down(task, draw=Random(1).random, tries=5_000)

    assert found is not None
    assert recut.find_faults(task, found) == ()
    assert sawable.find_faults(task, found) == ()
    assert found.bound <= PROVED[name][turns] == found.taken
    if not turns and name in BEST_VALUES:
        assert max(sheet_values(name, found)) <= BEST_VALUES[name]


@pytest.mark.parametrize(("name", "turns"), BOUNDS)
def test_the_bound_is_what_others_computed(name, turns):
    assert least_sheets(load(name, turns=turns)) == BOUNDS[name, turns]
