"""Show what is to be bought for a job, and print it."""

from __future__ import annotations

from collections.abc import Callable, Collection
from functools import partial
from typing import Protocol

from kiosk.actions import DaySheets
from kiosk.rules.buying.basis import say_amount
from kiosk.rules.buying.model import BuyingList, BuyLine
from kiosk.rules.words import _, join, say
from kiosk.screens.answer import keep_units
from kiosk.screens.face import Choice, DeskFace
from kiosk.screens.paperdesk import PaperDesk
from kiosk.screens.rows import Listed, ListScreen, Row

NOT_SEEN = _("What is to be bought could not be shown. Try again.")
NOT_PRINTED = _("The list was not printed. Try again.")
Back = Callable[[], object]


class BuyFace(Protocol):
    """The part of `kiosk.actions.Shop` that buying needs; called on the shop's thread only."""

    def buying(
        self, jobs: Collection[str] = (), *, whole: bool = False, allowance: int | None = None
    ) -> BuyingList:
        """Return what to buy for some jobs."""
        ...

    def buying_sheets(self, buying: BuyingList, *, paper: str = "") -> DaySheets:
        """Write the list as a PDF, to be printed."""
        ...


class BuyDesk:
    """The screens of what is to be bought."""

    def __init__(self, shop: BuyFace, desk: DeskFace) -> None:
        self._shop, self._desk = shop, desk
        self._paper = PaperDesk(desk, lost=NOT_PRINTED)

    def open(self, job: str, back: Back) -> None:
        """Show what is to be bought for a job; back leads to where it was asked."""

        def then(found: BuyingList) -> None:
            self.show(found, back)

        self._desk.ask_here(lambda: self._shop.buying((job,)), then, lost=NOT_SEEN)

    def show(self, found: BuyingList, back: Back, page: int = 0) -> None:
        """Show a page of what is to be bought, with how each amount was reckoned."""
        rows = [_row(line) for line in found.lines]
        again = partial(self.show, found, back)
        extra = []
        notes = (*(one.message for one in found.problems), *found.cautions, *found.assumptions)
        if notes:
            words = say("To know: {n}", n=len(notes))
            shape = "question" if found.problems else ""
            extra.append(Choice(words, partial(self.show_notes, found, back), shape))
        if rows:
            print_it = partial(self._paper.print, lambda: self._shop.buying_sheets(found), again)
            extra.append(Choice(_("Print"), print_it))
        title = say("What to buy for {jobs}", jobs=", ".join(found.jobs))
        line = say("With {n} % allowance", n=found.allowance) if rows else ""
        empty = _("Nothing is to be bought.")
        listed = Listed(title, rows, line, empty=empty, columns=1)
        screen = ListScreen(self._desk.trim, listed, turn=again, back=back, page=page, extra=extra)
        self._desk.put(screen)

    def show_notes(self, found: BuyingList, back: Back, page: int = 0) -> None:
        """Show what could not be reckoned, the cautions, and what was assumed."""
        rows = [Row(one.message, one.remedy, None, "question") for one in found.problems]
        rows += [Row(one, "", None, "late") for one in found.cautions]
        rows += [Row(one, "", None, "dot") for one in found.assumptions]
        listed = Listed(_("To know"), rows, columns=1)
        turn = partial(self.show_notes, found, back)
        home = partial(self.show, found, back)
        self._desk.put(ListScreen(self._desk.trim, listed, turn=turn, back=home, page=page))


def _row(line: BuyLine) -> Row:
    what = join((_("or") if line.is_instead else "", line.what))
    return Row(keep_units(what), keep_units(line.basis), None, "", keep_units(say_amount(line)))
