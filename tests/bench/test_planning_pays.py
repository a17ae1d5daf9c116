"""Does planning pay? A short form of the benchmark of days, and the counting behind it."""

import numpy as np
import pytest

from kiosk.rules.dayplan.model import Chain, Due, Placed, Work
from kiosk.rules.dayplan.simulate import Run
from tests.bench.bench_days import _counted, ratio, table, work
from tests.bench.shopdays import DAY, MONDAY, jobs, open_days, shop, touch

SEEDS, LOAD = (1, 3), 1.5  # more than the shop can do for a while, so that jobs are late


@pytest.fixture(scope="module")
def found():
    ways = ("plan", "earliest due date", "first come")
    return {
        way: [work(seed, way, days=7, load=LOAD, evaluations=20) for seed in SEEDS] for way in ways
    }


def test_a_plan_is_late_less_than_first_come_and_earliest_due_date(found):
    late = {way: sum(one.late for one in own) for way, own in found.items()}
    lateness = {way: sum(one.lateness for one in own) for way, own in found.items()}
    for way in ("earliest due date", "first come"):
        assert late["plan"] <= late[way]
        assert lateness["plan"] < 0.8 * lateness[way]
    lead = {way: sum(one.lead for one in own) for way, own in found.items()}
    assert lead["plan"] < lead["earliest due date"] < lead["first come"]


def test_every_way_of_working_meets_the_same_jobs(found):
    counts = {way: [(one.jobs, one.units) for one in own] for way, own in found.items()}
    assert len(set(map(tuple, counts.values()))) == 1


def test_the_same_seed_gives_the_same_days():
    once, again = (work(5, "plan", days=2, load=LOAD, evaluations=20) for _time in range(2))
    assert (once.late, once.lateness, once.lead, once.scuffs, once.overnight, once.kept) == (
        again.late,
        again.lateness,
        again.lead,
        again.scuffs,
        again.overnight,
        again.kept,
    )


def test_the_table_names_every_way(found):
    lines = list(table([one for own in found.values() for one in own]))
    assert [line.split("  ")[0] for line in lines[1:4]] == list(found)
    assert any("plan / earliest due date" in line for line in lines)


def test_what_is_late_and_rests_overnight_is_counted_by_hand():
    base = shop(3)
    first = base.now
    at = jobs(1, seed=1, load=0.1)[0].at
    one = Chain(0, "u", (Work("cut", "cut", 10),))
    problem = type(base)(
        first, base.people, base.benches, base.stores, (Due("J1", first + 100, 2.0),), (one,)
    )
    run = Run(
        problem,
        (Placed(0, 0, first, first + 10, (0,), 3),),
        ((first, first + 60), (first + 500, first + 2_000), (first + 540, first + 600)),
        (first + 2_980,),
        (first + 2_980,),
        7,
        {},
    )
    arrival = [type(jobs(1, seed=1, load=0.1)[0])(at, problem.jobs[0], (one,))]
    days = _counted(run, arrival, seed=0, way="x", kept=0.0, seconds=0.0)
    assert (days.jobs, days.late, days.scuffs, days.overtime) == (1, 1, 1, 7)
    assert days.lateness == pytest.approx(2 * 2_880 / DAY)
    assert days.lead == pytest.approx((first + 2_980 - at) / DAY)
    # the shop closes 570 minutes after it opens: two rests run then, none on the second night
    assert (days.overnight, days.nights) == (2, 2)


def test_a_ratio_of_sums_has_an_interval_around_it():
    assert ratio([1, 2, 3], [1, 2, 3]) == (1.0, 1.0, 1.0)
    source = np.random.default_rng(3)
    theirs = source.uniform(5, 10, 40)
    value, low, high = ratio(theirs * source.uniform(0.4, 0.6, 40), theirs)
    assert low < value < high
    assert low > 0.45
    assert high < 0.55
    assert ratio([0, 0], [0, 0])[0] == 1.0


def test_jobs_ask_for_the_load_they_are_made_for():
    asked = [sum(touch(one.chains) for one in jobs(100, seed=seed, load=0.8)) for seed in range(6)]
    assert np.mean(asked) / (100 * 2 * 525) == pytest.approx(0.8, rel=0.12)


def test_the_days_of_the_shop_are_week_days():
    from datetime import UTC, datetime

    spans = open_days(20)
    assert len(spans) == 40
    assert spans[0].starts == MONDAY + 450
    assert {datetime.fromtimestamp(one.starts * 60, UTC).weekday() for one in spans} == set(
        range(5)
    )
