"""What holds for every shop and whatever priorities."""

from dataclasses import replace
from random import Random

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from kiosk.rules.dayplan import gridcheck, sweepcheck
from kiosk.rules.dayplan.cost import cost_of
from kiosk.rules.dayplan.decode import decode
from kiosk.rules.dayplan.model import Chain, Hold, Keys, Lag, Pin, Plan, Problem, Span, Work
from tests.shops import DAY, small_shops

CALM = settings(
    max_examples=60,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
SEEDS = st.integers(0, 10**6)


def some_keys(problem: Problem, random: Random) -> Keys:
    return [[random.randint(0, 20) for _work in chain.works] for chain in problem.chains]


def some_delays(problem: Problem, random: Random) -> dict[tuple[int, int], int]:
    count = random.choice((0, 0, 1, 3))
    chains = random.sample(range(len(problem.chains)), min(count, len(problem.chains)))
    return {
        (one, random.randrange(len(problem.chains[one].works))): problem.now
        + random.randint(0, 3 * DAY)
        for one in chains
        if problem.chains[one].works
    }


@CALM
@given(small_shops(), SEEDS)
def test_any_priorities_give_a_plan_that_both_checkers_accept(problem: Problem, seed: int) -> None:
    random = Random(seed)
    delays = some_delays(problem, random)
    plan = decode(problem, some_keys(problem, random), delays=delays)
    assert gridcheck.find_faults(problem, plan) == ()
    assert sweepcheck.find_faults(problem, plan) == ()
    assert plan.cost == cost_of(problem, plan.placed)
    starts = {(one.chain, one.work): one.starts for one in plan.placed}
    pinned = {(pin.chain, 0) for pin in problem.pins}
    assert all(starts[step] >= at for step, at in delays.items() if step not in pinned)


@CALM
@given(small_shops(), SEEDS)
def test_the_same_priorities_give_the_same_plan(problem: Problem, seed: int) -> None:
    keys = some_keys(problem, Random(seed))
    assert decode(problem, keys) == decode(problem, keys)


@CALM
@given(small_shops(), SEEDS)
def test_a_week_later_the_plan_is_the_same(problem: Problem, seed: int) -> None:
    keys = some_keys(problem, Random(seed))
    week = 7 * DAY
    plan = decode(problem, keys)
    later = decode(changed(problem, factor=1, shift=week), keys)
    assert later.placed == moved(plan, factor=1, shift=week)
    assert (later.cost, later.over) == (plan.cost, plan.over)


@CALM
@given(small_shops(), SEEDS, st.integers(2, 5))
def test_all_times_longer_make_the_plan_as_much_longer(
    problem: Problem, seed: int, factor: int
) -> None:
    keys = some_keys(problem, Random(seed))
    plan = decode(problem, keys)
    longer = decode(changed(problem, factor=factor, shift=0), keys)
    assert longer.placed == moved(plan, factor=factor, shift=0)


def moved(plan: Plan, *, factor: int, shift: int) -> tuple[object, ...]:
    return tuple(
        replace(
            one,
            starts=one.starts * factor + shift,
            ends=one.ends * factor + shift,
            extra=one.extra * factor,
        )
        for one in plan.placed
    )


def changed(problem: Problem, *, factor: int, shift: int) -> Problem:
    """Return a problem with all spans of time times a factor and all minutes moved."""

    def at(minute: int | None) -> int | None:
        return None if minute is None else minute * factor + shift

    def lags(found: tuple[Lag, ...]) -> tuple[Lag, ...]:
        return tuple(replace(lag, minutes=lag.minutes * factor) for lag in found)

    def hold(found: Hold | None) -> Hold | None:
        return found and replace(found, minutes=found.minutes * factor)

    def work(found: Work) -> Work:
        return replace(
            found,
            minutes=found.minutes * factor,
            fits=found.fits * factor,
            extra=found.extra * factor,
            waits=lags(found.waits),
            closes=lags(found.closes),
            earliest=at(found.earliest),
            closes_at=at(found.closes_at),
            hold=hold(found.hold),
        )

    def chain(found: Chain) -> Chain:
        works = tuple(work(one) for one in found.works)
        return replace(found, works=works, ends=lags(found.ends), held=hold(found.held))

    def span(found: Span) -> Span:
        return Span(found.starts * factor + shift, found.ends * factor + shift)

    def pin(found: Pin) -> Pin:
        both = span(Span(found.starts, found.ends))
        return replace(found, starts=both.starts, ends=both.ends)

    return replace(
        problem,
        now=problem.now * factor + shift,
        people=tuple(
            replace(who, spans=tuple(span(one) for one in who.spans)) for who in problem.people
        ),
        jobs=tuple(replace(job, due=at(job.due)) for job in problem.jobs),
        chains=tuple(chain(one) for one in problem.chains),
        pins=tuple(pin(one) for one in problem.pins),
    )
