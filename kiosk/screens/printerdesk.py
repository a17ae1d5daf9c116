"""Lead through choosing a printer: the queues of this computer, a name typed in, a test page."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime
from functools import partial
from typing import Final

from kiosk.actions import PaperPrinter, PaperSent, say_sent
from kiosk.config import Setting
from kiosk.figure.paper import NAMES
from kiosk.rules.cards import BACK
from kiosk.rules.words import Phrase, _, join, say
from kiosk.screens.busyscreen import BusyScreen
from kiosk.screens.face import Choice, DeskFace, ShopFace
from kiosk.screens.flow import MOST_IN_TWO, AskScreen
from kiosk.screens.productscreens import page_of
from kiosk.screens.settingsask import AskActs, ask_text

PAPER: Final = "paper_printer"
PRINTERS: Final = ("printer", PAPER)  # the settings that name one
NOT_ASKED = _("The printers could not be asked. Try again.")
NOT_TESTED = _("No test page was printed. Try again.")
MOST_QUEUES: Final = 4  # beside none, a name typed in, the test page, the others and the way back
LONGEST: Final = 24  # letters of a name without a blank, where a button can break no line


class PrinterDesk:
    """The screens about which printer is used."""

    def __init__(self, shop: ShopFace, desk: DeskFace) -> None:
        self._shop, self._desk = shop, desk

    def open(self, setting: Setting, now: str, acts: AskActs) -> None:
        """Ask the print system for its queues, and show them to choose from."""
        busy = self._busy(_("Asking for the printers …"), acts.back)

        def then(found: tuple[tuple[str, ...], str]) -> None:
            if self._desk.show is busy:
                self.show(setting, now, acts, found)

        def look(printer: PaperPrinter) -> None:
            self._desk.ask_aside(printer.queues, then, lost=NOT_ASKED)

        self._desk.ask(self._shop.paper_printer, look, lost=NOT_ASKED)

    def show(
        self,
        setting: Setting,
        now: str,
        acts: AskActs,
        found: tuple[Sequence[str], str],
        page: int = 0,
    ) -> None:
        """Show the queues found, and in words why there is none."""
        queues, wrong = found
        names = [*queues] + ([now] if now and now not in queues else [])
        shown, pages = page_of(names, page, MOST_QUEUES)
        choices = [_choice(_("None: a PDF"), "", now, acts)]
        choices += [_choice(short_name(name), name, now, acts) for name in shown]
        if pages > 1:
            turn = partial(self.show, setting, now, acts, found, page + 1)
            choices.append(Choice(_("Others"), turn, "arrow"))
        again = partial(self.show, setting, now, acts, found, page)
        typing = AskActs(acts.keep, again, acts.put)
        type_it = partial(ask_text, self._desk.trim, setting, typing, typed=now)
        choices.append(Choice(_("Type its name"), type_it))
        if setting.name == PAPER and now:
            choices.append(Choice(_("Print a test page"), partial(self.test, again)))
        choices.append(Choice(_("Back"), acts.back, card=BACK))
        line = join((setting.sentence, wrong))
        columns = 2 if len(choices) <= MOST_IN_TWO else 3
        acts.put(AskScreen(self._desk.trim, setting.words, choices, line=line, columns=columns))

    # -- the test page ---------------------------------------------------------------------------

    def test(self, back: Callable[[], object]) -> None:
        """Print a test page at the paper printer that is set."""
        busy = self._busy(_("Sending a test page …"), back)
        shop = self._shop

        def then(sent: PaperSent) -> None:
            if self._desk.show is busy:
                self.show_tested(sent, back)

        def send(found: tuple[PaperPrinter, datetime]) -> None:
            printer, now = found
            call = partial(printer.test, shop=shop.settings.shop, at=now.astimezone(shop.zone))
            self._desk.ask_aside(call, then, lost=NOT_TESTED)

        self._desk.ask(lambda: (shop.paper_printer(), shop.now()), send, lost=NOT_TESTED)

    def show_tested(self, sent: PaperSent, back: Callable[[], object]) -> None:
        """Say what became of the test page."""
        desk = self._desk
        title, line = say_sent(sent)
        if not sent.trouble:
            line = say("It shows whether {paper} is in it.", paper=NAMES[self._shop.settings.paper])
        again = _("Try again") if sent.failed else _("Print it again")
        choices = (
            Choice(again, partial(self.test, back)),
            Choice(_("To the bench"), desk.open_bench),
            Choice(_("Back"), back, card=BACK),
        )
        shape = "question" if sent.trouble else "tick"
        desk.put(AskScreen(desk.trim, title, choices, line=line, shape=shape))

    def _busy(self, words: Phrase, back: Callable[[], object]) -> BusyScreen:
        desk = self._desk
        busy = BusyScreen(desk.trim, words, to_bench=desk.open_bench, cancel=back)
        desk.put(busy)
        return busy


def short_name(name: str) -> str:
    """Return a printer's name or address as it fits on a button: both its ends, as they differ.

    A line may be broken between them, so that the letters stay large.
    """
    half = LONGEST // 2
    return name if len(name) <= LONGEST else f"{name[:half]}… {name[1 - half :]}"


def _choice(words: str, name: str, now: str, acts: AskActs) -> Choice:
    return Choice(words, partial(acts.keep, name), "tick" if name == now else "")
