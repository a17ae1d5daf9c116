"""Run a shop forward, day by day, with steps and rests that take longer or shorter than expected.

An event loop of its own, which shares no code with what makes plans: a fault there would else hide
itself here. People go by priorities: whoever is free takes the ready step with the lowest key.
A step begins only where its expected time fits before the break of all who do it; one that takes
longer is finished, as people do. Nobody waits on purpose for a better step, but for a colleague.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from heapq import heappop, heappush
from typing import TypeAlias

from kiosk.rules.dayplan.model import Chain, Due, Frees, Hold, Keys, Minute, Placed, Problem
from kiosk.rules.dayplan.present import Present, present
from kiosk.rules.dayplan.spread import Spread
from kiosk.rules.dayplan.underway import LAST, Event, UnderWay

Policy: TypeAlias = Callable[[Present], Keys]
# minutes a step for two is passed over for steps for one, before somebody waits for the second
# pair of hands; choice
PATIENCE = 20


@dataclass(frozen=True, slots=True)
class Arrival:
    """A job that comes in while the shop runs; after counts within its own chains, job is unread.

    Without keys it goes behind all else until a policy says otherwise.
    """

    at: Minute
    due: Due
    chains: tuple[Chain, ...]
    keys: Keys = ()


@dataclass(frozen=True, slots=True)
class Run:
    """What became of a shop: its jobs and chains are those of problem, which holds arrivals too.

    ends are by chain and finishes by job, None for what was not finished. rests are those between
    the steps, as (began, over). overtime is in minutes of people past the end of a stretch of work;
    over as in a plan.
    """

    problem: Problem
    steps: tuple[Placed, ...]
    rests: tuple[tuple[Minute, Minute], ...]
    ends: tuple[Minute | None, ...]
    finishes: tuple[Minute | None, ...]
    overtime: int
    over: Mapping[str, int]


def simulate(
    problem: Problem,
    keys: Keys,
    *,
    seed: int,
    spread: Spread | None = None,
    arrivals: Sequence[Arrival] = (),
    policy: Policy | None = None,
    resting: Mapping[int, Minute] | None = None,
) -> Run:
    """Run a shop until all is finished, or until nobody is there any more.

    What is pinned goes on, or begins before all else.

    Args:
        problem: what is there at `now`; its people's spans are the days that are run.
        keys: a priority for each step of each chain, low first.
        seed: which days; the same seed gives every policy the same days.
        spread: how far times scatter; None: the defaults.
        arrivals: jobs that come in, in any order.
        policy: gives new keys for what is left whenever somebody's stretch of work begins, and when
            a job comes in while somebody is there; None: the keys stay.
        resting: since when those chains rest whose first step's earliest is the expected end of a
            rest; every other earliest holds to the minute.
    """
    coming = sorted(arrivals, key=lambda one: one.at)
    whole = together(problem, coming)
    shop = UnderWay(whole, seed=seed, spread=spread or Spread(), resting=resting or {})
    rows = list(keys)
    for one in coming:
        for number in range(len(one.chains)):
            heappush(shop.events, (max(one.at, problem.now), Event.COME, len(rows)))
            rows.append(one.keys[number] if one.keys else ())
    shop.set_keys(dict(enumerate(rows)))
    _begin(shop, own=len(problem.chains))
    _go(shop, policy)
    return _result(shop)


def together(problem: Problem, arrivals: Sequence[Arrival]) -> Problem:
    """Return a problem with jobs that come in later behind its own, in the order given."""
    jobs, chains = list(problem.jobs), list(problem.chains)
    for one in arrivals:
        first = len(chains)
        for chain in one.chains:
            works = tuple(
                replace(work, after=tuple(first + other for other in work.after))
                for work in chain.works
            )
            chains.append(replace(chain, job=len(jobs), works=works))
        jobs.append(one.due)
    return replace(problem, jobs=tuple(jobs), chains=tuple(chains))


def _begin(shop: UnderWay, *, own: int) -> None:
    """Set everything as it is at `now`."""
    now = shop.problem.now
    for index in range(own):
        shop.come(index, now)
    for pin in shop.problem.pins:
        if pin.starts <= now:
            shop.go_on(pin.chain, pin.people, pin.starts, expected=pin.ends - pin.starts)
        else:
            shop.set_keys({pin.chain: [-LAST, *shop.keys[pin.chain][1:]]})
            heappush(shop.events, (pin.starts, Event.READY, pin.chain))


def _go(shop: UnderWay, policy: Policy | None) -> None:
    """Let time pass until all is finished, or nothing more can happen."""
    people = shop.problem.people
    opens = sorted({span.starts for one in people for span in one.spans}, reverse=True)
    now: Minute | None = shop.problem.now
    asks = True
    while now is not None:
        while shop.events and shop.events[0][0] <= now:
            at, event, index = heappop(shop.events)
            shop.happen(event, index, at)
            asks = asks or event is Event.COME
        while opens and opens[-1] <= now:
            opens.pop()
            asks = True
        if asks and shop.shop.is_open(now):
            asks = False
            if policy is not None:
                _ask(shop, policy, now=now)
        _hand_out(shop, now=now)
        times = [shop.events[0][0]] if shop.events else []
        times += [opens[-1]] if opens and shop.ready else []
        now = min(times, default=None)


def _ask(shop: UnderWay, policy: Policy, *, now: Minute) -> None:
    """Have the keys of what is left made anew."""
    courses = {index: one.course() for index, one in enumerate(shop.going) if one.come}
    left = present(shop.problem, courses, now=now)
    if not left.chains:
        return
    named = zip(left.chains, left.firsts, policy(left), strict=True)
    shop.set_keys({index: [LAST] * first + list(row) for index, first, row in named})


def _hand_out(shop: UnderWay, *, now: Minute) -> None:
    """Give every free pair of hands the first ready step that it can begin."""
    free = shop.shop.free(now) if shop.queue else {}
    order = deque(shop.queue)
    stuck: list[int] = []
    while order and free:
        _place, index = order.popleft()
        people = _people_for(shop, index, free, now=now)
        if not people:
            continue
        if not _has_place(shop, index):
            stuck.append(index)
            continue
        leaves = _leaving(shop, index) is not None
        _start(shop, index, people, free, now=now)
        if leaves and stuck:  # a place is free again: those passed over come first
            order, stuck = deque(shop.queue), []
    if stuck and _is_blocked(shop):
        people = _people_for(shop, stuck[0], free, now=now)
        _start(shop, stuck[0], people, free, now=now)


def _is_blocked(shop: UnderWay) -> bool:
    """Tell whether units block each other for ever: nothing goes on, and all lacks a place."""
    if any(event is not Event.COME for _at, event, _index in shop.events):
        return False
    return not any(_has_place(shop, index) for index in shop.ready)


def _start(
    shop: UnderWay, index: int, people: Sequence[int], free: dict[int, int], *, now: Minute
) -> None:
    for person in people:
        del free[person]
    shop.start(index, people, now)


def _people_for(
    shop: UnderWay, index: int, free: dict[int, int], *, now: Minute
) -> tuple[int, ...]:
    """Return who is to begin a chain's next step now; nobody where it cannot begin for that.

    Where it has waited long for a colleague who is soon free, those it has are kept for it.
    """
    work = shop.next_work(index)
    if not shop.shop.has_bench(work.station):
        return ()
    minutes = work.room + shop.extra(index, now)
    able = shop.shop.able(work, free, minutes=minutes)
    lacks = work.crew - len(able)
    if lacks <= 0:
        return tuple(able[: work.crew])
    if able and now - shop.ready[index] >= PATIENCE and _has_place(shop, index):
        soon = sorted(shop.shop.soon(work, now, minutes=minutes))[lacks - 1 : lacks]
        for person in able:
            if soon and free[person] - (soon[0] - now) >= minutes:
                del free[person]
    return ()


def _leaving(shop: UnderWay, index: int) -> Hold | None:
    """Return what a chain leaves at the minute its next step starts."""
    held = shop.going[index].held
    return held if held is not None and held.frees is Frees.START else None


def _has_place(shop: UnderWay, index: int) -> bool:
    hold = shop.next_work(index).hold
    return hold is None or shop.shop.has_place(hold, leaving=_leaving(shop, index))


def _result(shop: UnderWay) -> Run:
    ends = tuple(one.finished for one in shop.going)
    finishes: list[Minute | None] = [shop.problem.now] * len(shop.problem.jobs)
    for one in shop.going:
        job, end = one.chain.job, one.finished
        so_far = finishes[job]
        finishes[job] = None if end is None or so_far is None else max(end, so_far)
    began = {key: shop.going[key[0]].ends[key[1]] for key in shop.rests}
    return Run(
        shop.problem,
        tuple(sorted(shop.done, key=lambda one: (one.starts, one.chain))),
        tuple(sorted((began[key], until) for key, until in shop.rests.items())),
        ends,
        tuple(finishes),
        shop.overtime,
        {place: much for place, much in shop.shop.over.items() if much > 0},
    )
