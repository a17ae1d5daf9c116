"""A list of rows, a page at a time: words, a value, and a quiet line below; some can be tapped."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial

from kivy.uix.boxlayout import BoxLayout
from kivy.uix.gridlayout import GridLayout
from kivy.uix.widget import Widget

from kiosk.rules.words import _, say
from kiosk.screens.face import Choice, Trim
from kiosk.screens.header import headline
from kiosk.screens.productscreens import fill_up, page_of
from kiosk.theme import QUIET, WHITE, rgba
from kiosk.widgets.fitting import FitLabel
from kiosk.widgets.marks import Mark
from kiosk.widgets.panels import BigButton, Panel

ROWS = 4  # what fits above buttons of 20 mm


@dataclass(frozen=True, slots=True)
class Row:
    """One line of a list; without `act` it is only read."""

    words: str
    value: str = ""
    below: str = ""
    act: Callable[[], object] | None = None
    shape: str = ""


@dataclass(frozen=True, slots=True)
class Page:
    """A list as it is to be shown: its title, a line of explanation, rows, and the page."""

    title: str
    rows: Sequence[Row]
    line: str = ""
    number: int = 0
    columns: int = 2


class ListScreen(BoxLayout):
    """A page of rows above Back, the next page, and what else there is to do."""

    def __init__(
        self,
        trim: Trim,
        page: Page,
        *,
        turn: Callable[[int], object],
        back: Callable[[], object],
        more: Sequence[Choice] = (),
    ) -> None:
        sizes = trim.sizes
        super().__init__(orientation="vertical", padding=[sizes.gap] * 4, spacing=sizes.gap)
        size = page.columns * ROWS
        shown, pages = page_of(page.rows, page.number, size)
        number = page.number % pages
        self.add_widget(_head(trim, page, number, pages))
        grid = GridLayout(cols=page.columns, rows=ROWS, spacing=sizes.gap)
        self.rows: list[Widget] = []
        for row in shown:
            self.rows.append(_row(trim, row))
            grid.add_widget(self.rows[-1])
        fill_up(grid, size - len(shown))
        self.add_widget(grid)
        foot = BoxLayout(size_hint_y=None, height=sizes.touch, spacing=sizes.gap)
        self.back = BigButton(_("Back"), back, sizes=sizes, size_hint_x=0.6)
        foot.add_widget(self.back)
        self.turn: BigButton | None = None
        if pages > 1:
            act = partial(turn, (number + 1) % pages)
            self.turn = BigButton(_("Next page"), act, sizes=sizes, shape="arrow")
            foot.add_widget(self.turn)
        for choice in more:
            foot.add_widget(BigButton(choice.words, choice.act, sizes=sizes, shape=choice.shape))
        if pages == 1 and not more:
            foot.add_widget(Widget())
        self.add_widget(foot)


def _head(trim: Trim, page: Page, number: int, pages: int) -> BoxLayout:
    sizes = trim.sizes
    box = BoxLayout(orientation="vertical", size_hint_y=None)
    box.height = round(sizes.body * 1.25 + (sizes.small * 1.55 if page.line else 0))
    title = page.title
    if pages > 1:
        title = say("{title}, page {page} of {pages}", title=title, page=number + 1, pages=pages)
    box.add_widget(headline(trim, title))
    if page.line:
        label = FitLabel(
            ladder=sizes.ladder,
            text=page.line,
            most=round(sizes.small * 0.92),
            color=rgba(QUIET),
            size_hint_y=1.2,
        )
        box.add_widget(label)
    return box


def _row(trim: Trim, row: Row) -> Widget:
    sizes = trim.sizes
    if row.act is None:
        panel = Panel(
            fill=WHITE,
            line=max(1, sizes.outline // 3),
            padding=[sizes.gap * 1.2, sizes.gap * 0.6],
            spacing=sizes.gap,
        )
        if row.shape:
            side = round(sizes.small * 1.3)
            panel.add_widget(Mark(shape=row.shape, size_hint_x=None, width=side))
        panel.add_widget(_words(trim, row))
        return panel
    button = BigButton(row.words, row.act, sizes=sizes, most=sizes.small, shape=row.shape)
    button.remove_widget(button.label)
    button.add_widget(_words(trim, row, button.label))
    return button


def _words(trim: Trim, row: Row, label: FitLabel | None = None) -> BoxLayout:
    sizes = trim.sizes
    box, top = BoxLayout(orientation="vertical"), BoxLayout(spacing=sizes.gap, size_hint_y=1.1)
    if label is None:
        label = FitLabel(ladder=sizes.ladder, text=row.words, bold=True)
    label.halign, label.most = "left", round(sizes.small * 1.15)
    top.add_widget(label)
    if row.value:
        figure = FitLabel(ladder=sizes.ladder, text=row.value, bold=True, halign="right")
        figure.most, figure.size_hint_x = round(sizes.small * 1.15), 0.8
        top.add_widget(figure)
    box.add_widget(top)
    if row.below:
        most = round(sizes.small * 0.85)
        below = FitLabel(ladder=sizes.ladder, text=row.below, most=most, color=rgba(QUIET))
        box.add_widget(below)
    return box
