"""Plans made without the product: a clock that goes minute by minute and starts what it can.

Slow and plain on purpose, so that the checkers are tried on plans that no code of theirs, and none
of the planner's, has made.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from random import Random

from kiosk.rules.dayplan.model import Frees, Hold, Placed, Plan, Problem

DAYS = 400


@dataclass(slots=True)
class _Shop:
    problem: Problem
    minute: int
    rows: list[list[Placed]]
    free_from: list[int]
    benches: dict[str, list[int]]  # until when each step there goes on
    # what is held: place, slots, and until when, None while that is not known
    held: list[dict[str, tuple[int, int | None]]] = field(default_factory=list)


def plain_plan(problem: Problem, order: Sequence[int] | None = None) -> Plan:
    """Return a valid plan: chains start their next steps in an order, as soon as they can.

    Pins must have begun by `now`. Raises RuntimeError if the people's hours run out.
    """
    chains = range(len(problem.chains))
    shop = _begin(problem)
    for minute in range(problem.now, problem.now + DAYS * 24 * 60):
        shop.minute = minute
        if all(len(shop.rows[one]) == len(problem.chains[one].works) for one in chains):
            placed = sorted((one for row in shop.rows for one in row), key=lambda one: one.starts)
            return Plan(tuple(placed), cost(problem, placed))
        if not any(s.starts <= minute < s.ends for who in problem.people for s in who.spans):
            continue
        # what starts may free a place at once, so all are asked until none starts
        while any(_started(shop, one) for one in order or chains):
            pass
    raise RuntimeError("the hours run out")


def random_order(problem: Problem, random: Random) -> list[int]:
    """Return the chains in some order."""
    order = list(range(len(problem.chains)))
    random.shuffle(order)
    return order


def cost(problem: Problem, placed: Sequence[Placed]) -> float:
    """Return what a plan's steps add up to by the problem's aims."""
    at = {(one.chain, one.work): one for one in placed}
    ends = dict.fromkeys(range(len(problem.chains)), problem.now)
    total = 0.0
    for number, chain in enumerate(problem.chains):
        if chain.works:
            last = len(chain.works) - 1
            lags = [(last, 0), *((lag.work, lag.minutes) for lag in chain.ends)]
            ends[number] = max(at[number, work].ends + minutes for work, minutes in lags)
            total += problem.aims.flow * (ends[number] - at[number, 0].starts)
    for number, job in enumerate(problem.jobs):
        own = [ends[one] for one, chain in enumerate(problem.chains) if chain.job == number]
        if own:
            total += problem.aims.finish * (max(own) - problem.now)
            if job.due is not None:
                total += problem.aims.late * job.weight * max(0, max(own) - job.due)
    return total


def _begin(problem: Problem) -> _Shop:
    shop = _Shop(
        problem,
        problem.now,
        [[] for _chain in problem.chains],
        [problem.now for _worker in problem.people],
        {bench.station: [0] * bench.count for bench in problem.benches},
        [{} for _chain in problem.chains],
    )
    for number, chain in enumerate(problem.chains):
        if chain.held is not None:
            _take(shop, number, "before", chain.held, problem.now)
    for pin in problem.pins:
        _place(shop, pin.chain, Placed(pin.chain, 0, pin.starts, pin.ends, pin.people))
    return shop


def _started(shop: _Shop, chain: int) -> bool:
    """Start a chain's next step now, if all of it is there."""
    problem, minute = shop.problem, shop.minute
    works, row = problem.chains[chain].works, shop.rows[chain]
    if len(row) == len(works):
        return False
    work = works[len(row)]
    ready = [problem.now, work.earliest or 0, *(one.ends for one in row[-1:])]
    ready += [row[lag.work].ends + lag.minutes for lag in work.waits]
    for other in work.after:
        others = shop.rows[other]
        if len(others) < len(problem.chains[other].works):
            return False
        lags = problem.chains[other].ends
        ready += [one.ends for one in others[-1:]]
        ready += [others[lag.work].ends + lag.minutes for lag in lags]
    if minute < max(ready) or not any(end <= minute for end in shop.benches[work.station]):
        return False
    closes = [row[lag.work].ends + lag.minutes for lag in work.closes]
    closes += [] if work.closes_at is None else [work.closes_at]
    extra = work.extra if any(minute > close for close in closes) else 0
    crew = _crew(shop, work.station, minute + max(work.minutes, work.fits) + extra)[: work.crew]
    if len(crew) < work.crew or (work.hold and not _has_room(shop, chain, work.hold)):
        return False
    ends = minute + work.minutes + extra
    _place(shop, chain, Placed(chain, len(row), minute, ends, tuple(crew), extra))
    return True


def _crew(shop: _Shop, station: str, until: int) -> list[int]:
    return [
        number
        for number, worker in enumerate(shop.problem.people)
        if worker.can(station)
        and shop.free_from[number] <= shop.minute
        and any(span.starts <= shop.minute and until <= span.ends for span in worker.spans)
    ]


def _has_room(shop: _Shop, chain: int, hold: Hold) -> bool:
    """Tell whether a place has room once the chain has left what it leaves by starting."""
    used = 0
    for number, own in enumerate(shop.held):
        for key, (slots, until) in own.items():
            place, _name, frees = key.split("/")
            leaves = number == chain and frees == Frees.START and until is None
            if place == hold.place and not leaves and (until is None or until > shop.minute):
                used += slots
    slots = next(store.slots for store in shop.problem.stores if store.place == hold.place)
    return used + hold.slots <= slots


def _place(shop: _Shop, chain: int, one: Placed) -> None:
    work = shop.problem.chains[chain].works[one.work]
    shop.rows[chain].append(one)
    ends = shop.benches[work.station]
    ends[ends.index(min(ends))] = one.ends
    for who in one.people:
        shop.free_from[who] = one.ends
    for key, (slots, until) in shop.held[chain].items():
        if until is None:
            freed = one.starts if key.endswith(Frees.START) else one.ends
            shop.held[chain][key] = (slots, freed)
    if work.hold is not None:
        _take(shop, chain, str(one.work), work.hold, one.ends)


def _take(shop: _Shop, chain: int, name: str, hold: Hold, rests: int) -> None:
    works, row = shop.problem.chains[chain].works, shop.rows[chain]
    is_known = hold.frees is Frees.REST or len(row) == len(works)
    until = rests + hold.minutes if is_known else None
    shop.held[chain][f"{hold.place}/{name}/{hold.frees}"] = (hold.slots, until)


def with_cost(problem: Problem, plan: Plan, placed: Sequence[Placed]) -> Plan:
    """Return the plan with other steps, in order and with their cost, so that no more is wrong."""
    ordered = tuple(sorted(placed, key=lambda one: one.starts))
    return replace(plan, placed=ordered, cost=cost(problem, ordered))
