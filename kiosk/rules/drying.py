"""Run the clock of one rest: from when, to when, how far, and how sure.

The clocks run on the product's own figures at its reference air.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from kiosk.rules.products import Product

# The band covers air movement, which no shop measures: rate x 1.25 and x 0.75.
# Choice, docs/rules.md "Band".
FAST, SLOW = 1.25, 0.75


@dataclass(frozen=True, slots=True)
class Clock:
    """The state of one rest; times are aware."""

    started: datetime
    earliest: datetime
    expected: datetime
    latest: datetime

    def progress(self, now: datetime) -> float:
        """Return the elapsed share of the rest, 0 to 1."""
        whole = (self.expected - self.started).total_seconds()
        if whole <= 0:
            return 1.0
        return min(1.0, max(0.0, (now - self.started).total_seconds() / whole))


def run_clock(product: Product, stage: str, started: datetime) -> Clock | None:
    """Return the clock of a product's stage, or None where the product has no such stage."""
    minutes = product.stage(stage)
    if minutes is None:
        return None
    return Clock(
        started,
        started + timedelta(minutes=minutes / FAST),
        started + timedelta(minutes=minutes),
        started + timedelta(minutes=minutes / SLOW),
    )
