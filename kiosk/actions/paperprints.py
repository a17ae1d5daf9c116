"""Print on ordinary paper: what each day sheet's file is called, and the printer it goes to."""

from __future__ import annotations

import tempfile
import time
import unicodedata
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from datetime import date, datetime
from pathlib import Path
from typing import Final
from uuid import uuid4
from zlib import crc32

from kiosk.actions.daying import Daying
from kiosk.actions.labelfiles import safe_name
from kiosk.figure.testpage import draw_test_page
from kiosk.rules.dayplan.day import DayPlan
from kiosk.rules.labelwords import say_print
from kiosk.rules.paperwords import paper_remedy, say_paper
from kiosk.rules.words import _, join, say
from labels.printing import PDF, Printer, PrintRefused, PrintState, Sheet, Stage
from labels.printing import discover as find_queues
from labels.printing import open_printer as reach

# ISO 216, and US letter as the print system names it, in mm
SIZES_MM: Final = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
_DPI: Final = 200  # of the pages of `kiosk.figure.paper`
_LONGEST: Final = 40  # letters of a person in a file's name; choice
Reach = Callable[[str], Printer]
Discover = Callable[[], tuple[tuple[str, ...], tuple[str, ...]]]


def _reach(where: str) -> Printer:
    return reach(where, seconds=time.monotonic)


@dataclass(frozen=True, slots=True)
class PaperSent:
    """What became of sheets that were to be printed.

    Attributes:
        file: the PDF, which stays whatever the printer does; None for a page that is not kept.
        printer: the print queue, empty where none is set and the file is all.
        is_sent: whether the queue has taken them.
        trouble, remedy: why it has not, or what keeps the printer from printing them now.
    """

    file: Path | None
    printer: str = ""
    is_sent: bool = False
    trouble: str = ""
    remedy: str = ""

    @property
    def failed(self) -> bool:
        """Return whether there is a printer that has not taken them."""
        return bool(self.printer) and not self.is_sent


def say_sent(sent: PaperSent) -> tuple[str, str]:
    """Return where sheets went, in a few words and in a line that follows them."""
    if not sent.printer:
        return _("Written as PDF"), say("Written to {file}.", file=sent.file)
    kept = say("It is kept as {file}.", file=sent.file) if sent.file is not None else ""
    line = join((sent.trouble, sent.remedy, kept))
    if sent.failed:
        return say("Not printed at {printer}", printer=sent.printer), line
    if sent.trouble:
        words = say(
            "Sent to the paper printer {printer}, which does not print now", printer=sent.printer
        )
        return words, line
    return say("Sent to the paper printer {printer}", printer=sent.printer), line


@dataclass(frozen=True, slots=True)
class PaperPrinter:
    """The printer for sheets of paper; to be used on any thread, as it may not answer for long.

    Attributes:
        where: a print queue of this computer; empty: there is none.
        paper: a4 or letter.
        reach: gives the printer of a name.
        discover: gives the queues of this computer, and what is wrong.
    """

    where: str
    paper: str
    reach: Reach = field(default=_reach, compare=False)
    discover: Discover = field(default=find_queues, compare=False)

    def queues(self) -> tuple[tuple[str, ...], str]:
        """Return the print queues of this computer, and in words why there are none."""
        names, problems = self.discover()
        if names:
            return names, ""
        none = _("No print queue is known to this computer.")
        return (), say_print(problems[0]) if problems else none

    def send(self, file: Path) -> PaperSent:
        """Send a PDF of this paper to the printer; it never raises for the printer's sake.

        What is sent twice is printed twice.

        Raises:
            OSError: the file cannot be read.
        """
        if not self.where:
            return PaperSent(file)
        width, height = SIZES_MM[self.paper]
        sheet = Sheet(file.read_bytes(), PDF, width, height, _DPI, file.stem)
        printer = self.reach(self.where)
        try:
            # the key is what the printer's own list shows; nothing else may have the same
            ticket = printer.submit(sheet, key=f"cleatclock-{uuid4().hex[:16]}")
        except PrintRefused as refusal:
            return self._told(file, refusal.state, is_sent=False)
        state = printer.state(ticket)
        if state.stage in (Stage.FAILED, Stage.CANCELLED):
            return self._told(file, state, is_sent=False)
        if state.stage is Stage.STOPPED:
            return self._told(file, state, is_sent=True)
        return PaperSent(file, self.where, is_sent=True)

    def _told(self, file: Path, state: PrintState, *, is_sent: bool) -> PaperSent:
        words, remedy = say_paper(state.words), paper_remedy(state.reason)
        return PaperSent(file, self.where, is_sent=is_sent, trouble=words, remedy=remedy)

    def test(self, *, shop: str, at: datetime) -> PaperSent:
        """Print a page that shows whether the printer is set up and takes this paper.

        Args:
            shop: its name, said on the page.
            at: when, in the shop's zone.

        Raises:
            OSError: the page cannot be written anywhere.
        """
        with tempfile.TemporaryDirectory(prefix="cleatclock-") as folder:
            file = Path(folder) / "test-page.pdf"
            draw_test_page(file, paper=self.paper, printer=self.where, shop=shop, at=at)
            sent = self.send(file)
        return PaperSent(None, sent.printer, sent.is_sent, sent.trouble, sent.remedy)


@dataclass(frozen=True, slots=True)
class DaySheets:
    """Sheets of the day that were written, and where they go from here."""

    file: Path
    printer: PaperPrinter

    def send(self) -> PaperSent:
        """Print them; on any thread. See `PaperPrinter.send`."""
        return self.printer.send(self.file)


class PaperPrints(Daying):
    """A shop that prints on paper."""

    def paper_printer(self, *, paper: str = "", where: str | None = None) -> PaperPrinter:
        """Return the printer for sheets of paper; paper and where as given, else the settings'."""
        name = self.settings.paper_printer if where is None else where
        return PaperPrinter(name.strip(), paper or self.settings.paper)

    def write_sheets(
        self, person: str | None = None, *, day: DayPlan | None = None, paper: str = ""
    ) -> DaySheets:
        """Write the day, or one person's sheet, as a PDF beside the shop's file, to be printed.

        Older sheets of the same day and person are replaced, others never.

        Args:
            person: only this one's sheet; None: the whole day.
            day: as it was answered; None: as it is planned now.
            paper: a4 or letter; empty: as in the settings.

        Raises:
            OSError: the disk refused.
        """
        found = day or self.day()
        on = found.at.astimezone(self.zone).date()
        out = self.store.folder / sheet_name(on, person, found.people)
        (file,) = self.write_day(found, out, paper=paper, person=person)
        return DaySheets(file, self.paper_printer(paper=paper))


def sheet_name(day: date, person: str | None, people: Iterable[str]) -> str:
    """Return what a PDF of the day, or of one person's sheet, is called.

    No two of the people share a name, also where capitals do not count or a name has signs that
    a file's may not have.
    """
    if person is None:
        return f"day-{day:%Y-%m-%d}.pdf"
    name = _plain(person)
    others = {one for one in people if one != person}
    if not name or name in {_plain(one) for one in others}:
        name = f"{name}-{crc32(person.encode()):08x}".lstrip("-")
    return f"day-{day:%Y-%m-%d}-{name}.pdf"


def _plain(person: str) -> str:
    """Return a person's name as it can stand in a file's."""
    composed = unicodedata.normalize("NFC", person).casefold()
    return safe_name(composed)[:_LONGEST].strip("-_")
