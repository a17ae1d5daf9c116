"""Kiosks that were apart come to the same state, whatever arrived when and how often."""

import pytest

from tests.apart import run
from tests.replicas import MUTANTS, Ways

SEED = 1  # of the short form; the long one is `python -m tests.bench.bench_converge`


def test_all_that_hold_the_same_entries_see_and_ask_the_same():
    run(Ways(), examples=60, steps=40, number=SEED)


@pytest.mark.parametrize("mutant", MUTANTS, ids=lambda one: one.name)
def test_a_kiosk_that_works_wrongly_is_caught(mutant):
    with pytest.raises(AssertionError):
        run(mutant, examples=200, steps=40, number=SEED)
