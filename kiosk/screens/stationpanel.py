"""The panel of a station beside its due list: what its people need besides what is due."""

from __future__ import annotations

from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from kiosk.rules.viewlines import StationView, ViewLine
from kiosk.rules.words import Phrase, say
from kiosk.screens.answer import keep_units
from kiosk.screens.face import Trim
from kiosk.screens.header import headline
from kiosk.theme import GROUND, QUIET, STATES, rgba
from kiosk.widgets.fewer import FewerLabel
from kiosk.widgets.fitting import FitLabel
from kiosk.widgets.marks import Mark
from kiosk.widgets.panels import Panel

LINES = 3


class StationPanel(BoxLayout):
    """A title and as many lines as there is room for; what is left out is counted in the title."""

    def __init__(self, trim: Trim, view: StationView, *, lines: int = LINES) -> None:
        """Take how many lines there is room for."""
        sizes = trim.sizes
        super().__init__(orientation="vertical", spacing=sizes.gap)
        head = headline(trim, panel_title(view, lines))
        head.size_hint_y, head.height, head.most = None, round(sizes.small * 1.8), sizes.small
        self.add_widget(head)
        self.rows = [_row(trim, line) for line in view.lines[:lines]]
        for row in self.rows:
            self.add_widget(row)
        for _spare in range(lines - len(self.rows)):
            self.add_widget(Widget())


def panel_title(view: StationView, lines: int) -> str:
    """Return the title, with how many lines of how many are shown where not all are."""
    count = len(view.lines)
    if count <= lines:
        return view.title
    return say("{title} ({n} of {total})", title=view.title, n=lines, total=count)


def _row(trim: Trim, line: ViewLine) -> Panel:
    sizes = trim.sizes
    row = Panel(fill=GROUND, line=sizes.outline, spacing=sizes.gap)
    if line.state:
        look = STATES[line.state]
        badge = Panel(
            fill=look.fill,
            line=sizes.outline,
            padding=[sizes.gap * 0.6] * 4,
            size_hint_x=None,
            width=round(sizes.small * 1.9),
        )
        badge.add_widget(Mark(shape=look.shape, share=0.5, tint=look.text))
        row.add_widget(badge)
    left = 0 if line.state else sizes.gap
    words = BoxLayout(
        orientation="vertical", padding=[left, sizes.outline, sizes.gap * 0.6, sizes.outline]
    )
    words.add_widget(
        FitLabel(ladder=sizes.ladder, text=_kept(line.words), most=sizes.small, bold=True)
    )
    if line.more:
        more = FewerLabel(
            ladder=sizes.ladder,
            least=sizes.ladder[-1],
            most=round(sizes.small * 0.8),
            color=rgba(QUIET),
            size_hint_y=1.25,  # names and codes may take two lines
        )
        more.offer([_kept(text) for text in (line.more, line.brief) if text])
        words.add_widget(more)
    row.add_widget(words)
    return row


def _kept(text: str) -> str:
    # a phrase is translated by its label; only plain words may be changed here
    return text if isinstance(text, Phrase) else keep_units(text)
