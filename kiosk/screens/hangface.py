"""What the screens of walls and of hanging ask of a shop."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from kiosk.actions.hangpapers import HangPaper
    from kiosk.rules.hanging.fitting import Fitting, Fittings
    from kiosk.rules.hanging.hangviews import HangingView
    from kiosk.rules.hanging.wall import MeasuredWall
    from kiosk.rules.permission import Permit
    from kiosk.rules.problems import Problem
    from kiosk.rules.scanning import Answer


class WallFace(Protocol):
    """The part of `kiosk.actions.Shop` that walls need; called on the shop's thread only."""

    def walls(self, job: str) -> tuple[MeasuredWall, ...]:
        """Return a job's walls as last measured."""
        ...

    def measure_wall(
        self, job: str, wall: MeasuredWall, *, person: str = ""
    ) -> tuple[Problem, ...]:
        """Keep a wall as measured; with a problem nothing is kept."""
        ...

    def import_wall(
        self, job: str, wall: str, rows: Sequence[Sequence[str]]
    ) -> tuple[MeasuredWall | None, tuple[Problem, ...]]:
        """Read a wall from a table's rows; nothing is kept yet."""
        ...

    def wall_template(self, job: str, wall: str) -> tuple[tuple[str, ...], ...]:
        """Return the rows of a table to be filled in."""
        ...


class HangFace(WallFace, Protocol):
    """The part of `kiosk.actions.Shop` that hanging needs; called on the shop's thread only."""

    def fit_unit(
        self, job: str, unit: str, fitting: Fitting, *, person: str = ""
    ) -> tuple[Problem, ...]:
        """Keep how a unit hangs; with a problem nothing is kept."""
        ...

    def fittings(self, job: str) -> Fittings:
        """Return how units hang as people said, by unit."""
        ...

    def fitting(self, job: str, unit: str) -> Fitting:
        """Return how a unit hangs, filled in with what the part list knows."""
        ...

    def hanging(self, job: str, now: datetime | None = None) -> HangingView:
        """Return the check of a job's walls."""
        ...

    def allow_hanging(
        self, job: str, unit: str, reason: str, *, person: str = "", permit: Permit | None = None
    ) -> Answer:
        """Let a unit be hung that the check refuses."""
        ...

    def write_cards(
        self,
        job: str,
        out: Path | None = None,
        *,
        four: bool = False,
        units: Sequence[str] = (),
        paper: str = "",
        person: str = "",
    ) -> HangPaper:
        """Write load cards, of all units or of some."""
        ...

    def write_wall(
        self, job: str, wall: str = "", out: Path | None = None, *, paper: str = ""
    ) -> HangPaper:
        """Write the drawing one wall is hung by."""
        ...


def write_rows(rows: Sequence[Sequence[str]], file: Path) -> str:
    """Write a table to a stick or folder; return why not, '' if it is there.

    To be called aside: where it is written may hang.
    """
    from kiosk.tables.writing import keep_table

    try:
        keep_table(rows, file)
    except OSError as error:
        return error.strerror or str(error)
    return ""
