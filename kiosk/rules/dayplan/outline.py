"""Read off a plan what its steps alone do not say: stays in slots, finishes, rests, hours."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

from kiosk.rules.dayplan.model import Chain, Frees, Hold, Minute, Placed, Plan, Problem, Span

Key = tuple[int, int]  # chain, work


@dataclass(frozen=True, slots=True)
class Stay:
    """A unit in the slots of a place, half-open like a span.

    work took the slots, -1 where they were taken before the plan begins. freed_by is the work of
    the same chain that gives them back, None where the rest does.
    """

    place: str
    slots: int
    starts: Minute
    ends: Minute
    chain: int
    work: int
    freed_by: int | None = None


class Outline:
    """A plan with its problem, looked at from several sides; made once, read often."""

    def __init__(self, problem: Problem, plan: Plan) -> None:
        self.problem, self.plan = problem, plan
        self.at: Mapping[Key, Placed] = {(one.chain, one.work): one for one in plan.placed}
        self.pinned = frozenset(pin.chain for pin in problem.pins)

    @cached_property
    def stays(self) -> tuple[Stay, ...]:
        """Return every stay in a slot, by start."""
        found = [
            stay for index in range(len(self.problem.chains)) for stay in self._stays_of(index)
        ]
        return tuple(sorted(found, key=lambda stay: (stay.starts, stay.chain, stay.work)))

    def _stays_of(self, index: int) -> Iterator[Stay]:
        chain = self.problem.chains[index]
        if chain.held is not None:
            yield self._stay(index, -1, chain.held, self.problem.now, self.problem.now)
        for number, work in enumerate(chain.works):
            placed = self.at.get((index, number))
            if work.hold is not None and placed is not None:
                yield self._stay(index, number, work.hold, placed.starts, placed.ends)

    def _stay(self, chain: int, work: int, hold: Hold, starts: Minute, rests: Minute) -> Stay:
        following = self.at.get((chain, work + 1))
        if hold.frees is Frees.REST or following is None:
            ends, freed_by = rests + hold.minutes, None
        else:
            ends = following.starts if hold.frees is Frees.START else following.ends
            freed_by = work + 1
        return Stay(hold.place, hold.slots, starts, ends, chain, work, freed_by)

    def there(self, place: str, minute: Minute) -> Iterator[Stay]:
        """Yield the stays in slots of a place at a minute, by start."""
        for stay in self.stays:
            if stay.place == place and stay.starts <= minute < stay.ends:
                yield stay

    def taken(self, place: str, minute: Minute, *, without: int | None = None) -> int:
        """Return how many slots of a place are taken at a minute, those of one chain left out."""
        return sum(stay.slots for stay in self.there(place, minute) if stay.chain != without)

    def slots(self, place: str) -> int | None:
        """Return the slots of a place and those the plan had to add; None: not counted."""
        over = self.plan.over.get(place, 0)
        return next((one.slots + over for one in self.problem.stores if one.place == place), None)

    def is_ever_full(self, place: str) -> bool:
        """Tell whether the place has no slot left at some minute of the plan."""
        slots = self.slots(place)
        starts = [stay.starts for stay in self.stays if stay.place == place]
        return slots is not None and any(self.taken(place, start) >= slots for start in starts)

    def over_since(self, place: str) -> Minute | None:
        """Return from when on a place needs more slots than it has; None for never."""
        slots = next((one.slots for one in self.problem.stores if one.place == place), None)
        if slots is None:
            return None
        starts = (stay.starts for stay in self.stays if stay.place == place)
        return next((start for start in starts if self.taken(place, start) > slots), None)

    def finish(self, index: int) -> Minute | None:
        """Return when a chain is finished: its last step and its last rests; None without steps."""
        chain = self.problem.chains[index]
        last = self.at.get((index, len(chain.works) - 1))
        if last is None:
            return None
        return max([last.ends, *self._over(index, chain)])

    def _over(self, index: int, chain: Chain) -> Iterator[Minute]:
        for lag in chain.ends:
            placed = self.at.get((index, lag.work))
            if placed is not None:
                yield placed.ends + lag.minutes

    @cached_property
    def finishes(self) -> Mapping[int, Minute]:
        """Return when each job of the plan is finished, by its index."""
        found: dict[int, Minute] = {}
        for index, chain in enumerate(self.problem.chains):
            finish = self.finish(index)
            if finish is not None:
                found[chain.job] = max(finish, found.get(chain.job, finish))
        return found

    def rests_until(self, placed: Placed) -> Minute | None:
        """Return when the rest a step starts is over; None where it starts none.

        That is the rest the unit's next hands wait for: the glue-up is out of the clamps long
        before it is hard enough to hang.
        """
        chain = self.problem.chains[placed.chain]
        for waits in (*(work.waits for work in chain.works), chain.ends):
            found = [lag.minutes for lag in waits if lag.work == placed.work and lag.minutes > 0]
            if found:
                return placed.ends + max(found)
        return None

    def closes(self, placed: Placed) -> Minute | None:
        """Return when the window of a step closes; None where it has none."""
        work = self.problem.chains[placed.chain].works[placed.work]
        found = [] if work.closes_at is None else [work.closes_at]
        for lag in work.closes:
            before = self.at.get((placed.chain, lag.work))
            if before is not None:
                found.append(before.ends + lag.minutes)
        return min(found, default=None)


def late_by(outline: Outline) -> Mapping[int, int]:
    """Return by how many minutes each late job is late, by its index."""
    dues = outline.problem.jobs
    late = {}
    for job, finish in outline.finishes.items():
        due = dues[job].due
        if due is not None and finish > due:
            late[job] = finish - due
    return late


def merged(spans: Iterable[Span]) -> tuple[Span, ...]:
    """Return spans as one row, in order and apart."""
    found: list[Span] = []
    for span in sorted(spans):
        if found and span.starts <= found[-1].ends:
            found[-1] = Span(found[-1].starts, max(found[-1].ends, span.ends))
        else:
            found.append(span)
    return tuple(found)
