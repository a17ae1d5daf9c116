"""Work out what the air's temperature and humidity mean: vapour, dew point, wood moisture.

Vapour pressure after Magnus with the constants of the WMO guide (WMO-No. 8, Annex 4.B), over
water, -45 to 60 °C. Wood moisture after Hailwood and Horrobin as in the USDA Wood Handbook
(FPL-GTR-190, chapter 4), constants in °C from Simpson (FPL-RN-0268, 1998).
"""

from __future__ import annotations

from math import exp, log, sqrt
from typing import Final

_A, _B, _C = 611.2, 17.62, 243.12
LEAST_HUMIDITY: Final = 1.0  # below it the dew point runs away; no shop is drier


def saturation_pa(temperature_c: float) -> float:
    """Return the saturation vapour pressure over water in Pa."""
    return _A * exp(_B * temperature_c / (_C + temperature_c))


def deficit_pa(temperature_c: float, humidity: float, *, surface_c: float | None = None) -> float:
    """Return the vapour pressure deficit in Pa, never below 0.

    Args:
        temperature_c: of the air.
        humidity: relative, 0 to 100 %.
        surface_c: of the wet surface where it was measured; the air's stands for it otherwise.
    """
    at_surface = temperature_c if surface_c is None else surface_c
    deficit = saturation_pa(at_surface) - saturation_pa(temperature_c) * humidity / 100
    return max(0.0, deficit)


def dew_point_c(temperature_c: float, humidity: float) -> float:
    """Return the dew point over water in °C; humidity is taken as 1 to 100 %."""
    share = min(max(humidity, LEAST_HUMIDITY), 100.0) / 100
    g = log(share) + _B * temperature_c / (_C + temperature_c)
    return _C * g / (_B - g)


def wood_moisture(temperature_c: float, humidity: float) -> float:
    """Return the moisture solid wood settles at, in % of its dry mass.

    Plywood usually lies 1 to 2 % lower, and thick stock takes weeks (common practice, no source).
    """
    t, h = temperature_c, min(max(humidity, 0.0), 100.0) / 100
    w = 349 + 1.29 * t + 0.0135 * t**2
    k = 0.805 + 0.000736 * t - 0.00000273 * t**2
    k1 = 6.27 - 0.00938 * t - 0.000303 * t**2
    k2 = 1.91 + 0.0407 * t - 0.000293 * t**2
    kh = k * h
    hydrated = (k1 * kh + 2 * k1 * k2 * kh**2) / (1 + k1 * kh + k1 * k2 * kh**2)
    return 1800 / w * (kh / (1 - kh) + hydrated)


def root_dryness(humidity: float, reference: float) -> float:
    """Return the square root of how much drier the air is than the reference, both in %."""
    return sqrt(max(0.0, 100 - humidity) / (100 - reference))
