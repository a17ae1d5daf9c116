"""Say which step of a unit is next, which parts lack one, and what must be up before it."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass

from kiosk.rules.fold import PieceState, UnitState
from kiosk.rules.parts import UnitSpec
from kiosk.rules.records import Done, Recorded
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
    people forget to scan, and what came after shows that it was done. Not so where a record of it
    was struck: then somebody said that it was not.
    """
    later = tuple(later)
    unit_times = [
        state.done[after.name].at for after in later if not after.each and after.name in state.done
    ]
    last = max(unit_times, default=None)

    def lacks(piece: PieceState) -> bool:
        if not piece.needed or step.name in piece.done:
            return False
        if state.is_struck(step.name, piece.piece.code):
            return True
        if any(after.each and after.name in piece.done for after in later):
            return False
        return last is None or (piece.born is not None and piece.born > last)

    return tuple(piece for piece in state.pieces if lacks(piece))


def next_step(state: UnitState, steps: tuple[Step, ...]) -> Step | None:
    """Return the first step not done: of the parts, then of the unit after the last one done.

    A step before that whose record was struck is not done either.
    """
    last = max(
        (place for place, step in enumerate(steps) if not step.each and step.name in state.done),
        default=-1,
    )
    for place, step in enumerate(steps):
        if step.each:
            if missing_parts(state, step, steps[place + 1 :]):
                return step
        elif place > last or state.is_struck(step.name):
            return step
    return None


@dataclass(frozen=True, slots=True)
class BuiltOver:
    """A step whose record was struck although later ones are recorded: which, and those."""

    step: Step
    record: Recorded
    later: tuple[tuple[Step, Done], ...]


def built_over(state: UnitState, steps: tuple[Step, ...]) -> tuple[BuiltOver, ...]:
    """Return the struck steps that later ones were built upon, in the order of the route.

    A later step does not stand for one that was struck: somebody said that it was not done.
    """
    found = []
    for place, step in enumerate(steps if state.struck else ()):
        for record in state.struck:
            if record.step != step.name or bool(record.part) != step.each:
                continue
            piece = state.piece(record.part)
            if record.part and (piece is None or not piece.needed):
                continue
            pairs = [
                (one, piece.done.get(one.name) if one.each and piece else state.done.get(one.name))
                for one in steps[place + 1 :]
            ]
            later = tuple((one, done) for one, done in pairs if done is not None)
            if later:
                found.append(BuiltOver(step, record, later))
    return tuple(found)
