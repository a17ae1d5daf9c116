"""Hold what a shop works with: routes, products, its zone and its air."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime, tzinfo

from kiosk.rules.air import NO_AIR, Air
from kiosk.rules.cautions import say_cautions
from kiosk.rules.drying import Clock, run_clock
from kiosk.rules.parts import UnitSpec
from kiosk.rules.products import Product
from kiosk.rules.route import Route, Step, steps_for


@dataclass(frozen=True, slots=True)
class Setup:
    """What a shop works with.

    routes by kind, products by key, uses: which product a use means. airs: the shop's air under ''
    and each site's under its job's code. fahrenheit tells how temperatures are said.
    """

    routes: Mapping[str, Route]
    products: Mapping[str, Product]
    uses: Mapping[str, str]
    zone: tzinfo
    airs: Mapping[str, Air] = field(default_factory=dict)
    fahrenheit: bool = False

    def steps(self, spec: UnitSpec) -> tuple[Step, ...]:
        """Return the steps a unit goes through."""
        return steps_for(self.routes[spec.kind], spec)

    def product(self, step: Step, spec: UnitSpec) -> Product | None:
        """Return the product a step uses on a unit, or None where none is known."""
        key = spec.finish if step.uses == "finish" else self.uses.get(step.uses, "")
        return self.products.get(key)

    def air(self, step: Step, spec: UnitSpec) -> Air:
        """Return the air that what a step put on rests in: the site's for work done there."""
        return self.airs.get(spec.job if step.station == "install" else "", NO_AIR)

    def clock(self, step: Step, spec: UnitSpec, stage: str, started: datetime) -> Clock | None:
        """Return the clock of a stage of what a step put on, None where no figure is known."""
        product = self.product(step, spec)
        if product is None:
            return None
        coat = max(1, step.number)
        return run_clock(product, stage, started, air=self.air(step, spec), coat=coat)

    def caution(self, step: Step, spec: UnitSpec) -> str:
        """Return the usual cautions of a step and of what it uses."""
        product = self.product(step, spec) if step.uses else None
        hazards = (*step.hazards, *(product.hazards if product else ()))
        return say_cautions(hazards, product.caution if product else "")
