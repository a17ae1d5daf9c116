"""Write load cards and a wall's drawing to files, or print them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from kiosk.boardsheet import SUFFIXES
from kiosk.cli.common import Desk, Exit, end_problems, say, stop, writing
from kiosk.cli.sending import end_sent
from kiosk.report import iso

if TYPE_CHECKING:
    from kiosk.actions.hangpapers import HangPaper


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

    def check(self) -> None:
        """Refuse files nobody can print to, and what does not go together."""
        for file in (self.cards, self.drawing):
            if file is not None and file.suffix.lower() not in SUFFIXES:
                stop(
                    f"{file} is no file to print to; name one that ends in .pdf or .png.",
                    Exit.INPUT,
                )
        if self.prints and (self.cards is not None or self.drawing is not None):
            stop("--print does not go with --out or --drawing.", Exit.INPUT)
        if self.cards is not None and self.cards == self.drawing:
            stop("--out and --drawing must be two files.", Exit.INPUT)


def write(
    desk: Desk,
    sheets: Sheets,
    job: str,
    *,
    wall: str,
    units: Sequence[str],
    person: str | None,
    as_json: bool,
) -> None:
    """Write cards and drawing; printed is the drawing where a wall is named, else the cards."""

    def cards(out: Path | None) -> HangPaper:
        return desk.shop.write_cards(
            job, out, four=sheets.four, units=units, paper=sheets.paper, person=desk.who(person)
        )

    def drawn(out: Path | None) -> HangPaper:
        return desk.shop.write_wall(job, wall, out, paper=sheets.paper)

    if sheets.prints:
        found = _written(drawn if wall else cards, None, desk.shop.store.folder, as_json=as_json)
        if found.sheets is not None:
            end_sent(desk, found.sheets.send(), as_json=as_json)
        return
    asked = [(cards, sheets.cards), (drawn, sheets.drawing)]
    made = [_written(make, out, out, as_json=as_json) for make, out in asked if out is not None]
    files = [str(file) for one in made for file in one.files]
    answer = {
        "at": iso(desk.now, desk.shop.zone),
        "files": files,
        "named": [name for one in made for name in one.named],
    }
    say("\n".join(files), answer, as_json)


def _written(
    make: Callable[[Path | None], HangPaper], out: Path | None, where: Path, *, as_json: bool
) -> HangPaper:
    """Write one of them, or end with what stands against it."""
    with writing(where):
        found = make(out)
    end_problems(found.problems, as_json)
    return found
