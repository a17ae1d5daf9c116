"""Find what is left to do on a unit, so that what is done already is not bought again."""

from __future__ import annotations

from kiosk.rules.buying.model import Left
from kiosk.rules.fold import UnitState
from kiosk.rules.parts import Piece
from kiosk.rules.route import Step
from kiosk.rules.steps import missing_parts


def find_left(state: UnitState, steps: tuple[Step, ...], *, whole: bool) -> Left:
    """Return what is left to do on a unit.

    Args:
        state: the unit's.
        steps: of its route, those it needs.
        whole: as if nothing had been done yet.
    """
    pieces = tuple(one.piece for one in state.pieces if one.needed)
    of_unit = tuple(step for step in steps if not step.each)
    makes = any(_cuts(step) for step in steps)
    if whole:
        uncut = pieces if makes else ()
        return Left(spec=state.spec, pieces=pieces, uncut=uncut, steps=of_unit, is_edged=not makes)
    done = [place for place, step in enumerate(of_unit) if step.name in state.done]
    last = max(done, default=-1)
    left = tuple(
        step for place, step in enumerate(of_unit) if place > last or state.is_struck(step.name)
    )
    uncut = _uncut(state, steps)
    edged = bool(done) or not makes
    return Left(spec=state.spec, pieces=pieces, uncut=uncut, steps=left, is_edged=edged)


def _cuts(step: Step) -> bool:
    """Tell whether parts are cut at a step; a route without one makes no parts."""
    return step.each and step.station == "cut"


def _uncut(state: UnitState, steps: tuple[Step, ...]) -> tuple[Piece, ...]:
    for place, step in enumerate(steps):
        if _cuts(step):
            return tuple(one.piece for one in missing_parts(state, step, steps[place + 1 :]))
    return ()
