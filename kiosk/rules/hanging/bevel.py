"""What the bevel of a cleat bears over the length that really touches.

Derived for this tool for 45°: the root of the tip is bent, sheared and pressed. Allowable stresses
are from memory; a panel's data sheet goes before them.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from kiosk.rules.hanging.inches import psi
from kiosk.rules.hanging.kinds import Board

# MPa, all from memory. Tension across the grain of lumber: f_t,90,k 0.4 times 0.60 over 1.3, as
# EN 1995-1-1 for permanent loads; the NDS names none and asks designers to avoid it.
LUMBER_TENSION: Final = 0.4 * 0.60 / 1.3
# a cleat bent between studs, face grain along it: a quarter of plywood's lowest published rupture
# strength (choice); at the tip it is bent across the grain, which counts a third (choice)
BENDING: Final = 34.0 / 4
PLYWOOD_TENSION: Final = BENDING / 3
ROLLING_SHEAR: Final = psi(53) * 0.9  # APA allowable, permanent load
BEARING: Final = 2.2 * 0.60 / 1.3  # f_c,90,k of softwood, as above


@dataclass(frozen=True, slots=True, kw_only=True)
class Stress:
    """Stresses at the bevel, MPa: tension at the tip's root, shear through it, pressure."""

    tension: float
    shear: float
    bearing: float


def stress(pull: float, load: float, *, length: float, thickness: float) -> Stress:
    """Return the stresses for a pull and a load in N over a touching length in mm."""
    face = length * thickness
    return Stress(tension=3 * pull / face, shear=1.5 * pull / face, bearing=load / face)


def tip_strength(board: Board) -> float:
    """Return the allowable tension at the tip's root, MPa; what is no plywood counts as lumber."""
    return PLYWOOD_TENSION if board is Board.PLYWOOD else LUMBER_TENSION


def most(board: Board, *, pull_share: float, length: float, thickness: float) -> float:
    """Return the most load, N, that the bevel bears; pull_share is the pull of a load of 1."""
    one = stress(pull_share, 1.0, length=length, thickness=thickness)
    return min(tip_strength(board) / one.tension, ROLLING_SHEAR / one.shear, BEARING / one.bearing)


def most_between(
    pull_share: float, *, length: float, height: float, thickness: float, free: float
) -> float:
    """Return the most load, N, that bends the cleat outward between studs no more than allowed.

    The pull is spread over the touching length; free is the longest stretch between two screws, or
    past the last one counted twice, mm. The grain runs along the cleat.
    """
    bending = pull_share / length * free**2 / 8
    return BENDING * (height * thickness**2 / 6) / bending
