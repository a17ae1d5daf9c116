"""Say how fast a film or a joint gets on in some air, and what holds it.

Five rate laws; each gives 1 at the label's own air. Their sources, and which parts are choices, are
in docs/drying.md, "Rate laws".
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from math import exp, sqrt
from typing import Final

from kiosk.rules.vapour import deficit_pa, dew_point_c, root_dryness, saturation_pa

GAS: Final = 8.314462618  # J/mol/K, CODATA 2018
KELVIN: Final = 273.15
# Air speed against the 0.1 m/s of a still room: the pool formula's wind function (choice).
_STILL, _WIND, _ROOM = 0.089, 0.0782, 0.0968
DRIEST, DAMPEST = 20.0, 90.0  # moisture cure counts humidity between these (choice)
OIL_SLOWS, OIL_HALVED = 65.0, 90.0  # % where damp begins to slow oils, and halves (choice)

Speed = Callable[[float, float, float | None, float | None], float]


class Law(StrEnum):
    """The rate laws: how warmth and damp set the pace."""

    EVAP = "evap"
    BOND = "bond"
    ARRHENIUS = "arrhenius"
    MOIST = "moist"
    OXID = "oxid"


class Gate(StrEnum):
    """What holds a clock: too cold to form a film, too damp, or too near the dew point."""

    COLD = "cold"
    DAMP = "damp"
    DEW = "dew"


@dataclass(frozen=True, slots=True)
class Rate:
    """A rate law with its reference air and the limits beyond which nothing moves.

    reference_c and reference_humidity are the label's own air (°C, %), energy_kj the activation
    energy in kJ/mol of the laws that use one. least_c, most_humidity and dew_margin_c are the
    limits in °C, % and °C above the dew point, None where there is none.
    """

    law: Law
    reference_c: float = 23.0
    reference_humidity: float = 50.0
    energy_kj: float = 50.0
    least_c: float | None = None
    most_humidity: float | None = None
    dew_margin_c: float | None = None

    def held(self, temperature_c: float, humidity: float, surface_c: float | None) -> Gate | None:
        """Return what holds the clock in this air, None where nothing does.

        The surface is taken to be as warm as the air where it was not measured.
        """
        surface = temperature_c if surface_c is None else surface_c
        if self.least_c is not None and surface < self.least_c:
            return Gate.COLD
        if self.most_humidity is not None and humidity > self.most_humidity:
            return Gate.DAMP
        if self.dew_margin_c is not None:
            margin = surface - dew_point_c(temperature_c, humidity)
            return Gate.DEW if margin < self.dew_margin_c else None
        return None

    def speed(
        self,
        temperature_c: float,
        humidity: float,
        surface_c: float | None = None,
        speed_m_s: float | None = None,
    ) -> float:
        """Return the pace in this air, 1 at the reference air, whatever the gates say."""
        return speed_of(self)(temperature_c, humidity, surface_c, speed_m_s)


def speed_of(rate: Rate) -> Speed:
    """Return a rate's law as a function of temperature, humidity, surface and air speed."""
    reference_k = rate.reference_c + KELVIN
    factor = rate.energy_kj * 1000 / GAS
    warm, damp = rate.reference_c, rate.reference_humidity

    def arrhenius(t: float) -> float:
        return exp(factor * (1 / reference_k - 1 / (t + KELVIN)))

    def evap(t: float, rh: float, surface: float | None, wind: float | None) -> float:
        pace = deficit_pa(t, rh, surface_c=surface) / deficit_pa(warm, damp)
        return pace if wind is None else pace * (_STILL + _WIND * wind) / _ROOM

    def bond(t: float, rh: float, _surface: float | None, _wind: float | None) -> float:
        return saturation_pa(t) / saturation_pa(warm) * root_dryness(rh, damp)

    def plain(t: float, _rh: float, _surface: float | None, _wind: float | None) -> float:
        return arrhenius(t)

    def moist(t: float, rh: float, _surface: float | None, _wind: float | None) -> float:
        return arrhenius(t) * sqrt(min(max(rh, DRIEST), DAMPEST) / damp)

    def oxid(t: float, rh: float, _surface: float | None, _wind: float | None) -> float:
        return arrhenius(t) * _oil(rh) / _oil(damp)

    return {
        Law.EVAP: evap,
        Law.BOND: bond,
        Law.ARRHENIUS: plain,
        Law.MOIST: moist,
        Law.OXID: oxid,
    }[rate.law]


def _oil(humidity: float) -> float:
    """Return how damp slows an oil: 1 up to 65 %, half at 90 % and beyond."""
    over = (humidity - OIL_SLOWS) / (OIL_HALVED - OIL_SLOWS)
    return 1 - 0.5 * min(max(over, 0.0), 1.0)
