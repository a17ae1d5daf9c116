"""A list of parts as large rows, a page at a time: tap one."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

from kivy.uix.boxlayout import BoxLayout
from kivy.uix.gridlayout import GridLayout

from kiosk.rules.words import _, join, say
from kiosk.screens.face import Choice, Trim
from kiosk.screens.header import headline, quiet_line
from kiosk.screens.partview import PartLine, PartsView
from kiosk.screens.productscreens import RowButton, fill_up, page_foot, page_of
from kiosk.widgets.panels import BigButton, gap

ROWS = 4  # of two columns


@dataclass(frozen=True, slots=True)
class PartActs:
    """What a list of parts does; extra stands at the foot, apart from what turns pages."""

    pick: Callable[[PartLine], object]
    page: Callable[[int], object]
    back: Callable[[], object]
    extra: Choice | None = None


class PartsScreen(BoxLayout):
    """One page: a title, a line about what was just done, and the rows.

    stays: it does not go home when left alone.
    """

    stays = False

    def __init__(
        self,
        trim: Trim,
        view: PartsView,
        acts: PartActs,
        *,
        title: str,
        said: str = "",
        page: int = 0,
    ) -> None:
        sizes = trim.sizes
        super().__init__(orientation="vertical", padding=[sizes.gap] * 4, spacing=sizes.gap)
        self.page = page
        shown, pages = page_of(view.lines, page, 2 * ROWS)
        if pages > 1:
            title = say(
                "{title}, page {page} of {pages}", title=title, page=page % pages + 1, pages=pages
            )
        head = headline(trim, title)
        head.size_hint_y, head.height = None, round(sizes.body * 1.15)
        self.add_widget(head)
        self.said = quiet_line(trim, said)
        self.said.bold, self.said.valign = True, "middle"
        self.said.size_hint_y, self.said.height = None, round(sizes.small * 1.2)
        self.add_widget(self.said)
        self.rows: dict[str, RowButton] = {}
        grid = GridLayout(cols=2, rows=ROWS, spacing=sizes.gap)
        for line in shown:
            self.rows[line.code] = _row(trim, line, acts)
            grid.add_widget(self.rows[line.code])
        fill_up(grid, 2 * ROWS - len(shown))
        self.add_widget(grid)
        foot = page_foot(
            trim, page, pages=pages, turn=acts.page, back=acts.back, words=_("More parts")
        )
        if acts.extra is not None:
            foot.add_widget(gap(sizes.apart))
            extra = acts.extra
            foot.add_widget(BigButton(extra.words, extra.act, sizes=sizes, shape=extra.shape))
        self.add_widget(foot)

    def tell(self, words: str) -> None:
        """Say something in place of what was just done."""
        self.said.text = words


def _row(trim: Trim, line: PartLine, acts: PartActs) -> RowButton:
    below = join((line.below, line.times), "; ")
    shape = "tick" if line.is_done else ""
    return RowButton(trim, line.title, partial(acts.pick, line), below=below, shape=shape)
