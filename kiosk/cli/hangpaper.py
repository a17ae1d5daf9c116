"""Write load cards and a wall's drawing to files, or print them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from kiosk.cli.common import Desk, Exit, stop


@dataclass(frozen=True, slots=True)
class Sheets:
    """What is to be on paper: the file of the cards, that of a wall's drawing, or the printer."""

    cards: Path | None
    drawing: Path | None
    paper: str
    four: bool
    prints: bool

    @property
    def wanted(self) -> bool:
        """Say whether anything is to be on paper."""
        return self.cards is not None or self.drawing is not None or self.prints


def write(
    desk: Desk, job: str, wall: str, units: Sequence[str], sheets: Sheets, *, as_json: bool
) -> None:
    """Write cards and drawing."""
    stop("not yet", Exit.MACHINERY)
