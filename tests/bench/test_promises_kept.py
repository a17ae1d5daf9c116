"""Are promises kept as often as said? A short form of the benchmark of promises."""

from tests.bench.bench_promise import keep


def test_of_the_promises_of_a_shop_that_runs_on_as_many_hold_as_were_said_to():
    # 19 runs: the 16th and the 19th are exactly 80 and 95 %; the long count is in the benchmarks
    found = [keep(seed, days=8, runs=19, load=0.5, people=1) for seed in range(5)]
    jobs = sum(one.jobs for one in found)
    assert jobs > 20
    sure = sum(one.by_minute[0] for one in found) / jobs
    surer = sum(one.by_minute[1] for one in found) / jobs
    assert 0.60 <= sure <= 0.95
    assert 0.85 <= surer <= 1.0
    assert sum(one.by_day[0] for one in found) / jobs >= 0.75
