"""Tell which steps of a plan are under way, so that they stay where they are."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Final

from kiosk.rules.dayplan.built import Built
from kiosk.rules.dayplan.model import Minute, Pin, Placed, Plan, Work
from kiosk.rules.workday import minute_of

OVERRUN: Final = 1.5  # a step that takes longer than this is not under way any more (choice)
OVERRUN_MINUTES: Final = 20  # nor one that is later than this, whichever comes first (choice)
MORE: Final = 5  # minutes a step that is over its time is given once more (choice)


@dataclass(frozen=True, slots=True)
class Scan:
    """One step somebody recorded; person is empty where nobody is named."""

    at: datetime
    person: str


def begun_at_scans(before: Plan, built: Built, new: Built, *, scans: Iterable[Scan] = ()) -> Plan:
    """Return a plan in which what people could not begin yet begins when they scanned last.

    For a plan nobody followed since it was made: whoever recorded something after their next step
    was to begin was busy until then, so that step, and none after it, moves to that minute.

    Args:
        before: the plan, of the problem in built.
        built: what it was made from.
        new: the shop as it is now.
        scans: what was recorded today.
    """
    last, moved, seen = _last_scans(scans), {}, set[str]()
    for one, _chain in sorted(_firsts(before, built, new), key=lambda pair: pair[0].starts):
        names = [built.problem.people[who].name for who in one.people]
        at = max((last.get(name, 0) for name in names), default=0)
        if at > one.starts and seen.isdisjoint(names):
            moved[one] = replace(one, starts=at, ends=at + one.ends - one.starts)
        seen.update(names)
    if not moved:
        return before
    placed = sorted((moved.get(one, one) for one in before.placed), key=lambda one: one.starts)
    return replace(before, placed=tuple(placed))


def under_way(
    before: Plan, built: Built, new: Built, *, now: datetime, scans: Iterable[Scan] = ()
) -> tuple[Pin, ...]:
    """Return the steps that have begun by the plan and go on, as pins of the new problem.

    A step counts as begun where the plan had it start by now, it is the chain's first still, and
    none of its people scanned anything since it was to begin: then they do something else. One that
    takes longer than its minutes by far does not count any more, and is planned anew.

    Args:
        before: the plan people work by, of the problem in built.
        built: what it was made from.
        new: what the next plan is made from.
        now: the moment, aware.
        scans: what was recorded today.
    """
    minute, last = minute_of(now), _last_scans(scans)
    pins = []
    for one, chain in _firsts(before, built, new):
        names = [built.problem.people[who].name for who in one.people]
        is_left = any(last.get(name, one.starts) > one.starts for name in names)
        is_over = is_overrun(one, minute, work=work_of(built, one))
        if one.starts <= minute and not is_over and not is_left:
            ends = one.ends if one.ends > minute else minute + MORE
            if people := _same_people(names, new):
                pins.append(Pin(chain, one.starts, ends, people))
    return _apart(pins)


def work_of(built: Built, one: Placed) -> Work:
    """Return which work of a problem a step of its plan is."""
    return built.problem.chains[one.chain].works[one.work]


def is_overrun(one: Placed, minute: Minute, *, work: Work) -> bool:
    """Tell whether a step takes so much longer than its work that something else must be up.

    What counts are the minutes of the work and what a missed window adds, not the end in the plan:
    that moves on for as long as the step is under way.
    """
    is_late = work.closes_at is not None and one.starts > work.closes_at
    planned = work.minutes + max(one.extra, work.extra if is_late else 0)
    return minute - one.starts > min(planned * OVERRUN, planned + OVERRUN_MINUTES)


def _firsts(before: Plan, built: Built, new: Built) -> Iterable[tuple[Placed, int]]:
    """Yield the steps of the old plan that are the first of a new chain, and its number."""
    firsts = {
        (*names.key, new.problem.chains[number].works[0].step): number
        for number, names in enumerate(new.names)
    }
    seen: set[int] = set()
    for one in before.placed:
        work = built.problem.chains[one.chain].works[one.work]
        number = firsts.get((*built.names[one.chain].key, work.step))
        if number is not None and number not in seen:
            seen.add(number)
            yield one, number


def _same_people(names: Iterable[str], new: Built) -> tuple[int, ...]:
    """Return the numbers of people in the new problem; none if one of them is not there."""
    numbers = {worker.name: number for number, worker in enumerate(new.problem.people)}
    found = [numbers.get(name, -1) for name in names]
    return () if -1 in found else tuple(found)


def _last_scans(scans: Iterable[Scan]) -> Mapping[str, Minute]:
    found: dict[str, Minute] = {}
    for scan in scans:
        found[scan.person] = max(found.get(scan.person, 0), minute_of(scan.at))
    return found


def _apart(pins: Iterable[Pin]) -> tuple[Pin, ...]:
    """Return the pins that leave everybody one step at a time, the earlier ones first."""
    until: dict[int, Minute] = {}
    kept: list[Pin] = []
    for pin in sorted(pins, key=lambda pin: (pin.starts, pin.chain)):
        if all(until.get(who, pin.starts) <= pin.starts for who in pin.people):
            kept.append(pin)
            until |= dict.fromkeys(pin.people, pin.ends)
    return tuple(kept)
