"""Say which step of a unit is next, which parts lack one, and what must be up before it."""

from __future__ import annotations

from collections.abc import Collection, Iterable

from kiosk.rules.fold import PieceState, UnitState
from kiosk.rules.parts import UnitSpec
from kiosk.rules.route import Step


def supports_of(spec: UnitSpec, known: Collection[str]) -> tuple[str, ...]:
    """Return the units that must be up before this one: what it hangs on, or its wall."""
    for support in (spec.hangs_on, spec.wall):
        if support and support != spec.unit and support in known:
            return (support,)
    return ()


def missing_parts(state: UnitState, step: Step, later: Iterable[Step]) -> tuple[PieceState, ...]:
    """Return the parts that still lack a step recorded part by part.

    A later step recorded for the part, or for the unit after the part came to be, stands for it:
    people forget to scan, and what came after shows that it was done.
    """
    later = tuple(later)
    unit_times = [
        state.done[after.name].at for after in later if not after.each and after.name in state.done
    ]
    last = max(unit_times, default=None)

    def lacks(piece: PieceState) -> bool:
        if not piece.needed or step.name in piece.done:
            return False
        if any(after.each and after.name in piece.done for after in later):
            return False
        return last is None or (piece.born is not None and piece.born > last)

    return tuple(piece for piece in state.pieces if lacks(piece))


def next_step(state: UnitState, steps: tuple[Step, ...]) -> Step | None:
    """Return the first step not done: of the parts, then of the unit after the last one done."""
    last = max(
        (place for place, step in enumerate(steps) if not step.each and step.name in state.done),
        default=-1,
    )
    for place, step in enumerate(steps):
        if step.each:
            if missing_parts(state, step, steps[place + 1 :]):
                return step
        elif place > last:
            return step
    return None
