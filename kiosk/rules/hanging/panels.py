"""Fit two panels into a bay: clearances, and the seam between them on a stud."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from kiosk.rules.lengths import Length, from_mm

CLEARANCE: Final = from_mm(3)  # at each side and in the seam (common practice, no source)
PANEL_EDGE: Final = 10.0  # mm from a panel's edge to a screw at least (choice)
STUD_EDGE: Final = 2.5  # diameters from a stud's edge: NDS commentary, C12.1.5.7 (from memory)


@dataclass(frozen=True, slots=True, kw_only=True)
class Panels:
    """Two panels of a bay: their widths, and where the middle of the seam lies from its left end.

    stud is the one the seam lies on, None where there is none it can lie on.
    """

    left: Length
    right: Length
    seam: Length
    stud: Length | None


def two_panels(
    width: Length,
    studs: Sequence[Length],
    *,
    widest: Length,
    clearance: Length = CLEARANCE,
) -> Panels | None:
    """Return two panels with the seam on the stud nearest to the bay's middle.

    All lengths run from the bay's left end. Each panel is at most as wide as widest, the sheet;
    clearance stays free at both ends and in the seam. Without a stud for the seam both are as wide
    as can be; an odd 1/1600 mm goes to the left one. None where two panels cannot fill the bay.
    """
    together = width - 3 * clearance
    if together < 2 or together > 2 * widest:
        return None
    equal = Length(together - together // 2)
    plain = _panels(equal, together, clearance, None)

    def left(stud: Length) -> Length:
        return Length(stud - clearance - clearance // 2)

    fitting = [
        stud for stud in studs if 0 < left(stud) <= widest and 0 < together - left(stud) <= widest
    ]
    if not fitting:
        return plain
    stud = min(fitting, key=lambda one: (abs(one - plain.seam), one))
    return _panels(left(stud), together, clearance, stud)


def _panels(left: Length, together: int, clearance: Length, stud: Length | None) -> Panels:
    return Panels(
        left=left,
        right=Length(together - left),
        seam=Length(left + clearance + clearance // 2),
        stud=stud,
    )


def bears(seam: Length, stud: Length, *, stud_width: Length) -> bool:
    """Say whether a seam's middle lies on a stud at all."""
    return 2 * abs(seam - stud) <= stud_width
