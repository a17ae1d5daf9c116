"""What a screw holds against pull: its thread in the stud, its head in the cleat, its steel.

All values are allowable loads of normal duration (ten years), before `service` factors.
"""

from __future__ import annotations

from math import pi
from typing import Final

from kiosk.rules.hanging.inches import psi
from kiosk.rules.hanging.kinds import Head

# What is left of pull-through under a countersunk head. Research behind the rule took a third of
# the head's depth off, others 20 to 40 % (as transcribed by others): the most of it (choice).
COUNTERSUNK: Final = 0.6
# Allowable tension in the steel at the root, as a share of its bending yield strength. The code
# asks for this check and leaves the value to the maker; this one is a choice, to the safe side.
STEEL_SHARE: Final = 0.3
WIDEST: Final = 20.0  # mm of a head or washer that count; wider ones bend (choice)


def withdrawal(gravity: float, shank: float) -> float:
    """Return what a mm of thread holds in side grain, N/mm, by the shank in mm.

    W = 2850 G² D: NDS 2018, equation 12.2-2, as transcribed by others and in two open handbooks.
    Holds for G 0.31 to 0.73 and No. 6 to 24; never in end grain.
    """
    return psi(2850) * gravity**2 * shank


def pull_through(gravity: float, head: float, *, thickness: float, shape: Head) -> float:
    """Return what a head holds in a cleat of this gravity and thickness, N; head across in mm.

    NDS 2018, 12.2.5, as transcribed by others: 690 pi D G² t up to t = 2.5 D, then 1725 pi D² G².
    A countersunk head counts 60 % of it (choice, see above).
    """
    share = COUNTERSUNK if shape is Head.COUNTERSUNK else 1.0
    across = min(head, WIDEST)
    return share * psi(690) * pi * across * gravity**2 * min(thickness, 2.5 * across)


def steel(root: float, bending: float) -> float:
    """Return the allowable tension of a screw's steel at its root, N; root in mm, bending in MPa.

    The share of the strength is a choice.
    """
    return STEEL_SHARE * bending * pi * root**2 / 4
