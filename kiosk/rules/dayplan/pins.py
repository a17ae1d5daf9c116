"""Tell which steps of a plan are under way, or so near that they stay where they are."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Final

from kiosk.rules.dayplan.built import Built
from kiosk.rules.dayplan.model import Minute, Pin, Placed, Plan
from kiosk.rules.workday import minute_of

OVERRUN: Final = 1.5  # a step that takes longer than this is not under way any more (choice)
OVERRUN_MINUTES: Final = 20  # nor one that is later than this, whichever comes first (choice)
MORE: Final = 5  # minutes a step that is over its time is given once more (choice)
SOON: Final = 30  # minutes: what begins within them stays where the gain is not real (choice)

StepName = tuple[str, str, str]  # job, unit, step; a load and a drive have the unit ''


@dataclass(frozen=True, slots=True)
class Scan:
    """One step somebody recorded; person is empty where nobody is named."""

    at: datetime
    person: str


def under_way(
    before: Plan, built: Built, new: Built, *, now: datetime, scans: Iterable[Scan] = ()
) -> tuple[Pin, ...]:
    """Return the steps that have begun by the plan and go on, as pins of the new problem.

    A step counts as begun where the plan had it start by now, it is the chain's first still, and
    none of its people scanned anything since it was to begin: then they do something else.

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
        if one.starts <= minute and not is_overrun(one, minute) and not is_left:
            ends = one.ends if one.ends > minute else minute + MORE
            if people := _same_people(names, new):
                pins.append(Pin(chain, one.starts, ends, people))
    return _apart(pins)


def is_overrun(one: Placed, minute: Minute) -> bool:
    """Tell whether a step takes so much longer than planned that something else must be up."""
    planned = one.ends - one.starts
    return minute - one.starts > min(planned * OVERRUN, planned + OVERRUN_MINUTES)


def about_to_begin(
    before: Plan, built: Built, new: Built, *, now: datetime, pins: Iterable[Pin] = ()
) -> tuple[Pin, ...]:
    """Return what is under way, and with it the steps that begin within SOON minutes.

    A step that may no longer begin then, as its rest goes on, is left out.
    """
    minute, kept = minute_of(now), list(pins)
    for one, chain in _firsts(before, built, new):
        work = new.problem.chains[chain].works[0]
        is_soon = minute < one.starts <= minute + SOON and not work.after and not one.extra
        may = work.earliest is None or work.earliest <= one.starts
        names = [built.problem.people[who].name for who in one.people]
        people = _same_people(names, new)
        if is_soon and may and people and _is_there(new, people, one):
            kept.append(Pin(chain, one.starts, one.starts + work.minutes, people))
    return _apart(kept)


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


def _is_there(new: Built, people: Iterable[int], one: Placed) -> bool:
    workers = [new.problem.people[who] for who in people]
    return all(
        any(span.starts <= one.starts and one.ends <= span.ends for span in worker.spans)
        for worker in workers
    )


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
