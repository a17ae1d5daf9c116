"""The sheets of a job: a row each, and loudly what has no place."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial

from kivy.uix.boxlayout import BoxLayout
from kivy.uix.gridlayout import GridLayout
from kivy.uix.widget import Widget

from kiosk.rules.cards import BACK
from kiosk.rules.lengths import System
from kiosk.rules.sheets.views import SheetsView, SheetView
from kiosk.rules.words import Phrase, _, join, say, say_n
from kiosk.screens.answer import keep_units
from kiosk.screens.face import Choice, Trim
from kiosk.screens.header import headline, quiet_line
from kiosk.screens.productscreens import RowButton, fill_up, page_of
from kiosk.screens.sheetwords import say_far, say_sheet
from kiosk.theme import INK, WHITE, rgba
from kiosk.widgets.fitting import FitLabel
from kiosk.widgets.marks import Mark
from kiosk.widgets.panels import BigButton, Panel

ROWS = 4  # of two columns; three where a band stands above them


@dataclass(frozen=True, slots=True)
class ListActs:
    """What the list of a job's sheets does; lost shows the parts that have no place."""

    open: Callable[[SheetView], object]
    lost: Callable[[], object]
    turn: Callable[[int], object]
    back: Callable[[], object]
    more: Sequence[Choice]


class SheetsScreen(BoxLayout):
    """Title, a line, the band of what has no place, the rows, and what else can be done."""

    def __init__(
        self,
        trim: Trim,
        view: SheetsView,
        acts: ListActs,
        *,
        system: System,
        said: str = "",
        page: int = 0,
    ) -> None:
        sizes = trim.sizes
        super().__init__(orientation="vertical", padding=[sizes.gap] * 4, spacing=sizes.gap)
        self._trim, self._system = trim, system
        wrong = say_lost(view)
        rows = ROWS - bool(wrong)
        shown, pages = page_of(view.sheets, page, 2 * rows)
        self._add_head(say_title(view, page, pages), said or join(view.notes))
        self.band: BigButton | None = None
        if wrong:
            self.add_widget(self._band(wrong, acts))
        self.rows: dict[str, RowButton] = {}
        grid = GridLayout(cols=2, rows=rows, spacing=sizes.gap)
        for one in shown:
            self.rows[one.planned.sheet.name] = self._row(one, partial(acts.open, one))
            grid.add_widget(self.rows[one.planned.sheet.name])
        fill_up(grid, 2 * rows - len(shown))
        self.add_widget(grid)
        self.add_widget(self._foot(acts, page, pages))
        self.asked = (Choice("", acts.back, card=BACK),)

    def _add_head(self, title: str, line: str) -> None:
        sizes = self._trim.sizes
        head = headline(self._trim, title)
        head.size_hint_y, head.height = None, round(sizes.body * 1.1)
        self.add_widget(head)
        self.line = quiet_line(self._trim, line)
        self.line.valign = "middle"
        self.line.size_hint_y, self.line.height = None, round(sizes.small * 1.2)
        self.add_widget(self.line)

    def tell(self, words: str) -> None:
        """Say something below the title."""
        self.line.text = words

    def _band(self, wrong: str, acts: ListActs) -> Widget:
        sizes = self._trim.sizes
        band = Panel(fill=INK, line=sizes.outline, spacing=sizes.gap * 2)
        band.size_hint_y, band.height = None, sizes.touch
        band.padding = [sizes.gap * 1.5, 0, 0, 0]
        band.add_widget(Mark(shape="late", tint=WHITE, size_hint_x=None, width=sizes.body))
        words = FitLabel(ladder=sizes.ladder, text=wrong, bold=True, color=rgba(WHITE))
        words.most = sizes.body
        band.add_widget(words)
        self.band = BigButton(_("See them"), acts.lost, sizes=sizes, size_hint_x=0.22)
        band.add_widget(self.band)
        return band

    def _row(self, one: SheetView, act: Callable[[], object]) -> RowButton:
        shape, word = _LOOKS[state_of(one)]
        far = say_far((len(one.done), len(one.lines)), (len(one.cut), one.parts))
        words = say_sheet(one.planned, self._system)
        row = RowButton(
            self._trim, keep_units(words), act, below=join((word, far), ": "), shape=shape
        )
        if row.mark is not None:
            row.mark.share = len(one.done) / max(1, len(one.lines))
        return row

    def _foot(self, acts: ListActs, page: int, pages: int) -> BoxLayout:
        sizes = self._trim.sizes
        row = BoxLayout(size_hint_y=None, height=sizes.touch, spacing=sizes.gap)
        choices = [Choice(_("Back"), acts.back)]
        if pages > 1:
            turn = partial(acts.turn, (page + 1) % pages)
            choices.append(Choice(_("More sheets"), turn, "arrow"))
        choices += acts.more
        most = round(sizes.small * 1.2)
        self.foot = [
            BigButton(one.words, one.act, sizes=sizes, shape=one.shape, most=most)
            for one in choices
        ]
        for button in self.foot:
            button.padding = [sizes.gap * 0.6, sizes.gap * 0.4]
            row.add_widget(button)
        return row


_LOOKS = {
    "done": ("ticks", _("cut up")),
    "begun": ("clock", _("begun")),
    "": ("dot", _("not begun")),
}


def state_of(one: SheetView) -> str:
    """Return 'done', 'begun' or '' of a sheet."""
    if one.is_cut_up:
        return "done"
    return "begun" if one.is_begun else ""


def say_title(view: SheetsView, page: int = 0, pages: int = 1) -> Phrase:
    """Return how many sheets a job has, how many are cut up, and which page of them this is."""
    done = sum(one.is_cut_up for one in view.sheets)
    sheets = say_n("{n} sheet", "{n} sheets", len(view.sheets))
    title = say("{job}: {sheets}, {done} cut up", job=view.plan.job, sheets=sheets, done=done)
    if pages == 1:
        return title
    number = page % pages + 1
    return say("{title}, page {n} of {pages}", title=title, n=number, pages=pages)


def say_lost(view: SheetsView) -> str:
    """Return how many parts have no place, and how many sheets failed a check; nothing for none."""
    said: list[str] = []
    if view.unplanned:
        count = len(view.unplanned)
        said.append(say_n("{n} part without a place", "{n} parts without a place", count))
    if view.faults:
        count = len(view.faults)
        said.append(
            say_n(
                "{n} sheet failed its check and is not shown",
                "{n} sheets failed their check and are not shown",
                count,
            )
        )
    return join(said, "; ")
