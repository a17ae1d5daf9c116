"""Write a plan people work by as the body of an entry.

Steps are named once, and from then on counted through all chains; what is planned for later than
the next two days has its place in the order and no time, as the plan is made anew by then.
"""

from __future__ import annotations

from collections.abc import Iterable
from itertools import accumulate, pairwise
from typing import Any, Final
from zlib import crc32

from kiosk.rules.dayplan.built import Built
from kiosk.rules.dayplan.model import Minute, Plan, Problem
from kiosk.rules.workday import Hours

VERSION: Final = 1
# minutes whose starts are written down: today and tomorrow; each morning's plan is written (choice)
TIMED: Final = 48 * 60


def sign_hours(staff: Iterable[tuple[str, Hours]]) -> str:
    """Return eight hexadecimal digits that differ once people, their hours or stations do.

    They are a checksum (CRC-32), made to see a change and not to withstand anybody.
    """
    texts = (
        f"{str(name)!r} {one.opens} {one.closes} {one.break_starts} {one.break_minutes} "
        f"{one.days} {one.stations} {[(str(away.first), str(away.last)) for away in one.away]}"
        for name, one in staff
    )
    return f"{crc32(chr(10).join(texts).encode()):08x}"


def as_body(built: Built, plan: Plan, *, hours: str) -> dict[str, Any]:
    """Return a plan as a body; docs/formats.md says what each key holds.

    Args:
        built: what the plan was made from.
        plan: every step of it.
        hours: as `sign_hours` gives them for who works now.
    """
    problem = built.problem
    steps = list(dict.fromkeys(work.step for chain in problem.chains for work in chain.works))
    tracks: dict[tuple[int, ...], int] = {}
    chains: list[list[Any]] = []
    for chain, names in zip(problem.chains, built.names, strict=True):
        track = tuple(steps.index(work.step) for work in chain.works)
        if not chains or chains[-1][:2] != [chain.job, names.key[0]]:
            chains.append([chain.job, names.key[0]])
        chains[-1] += [names.key[1], tracks.setdefault(track, len(tracks))]
    return {
        "version": VERSION,
        "minute": problem.now,
        "hours": hours,
        "people": [worker.name for worker in problem.people],
        "benches": [[one.station, one.count] for one in problem.benches],
        "stores": [[one.place, one.slots] for one in problem.stores],
        "jobs": [[one.job, one.due, one.weight] for one in problem.jobs],
        "steps": steps,
        "tracks": [list(track) for track in tracks],
        "chains": chains,
        **_ordered(problem, plan),
        "over": [
            [*name, one.minutes, problem.now - one.at] for name, one in sorted(built.over.items())
        ],
    }


def _ordered(problem: Problem, plan: Plan) -> dict[str, Any]:
    firsts = first_numbers(len(chain.works) for chain in problem.chains)
    keys = [key for own in plan.keys for key in own]
    near = [one for one in plan.placed if one.starts < problem.now + TIMED]
    crews: dict[tuple[int, ...], list[int]] = {}
    free: dict[tuple[int, ...], Minute] = {}
    works, after = [], []
    for one in sorted(near, key=lambda one: (one.starts, one.chain, one.work)):
        number = firsts[one.chain] + one.work
        work = problem.chains[one.chain].works[one.work]
        gap = one.starts - free.get(one.people, problem.now)
        crews.setdefault(one.people, []).extend((number, gap, one.ends - one.starts))
        free[one.people] = one.ends
        closes = None if work.closes_at is None else work.closes_at - problem.now
        more = [work.minutes, work.extra if closes is not None else 0, closes, one.extra]
        if more != [one.ends - one.starts, 0, None, 0]:
            works.append([number, *more])
        if work.after:
            after.append([number, *work.after])
    order = sorted(range(len(keys)), key=lambda number: (keys[number], number))
    return {
        # like steps of like units follow each other: what lies between them is short, and often one
        "order": [number - before for before, number in pairwise([0, *order])],
        "placed": [[list(people), row] for people, row in crews.items()],
        "works": works,
        "after": after,
        "delays": [
            [firsts[chain] + work, at - problem.now]
            for (chain, work), at in sorted(plan.delays.items())
        ],
    }


def first_numbers(counts: Iterable[int]) -> list[int]:
    """Return the number of each chain's first step, and at the end how many there are."""
    return [0, *accumulate(counts)]
