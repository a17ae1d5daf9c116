"""Keep how far a chain of a shop under way has come, and what people know of it."""

from __future__ import annotations

from dataclasses import dataclass, field

from kiosk.rules.dayplan.model import Chain, Hold, Minute, Placed
from kiosk.rules.dayplan.present import Course, Under


@dataclass(slots=True)
class Going:
    """A chain as it goes on: name is its job and which of the job's chains it is.

    held is what it takes up until its next step starts or ends; resting what it takes up until a
    rest is over, which people expect at resting_until.
    """

    chain: Chain
    name: tuple[str, int]
    come: bool = False
    ends: list[Minute] = field(default_factory=list)
    under: Placed | None = None
    expected: int = 0
    held: Hold | None = None
    resting: Hold | None = None
    resting_until: Minute = 0
    rest: Minute | None = None  # since when it rests before its next step
    lacks: int = 0  # chains that must be finished before its next step
    finished: Minute | None = None

    def course(self) -> Course:
        """Return how far it has come, as people know it."""
        under = None
        if self.under is not None:
            under = Under(self.under.starts, self.under.people, self.expected)
        return Course(
            tuple(self.ends),
            under,
            self.held or self.resting,
            self.resting_until if self.held is None else None,
            self._done(),
            self.rest,
        )

    def _done(self) -> Minute | None:
        """Return when it is expected to be finished, once nothing is left to do."""
        if self.finished is not None or len(self.ends) < len(self.chain.works):
            return self.finished
        rests = (self.ends[lag.work] + lag.minutes for lag in self.chain.ends)
        return max([self.ends[-1], *rests])
