"""How a unit sits on a bevelled cleat: its pull on the cleat, and whether it stays hooked.

A free body of the unit, without friction: the bevel carries the load and pushes at right angles to
itself, a stop keeps the back off the wall, and the hung strip's back may bear above. Derived for
this tool and checked against a linear programme over the contact forces. x runs outward from the
panel's face, heights from the middle of the bevel's contact.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import radians, tan
from typing import Final

NEAR: Final = 1e-9  # one part in a thousand million is no difference; tan(45°) is not quite 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Hook:
    """Forces for one load, N: what pulls at the cleat, at the stop, at the strip's top.

    wedge is the pull the bevel alone makes; lock is what a pull-lock must hold, 0 where the unit
    hooks by itself.
    """

    pull: float
    wedge: float
    stop: float
    top: float
    lock: float

    @property
    def hooks(self) -> bool:
        """Say whether the unit stays on its cleat without a lock."""
        return self.lock == 0


def hook(
    load: float, *, out: float, contact: float, drop: float, above: float = 0.0, bevel: float = 45.0
) -> Hook:
    """Return the forces at bevel, stop and strip for a load in N.

    The pull is the larger of load times tan(bevel) and load times (out - contact) over drop. Where
    the second is larger no frictionless balance exists: the unit turns up the bevel and unhooks,
    unless a lock holds the difference. Friction is never counted: vibration, wax and paint take it
    away, and what it would hold (0.3 to 0.5 wood on wood) is from memory.

    Args:
        load: what hangs, self weight included.
        out: from the panel's face to the middle of the load, mm; not less than contact.
        contact: from the panel's face to the middle of the bevel, half the cleat, mm.
        drop: from the middle of the bevel down to the middle of the stop's bearing, mm, above 0.
        above: how far above the bevel the strip's back bears, mm; 0 where nobody knows (safe).
        bevel: angle of the bevel from level, degrees.

    Raises:
        ValueError: drop is not above 0, or the load hangs inside the bevel's middle.
    """
    if not drop > 0 or not out >= contact:
        raise ValueError("a stop lies below the bevel and a load outside it")
    wedge = load * tan(radians(bevel))
    turning = load * (out - contact)
    levered = turning / drop
    if levered > wedge * (1 + NEAR):
        return Hook(pull=levered, wedge=wedge, stop=levered, top=0.0, lock=levered - wedge)
    stop = (turning + wedge * above) / (drop + above)
    return Hook(pull=wedge, wedge=wedge, stop=stop, top=max(wedge - stop, 0.0), lock=0.0)


def least_drop(*, out: float, contact: float, bevel: float = 45.0) -> float:
    """Return how far the stop must lie below the bevel for the unit to hook by itself, mm.

    A longer back adds steadiness but takes no more off the pull.
    """
    return (out - contact) / tan(radians(bevel))
