"""What is handed to a printer and what it answers: sheets, tickets, states."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Final, Protocol

from labels import LabelError

PDF: Final = "application/pdf"
PNG: Final = "image/png"
PWG_RASTER: Final = "image/pwg-raster"


class Stage(StrEnum):
    """Where a print stands; only `done` means that it came out."""

    WAITING = "waiting"
    PRINTING = "printing"
    STOPPED = "stopped"
    DONE = "done"
    CANCELLED = "cancelled"
    FAILED = "failed"


ENDED: Final = frozenset({Stage.DONE, Stage.CANCELLED, Stage.FAILED})


@dataclass(frozen=True, slots=True)
class PrintState:
    """What to tell people about a print or a printer.

    Attributes:
        stage: of a print; of a printer `done` stands for ready, `printing` for busy.
        words: what is so, in words of the shop.
        remedy: what to do about it; empty where nothing is to be done.
        reason: one plain key for programs, as "media-empty"; empty where all is well.
    """

    stage: Stage
    words: str
    remedy: str = ""
    reason: str = ""

    @property
    def ended(self) -> bool:
        """Return whether nothing more will happen to the print by itself."""
        return self.stage in ENDED

    def at(self, stage: Stage) -> PrintState:
        """Return the same words at another stage."""
        return replace(self, stage=stage)


class PrintRefused(LabelError):
    """A print could not be handed over; the message says why and the way out.

    Attributes:
        state: the same in parts; at stage `waiting` it is worth another try with the same key.
    """

    def __init__(self, state: PrintState) -> None:
        super().__init__(f"{state.words} {state.remedy}".strip())
        self.state = state


@dataclass(frozen=True, slots=True)
class Sheet:
    """Pages to print, each of the same size.

    Attributes:
        data: the file's bytes: a PDF as `labels.pages` writes it, one PNG, or PWG raster.
        mime: `application/pdf`, `image/png` or `image/pwg-raster`.
        width_mm, height_mm: of a page; a label on a roll is a page of its own.
        dpi: dots per inch the pages were drawn for.
        title: what people read in the printer's own list.
    """

    data: bytes
    mime: str
    width_mm: float
    height_mm: float
    dpi: int
    title: str = ""


@dataclass(frozen=True, slots=True)
class Ticket:
    """The receipt for a print handed over: key of the caller, number and place of the printer."""

    key: str
    job: int
    where: str


class Printer(Protocol):
    """One place to print at. Only PrintRefused is raised, and only where it says so."""

    @property
    def where(self) -> str:
        """Return the address or queue as people name it."""

    def check(self) -> PrintState:
        """Return how the printer itself is, asked now."""

    def dots(self) -> tuple[int, ...]:
        """Return the dots per inch the printer prints at; empty where it does not say."""

    def submit(self, sheet: Sheet, *, key: str) -> Ticket:
        """Hand a sheet over; a key the printer already has is not handed over again.

        Raises:
            PrintRefused: it was not taken; its state says why and whether to try again.
        """

    def find(self, key: str) -> Ticket | None:
        """Return the ticket of a key that waits, prints or has come out; None where there is none.

        Raises:
            PrintRefused: the printer could not be asked.
        """

    def state(self, ticket: Ticket) -> PrintState:
        """Return how a print is, asked now."""

    def cancel(self, ticket: Ticket) -> PrintState:
        """Ask for a print to be dropped, and return how it is then."""

    def retry(self, ticket: Ticket, sheet: Sheet) -> Ticket:
        """Hand a failed print over again under its key; one that still goes on is left alone.

        Raises:
            PrintRefused: as submit.
        """
