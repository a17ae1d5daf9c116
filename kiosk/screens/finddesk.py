"""Lead to a part by its size, name, unit or code: its unit, and its label once more."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from kiosk.rules.words import _, say, say_n
from kiosk.screens.face import Choice, DeskFace, ShopFace
from kiosk.screens.findpad import FindPad
from kiosk.screens.flow import AskScreen
from kiosk.screens.labeldesk import LabelDesk
from kiosk.screens.partscreen import PartActs, PartsScreen
from kiosk.screens.partview import PartLine, PartsView, see_any
from kiosk.screens.unitdesk import UnitDesk
from labels.codes import shown

NOT_SEEN = _("The parts could not be shown. Try again.")


class FindDesk:
    """The screens about finding a part in any open job."""

    def __init__(
        self,
        shop: ShopFace,
        desk: DeskFace,
        units: UnitDesk,
        labels: LabelDesk,
        *,
        back: Callable[[], object],
    ) -> None:
        """Take the screens a found part leads to, and `back`, which leads to the shop's screen."""
        self._shop, self._desk, self._back = shop, desk, back
        self._units, self._labels = units, labels

    def open(self, typed: str = "", wrong: str = "") -> None:
        """Ask for words to find a part by."""
        trim = self._desk.trim
        self._desk.put(FindPad(trim, use=self.look_for, back=self._back, typed=typed, wrong=wrong))

    def look_for(self, words: str) -> None:
        """Show the parts of open jobs that all words fit."""
        before = self._desk.show

        def then(view: PartsView) -> None:
            if self._desk.show is not before:
                return
            if view.lines:
                self.show_found(view, words)
            else:
                self.open(words, _("No part of an open job fits. Try fewer words."))

        self._desk.ask(lambda: see_any(self._shop, words), then, lost=NOT_SEEN)

    def show_found(self, view: PartsView, words: str, page: int = 0) -> None:
        """Show parts that were found."""
        again = partial(self.show_found, view, words)
        acts = PartActs(
            lambda line: self.show_part(line, partial(again, page)),
            again,
            partial(self.open, words),
        )
        title = say_n(
            "{n} part fits {words}", "{n} parts fit {words}", len(view.lines), words=words
        )
        if view.is_cut_off:
            title = say("{n} or more parts fit {words}", n=len(view.lines), words=words)
        self._desk.put(PartsScreen(self._desk.trim, view, acts, title=title, page=page))

    def show_part(self, line: PartLine, back: Callable[[], object]) -> None:
        """Show where a part belongs, and ask what to do with it."""
        here = partial(self.show_part, line, back)
        choices = (
            Choice(
                say("Unit {unit}", unit=line.unit),
                partial(self._units.open_unit, line.job, line.unit, here),
                "arrow",
            ),
            Choice(
                _("Print again") if line.printed else _("Print its label"),
                partial(self._labels.ask_again, line, back=here),
            ),
            Choice(_("Back"), back),
        )
        title = " ".join((line.job, line.unit, line.part))
        said = f"{line.size.replace(' ', chr(0xA0))}, {shown(line.code)}"
        self._desk.put(AskScreen(self._desk.trim, title, choices, line=said))
