"""Send pages to the paper printer, and say where they went."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from kiosk.actions import DaySheets, PaperSent, say_sent
from kiosk.rules.cards import BACK
from kiosk.rules.words import _, say
from kiosk.screens.busyscreen import BusyScreen
from kiosk.screens.face import Choice, DeskFace
from kiosk.screens.flow import AskScreen

Write = Callable[[], DaySheets]  # writes the pages, on the shop's thread
Back = Callable[[], object]


class PaperDesk:
    """The screens while pages are written and sent."""

    def __init__(self, desk: DeskFace, *, lost: str) -> None:
        """Take what is said where the pages could not be written."""
        self._desk, self._lost = desk, lost

    def print(self, write: Write, back: Back) -> None:
        """Write pages and send them; where no printer is set, the file is all."""
        self._desk.ask_here(write, partial(self._send, write, back), lost=self._lost)

    def _send(self, write: Write, back: Back, sheets: DaySheets) -> None:
        if not sheets.printer.where:
            self.show_printed(PaperSent(sheets.file), write, back)
            return
        desk = self._desk
        words = say("Sending to the paper printer {printer} …", printer=sheets.printer.where)
        busy = BusyScreen(desk.trim, words, to_bench=desk.open_bench)
        desk.put(busy)

        def then(sent: PaperSent) -> None:
            desk.told(good=not sent.trouble)
            if sent.failed or desk.show is busy:  # who went on must know of no pages
                self.show_printed(sent, write, back)

        # a print system that does not answer must hold up no scan
        desk.ask_aside(sheets.send, then, lost=self._lost)

    def show_printed(self, sent: PaperSent, write: Write, back: Back) -> None:
        """Say where the paper comes out, or which file it is."""
        title, line = say_sent(sent)
        choices = [
            Choice(_("To the bench"), self._desk.open_bench),
            Choice(_("Back"), back, card=BACK),
        ]
        if sent.failed:
            choices.insert(0, Choice(_("Try again"), partial(self.print, write, back)))
        shape = "question" if sent.trouble else "tick"
        self._desk.put(AskScreen(self._desk.trim, title, choices, line=line, shape=shape))
