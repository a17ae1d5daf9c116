"""Find what is left to do on a unit, so that what is done already is not bought again."""

from __future__ import annotations

from kiosk.rules.buying.model import Left
from kiosk.rules.fold import UnitState
from kiosk.rules.route import Step
from kiosk.rules.sheets.tasks import to_cut


def find_left(state: UnitState, steps: tuple[Step, ...], *, whole: bool) -> Left:
    """Return what is left to do on a unit.

    Args:
        state: the unit's.
        steps: of its route, those it needs.
        whole: as if nothing had been done yet.
    """
    pieces = tuple(one.piece for one in state.pieces if one.needed)
    of_unit = tuple(step for step in steps if not step.each)
    if whole:
        uncut = () if state.spec.kind == "wall" else pieces
        return Left(spec=state.spec, pieces=pieces, uncut=uncut, steps=of_unit)
    done = [place for place, step in enumerate(of_unit) if step.name in state.done]
    last = max(done, default=-1)
    left = tuple(
        step for place, step in enumerate(of_unit) if place > last or state.is_struck(step.name)
    )
    uncut = tuple(one.piece for one in to_cut((state,)))
    return Left(spec=state.spec, pieces=pieces, uncut=uncut, steps=left, is_edged=bool(done))
