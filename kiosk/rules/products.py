"""Hold what a shop knows of a glue, filler or coat: its label's figures, and for which air."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from kiosk.rules.rates import Law, Rate
from kiosk.rules.stages import FILLER_POWER, LATE_COAT, LATE_FACTOR, STAGES, THINNEST

ROLES = ("glue", "filler", "coat")
ACTIONS = ("none", "scuff", "wait")


@dataclass(frozen=True, slots=True)
class Entered:
    """Who entered a figure from the label, and on which day (ISO date)."""

    by: str
    on: str


@dataclass(frozen=True, slots=True)
class Interval:
    """One stretch of a recoat window, in minutes from the coat, and what the next coat needs in it.

    closes is None where it stays so. action is none (coat it), scuff (scuff first) or wait.
    """

    opens: float
    closes: float | None
    action: str


@dataclass(frozen=True, slots=True)
class Product:
    """One glue, filler or coat with its label's figures.

    minutes maps a stage to minutes at the reference air (temperature_c in °C, humidity in %).
    early, late and close are the laws its stages run by, energy_kj their activation energy in
    kJ/mol. least_c, most_humidity and dew_margin_c are the limits beyond which it must not dry.
    coverage_m2_l is the spreading rate the figures are for and own_coverage_m2_l the shop's own,
    depth_mm and own_depth_mm the same of a filler's depth; solids in % by volume. windows replace
    the plain window where a label has more than one. factors is what the shop has accepted from its
    own findings, by stage. entered says of each stage who read it off the label and when; seed is
    False where all are confirmed. hazards are keys of kiosk.rules.cautions, caution the label's own
    words.
    """

    key: str
    title: str
    role: str
    minutes: Mapping[str, float]
    temperature_c: float = 23.0
    humidity: float = 50.0
    early: Law = Law.EVAP
    late: Law = Law.BOND
    close: Law = Law.ARRHENIUS
    energy_kj: float = 50.0
    least_c: float | None = None
    most_humidity: float | None = None
    dew_margin_c: float | None = None
    coverage_m2_l: float | None = None
    own_coverage_m2_l: float | None = None
    solids: float | None = None
    depth_mm: float | None = None
    own_depth_mm: float | None = None
    windows: tuple[Interval, ...] = ()
    factors: Mapping[str, float] = field(default_factory=dict)
    entered: Mapping[str, Entered] = field(default_factory=dict)
    seed: bool = True
    source: str = ""
    hazards: tuple[str, ...] = ()
    caution: str = ""

    def stage(self, name: str) -> float | None:
        """Return the label's minutes of a stage, or None where the product has no such stage."""
        return self.minutes.get(name)

    def is_seed(self, stage: str) -> bool:
        """Tell whether nobody has read this figure off a label yet."""
        return self.seed and stage not in self.entered

    @property
    def unconfirmed(self) -> tuple[str, ...]:
        """Return the stages whose figures nobody has read off a label yet."""
        return tuple(stage for stage in self.minutes if self.is_seed(stage))

    @property
    def film(self) -> float:
        """Return how thick the shop puts it on against the label, 0.7 at least."""
        if self.depth_mm and self.own_depth_mm:
            ratio = self.own_depth_mm / self.depth_mm
        elif self.coverage_m2_l and self.own_coverage_m2_l:
            ratio = self.coverage_m2_l / self.own_coverage_m2_l
        else:
            ratio = 1.0
        return max(ratio, THINNEST)

    @property
    def wet_um(self) -> float | None:
        """Return the wet film's thickness in µm as the shop spreads it, None where not known."""
        spread = self.own_coverage_m2_l or self.coverage_m2_l
        return 1000 / spread if spread else None

    def rate(self, pace: str) -> Rate:
        """Return the rate of a pace (early, late or close) with this product's air and limits."""
        law = {"early": self.early, "late": self.late, "close": self.close}[pace]
        return Rate(
            law,
            self.temperature_c,
            self.humidity,
            self.energy_kj,
            self.least_c,
            self.most_humidity,
            self.dew_margin_c,
        )

    def target(self, stage: str, minutes: float, *, coat: int = 1) -> float:
        """Return the equivalent minutes a stage takes for this film, coat and shop.

        Args:
            stage: a stage's name; it says how thickness and coat number count.
            minutes: the label's.
            coat: which coat it is, from 1.
        """
        how = STAGES[stage]
        if how.closes:
            return minutes  # never put off
        power = FILLER_POWER if self.role == "filler" else how.power
        target: float = minutes * self.film**power * self.factors.get(stage, 1.0)
        return target * LATE_FACTOR if how.builds and coat >= LATE_COAT else target
