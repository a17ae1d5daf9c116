"""Hybrid logical time: values in, values out (Kulkarni, Demirbas and others, OPODIS 2014)."""

from __future__ import annotations

from typing import TypeAlias

Hybrid: TypeAlias = tuple[int, int]
"""Milliseconds since 1970 UTC, and a counter within them."""

# Times of other kiosks further ahead than this are not followed: one wrong clock must not drag all
# along (CockroachDB and others cap hybrid logical time the same way). Choice.
AHEAD_MS = 60_000


def horizon(wall_ms: int) -> int:
    """Return the latest time of another kiosk that is followed when the own clock says wall_ms."""
    return wall_ms + AHEAD_MS


def next_time(own: Hybrid, seen: Hybrid, *, wall_ms: int) -> Hybrid:
    """Return the time of a kiosk's next entry.

    It is later than the kiosk's own last one, even when its clock runs backwards, and later than
    what it has seen of others unless that lies beyond the horizon.

    Args:
        own: of the kiosk's last entry, (0, 0) before the first.
        seen: the latest one not beyond the horizon among all entries known, (0, 0) without any.
        wall_ms: what the kiosk's clock says.
    """
    high, count = own if seen[0] > horizon(wall_ms) else max(own, seen)
    return (wall_ms, 0) if wall_ms > high else (high, count + 1)
