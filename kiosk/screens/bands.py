"""Three giant answers: how many rest, how many are due a coat, how many are ready to hang."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from kivy.uix.boxlayout import BoxLayout
from kivy.uix.gridlayout import GridLayout

from kiosk.language import shown
from kiosk.rules.words import join, say
from kiosk.screens.face import Trim
from kiosk.theme import STATES, Sizes, rgba
from kiosk.widgets.fewer import line_height
from kiosk.widgets.fitting import FitLabel, measure
from kiosk.widgets.marks import Mark
from kiosk.widgets.panels import Panel

if TYPE_CHECKING:
    from kiosk.rules.floor import Band, Floor

_SAMPLE = "G00"


def pick_lines(band: Band, *, rows: int, columns: int) -> tuple[str, ...]:
    """Return what is said of a band's units in a table of rows and columns, row by row.

    Where one column holds all of them, each has its word; else names alone, and how many more there
    are.
    """
    if band.words and band.count == len(band.names) <= rows:
        return tuple(join(both, "   ") for both in zip(band.names, band.words, strict=True))
    room = rows * columns
    if band.count <= min(room, len(band.names)):
        return band.names
    names = band.names[: max(room - 1, 0)]
    return (*names, say("+{n} more", n=band.count - len(names)))


class BandsBody(BoxLayout):
    """One band per question: mark, count, word, and the first names."""

    def __init__(self, trim: Trim, floor: Floor) -> None:
        super().__init__(orientation="vertical")
        titles = [band.title for band in floor.bands]
        self.rows = [BandRow(trim.sizes, band, titles) for band in floor.bands]
        for row in self.rows:
            self.add_widget(row)

    def show(self, floor: Floor) -> None:
        """Show the counts and names of a floor."""
        for row, band in zip(self.rows, floor.bands, strict=False):
            row.show(band)


class BandRow(Panel):
    """One band; its names stand in a table where they can be read, else it is the count alone."""

    def __init__(self, sizes: Sizes, band: Band, titles: Sequence[str]) -> None:
        """Take all titles, so that the names of all bands stand below one another."""
        look = STATES.get(band.state, STATES["other"])
        super().__init__(
            fill=look.fill,
            line=sizes.outline,
            padding=[sizes.gap * 3, sizes.outline],
            spacing=sizes.gap * 2,
        )
        self._sizes, self._tint = sizes, rgba(look.text)
        # a size no smaller than from across the shop, and no larger than names may be beside counts
        self._size = max(sizes.board, min(sizes.answer // 2, round(sizes.height * 0.07)))
        giant, tall = round(sizes.height * 0.26), round(sizes.height * 0.1)
        self.mark = Mark(
            shape=look.shape,
            share=0.35,
            tint=look.text,
            size_hint_x=None,
            width=round(sizes.height * 0.17),
        )
        self.count = self._label(bold=True, most=giant, size_hint_x=None)
        wide = measure("00", font_size=round(giant * 0.9), bold=True, width=None)[0]
        self.count.width = wide + 4
        self.title = self._label(bold=True, most=max(tall, sizes.board_least), size_hint_x=None)
        self.table = GridLayout(cols=1)
        for widget in (self.mark, self.count, self.title, self.table):
            self.add_widget(widget)
        self._band, self._titles = band, [shown(title) for title in titles]
        self.fbind("size", self._lay_out)
        self.show(band)

    def _label(self, **kwargs: Any) -> FitLabel:
        sizes = self._sizes
        return FitLabel(ladder=sizes.ladder, least=sizes.board_least, color=self._tint, **kwargs)

    def show(self, band: Band) -> None:
        """Show a count and its names."""
        self._band = band
        self.count.text, self.title.text = str(band.count), band.title
        self._lay_out()

    def _lay_out(self, *_: object) -> None:
        """Give the title its width, then as many names as can be read in what is left."""
        if min(self.width, self.height) < 2:
            return
        taken = self.padding[0] * 2 + self.spacing * 3 + self.mark.width + self.count.width
        left = self.width - taken
        size = int(self.title.most)
        while size > self._sizes.board_least and self._widest_title(size) > left * 0.5:
            size = max(self._sizes.board_least, round(size / 1.12))
        self.title.width = min(self._widest_title(size), left)
        self._fill(left - self.title.width)

    def _fill(self, left: float) -> None:
        rows = int((self.height - self.padding[1] * 2) // line_height(self._size))
        cell = self._wide(_SAMPLE, self._size, bold=False) + self._size * 0.7
        columns = int(left // cell)
        lines: tuple[str, ...] = ()
        if rows and columns and self._band.count:
            lines = pick_lines(self._band, rows=rows, columns=columns)
            while len(lines) > 1 and columns > 1 and self._widest(lines) > left / columns:
                columns -= 1  # long names: fewer of them
                lines = pick_lines(self._band, rows=rows, columns=columns)
            if len(lines) <= rows and self._widest(lines) <= left:
                columns = 1
        self.table.clear_widgets()
        self.table.cols = max(columns, 1)
        for line in lines:
            self.table.add_widget(self._label(text=line, most=self._size))

    def _widest_title(self, size: int) -> int:
        return max(self._wide(title, size) for title in self._titles)

    def _widest(self, lines: tuple[str, ...]) -> int:
        return max(self._wide(shown(line), self._size, bold=False) for line in lines)

    @staticmethod
    def _wide(text: str, size: int, *, bold: bool = True) -> int:
        return measure(text, font_size=size, bold=bold, width=None)[0] + 4
