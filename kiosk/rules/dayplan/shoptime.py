"""Keep who is there, who is busy, and what benches and places are taken, as minutes go by."""

from __future__ import annotations

from bisect import bisect_right
from collections import Counter
from collections.abc import Iterator

from kiosk.rules.dayplan.model import Hold, Minute, Problem, Work


class ShopTime:
    """What a shop has at one minute; asked with minutes that never go back.

    over is by how many slots a place was exceeded at most.
    """

    def __init__(self, problem: Problem) -> None:
        self.people = problem.people
        self._starts = [[span.starts for span in one.spans] for one in problem.people]
        self._count = {one.station: one.count for one in problem.benches}
        self._slots = {one.place: one.slots for one in problem.stores}
        self._at_bench: Counter[str] = Counter()
        self._in_place: Counter[str] = Counter()
        self._busy: dict[int, Minute] = {}  # who is busy, and until when that is expected
        self.over: Counter[str] = Counter()
        # somebody who knows few stations goes first, so that those who know all stay free
        self._order = sorted(range(len(self.people)), key=self._reach)

    def _reach(self, person: int) -> tuple[bool, int, int]:
        stations = self.people[person].stations
        return not stations, len(stations), person

    def closing(self, person: int, at: Minute) -> Minute | None:
        """Return when somebody's present stretch of work ends; None where they are away."""
        place = bisect_right(self._starts[person], at) - 1
        if place < 0 or self.people[person].spans[place].ends <= at:
            return None
        return self.people[person].spans[place].ends

    def is_open(self, at: Minute) -> bool:
        """Tell whether anybody is there."""
        return any(self.closing(one, at) is not None for one in self._order)

    def free(self, at: Minute) -> dict[int, int]:
        """Return who is there and idle, with the minutes left to each; in the order to ask them."""
        found = {}
        for person in self._order:
            closing = None if person in self._busy else self.closing(person, at)
            if closing is not None:
                found[person] = closing - at
        return found

    def able(self, work: Work, free: dict[int, int], *, minutes: int) -> list[int]:
        """Return who of the free can do a step and has the minutes left."""
        people, station = self.people, work.station
        return [one for one, left in free.items() if left >= minutes and people[one].can(station)]

    def has_bench(self, station: str) -> bool:
        """Tell whether one more step may go on at a station."""
        return self._at_bench[station] < self._count.get(station, 0)

    def has_place(self, hold: Hold, *, leaving: Hold | None) -> bool:
        """Tell whether a hold has room, once one that is left at the same minute is gone."""
        taken = self._in_place[hold.place] + hold.slots
        if leaving is not None and leaving.place == hold.place:
            taken -= leaving.slots
        return taken <= self._slots.get(hold.place, 0)

    def take(self, hold: Hold) -> None:
        """Take up a place, whether or not it has room."""
        self._in_place[hold.place] += hold.slots
        beyond = self._in_place[hold.place] - self._slots.get(hold.place, 0)
        self.over[hold.place] = max(self.over[hold.place], beyond)

    def leave(self, hold: Hold) -> None:
        """Free a place."""
        self._in_place[hold.place] -= hold.slots

    def begin(self, work: Work, people: tuple[int, ...], *, until: Minute) -> None:
        """Put people to a step that is expected to last until a minute."""
        self._at_bench[work.station] += 1
        self._busy.update(dict.fromkeys(people, until))

    def end(self, work: Work, people: tuple[int, ...]) -> None:
        """Set people free after a step."""
        self._at_bench[work.station] -= 1
        for person in people:
            del self._busy[person]

    def soon(self, work: Work, at: Minute, *, minutes: int) -> Iterator[Minute]:
        """Yield when those busy now should be free for a step, where it then still fits."""
        for person, until in self._busy.items():
            closing = self.closing(person, at)
            free_at = max(until, at + 1)
            if closing is None or not self.people[person].can(work.station):
                continue
            if closing - free_at >= minutes:
                yield free_at
