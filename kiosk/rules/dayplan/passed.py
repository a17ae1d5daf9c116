"""Count as done what nobody scans: the way to a site, and the first pieces of a long step.

Loading and driving have nothing to scan, and a step done in several pieces is scanned at its end.
They count as done once their planned end has passed and nobody of theirs scanned anything between.
A way that was begun is also made once something is hung: then the shop asks for none any more.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Set
from dataclasses import replace
from datetime import datetime
from typing import Final

from kiosk.rules.dayplan.built import Built, ChainNames, Passed, StepName
from kiosk.rules.dayplan.model import Chain, Frees, Lag, Minute, Placed, Plan
from kiosk.rules.dayplan.pins import Scan
from kiosk.rules.workday import minute_of

# minutes the way to a site stays made: longer than a day of work goes on after it, and over by the
# next morning (choice)
WAY: Final = 10 * 60


def settle(
    before: Plan,
    built: Built,
    new: Built,
    *,
    now: datetime,
    scans: Iterable[Scan] = (),
    is_whole: Callable[[StepName], bool],
) -> tuple[Plan, Built, Built]:
    """Return a plan, what it was made from and the problem of now, without what has passed since.

    The new problem keeps in `over` what counts as done, for the next time.

    Args:
        before: the plan people work by, of the problem in built.
        built: what it was made from.
        new: the shop as it is now.
        now: the moment, aware.
        scans: what was recorded today.
        is_whole: tells of a step whether it is scanned once for the unit, and not part by part.
    """
    minute = minute_of(now)
    over = {name: one for name, one in built.over.items() if _counts_still(name, one, new, minute)}
    drops: dict[int, int] = {}
    asked = {
        (*names.key, work.step)
        for names, chain in zip(new.names, new.problem.chains, strict=True)
        for work in chain.works
    }
    for one in _passed(before, built, list(scans), minute, is_whole, asked):
        drops[one.chain] = one.work + 1
        work = built.problem.chains[one.chain].works[one.work]
        name = (*built.names[one.chain].key, work.step)
        so_far = over[name].minutes if name in over else 0
        over[name] = Passed(so_far + work.minutes, min(one.ends, minute))
    fresh = {
        number: count for number in range(len(new.names)) if (count := _done(new, number, over))
    }
    return (
        _plan_without(before, built, drops),
        _without(built, drops),
        replace(_without(new, fresh), over=over),
    )


def _counts_still(name: StepName, one: Passed, new: Built, now: Minute) -> bool:
    """Tell whether what counted as done does so now: a way until night, a piece until the scan."""
    *key, step = name
    if not key[-1]:
        return now - one.at <= WAY
    return any(
        names.key == tuple(key) and chain.works[0].step == step
        for names, chain in zip(new.names, new.problem.chains, strict=True)
    )


def _passed(
    plan: Plan,
    built: Built,
    scans: Iterable[Scan],
    now: Minute,
    is_whole: Callable[[StepName], bool],
    asked: Set[StepName],
) -> Iterator[Placed]:
    """Yield the first steps of chains that are over, each chain's in order.

    asked are the steps the shop still asks for: a way begins only once none before it is.
    """
    left, begun = set(asked), _begun(plan, built, now)
    at = {(one.chain, one.work): one for one in plan.placed}
    for index, chain in enumerate(built.problem.chains):
        key = built.names[index].key
        if not key[1] and (*key, chain.works[0].step) not in asked and key[0] in begun:
            yield from (at[index, n] for n in range(len(chain.works)) if (index, n) in at)
            continue
        for number, work in enumerate(chain.works):
            one = at.get((index, number))
            if one is None:  # so far ahead that a plan read back has no time for it
                break
            names = [built.problem.people[who].name for who in one.people]
            is_left = any(
                scan.person in names and one.starts < minute_of(scan.at) < one.ends
                for scan in scans
            )
            waits = any(_last(built, other) in left for other in work.after)
            if one.ends > now or is_left or waits or not _is_unscanned(chain, number, key):
                break
            if key[1] and not is_whole((*key, work.step)):
                break
            if not key[1]:
                left.discard((*key, work.step))
            yield one


def _begun(plan: Plan, built: Built, now: Minute) -> set[str]:
    """Return the jobs of which some way was begun by the plan, or was made before."""
    keys = [built.names[one.chain].key for one in plan.placed if one.starts <= now]
    return {job for job, unit, *_step in (*keys, *built.over) if not unit}


def _last(built: Built, index: int) -> StepName:
    return (*built.names[index].key, built.problem.chains[index].works[-1].step)


def _is_unscanned(chain: Chain, number: int, key: tuple[str, str]) -> bool:
    """Tell whether nobody scans a step: it is of the way, or more pieces of it follow."""
    works = chain.works
    return not key[1] or works[number].step in {one.step for one in works[number + 1 :]}


def _done(new: Built, index: int, over: Mapping[StepName, Passed]) -> int:
    """Return how many of a chain's first works count as done."""
    chain, key = new.problem.chains[index], new.names[index].key
    spent: dict[str, int] = {}
    for number, work in enumerate(chain.works):
        spent[work.step] = spent.get(work.step, 0) + work.minutes
        passed = over.get((*key, work.step))
        is_over = passed is not None and spent[work.step] <= passed.minutes
        if not is_over or not _is_unscanned(chain, number, key):
            return number
    return len(chain.works)


