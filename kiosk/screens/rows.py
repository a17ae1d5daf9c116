"""A list as large rows, a page at a time: rows to tap, or only to read."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from kivy.uix.boxlayout import BoxLayout
from kivy.uix.gridlayout import GridLayout
from kivy.uix.widget import Widget

from kiosk.rules.words import _, say
from kiosk.screens.face import Choice, Trim
from kiosk.screens.header import headline, quiet_line
from kiosk.screens.productscreens import fill_up, page_foot, page_of
from kiosk.theme import QUIET, WHITE, rgba
from kiosk.widgets.fitting import FitLabel
from kiosk.widgets.marks import Mark
from kiosk.widgets.panels import BigButton, Panel, gap

ROWS = 4  # what fits above buttons of 20 mm


@dataclass(frozen=True, slots=True)
class Row:
    """One row: bold words, a value at their right, quiet words below, a mark.

    Without act it is only read; is_quiet says its words in grey.
    """

    words: str
    below: str = ""
    act: Callable[[], object] | None = None
    shape: str = ""
    value: str = ""
    is_quiet: bool = False


@dataclass(frozen=True, slots=True)
class Listed:
    """What a list shows: its title, a line below it, its rows; empty says what to do without any.

    columns is 2 for rows of few words, 1 for sentences.
    """

    title: str
    rows: Sequence[Row]
    line: str = ""
    empty: str = ""
    columns: int = 2


class ListScreen(BoxLayout):
    """One page of a list; extra stands at the foot, apart from what turns pages."""

    def __init__(
        self,
        trim: Trim,
        listed: Listed,
        *,
        turn: Callable[[int], object],
        back: Callable[[], object],
        page: int = 0,
        extra: Sequence[Choice] = (),
    ) -> None:
        sizes = trim.sizes
        super().__init__(orientation="vertical", padding=[sizes.gap] * 4, spacing=sizes.gap)
        count = listed.columns * ROWS
        shown, pages = page_of(listed.rows, page, count)
        title = listed.title
        if pages > 1:
            number = page % pages + 1
            title = say("{title}, page {n} of {pages}", title=title, n=number, pages=pages)
        head = headline(trim, title)
        head.size_hint_y, head.height = None, round(sizes.body * 1.1)
        self.add_widget(head)
        if listed.line:
            line = quiet_line(trim, listed.line)
            line.valign = "middle"
            line.size_hint_y, line.height = None, round(sizes.small * 1.05)
            self.add_widget(line)
        self.extra = tuple(extra)
        self.rows: list[Widget] = []
        self.add_widget(self._grid(trim, listed, shown))
        foot = page_foot(trim, page, pages=pages, turn=turn, back=back, words=_("More"))
        if extra:
            foot.add_widget(gap(sizes.apart))
        for one in extra:
            foot.add_widget(BigButton(one.words, one.act, sizes=sizes, shape=one.shape))
        self.add_widget(foot)

    def _grid(self, trim: Trim, listed: Listed, shown: Sequence[Row]) -> Widget:
        sizes = trim.sizes
        if not shown:
            label = FitLabel(ladder=sizes.ladder, text=listed.empty, most=sizes.body)
            label.halign = "center"
            return label
        grid = GridLayout(cols=listed.columns, rows=ROWS, spacing=sizes.gap)
        for row in shown:
            widget = _button(trim, row) if row.act else _plain(trim, row)
            self.rows.append(widget)
            grid.add_widget(widget)
        fill_up(grid, listed.columns * ROWS - len(shown))
        return grid


def _button(trim: Trim, row: Row) -> BigButton:
    """Return a row to tap."""
    assert row.act is not None
    button = BigButton(row.words, row.act, sizes=trim.sizes, shape=row.shape)
    button.remove_widget(button.label)
    button.add_widget(_lines(trim, button.label, row))
    return button


def _plain(trim: Trim, row: Row) -> Panel:
    """Return a row to read."""
    sizes = trim.sizes
    panel = Panel(fill=WHITE, padding=[sizes.gap * 1.2, sizes.gap * 0.5], spacing=sizes.gap)
    if row.shape:
        panel.add_widget(Mark(shape=row.shape, size_hint_x=None, width=sizes.body))
    label = FitLabel(ladder=sizes.ladder, text=row.words, bold=True)
    panel.add_widget(_lines(trim, label, row))
    return panel


def _lines(trim: Trim, label: FitLabel, row: Row) -> Widget:
    sizes = trim.sizes
    label.halign, label.most = "left", round(sizes.small * 1.15)
    if row.is_quiet:
        label.color = rgba(QUIET)
    top: Widget = label
    if row.value:
        figure = FitLabel(ladder=sizes.ladder, text=row.value, bold=True, halign="right")
        figure.most, figure.size_hint_x = label.most, 0.8
        top = BoxLayout(spacing=sizes.gap)
        top.add_widget(label)
        top.add_widget(figure)
    if not row.below:
        return top
    box = BoxLayout(orientation="vertical")
    box.add_widget(top)
    quiet = FitLabel(ladder=sizes.ladder, text=row.below, most=round(sizes.small * 0.9))
    quiet.color = rgba(QUIET)
    box.add_widget(quiet)
    return box


class MenuScreen(BoxLayout):
    """A title, a line, and large buttons in columns; with many a page at a time."""

    columns = 4

    def __init__(
        self,
        trim: Trim,
        title: str,
        choices: Sequence[Choice],
        *,
        back: Callable[[], object],
        turn: Callable[[int], object],
        page: int = 0,
        line: str = "",
    ) -> None:
        sizes = trim.sizes
        super().__init__(orientation="vertical", padding=[sizes.gap * 2] * 4, spacing=sizes.gap)
        shown, pages = page_of(
            choices, page, self.columns * ROWS - 2
        )  # More and Back fill four rows
        if pages > 1:
            more = Choice(_("More"), lambda: turn((page + 1) % pages), "arrow")
            shown = [*shown, more]
        shown = [*shown, Choice(_("Back"), back)]
        head = headline(trim, title)
        head.most = round(sizes.body * 1.3)
        head.size_hint_y, head.height = None, round(sizes.body * 1.6)
        self.add_widget(head)
        if line:
            told = quiet_line(trim, line)
            told.size_hint_y, told.height = None, round(sizes.small * 2.7)
            self.add_widget(told)
        self.buttons: list[BigButton] = []
        rows = max(3, -(-len(shown) // self.columns))
        grid = GridLayout(cols=self.columns, rows=rows, spacing=sizes.gap)
        for one in shown:
            button = BigButton(one.words, one.act, sizes=sizes, shape=one.shape)
            self.buttons.append(button)
            grid.add_widget(button)
        fill_up(grid, rows * self.columns - len(shown))
        self.add_widget(grid)


class WideMenu(MenuScreen):
    """The same in five columns, for many buttons of few words."""

    columns = 5
