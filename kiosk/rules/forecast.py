"""Suppose what the air will be: the mean of the same hour of the last days."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from typing import Final

from kiosk.rules.dose import DAY_MS, HOUR_MS, Node, between

KNOWN_GAP_MS: Final = 3 * HOUR_MS  # between readings farther apart the air is uncertain (choice)
PROFILE_DAYS: Final = 7  # days the profile looks back (choice)


def profile(nodes: Sequence[Node]) -> list[tuple[float, float, None, None]]:
    """Return the mean air of each hour after the last reading over the last days, if all are known.

    Hours are counted back in whole days from the last reading, so that no change of the clocks
    shifts them. A value counts where the readings around it are at most three hours apart.
    """
    last = nodes[-1][0]
    hours: list[tuple[float, float, None, None]] = []
    for hour in range(1, 25):
        found = []
        for day in range(1, PROFILE_DAYS + 1):
            at = last + hour * HOUR_MS - day * DAY_MS
            place = bisect_left(nodes, (at,))
            if at < nodes[0][0] or place >= len(nodes):
                continue
            before, after = nodes[max(place - 1, 0)], nodes[place]
            if after[0] - before[0] <= KNOWN_GAP_MS:
                span = after[0] - before[0]
                found.append(between(before, after, (at - before[0]) / span if span else 1.0))
        if not found:
            return []
        mean_c = sum(node[1] for node in found) / len(found)
        hours.append((mean_c, sum(node[2] for node in found) / len(found), None, None))
    return hours