def _kept(built: Built, drops: Mapping[int, int]) -> dict[int, int]:
    """Return the new number of each chain of which something is left."""
    left = [n for n, one in enumerate(built.problem.chains) if drops.get(n, 0) < len(one.works)]
    return {old: number for number, old in enumerate(left)}


def _without(built: Built, drops: Mapping[int, int]) -> Built:
    """Return a problem without the first works of some chains; pins are left out then."""
    if not drops:
        return built
    numbers = _kept(built, drops)
    chains = tuple(
        _chain_without(built.problem.chains[old], drops.get(old, 0), numbers) for old in numbers
    )
    names = tuple(_names_without(built.names[old], drops.get(old, 0)) for old in numbers)
    return replace(built, problem=replace(built.problem, chains=chains, pins=()), names=names)


def _chain_without(chain: Chain, count: int, numbers: Mapping[int, int]) -> Chain:
    works = tuple(
        replace(
            work,
            waits=_lags(work.waits, count),
            closes=_lags(work.closes, count),
            after=tuple(numbers[other] for other in work.after if other in numbers),
        )
        for work in chain.works[count:]
    )
    # its place was left when the first piece began
    is_left = count > 0 and chain.held is not None and chain.held.frees is not Frees.REST
    held = None if is_left else chain.held
    return replace(chain, works=works, ends=_lags(chain.ends, count), held=held)


def _lags(lags: Iterable[Lag], count: int) -> tuple[Lag, ...]:
    return tuple(Lag(one.work - count, one.minutes) for one in lags)


def _names_without(names: ChainNames, count: int) -> ChainNames:
    return replace(names, titles=names.titles[count:], cautions=names.cautions[count:])


def _plan_without(plan: Plan, built: Built, drops: Mapping[int, int]) -> Plan:
    """Return a plan without the first works of some chains, counted as in `_without`."""
    if not drops:
        return plan
    numbers = _kept(built, drops)
    placed = tuple(
        replace(one, chain=numbers[one.chain], work=one.work - drops.get(one.chain, 0))
        for one in plan.placed
        if one.work >= drops.get(one.chain, 0)
    )
    keys = tuple(tuple(plan.keys[old][drops.get(old, 0) :]) for old in numbers)
    delays = {
        (numbers[chain], work - drops.get(chain, 0)): at
        for (chain, work), at in plan.delays.items()
        if work >= drops.get(chain, 0)
    }
    return replace(plan, placed=placed, keys=keys, delays=delays)
