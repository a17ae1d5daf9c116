"""Never more sheets than a general rectangle packer needs, of its layouts that can be sawn."""

from random import Random

import pytest

from kiosk.rules.breakdown.plan import break_down
from tests.bench.cuttinglists import thinned
from tests.bench.rectangles import best_sawable


@pytest.mark.no_cover
@pytest.mark.parametrize(
    ("seed", "fill", "levels"),
    [(0, (0.86, 0.88), 3), (4, (0.89, 0.90), 3), (8, (0.93, 0.94), None)],
)
def test_a_shop_list_takes_no_more_sheets_than_the_best_of_72_packings(seed, fill, levels):
    task = thinned(seed, fill, levels)

    best, _refused = best_sawable(task)
    found, _problems = break_down(task, draw=Random(1).random, tries=3_000)

    assert best is not None
    assert found is not None
    assert found.taken <= best
