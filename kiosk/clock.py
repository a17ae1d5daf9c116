"""Read the time: the only file that does."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Protocol


class Clock(Protocol):
    """Whoever tells the time."""

    def now(self) -> datetime:
        """Return the time, aware."""
        ...


class SystemClock:
    """The machine's clock."""

    def now(self) -> datetime:
        """Return the time in UTC."""
        return datetime.now(UTC)


class FixedClock:
    """A clock that stands where it was set: for questions about a stated time, and for tests."""

    def __init__(self, at: datetime) -> None:
        self.set(at)

    def now(self) -> datetime:
        """Return the time it was set to, in UTC."""
        return self._at

    def set(self, at: datetime) -> None:
        """Set it to an aware time."""
        self._at = at.astimezone(UTC)
