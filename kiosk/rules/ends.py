"""Say when what was put on a unit reaches each stage, and when the unit may be used."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Final

from kiosk.rules.clockwords import Look, look_at
from kiosk.rules.drying import Clock
from kiosk.rules.fold import UnitState
from kiosk.rules.products import Product
from kiosk.rules.route import Step
from kiosk.rules.setup import Setup

# What a client asks of a finish; a label without a figure for wiping is taken to mean its loading.
USES_OF_FINISH: Final[Mapping[str, tuple[str, ...]]] = {
    "hang": ("hang",),
    "stack": ("stack",),
    "load": ("load",),
    "wipe": ("wipe", "load"),
}


@dataclass(frozen=True, slots=True)
class Reached:
    """One stage of what a step put on a unit: its clock, how it stands, whether it is a seed's."""

    step: Step
    product: Product
    clock: Clock
    look: Look
    seed: bool

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
    """Return every stage of everything put on a unit, in the order of its steps."""
    found = []
    for step in setup.steps(state.spec):
        done = state.done.get(step.name) if step.uses else None
        product = setup.product(step, state.spec) if done else None
        if done is None or product is None:
            continue
        for stage in product.minutes:
            clock = setup.clock(step, state.spec, stage, done.at)
            assert clock is not None  # the product has the stage
            look = look_at(clock, now=now, fahrenheit=setup.fahrenheit)
            found.append(Reached(step, product, clock, look, product.is_seed(stage)))
    return tuple(found)


def ends_of(state: UnitState, setup: Setup, *, now: datetime) -> Ends:
    """Return from when a unit may be used: when the last of its last coats allows it."""
    spec = state.spec
    coats = [step for step in setup.steps(spec) if step.uses in ("finish", "stripe", "wall_paint")]
    last = {step.uses: step for step in coats}
    at: dict[str, datetime] = {}
    why: dict[str, str] = {}
    estimated, seeds = False, set()
    for use, stages in USES_OF_FINISH.items():
        times = []
        for step in last.values():
            product, done = setup.product(step, spec), state.done.get(step.name)
            stage = next((one for one in stages if product and one in product.minutes), "")
            if done is None:
                why[use] = f"{step.title} is not on yet"
            elif product is None or not stage:
                why[use] = "no figure on the label"
            else:
                clock = setup.clock(step, spec, stage, done.at)
                if clock is None or clock.expected is None:
                    why[use] = "not in sight in this air"
                else:
                    times.append(clock.expected)
                    look = look_at(clock, now=now)
                    estimated = estimated or (look.estimated and not clock.is_over(now))
                if product.is_seed(stage):
                    seeds.add(product.title)
        if not last:
            why[use] = "no finish"
        if use not in why:
            at[use] = max(times)
    return Ends(spec.unit, spec.name, at, why, estimated, tuple(sorted(seeds)))
