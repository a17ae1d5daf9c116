"""Reckon what is expected on a unit from what people said of it."""

from __future__ import annotations

from kiosk.rules.hanging.fitting import Expected, Fitting
from kiosk.rules.hanging.loads import BY_KEY, expected_kg
from kiosk.rules.lengths import mm


def own_load(fitting: Fitting) -> float | None:
    """Return what is expected on a unit itself, kg; None where that cannot be reckoned."""
    found = loads_of(fitting)
    known = [one for one in found if one is not None]
    return sum(known) if known and len(known) == len(found) else None


def loads_of(fitting: Fitting) -> list[float | None]:
    """Return each thing expected on a unit, kg; an unknown use counts as general shelves.

    None of one that cannot be reckoned: for want of a size, or as it is below nothing.
    """
    return [_load(one, fitting) for one in fitting.expected]


def _load(one: Expected, fitting: Fitting) -> float | None:
    if one.kg is not None:
        return None if one.kg < 0 else one.kg
    length = fitting.width if one.length is None else one.length
    depth = fitting.depth if one.depth is None else one.depth
    if length is None or depth is None:
        return None
    return expected_kg(BY_KEY.get(one.use, BY_KEY["general"]), length=mm(length), depth=mm(depth))
