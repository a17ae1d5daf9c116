"""Plans of the product's decoder, on many generated shops, before both checkers."""

from dataclasses import replace
from random import Random

import pytest

from kiosk.rules.dayplan import gridcheck, sweepcheck
from kiosk.rules.dayplan.decode import decode
from kiosk.rules.dayplan.model import Hold, Problem, Store
from tests.shops import ODDS, make_shop

BATCHES, BATCH = 8, 140  # 1,120 shops


def a_shop(seed: int) -> tuple[Problem, Random]:
    """Return one of many shops of 1 to 12 units, and what else is random about it."""
    random = Random(seed)
    odds = [odd for odd in ODDS if random.random() < random.choice((0.0, 0.3, 0.7))]
    problem = make_shop(
        seed,
        units=random.randint(1, 12),
        people=random.randint(1, 4),
        lots=random.choice((1, 2, 4)),
        odds=odds,
    )
    return problem, random


@pytest.mark.no_cover
@pytest.mark.parametrize("batch", range(BATCHES))
def test_any_priorities_on_any_shop_give_a_plan_both_checkers_take(batch):
    for seed in range(batch * BATCH, (batch + 1) * BATCH):
        problem, random = a_shop(seed)
        keys = [[random.random() for _work in chain.works] for chain in problem.chains]
        delays = {
            (chain, work): problem.now + random.randint(0, 5000)
            for chain, one in enumerate(problem.chains)
            for work in range(len(one.works))
            if random.random() < 0.05
        }
        plan = decode(problem, keys, delays=delays)
        assert gridcheck.find_faults(problem, plan) == (), seed
        assert sweepcheck.find_faults(problem, plan) == (), seed
        # what these shops hold only goes forward, so nothing needs to be exceeded
        assert not any(plan.over.values()), seed


def _crossed(problem: Problem) -> Problem:
    """Return a shop in which half of the units go from the rack to the clamps, half back."""
    places = ("clamps", "rack", "clamps")
    chains = []
    for number, chain in enumerate(problem.chains):
        works = [replace(work, hold=None) for work in chain.works]
        for turn, index in enumerate((5, 6)):
            works[index] = replace(works[index], hold=Hold(places[turn + number % 2], 3))
        chains.append(replace(chain, works=tuple(works)))
    return replace(problem, chains=tuple(chains), stores=(Store("clamps", 4), Store("rack", 4)))


def test_units_that_block_each_other_still_get_a_plan_that_owns_up_to_it():
    exceeded = 0
    for seed in range(60):
        problem = _crossed(make_shop(seed, units=6 + seed % 5, people=3))
        random = Random(seed)
        keys = [[random.random() for _work in chain.works] for chain in problem.chains]
        plan = decode(problem, keys)
        assert gridcheck.find_faults(problem, plan) == (), seed
        assert sweepcheck.find_faults(problem, plan) == (), seed
        exceeded += any(plan.over.values())
        if any(plan.over.values()):
            silent = replace(plan, over={})
            assert gridcheck.find_faults(problem, silent)
            assert sweepcheck.find_faults(problem, silent)
    assert exceeded > 0
