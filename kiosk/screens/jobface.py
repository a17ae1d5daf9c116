"""What the screens about jobs and units ask of a shop."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from kiosk.actions import JobSum, Past, TakenIn
    from kiosk.rules.fold import UnitState
    from kiosk.rules.permission import Permit
    from kiosk.rules.problems import Problem
    from kiosk.rules.scanning import Answer
    from kiosk.rules.standing import Standing
    from kiosk.store import Job


class JobFace(Protocol):
    """The part of `kiosk.actions.Shop` that jobs need; called on the shop's thread only."""

    def today(self) -> date:
        """Return the day it is in the shop's zone."""
        ...

    def job_sums(self) -> tuple[JobSum, ...]:
        """Return the open jobs and how far each is."""
        ...

    def standings(self) -> list[Standing]:
        """Return where every unit of the open jobs stands."""
        ...

    def uncut(self, state: UnitState) -> frozenset[str]:
        """Return the codes of the parts of a unit that are still to be cut."""
        ...

    def past(self, job: str, unit: str) -> tuple[Past, ...]:
        """Return all entries about a unit, newest first."""
        ...

    def strike(self, entry_id: str, *, person: str = "") -> Answer:
        """Void an entry by its id."""
        ...

    def set_job(
        self, job: Job, *, reason: str = "", person: str = "", permit: Permit | None = None
    ) -> tuple[Problem, ...]:
        """Set what is known of a job, or close it."""
        ...

    def take_in(  # noqa: PLR0913 - as kiosk.actions has it
        self,
        file: Path,
        job: Job,
        *,
        units: str | None = None,
        columns: Mapping[str, str] | None = None,
        revise: bool = False,
        dry_run: bool = False,
        person: str = "",
        permit: Permit | None = None,
    ) -> TakenIn:
        """Take in a part list, compare a revised one, or only look at it."""
        ...
