"""What the screens of the day ask of a shop."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import datetime
from pathlib import Path
from typing import Any, Protocol

from kiosk.actions import DaySheets, Promised
from kiosk.actions.promiseask import PromiseAsk
from kiosk.rules.dayplan.day import DayPlan
from kiosk.rules.problems import Problem


class TimeFace(Protocol):
    """How long one step takes, in minutes.

    catalogue is the route's figure, learned and eighty the median and 80th percentile of count
    intervals between scans, set what the shop said; used is what counts.
    """

    @property
    def kind(self) -> str:
        """Return the kind of unit."""
        ...

    @property
    def step(self) -> str:
        """Return the name of the step."""
        ...

    @property
    def title(self) -> str:
        """Return what people call it."""
        ...

    @property
    def catalogue(self) -> float:
        """Return the route's figure."""
        ...

    @property
    def learned(self) -> float | None:
        """Return what the scans say, None where there are none yet."""
        ...

    @property
    def eighty(self) -> float | None:
        """Return what four of five take at most, None where there are no scans yet."""
        ...

    @property
    def count(self) -> int:
        """Return of how many intervals it was learned."""
        ...

    @property
    def set(self) -> float | None:
        """Return what the shop said, None where it said nothing."""
        ...

    @property
    def used(self) -> float:
        """Return what counts."""
        ...


class DayFace(Protocol):
    """The part of `kiosk.actions.Shop` that the day needs; called on the shop's thread only."""

    def day(self, now: datetime | None = None) -> DayPlan:
        """Return the day as it is planned."""
        ...

    def improve_day(self, heard: Callable[..., object] | None = None, *, again: bool = True) -> Any:
        """Begin to look for a better plan; heard is called when one was found.

        again: False looks only where this plan was not looked at before.
        """
        ...

    def stop_improving(self) -> Any:
        """End that; the best plan found so far stays."""
        ...

    def touch_times(self) -> Sequence[TimeFace]:
        """Return how long each step of each kind takes."""
        ...

    def set_touch_time(self, kind: str, step: str, minutes: float | None) -> Sequence[Problem]:
        """Set how long a step takes; None goes back to what is learned."""
        ...

    def write_sheets(self, person: str | None = None) -> DaySheets:
        """Write the day, or the sheet of one person, as a PDF to be printed."""
        ...


class PromiseFace(Protocol):
    """The part of `kiosk.actions.Shop` that promises need; called on the shop's thread only."""

    def prepare_promise(
        self, file: Path, *, units: str | None = None, columns: Mapping[str, str] | None = None
    ) -> PromiseAsk:
        """Return what the promise for a part list is worked out from."""
        ...

    def prepare_job_promise(self, job: str) -> PromiseAsk:
        """Return the same for a job that is in the shop."""
        ...

    def say_promise(self, ask: PromiseAsk, found: Any) -> Promised:
        """Return what was worked out, as days."""
        ...
