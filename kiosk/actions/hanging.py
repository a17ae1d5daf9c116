"""Measure walls, say how units hang, and know what they may carry and in which order they go up."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from kiosk.actions.core import Core
from kiosk.rules.hanging.fitting import Fitting, Fittings
from kiosk.rules.hanging.hangviews import HangingView
from kiosk.rules.hanging.wall import MeasuredWall
from kiosk.rules.permission import Permit
from kiosk.rules.problems import Problem
from kiosk.rules.scanning import Answer


class Hanging(Core):
    """The walls of a shop's jobs."""

    def walls(self, job: str) -> tuple[MeasuredWall, ...]:
        """Return a job's walls as last measured, by the wall's unit."""
        raise NotImplementedError

    def measure_wall(
        self, job: str, wall: MeasuredWall, *, person: str = ""
    ) -> tuple[Problem, ...]:
        """Keep a wall as measured; with a problem nothing is kept.

        Raises:
            StoreError: nothing was recorded.
        """
        raise NotImplementedError

    def import_wall(
        self, job: str, wall: str, rows: Sequence[Sequence[str]]
    ) -> tuple[MeasuredWall | None, tuple[Problem, ...]]:
        """Read a wall from a table's rows; nothing is kept yet: `measure_wall` does that.

        With a problem there is no wall. Lengths without a unit are in the job's.
        """
        raise NotImplementedError

    def wall_template(self, job: str, wall: str) -> tuple[tuple[str, ...], ...]:
        """Return the rows of a table to be filled in, of the wall as measured if it is."""
        raise NotImplementedError

    def fit_unit(
        self, job: str, unit: str, fitting: Fitting, *, person: str = ""
    ) -> tuple[Problem, ...]:
        """Keep how a unit hangs; with a problem nothing is kept. The last word counts.

        Raises:
            StoreError: nothing was recorded.
        """
        raise NotImplementedError

    def fittings(self, job: str) -> Fittings:
        """Return how units hang as people said, by unit; nothing filled in."""
        raise NotImplementedError

    def fitting(self, job: str, unit: str) -> Fitting:
        """Return how a unit hangs, filled in with what the part list knows: for a form."""
        raise NotImplementedError

    def hanging(self, job: str, now: datetime | None = None) -> HangingView:
        """Return the check of a job's walls: ratings, order, screws, shims; now is not needed yet.

        A job without a measured wall has no units here: nothing of it was checked.
        """
        raise NotImplementedError

    def allow_hanging(
        self, job: str, unit: str, reason: str, *, person: str = "", permit: Permit | None = None
    ) -> Answer:
        """Let a unit be hung that the check refuses; `strike` of the answer's entry undoes it.

        Raises:
            StoreError: nothing was recorded.
        """
        raise NotImplementedError
