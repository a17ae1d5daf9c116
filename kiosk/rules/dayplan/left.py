"""Find the steps a unit still has to go through, and gather their works while they are made."""

from __future__ import annotations

from dataclasses import dataclass, field

from kiosk.rules.dayplan.model import Work
from kiosk.rules.fold import UnitState
from kiosk.rules.route import Step
from kiosk.rules.steps import missing_parts, next_step


@dataclass(frozen=True, slots=True)
class Left:
    """A step that is left, and for how many parts; 1 where the unit is worked on as one."""

    step: Step
    count: int = 1


@dataclass(slots=True)
class Drafted:
    """The works of a chain while it is made.

    ends tells by which work each step is over, leads the rests of what is done already that a later
    step waits for. notes are of this unit, bends say where a step is planned otherwise than it
    should be done. stopped says in words why the steps from one on are left out.
    """

    works: list[Work] = field(default_factory=list)
    titles: list[str] = field(default_factory=list)
    cautions: list[str] = field(default_factory=list)
    ends: dict[str, int] = field(default_factory=dict)
    notes: list[str] = field(default_factory=list)
    bends: list[str] = field(default_factory=list)
    stopped: str = ""


def steps_left(state: UnitState, steps: tuple[Step, ...]) -> tuple[Left, ...]:
    """Return the steps a unit still needs, in order, with the parts that lack them."""
    if next_step(state, steps) is None:
        return ()
    done = (place for place, step in enumerate(steps) if not step.each and step.name in state.done)
    last, found = max(done, default=-1), []
    for place, step in enumerate(steps):
        if step.each:
            if lacking := missing_parts(state, step, steps[place + 1 :]):
                found.append(Left(step, len(lacking)))
        elif place > last or state.is_struck(step.name):
            found.append(Left(step))
    return tuple(found)
