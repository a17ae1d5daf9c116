"""Carry a plan's priorities over to the shop as it is now."""

from __future__ import annotations

from collections import defaultdict
from statistics import median

from kiosk.rules.dayplan.built import Built
from kiosk.rules.dayplan.model import Keys, Minute, Plan

Piece = tuple[str, str, str, int]  # job, unit, step, and which piece of it from the end


def carried_keys(before: Plan, built: Built, new: Built) -> Keys | None:
    """Return the priorities of a plan for the chains of another problem; None where it has none.

    Steps are known again by job, unit and name, pieces of one by how many come after them. A step
    the plan did not have is as pressing as the middle of its job, and one of a new job comes last.
    """
    if not before.keys:
        return None
    old: dict[Piece, float] = {}
    by_job: dict[str, list[float]] = defaultdict(list)
    for row, pieces in zip(before.keys, _pieces(built), strict=True):
        old |= dict(zip(pieces, row, strict=True))
        for key, piece in zip(row, pieces, strict=True):
            by_job[piece[0]].append(key)
    last = max(old.values(), default=0.0) + 1
    usual = {job: median(keys) for job, keys in by_job.items()}
    return tuple(
        tuple(old.get(piece, usual.get(piece[0], last)) for piece in pieces)
        for pieces in _pieces(new)
    )


def carried_delays(before: Plan, built: Built, new: Built) -> dict[tuple[int, int], Minute]:
    """Return the steps a plan holds back on purpose, by their places in another problem."""
    places = {
        piece: (chain, work)
        for chain, pieces in enumerate(_pieces(new))
        for work, piece in enumerate(pieces)
    }
    old = _pieces(built)
    found = {
        places.get(old[chain][work]): minute for (chain, work), minute in before.delays.items()
    }
    return {place: minute for place, minute in found.items() if place is not None}


def _pieces(built: Built) -> list[list[Piece]]:
    """Return what each step of each chain is known by."""
    rows = []
    for names, chain in zip(built.names, built.problem.chains, strict=True):
        seen: dict[str, int] = defaultdict(int)
        row: list[Piece] = []
        for work in reversed(chain.works):
            row.append((*names.key, work.step, seen[work.step]))
            seen[work.step] += 1
        rows.append(row[::-1])
    return rows
