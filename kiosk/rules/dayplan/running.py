"""Run a shop forward by priorities: what goes on at one moment, and what starts next.

Parallel schedule generation (Kolisch, European Journal of Operational Research 90 (1996) 320-333):
at each event the ready step of the highest priority that can start does so. Each station keeps its
ready steps in one heap; steps that wait for a slot, or for hours long enough, are set apart.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from heapq import heappop, heappush

from kiosk.rules.dayplan.flat import NEVER, Flat, Slots
from kiosk.rules.dayplan.model import Minute, Pin

# kinds of events, in the order they count within a minute: what frees comes first
END, REST, HELD_ENDS, HELD, PIN, SPAN, READY = range(7)


class Run:
    """A shop under way. order names the steps by priority; delays hold back steps by number.

    starts, ends, crews and extras say by step what was done; over by place what was exceeded.
    """

    __slots__ = (
        "bench",
        "busy",
        "chains_left",
        "close",
        "crews",
        "delays",
        "ends",
        "events",
        "extras",
        "far",
        "finished",
        "flat",
        "forced",
        "free",
        "free_at",
        "heaps",
        "kept",
        "last",
        "late_hours",
        "left",
        "limit",
        "missing",
        "next",
        "order",
        "over",
        "parked",
        "pending",
        "picked",
        "picked_at",
        "picked_count",
        "pins",
        "pins_of",
        "position",
        "rank",
        "reach",
        "ready",
        "reserved",
        "starts",
        "time",
        "until",
        "waiting",
    )  # fmt: skip

    def __init__(self, flat: Flat, order: Sequence[int], delays: Mapping[int, Minute]) -> None:
        """Begin before the first event."""
        steps, people, places = len(flat.chain), len(flat.problem.people), len(flat.places)
        self.flat, self.order = flat, order
        self.rank = [0] * steps
        for rank, step in enumerate(order):
            self.rank[step] = rank
        self.starts, self.ends, self.extras = [0] * steps, [0] * steps, [0] * steps
        self.crews: list[tuple[int, ...]] = [()] * steps
        self.ready, self.close = list(flat.earliest), list(flat.closes_at)
        self.delays = delays
        self.missing, self.left = list(flat.missing), steps
        self.bench, self.free = list(flat.counts), list(flat.slots)
        self.over, self.reserved = [0] * places, [0] * places
        self.heaps: list[list[int]] = [[] for _station in flat.stations]
        self.parked: list[list[list[int]]] = [
            [[] for _place in flat.places] for _s in flat.stations
        ]
        self.late_hours: list[int] = []  # ranks of steps that no span of today has room for
        self.forced: set[int] = set()
        self.far: list[list[Minute]] = [[] for _station in flat.stations]
        self.reach, self.until, self.free_at = [-NEVER] * people, [-NEVER] * people, [0] * people
        self.limit, self.busy, self.position = [NEVER] * people, [0] * people, [0] * people
        self.last = [-1] * len(flat.first)
        self.pins: list[list[Pin]] = [[] for _station in flat.stations]  # that have not begun
        self.pins_of: list[list[Minute]] = [[] for _person in range(people)]
        self.events: list[tuple[Minute, int, int]] = []
        self.finished, self.chains_left = [flat.problem.now] * len(flat.dues), list(flat.chains_of)
        self.next = list(flat.first)  # the step each chain comes to next
        self.picked: list[int] = []  # the steps taken up to be started, in order, and when
        self.picked_at: list[Minute] = []
        self.picked_count = 0  # how many they are by a copy, which does not have them
        self.kept: list[Run] | None = None  # copies of the run as it was; None: not wanted
        self.waiting = 0  # how many steps are parked
        self.pending, self.time = 0, flat.problem.now

    def push(self, minute: Minute, kind: int, one: int) -> None:
        """Let something happen that is not just hours beginning."""
        self.pending += 1
        heappush(self.events, (minute, kind, one))

    def start(self, step: int, minute: Minute, crew: tuple[int, ...], minutes: int) -> None:
        """Start a step, and tell what follows it when it will be ready."""
        flat, ends = self.flat, minute + minutes
        self.starts[step], self.ends[step], self.crews[step] = minute, ends, crew
        self.left -= 1
        self.pending += 1
        heappush(self.events, (ends, END, step))
        self.bench[flat.station[step]] -= 1
        for who in crew:
            self.reach[who] = -NEVER
            self.free_at[who] = ends
            self.busy[who] += 1
        chain = flat.chain[step]
        self.last[chain] = crew[0] if crew else -1
        self.next[chain] = step + 1
        if takes := flat.takes[step]:
            self.free[takes[0]] -= takes[1]
        if leaves := flat.leaves[step]:
            self.release(leaves)
        if flat.is_last[step]:
            self.finish(chain, ends)
        else:
            self._follow(step + 1, ends)

    def _follow(self, step: int, ends: Minute) -> None:
        flat, own = self.flat, self.ends
        ready = self.ready[step]
        ready = max(ready, ends)
        for other, minutes in flat.waits[step]:
            ready = max(ready, own[other] + minutes)
        for other, minutes in flat.closes[step]:
            self.close[step] = min(self.close[step], own[other] + minutes)
        self.ready[step] = ready
        self.found(step)

    def finish(self, chain: int, ends: Minute) -> None:
        """Let what waits for a chain know when that is finished; ends is the last step's end."""
        flat = self.flat
        for step, minutes in flat.ends[chain]:
            ends = max(ends, self.ends[step] + minutes)
        job = flat.job[chain]
        self.finished[job] = max(self.finished[job], ends)
        self.chains_left[job] -= 1
        for step in flat.followers[chain]:
            self.ready[step] = max(self.ready[step], ends)
            self.found(step)

    def costs_at_least(self, minute: Minute) -> float:
        """Return what a plan costs at least where nothing more starts before a minute."""
        flat, now, ready, tails = self.flat, self.flat.problem.now, self.ready, self.flat.tails
        finished, flow = self.finished[:], 0
        for chain, (step, job) in enumerate(zip(self.next, flat.job, strict=True)):
            first, stop = flat.first[chain], flat.stops[chain]
            if step < stop:
                at = ready[step]
                at = (at if at > minute else minute) + tails[step]
                finished[job] = max(finished[job], at)
                flow += at - self.starts[first] if step > first else tails[step]
        late = 0.0
        for job, at in enumerate(finished):
            if at > flat.dues[job] and flat.chains_of[job]:
                late += flat.late[job] * (at - flat.dues[job])
        aims = flat.problem.aims
        return late + aims.finish * (sum(finished) - now * len(finished)) + aims.flow * flow

    def found(self, step: int) -> None:
        """Note that one thing more that a step waits for is known."""
        self.missing[step] -= 1
        if self.missing[step] == 0 and step not in self.flat.pinned:
            self.wait(step)

    def wait(self, step: int) -> None:
        """Let a step that waits for nothing else be ready in time."""
        if step in self.delays:
            self.ready[step] = max(self.ready[step], self.delays[step])
        self.pending += 1
        heappush(self.events, (self.ready[step], READY, step))

    def release(self, slots: Slots) -> None:
        """Give slots back, and let steps that wait for them try again."""
        place, count = slots
        self.free[place] += count
        if self.waiting:
            for station in range(len(self.heaps)):
                self.wake(station, place)

    def wake(self, station: int, place: int) -> None:
        """Let the first step that a place has room for by now try again at its station."""
        parked = self.parked[station][place]
        room = self.free[place] - self.reserved[place]
        if not parked or room <= 0:
            return
        self.waiting -= 1
        skipped = []
        while parked:
            rank = heappop(parked)
            if self.flat.net[self.order[rank]] <= room:
                heappush(self.heaps[station], rank)
                break
            skipped.append(rank)
        else:
            self.waiting += 1
        for rank in skipped:
            heappush(parked, rank)
