"""Tell what a unit leaves until its hang day, and whether it is what makes its job late."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from kiosk.rules.dayplan.built import Built
from kiosk.rules.dayplan.cost import finishes
from kiosk.rules.dayplan.decode import decode
from kiosk.rules.dayplan.model import Chain, Minute, Problem
from kiosk.rules.dayplan.outline import Outline


class Slack:
    """What a plan leaves to each of its chains; worked out once for each unit and job."""

    def __init__(self, outline: Outline, built: Built) -> None:
        self._outline, self._built = outline, built
        self._problem = outline.problem
        self._alone: dict[tuple[int, ...], Minute] = {}
        self._critical: dict[int, tuple[int, ...]] = {}

    def spare(self, chain: int) -> int | None:
        """Return the minutes a chain may take longer before its hang day does not hold.

        As nothing is loaded before the hang day, a chain before the load has until then; where the
        load waits for the shop, and from the load on, until work ends that day. None: its job has
        no hang day, or is late.
        """
        job = self._problem.chains[chain].job
        due, own, finish = self._problem.jobs[job].due, self._outline.finish(chain), self._up(chain)
        if due is None or own is None or finish is None or self._is_late(job):
            return None
        opens = [self._problem.chains[load].works[0].earliest for load in self._loads_after(chain)]
        waits = [minute - own for minute in opens if minute is not None and minute >= own]
        return min(waits, default=due - finish)

    def makes_late(self, chain: int) -> bool:
        """Tell whether a chain makes its job late: alone in the shop it would, or all wait for it.

        A unit that is late only because of others does not: so would every unit of a late job.
        """
        job = self._problem.chains[chain].job
        due = self._problem.jobs[job].due
        if due is None or not self._is_late(job):
            return False
        return chain in self._waited_for(job) or self._finish_alone(chain) > due

    def last_chains(self, job: int) -> tuple[int, ...]:
        """Return the chain of a job finished last, then the last of those it had to wait for, on.

        The job has steps in the plan.
        """
        if job not in self._critical:
            ends = ((one, self._outline.finish(one)) for one in range(len(self._problem.chains)))
            mine = {
                one: end
                for one, end in ends
                if end is not None and self._problem.chains[one].job == job
            }
            self._critical[job] = tuple(self._backwards(mine))
        return self._critical[job]

    def is_unit(self, chain: int) -> bool:
        """Tell whether a chain is of a unit: not a load, nor a drive."""
        return bool(self._built.names[chain].key[1])

    def _is_late(self, job: int) -> bool:
        due, finish = self._problem.jobs[job].due, self._outline.finishes.get(job)
        return due is not None and finish is not None and finish > due

    def _up(self, chain: int) -> Minute | None:
        """Return when a unit is done, made in the shop and hung; for a load, when its job is."""
        if not self.is_unit(chain):
            return self._outline.finishes.get(self._problem.chains[chain].job)
        found = [self._outline.finish(index) for index in self._mine(chain)]
        return max((one for one in found if one is not None), default=None)

    # -- alone in the shop -----------------------------------------------------------------------

    def _finish_alone(self, chain: int) -> Minute:
        """Return when a unit would be done from now on if there were nothing else to do."""
        mine = set(self._mine(chain)) if self.is_unit(chain) else {chain}
        if self.is_unit(chain):
            loads = {load for one in mine for load in self._loads_after(one)}
            mine |= loads | {one for each in mine for one in self._loads_before(each)}
        kept = tuple(sorted(mine))
        if kept not in self._alone:
            alone = _only(self._problem, kept)
            keys = [[0.0] * len(one.works) for one in alone.chains]
            self._alone[kept] = max(finishes(alone, decode(alone, keys).placed).chains)
        return self._alone[kept]

    # -- what all wait for -----------------------------------------------------------------------

    def _waited_for(self, job: int) -> frozenset[int]:
        """Return the units that are last: the one hung last, and the one the load waits for."""
        return frozenset(one for one in self.last_chains(job) if self.is_unit(one))

    def _backwards(self, finish: dict[int, Minute]) -> Iterator[int]:
        """Yield the chain finished last, then of those it had to wait for the last one, and on."""
        last = max(finish, key=finish.__getitem__)
        while True:
            yield last
            first = self._problem.chains[last].works[0]
            since = self._problem.now if first.earliest is None else first.earliest
            before = [one for one in first.after if finish.get(one, since) > since]
            if not before:
                return
            last = max(before, key=finish.__getitem__)

    # -- who belongs together --------------------------------------------------------------------

    def _mine(self, chain: int) -> list[int]:
        """Return all chains of a unit: through the shop, and hung."""
        key = self._built.names[chain].key
        return [index for index, names in enumerate(self._built.names) if names.key == key]

    def _loads_after(self, chain: int) -> Iterator[int]:
        for index, one in enumerate(self._problem.chains):
            if not self.is_unit(index) and chain in _after(one):
                yield index

    def _loads_before(self, chain: int) -> Iterator[int]:
        return (one for one in _after(self._problem.chains[chain]) if not self.is_unit(one))


def _after(chain: Chain) -> Iterable[int]:
    return [one for work in chain.works for one in work.after]


def _only(problem: Problem, kept: tuple[int, ...]) -> Problem:
    """Return a problem with some of its chains alone; they wait for none of the others."""
    places = {old: new for new, old in enumerate(kept)}
    chains = []
    for old in kept:
        works = tuple(
            replace(work, after=tuple(places[one] for one in work.after if one in places))
            for work in problem.chains[old].works
        )
        chains.append(replace(problem.chains[old], works=works))
    pins = tuple(
        replace(pin, chain=places[pin.chain]) for pin in problem.pins if pin.chain in places
    )
    return replace(problem, chains=tuple(chains), pins=pins)
