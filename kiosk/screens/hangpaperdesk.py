"""Print what hangs: a unit's load card, all of a job, the drawing a wall is hung by."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from kiosk.actions.hangpapers import HangPaper
from kiosk.actions.labelfiles import safe_name
from kiosk.rules.cards import BACK
from kiosk.rules.words import _, say
from kiosk.screens.face import Choice, DeskFace, ShopFace
from kiosk.screens.flow import AskScreen, say_problems
from kiosk.screens.hangface import HangFace
from kiosk.screens.paperdesk import PaperDesk

NOT_WRITTEN = _("Nothing was printed. Try again.")
Back = Callable[[], object]


class HangPaperDesk:
    """The screens about paper; where no printer is set, the file is all."""

    def __init__(self, shop: ShopFace, walls: HangFace, desk: DeskFace) -> None:
        self._shop, self._walls, self._desk = shop, walls, desk
        self._paper = PaperDesk(desk, lost=NOT_WRITTEN)

    def ask(self, job: str, wall: str, back: Back) -> None:
        """Ask what is to be printed of a wall and its job."""
        again = partial(self.ask, job, wall, back)
        choices = (
            Choice(_("Drawing for hanging"), partial(self.drawing, job, wall, again)),
            Choice(_("All load cards"), partial(self.cards, job, again)),
            Choice(_("Four cards to a page"), partial(self.cards, job, again, is_four=True)),
            Choice(_("Back"), back, card=BACK),
        )
        title = say("Print what of {job}, wall {wall}?", job=job, wall=wall)
        self._desk.put(AskScreen(self._desk.trim, title, choices))

    def card(self, job: str, unit: str, back: Back) -> None:
        """Print the load card of one unit."""
        person = self._desk.post.person

        def write() -> HangPaper:
            out = self._shop.store.folder / f"{safe_name(f'{job}-{unit}')}-load-card.pdf"
            return self._walls.write_cards(job, out, units=(unit,), person=person)

        self._print(write, back)

    def cards(self, job: str, back: Back, *, is_four: bool = False) -> None:
        """Print the load cards of all units of a job."""
        person = self._desk.post.person
        self._print(lambda: self._walls.write_cards(job, four=is_four, person=person), back)

    def drawing(self, job: str, wall: str, back: Back) -> None:
        """Print the drawing one wall is hung by."""
        self._print(lambda: self._walls.write_wall(job, wall), back)

    def _print(self, write: Callable[[], HangPaper], back: Back) -> None:
        def then(paper: HangPaper) -> None:
            sheets = paper.sheets
            if sheets is None:
                self.show_wrong(paper, back)
            else:
                self._paper.print(lambda: sheets, back)

        self._desk.ask_here(write, then, lost=NOT_WRITTEN)

    def show_wrong(self, paper: HangPaper, back: Back) -> None:
        """Say why nothing was written."""
        choices = (Choice(_("Back"), back, card=BACK),)
        line = say_problems(paper.problems)
        screen = AskScreen(
            self._desk.trim, _("Nothing was printed"), choices, line=line, shape="question"
        )
        self._desk.put(screen)
