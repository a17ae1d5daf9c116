"""Sizes of screens and distances to them, as steps through the common ones."""

from __future__ import annotations

from typing import Final

# Diagonals that screens are made in, and distances people stand at: common practice, no source.
# Any other figure is set at the page about this screen, against a tape measure.
DIAGONALS_IN: Final = (
    *(5.0, 7.0, 8.0, 10.1, 11.6, 12.5, 13.3, 14.0, 15.6, 17.3, 21.5, 23.8, 27.0),
    *(32.0, 40.0, 43.0, 50.0, 55.0, 65.0, 75.0, 86.0, 98.0, 110.0, 120.0),
)
DISTANCES_M: Final = (0.3, 0.4, 0.5, 0.6, 0.8, 1, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10, 12, 15)
BENCH: Final = (10.1, 0.6)  # a small touch screen at arm's length (choice)
NEXT: Final = 0.001  # a step so small that it leads to the very next one


def step_along(common: tuple[float, ...], value: float, by: float) -> float:
    """Return the common figure nearest to `value + by`, and always beyond `value`.

    Args:
        common: the figures, rising.
        value: where the step begins, not necessarily one of them.
        by: how far and which way; 0 stays. At the end there is no further one.
    """
    beyond = [one for one in common if (one > value if by > 0 else one < value)]
    if not by or not beyond:
        return value
    return min(beyond, key=lambda one: abs(one - value - by))
