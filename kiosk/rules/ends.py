"""Say when what was put on a unit reaches each stage, and when the unit may be used."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Final

from kiosk.rules.clockwords import Look, look_at
from kiosk.rules.drying import AT_RISK, Clock, Risk
from kiosk.rules.fold import UnitState
from kiosk.rules.harm import harms
from kiosk.rules.products import Product
from kiosk.rules.route import Step
from kiosk.rules.setup import Setup
from kiosk.rules.steps import built_over
from kiosk.rules.words import _, join, say

# What a client asks of a finish; a label without a figure for wiping is taken to mean its loading.
USES_OF_FINISH: Final[Mapping[str, tuple[str, ...]]] = {
    "hang": ("hang",),
    "stack": ("stack",),
    "load": ("load",),
    "wipe": ("wipe", "load"),
}


# What is always of use to know, and what a unit's use waits for.
ALWAYS: Final = ("touch", "clamp", "handling", "full")
LASTING: Final = ("hang", "stack", "load", "wipe")  # of the last coat only
ENDING: Final = ("glue", "finish", "stripe", "wall_paint")


@dataclass(frozen=True, slots=True)
class Reached:
    """One stage of what a step put on a unit: its clock, how it stands, whether it is a seed's.

    risk is what the air may have done to it for good.
    """

    step: Step
    product: Product
    clock: Clock
    look: Look
    seed: bool
    risk: Risk | None = None

    @property
    def stage(self) -> str:
        """Return the stage's name."""
        return self.clock.stage


@dataclass(frozen=True, slots=True)
class Ends:
    """From when a finished unit may be hung, stacked, loaded and wiped.

    A use is missing from `at` while a coat is still to come or its end is not in sight, or where a
    label has no figure for it; `why` says which. estimated: an end lies after the last reading.
    seeds are the titles of products with figures nobody read off a label.
    """

    unit: str
    name: str
    at: Mapping[str, datetime] = field(default_factory=dict)
    why: Mapping[str, str] = field(default_factory=dict)
    estimated: bool = False
    seeds: tuple[str, ...] = ()


def reached(state: UnitState, setup: Setup, *, now: datetime) -> tuple[Reached, ...]:
    """Return the stages that matter of what was put on a unit, in the order of its steps.

    Of what has another coat over it, and of stages that no step of the unit waits for or closes by,
    nothing is said, but for the ends of its use.
    """
    steps, found = setup.steps(state.spec), []
    last = {step.uses: step.name for step in steps if step.uses and step.name in state.done}
    final = {step.uses: step.name for step in steps if step.uses}
    harmed = harms(state, setup, now=now)
    asked = {(wait.after, wait.stage) for step in steps for wait in (*step.waits, *step.closes)}
    for step in steps:
        done = state.done.get(step.name) if step.uses else None
        product = setup.product(step, state.spec) if done else None
        if done is None or product is None or step.name != last[step.uses]:
            continue
        for stage in product.minutes:
            of_use = stage in LASTING and step.name != final[step.uses]
            if of_use or (stage not in (*ALWAYS, *LASTING) and (step.name, stage) not in asked):
                continue
            clock = setup.clock(step, state.spec, stage, done.at)
            assert clock is not None  # the product has the stage
            look = look_at(clock, now=now, fahrenheit=setup.fahrenheit)
            harm = next((one for at, one in harmed if at.name == step.name), None)
            found.append(Reached(step, product, clock, look, product.is_seed(stage), harm))
    return tuple(found)


def ends_of(state: UnitState, setup: Setup, *, now: datetime) -> Ends:
    """Return from when a unit may be used: when its glue and the last of its coats allow it.

    No date is given for a unit on hold, nor where the air may have kept a film from forming.
    """
    spec = state.spec
    last = {step.uses: step for step in setup.steps(spec) if step.uses in ENDING}
    if state.holds or state.gone or built_over(state, setup.steps(spec)):
        return Ends(spec.unit, spec.name, why=dict.fromkeys(USES_OF_FINISH, _("on hold")))
    at_risk = [step.title for step, risk in harms(state, setup, now=now) if risk.level == AT_RISK]
    if at_risk:
        first = say("{coats} to be tested first", coats=join(at_risk, _(" and ")))
        return Ends(spec.unit, spec.name, why=dict.fromkeys(USES_OF_FINISH, first))
    at: dict[str, datetime] = {}
    why: dict[str, str] = {} if last else dict.fromkeys(USES_OF_FINISH, _("no finish"))
    estimated, seeds = False, set()
    for use, stages in USES_OF_FINISH.items():
        for step in last.values():
            wanted = ("full",) if step.uses == "glue" else stages
            end, words, seed = _end(state, setup, step, wanted, now)
            if end is None:
                why[use] = words
            else:
                at[use] = max(end.clock.expected or now, at.get(use, end.clock.started))
                estimated = estimated or (end.look.estimated and not end.clock.is_over(now))
            seeds |= {seed} - {""}
    known = {use: when for use, when in at.items() if use not in why}
    return Ends(spec.unit, spec.name, known, why, estimated, tuple(sorted(seeds)))


def _end(
    state: UnitState, setup: Setup, step: Step, stages: tuple[str, ...], now: datetime
) -> tuple[Reached | None, str, str]:
    """Return the stage a use waits for, or why nobody can say; and whose figure is a seed's."""
    product, done = setup.product(step, state.spec), state.done.get(step.name)
    stage = next((one for one in stages if product and one in product.minutes), "")
    if done is None:
        if step.uses == "glue":
            return None, say("{step} is not done yet", step=step.title), ""
        return None, say("{step} is not on yet", step=step.title), ""
    if product is None or not stage:
        return None, _("no figure on the label"), ""
    seed = product.title if product.is_seed(stage) else ""
    clock = setup.clock(step, state.spec, stage, done.at)
    if clock is None or clock.expected is None:
        return None, _("not in sight in this air"), seed
    look = look_at(clock, now=now, fahrenheit=setup.fahrenheit)
    return Reached(step, product, clock, look, product.is_seed(stage)), "", seed
