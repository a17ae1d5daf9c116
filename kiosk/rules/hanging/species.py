"""The density of studs: specific gravity by species as it stands on grade stamps.

Assigned gravities (oven-dry) of the NDS 2018, table 12.3.3A, as transcribed by others; those
marked so are from memory. Species lighter than an unknown stud are left out on purpose: whoever
has such studs must enter their gravity.
"""

from __future__ import annotations

from typing import Final

UNKNOWN_GRAVITY: Final = 0.36  # the lightest common framing lumber, spruce-pine-fir (south)
LIGHTEST: Final = 0.31  # NDS 2018, 12.2: withdrawal formula holds from here
DENSEST: Final = 0.73  # and to here
PLYWOOD_GRAVITY: Final = 0.42  # NDS 2018, table 12.3.3B: plywood of no special grade

GRAVITIES: Final[dict[str, float]] = {
    "SPF": 0.42,
    "SPF-South": 0.36,
    "Hem-Fir": 0.43,
    "Hem-Fir (North)": 0.46,  # from memory
    "Douglas Fir-Larch": 0.50,
    "Douglas Fir-Larch (North)": 0.49,  # from memory
    "Southern Pine": 0.55,
}


def stud_gravity(species: str, *, measured: float | None = None) -> float:
    """Return the specific gravity to reckon with; that of unknown studs for a name not known.

    A measured gravity goes before the name, whatever it is; `refusing` refuses one out of range.
    """
    if measured is not None:
        return measured
    return GRAVITIES.get(species, UNKNOWN_GRAVITY)
