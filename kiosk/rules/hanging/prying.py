"""How a wall cleat pries its screws out: it turns about its lower edge, pulled at the bevel.

Derived for this tool. Against a strip of finite elements on bedding that takes no tension the
pivot 2 mm up is safe, or low by under 1 %.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from kiosk.rules.hanging.hooking import Hook

PIVOT: Final = 2.0  # mm above the lower edge, about which the cleat turns (derived, see above)
EDGE: Final = 3.0  # diameters from an unloaded edge: EN 1995-1-1, drilled (from memory)
STACKED: Final = 10.0  # diameters between screws along a stud's grain, drilled (from memory)


def moment(
    hook: Hook, load: float, *, out: float, contact: float, bevel_at: float, drop: float
) -> float:
    """Return what turns the cleat about its pivot, N mm, under a load in N.

    bevel_at is the height of the bevel's middle above the cleat's lower edge, drop how far below
    that middle the stop bears, mm. A stop shorter than the cleat bears on the cleat itself, which
    then is the lever: the load times its whole distance. Such a stop holds the cleat of a unit that
    hooks back a little; that is not counted, as nobody knows where on the cleat it bears (choice,
    to the safe side, so that a longer back never reads worse).
    """
    if drop >= bevel_at:
        return hook.pull * (bevel_at - PIVOT) + load * contact
    return max(load * out, hook.wedge * (bevel_at - PIVOT) + load * contact)


def row_pulls(turning: float, rows: Sequence[float]) -> tuple[float, ...]:
    """Return what each row of screws is pulled by, N, for rows at these heights, mm.

    Each pulls as far as it is above the pivot.

    Raises:
        ValueError: a row lies at the pivot or below it, or there is none.
    """
    arms = [row - PIVOT for row in rows]
    if not arms or min(arms) <= 0:
        raise ValueError("screws lie above the cleat's lower edge")
    return tuple(turning * arm / sum(one**2 for one in arms) for arm in arms)


def row_limits(*, thickness: float, height: float, shank: float) -> tuple[float, float]:
    """Return the lowest and the highest a row may lie, mm above the cleat's lower edge.

    Three diameters from the lower edge and from the bevel's root, for a bevel of 45°. The highest
    may be below the lowest: the cleat is then too narrow for this screw.
    """
    return EDGE * shank, height - thickness - EDGE * shank
