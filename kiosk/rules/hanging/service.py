"""How long a load stays, how damp and how warm the wood is, and what that takes off a screw."""

from __future__ import annotations

from enum import StrEnum
from typing import Final

HOTTEST: Final = 65.0  # °C: 150 °F, where the table of temperature factors ends


class Duration(StrEnum):
    """How long a load stays in all."""

    PERMANENT = "permanent"
    TEN_YEARS = "ten_years"
    TWO_MONTHS = "two_months"
    SEVEN_DAYS = "seven_days"
    TEN_MINUTES = "ten_minutes"


# NDS 2018, table 2.3.2 (C_D), as transcribed by others
_STAYS: Final = {
    Duration.PERMANENT: 0.9,
    Duration.TEN_YEARS: 1.0,
    Duration.TWO_MONTHS: 1.15,
    Duration.SEVEN_DAYS: 1.25,
    Duration.TEN_MINUTES: 1.6,
}


def factor(duration: Duration, *, celsius: float = 25.0, is_damp: bool = False) -> float:
    """Return what a screw's values are multiplied by: C_D times C_M times C_t.

    NDS 2018, tables 2.3.2, 11.3.3 and 11.3.4, as transcribed by others: 0.7 where the wood is above
    19 % moisture in service; 0.8 above 100 °F (37.8 °C), 0.7 above 125 °F (51.7 °C), dry. Damp wood
    that is warm loses more: 0.7 and 0.5 (from memory). Stored goods are permanent.

    Raises:
        ValueError: hotter than 65 °C; no factor is known.
    """
    if not celsius <= HOTTEST:
        raise ValueError(f"no factor is known for {celsius} °C")
    warmth = 1.0
    if celsius > 51.6:
        warmth = 0.5 if is_damp else 0.7
    elif celsius > 37.7:
        warmth = 0.7 if is_damp else 0.8
    return _STAYS[duration] * warmth * (0.7 if is_damp else 1.0)
