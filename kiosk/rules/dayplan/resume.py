"""Run a shop again from where changed priorities first make a difference, not from the start.

A run notes each step it picks up, in order. Changed priorities make no difference before a step
they belong to is picked up, or one that it would now come before while it is ready; all until then
is taken over from a copy of the earlier run.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Collection, Mapping, Sequence
from heapq import heapify

from kiosk.rules.dayplan.model import Minute
from kiosk.rules.dayplan.running import Run

_ROWS = (
    *("bench", "busy", "chains_left", "close", "crews", "ends", "events", "extras", "far"),
    *("finished", "free", "free_at", "last", "late_hours", "limit", "missing", "next", "over"),
    *("position", "reach", "ready", "reserved", "starts", "until"),
)
_SAME = ("delays", "flat", "left", "order", "pending", "rank", "time", "waiting")


def copied(run: Run) -> Run:
    """Return a run that stands where another does, but for what was picked up by then."""
    other = Run.__new__(Run)
    for name in _ROWS:
        setattr(other, name, getattr(run, name)[:])
    for name in _SAME:
        setattr(other, name, getattr(run, name))
    other.forced = set(run.forced)
    other.heaps = [heap[:] for heap in run.heaps]
    other.parked = [[parked[:] for parked in row] for row in run.parked]
    other.pins = [pins[:] for pins in run.pins]
    other.pins_of = [starts[:] for starts in run.pins_of]
    return other


def keep(run: Run, kept: list[Run]) -> None:
    """Keep a copy of a run as it stands, to go on from with other priorities."""
    copy = copied(run)
    copy.picked_count = len(run.picked)
    kept.append(copy)


def first_difference(before: Run, rank: Sequence[int], changed: Collection[int]) -> int | None:
    """Return how many pick-ups of a run that is done stay as they were; None: all of them.

    rank is the new place of each step, changed the steps that were moved among the others.
    """
    pinned, ready = before.flat.pinned, before.ready
    moved = {step for step in changed if step not in pinned}
    coming = sorted(((ready[step], rank[step]) for step in moved), reverse=True)
    if not coming:
        return None
    lowest = len(rank)
    index = bisect_left(before.picked_at, coming[-1][0])
    while True:  # each of the moved steps is picked up in the end
        step = before.picked[index]
        while coming and coming[-1][0] <= before.picked_at[index]:
            lowest = min(lowest, coming.pop()[1])
        if step in moved or rank[step] > lowest:
            return index
        index += 1


def resumed(
    before: Run,
    order: Sequence[int],
    delays: Mapping[int, Minute],
    *,
    changed: Collection[int],
    held: Collection[int],
) -> Run | None:
    """Return a run that goes on from the latest copy that changes leave as it is; None: from none.

    The run before must be done and have copies. changed are the steps with other priorities, held
    those with other delays. Where nothing can differ, it is the run before itself.
    """
    rank = ranks(order)
    same = first_difference(before, rank, changed)
    if same is None and not held:
        return before
    kept = before.kept or []
    for number in reversed(range(len(kept))):
        copy = kept[number]
        fits = same is None or copy.picked_count <= same
        if fits and all(copy.missing[step] > 0 for step in held):
            run = _taken_up(copy, order, rank)
            run.delays = delays
            run.picked = before.picked[: copy.picked_count]
            run.picked_at = before.picked_at[: copy.picked_count]
            run.kept = kept[: number + 1]
            return run
    return None


def ranks(order: Sequence[int]) -> list[int]:
    """Return the place of each step in an order."""
    found = [0] * len(order)
    for place, step in enumerate(order):
        found[step] = place
    return found


def _taken_up(copy: Run, order: Sequence[int], rank: list[int]) -> Run:
    """Return a run from a copy, with the steps that wait ranked anew."""
    run = copied(copy)
    old = copy.order
    for heap in (*run.heaps, *(parked for row in run.parked for parked in row), run.late_hours):
        heap[:] = [rank[old[one]] for one in heap]
        heapify(heap)
    run.order, run.rank = order, rank
    return run
