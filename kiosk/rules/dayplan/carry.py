"""Carry an earlier plan over to a new problem: its priorities, and what is about to begin.

Carrying the priorities over keeps the day calm and gives a better start than any rule: without it
half the next steps change at each replan (measured).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Final

from kiosk.rules.dayplan.built import Built, ChainNames
from kiosk.rules.dayplan.model import Keys, Minute, Pin, Plan, Problem

# what begins so soon stays as it is (choice, usual in shops that replan)
NEAR_MINUTES: Final = 30
# a new plan must save so many weighted minutes of lateness, or it is not worth the unrest (choice)
WORTH_MINUTES: Final = 15.0


@dataclass(frozen=True, slots=True)
class Carried:
    """Priorities, delays and people of an earlier plan for the steps of a new problem."""

    keys: Keys
    delays: Mapping[tuple[int, int], Minute] = field(default_factory=dict)
    people: Mapping[tuple[int, int], tuple[int, ...]] = field(default_factory=dict)


def carry(problem: Problem, names: Sequence[ChainNames], before: tuple[Built, Plan]) -> Carried:
    """Return an earlier plan's priorities for a new problem, by chain (job, unit id) and step.

    names are those of the new problem's chains. A step that is new comes right after the one before
    it in its chain; a new chain comes after all chains due no later, or at the end where no
    job is. Delays that are over are left out, and so is who does a step where one of them is not
    there any more.
    """
    built, plan = before
    old_keys, old_delays = _by_name(built, plan)
    lasts = _last_by_job(built, plan)
    highest = max(lasts.values(), default=0.0)
    keys: list[tuple[float, ...]] = []
    delays: dict[tuple[int, int], Minute] = {}
    for index, (chain, name) in enumerate(zip(problem.chains, names, strict=True)):
        due = problem.jobs[chain.job].due
        key = max(
            (last for other, last in lasts.items() if due is not None and other <= due),
            default=highest if due is None else -1.0,
        )
        own = []
        for number, work in enumerate(chain.works):
            key = old_keys.get((name.key, work.step), key)
            own.append(key)
            delay = old_delays.get((name.key, work.step), problem.now)
            if delay > problem.now:
                delays[index, number] = delay
        keys.append(tuple(own))
    return Carried(tuple(keys), delays, _people(problem, names, before))


def _people(
    problem: Problem, names: Sequence[ChainNames], before: tuple[Built, Plan]
) -> dict[tuple[int, int], tuple[int, ...]]:
    """Return by chain and step who was to do it in an earlier plan, by their numbers now.

    Without it people would be told other steps whenever a scan comes a minute early.
    """
    built, plan = before
    numbers = {worker.name: number for number, worker in enumerate(problem.people)}
    crews: dict[tuple[tuple[str, str], str], list[str]] = {}
    for one in plan.placed:
        step = built.problem.chains[one.chain].works[one.work].step
        crew = [built.problem.people[who].name for who in one.people]
        crews[built.names[one.chain].key, step] = crew
    found = {}
    for index, (chain, name) in enumerate(zip(problem.chains, names, strict=True)):
        for number, work in enumerate(chain.works):
            crew = crews.get((name.key, work.step), [])
            if crew and all(who in numbers for who in crew):
                found[index, number] = tuple(numbers[who] for who in crew)
    return found


def _by_name(
    built: Built, plan: Plan
) -> tuple[dict[tuple[tuple[str, str], str], float], dict[tuple[tuple[str, str], str], Minute]]:
    keys, delays = {}, {}
    ordered = _distinct(plan.keys)
    for index, (chain, name) in enumerate(zip(built.problem.chains, built.names, strict=True)):
        for number, work in enumerate(chain.works):
            keys[name.key, work.step] = ordered[index][number]
            if (index, number) in plan.delays:
                delays[name.key, work.step] = plan.delays[index, number]
    return keys, delays


def _distinct(keys: Keys) -> list[list[float]]:
    """Return priorities in the same order and none twice, as a new problem may count otherwise."""
    found = [[0.0] * len(own) for own in keys]
    steps = [
        (key, index, number) for index, own in enumerate(keys) for number, key in enumerate(own)
    ]
    for rank, (_key, index, number) in enumerate(sorted(steps)):
        found[index][number] = float(rank)
    return found


def _last_by_job(built: Built, plan: Plan) -> dict[Minute, float]:
    """Return the highest priority number of the chains due at each minute."""
    lasts: dict[Minute, float] = {}
    for chain, own in zip(built.problem.chains, _distinct(plan.keys), strict=True):
        due = built.problem.jobs[chain.job].due
        if due is not None and own:
            lasts[due] = max(lasts.get(due, 0.0), *own)
    return lasts


def keep_near(plan: Plan, problem: Problem, *, minutes: int = NEAR_MINUTES) -> Problem:
    """Return the problem with each first step pinned that its plan starts within some minutes.

    Steps pinned already stay so. A chain's later steps cannot be pinned; their priorities keep
    them where they are.
    """
    pinned = {pin.chain for pin in problem.pins}
    near = [
        Pin(one.chain, one.starts, one.ends, one.people)
        for one in plan.placed
        if one.work == 0
        and one.chain not in pinned
        and one.starts < problem.now + minutes
        and one.extra == 0  # how much of a pin's time is extra would be lost
    ]
    return replace(problem, pins=(*problem.pins, *near))


def put_near_first(plan: Plan, problem: Problem) -> Plan:
    """Return a plan whose first steps, up to the last pinned one, come first in its priorities.

    They come by their start. Pins of what begins soon hold for one answer only; the next is made
    from the priorities, and without this would let go what this one kept.
    """
    until = max((pin.starts for pin in problem.pins), default=problem.now - 1)
    near = [one for one in plan.placed if one.starts <= until]
    lowest = min((key for own in plan.keys for key in own), default=0.0)
    keys = [list(own) for own in plan.keys]
    for number, one in enumerate(sorted(near, key=lambda one: (one.starts, one.chain, one.work))):
        keys[one.chain][one.work] = lowest - len(near) + number
    return replace(plan, keys=keys)


def is_worth(problem: Problem, new: Plan, *, before: Plan, minutes: float = WORTH_MINUTES) -> bool:
    """Tell whether a new plan is enough better than the one people know by now.

    Both are of this problem. minutes are those of a job of weight 1 being late.
    """
    late = problem.aims.late or problem.aims.finish or problem.aims.flow
    return before.cost - new.cost >= minutes * late and new.cost < before.cost
