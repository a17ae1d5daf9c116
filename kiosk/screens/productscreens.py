"""The list of products, and the figures of one: rows to be tapped, a page at a time."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from typing import TypeVar

from kivy.uix.boxlayout import BoxLayout
from kivy.uix.gridlayout import GridLayout
from kivy.uix.widget import Widget

from kiosk.language import shown
from kiosk.rules.words import _, join, say, shaped
from kiosk.screens.answer import keep_units
from kiosk.screens.face import Trim
from kiosk.screens.header import headline
from kiosk.screens.productview import ProductLine, ProductView, StageLine
from kiosk.theme import INK, QUIET, WHITE, rgba
from kiosk.widgets.fitting import FitLabel
from kiosk.widgets.panels import BigButton, Panel, gap

_LONG = 9  # letters of a value from which on it takes more of a row (choice)
_Line = TypeVar("_Line")
LIST_ROWS, STAGE_ROWS = 4, 3  # of two columns each; what fits above buttons of 20 mm


@dataclass(frozen=True, slots=True)
class ProductActs:
    """What a product's screen does."""

    set_figure: Callable[[str], object]  # a stage
    confirm: Callable[[], object]
    accept: Callable[[], object]
    page: Callable[[int], object]
    back: Callable[[], object]


class RowButton(BigButton):
    """A button of two lines: bold words with a value at their right, and quiet words below."""

    def __init__(
        self,
        trim: Trim,
        words: str,
        act: Callable[[], object],
        *,
        below: str,
        value: str = "",
        shape: str = "",
    ) -> None:
        sizes = trim.sizes
        super().__init__(words, act, sizes=sizes, most=sizes.small, shape=shape)
        self.remove_widget(self.label)
        self.label.halign, self.label.most = "left", round(sizes.small * 1.25)
        box = BoxLayout(orientation="vertical")
        top = BoxLayout(spacing=sizes.gap, size_hint_y=1.15)
        top.add_widget(self.label)
        if value:
            figure = FitLabel(
                ladder=sizes.ladder,
                text=shaped(value, lambda words: words.replace(" ", "\u00a0")),
                bold=True,
                most=round(sizes.small * 1.4),
                halign="right",
                size_hint_x=0.7 if len(shown(value)) > _LONG else 0.4,
            )
            top.add_widget(figure)
        box.add_widget(top)
        box.add_widget(
            FitLabel(
                ladder=sizes.ladder,
                text=keep_units(below),
                most=round(sizes.small * 0.85),
                color=rgba(QUIET),
            )
        )
        self.add_widget(box)


class ProductsScreen(BoxLayout):
    """One page of the list; products in use come first, a dot marks those with typical figures."""

    def __init__(
        self,
        trim: Trim,
        lines: Sequence[ProductLine],
        *,
        page: int,
        pick: Callable[[str], object],
        turn: Callable[[int], object],
        back: Callable[[], object],
    ) -> None:
        sizes = trim.sizes
        super().__init__(orientation="vertical", padding=[sizes.gap] * 4, spacing=sizes.gap)
        shown, pages = page_of(lines, page, 2 * LIST_ROWS)
        head = headline(trim, _title(lines, page, pages))
        head.size_hint_y, head.height = None, round(sizes.body * 1.5)
        self.add_widget(head)
        self.rows: dict[str, RowButton] = {}
        grid = GridLayout(cols=2, rows=LIST_ROWS, spacing=sizes.gap)
        for line in shown:
            below = say("in use; {about}", about=line.below) if line.in_use else line.below
            shape = "dot" if line.in_use and line.typical else ""
            act = partial(pick, line.key)
            self.rows[line.key] = RowButton(trim, line.title, act, below=below, shape=shape)
            grid.add_widget(self.rows[line.key])
        fill_up(grid, 2 * LIST_ROWS - len(shown))
        self.add_widget(grid)
        self.add_widget(page_foot(trim, page, pages=pages, turn=turn, back=back))


def _title(lines: Sequence[ProductLine], page: int, pages: int) -> str:
    count = sum(one.in_use and one.typical for one in lines)
    title = _("Products")
    if pages > 1:
        title = say(
            "{title}, page {page} of {pages}", title=title, page=page % pages + 1, pages=pages
        )
    if not count:
        return title
    return say(
        "{title}: figures of {n} in use are typical, not from the label", title=title, n=count
    )


class ProductScreen(BoxLayout):
    """One product: reference air, limits, cautions, what was found, and its figures by stage."""

    def __init__(self, trim: Trim, view: ProductView, *, page: int, acts: ProductActs) -> None:
        sizes = trim.sizes
        super().__init__(orientation="vertical", padding=[sizes.gap] * 4, spacing=sizes.gap)
        self._trim = trim
        self._rows = STAGE_ROWS - bool(view.proposals)  # what was found takes the room of a row
        shown, pages = page_of(view.stages, page, 2 * self._rows)
        head = headline(trim, view.title)
        head.size_hint_y, head.height = None, round(sizes.body * 1.3)
        self.add_widget(head)
        self.add_widget(self._about(view))
        self.accept: BigButton | None = None
        if view.proposals:
            self.add_widget(self._proposal(view, acts))
        self.rows: dict[str, RowButton] = {}
        self.add_widget(self._stages(shown, acts))
        self.add_widget(self._foot(view, page, pages=pages, acts=acts))

    def _about(self, view: ProductView) -> Widget:
        sizes = self._trim.sizes
        box = BoxLayout(orientation="vertical", size_hint_y=None, height=round(sizes.small * 5))
        # cautions may take two lines where no findings need the room
        lines: list[tuple[str, str, float]] = [(join((view.about, view.limits), ". "), INK, 1.0)]
        if view.cautions:
            lines.append((view.cautions, QUIET, 1.4))
        for words, tint, share in lines:
            box.add_widget(
                FitLabel(
                    ladder=sizes.ladder,
                    text=keep_units(words),
                    most=round(sizes.small * 0.92),
                    color=rgba(tint),
                    size_hint_y=share,
                )
            )
        return box

    def _proposal(self, view: ProductView, acts: ProductActs) -> Panel:
        sizes = self._trim.sizes
        best = view.proposals[0]
        row = Panel(
            fill=WHITE,
            line=sizes.outline,
            size_hint_y=None,
            height=sizes.touch,
            padding=[sizes.gap * 1.2, 0, 0, 0],
            spacing=sizes.gap,
        )
        more = len(view.proposals) - 1
        words = say("{words} And {n} more.", words=best.words, n=more) if more else best.words
        row.add_widget(FitLabel(ladder=sizes.ladder, text=words, most=round(sizes.small * 0.9)))
        if view.can_accept:
            self.accept = BigButton(_("Accept"), acts.accept, sizes=sizes, size_hint_x=0.2)
            row.add_widget(self.accept)
        return row

    def _stages(self, shown: Sequence[StageLine], acts: ProductActs) -> GridLayout:
        sizes = self._trim.sizes
        grid = GridLayout(cols=2, rows=self._rows, spacing=sizes.gap)
        for line in shown:
            row = RowButton(
                self._trim,
                line.words,
                partial(acts.set_figure, line.stage),
                below=line.who,
                value=line.time,
            )
            self.rows[line.stage] = row
            grid.add_widget(row)
        fill_up(grid, 2 * self._rows - len(shown))
        return grid

    def _foot(self, view: ProductView, page: int, *, pages: int, acts: ProductActs) -> BoxLayout:
        sizes = self._trim.sizes
        row = page_foot(
            self._trim, page, pages=pages, turn=acts.page, back=acts.back, words=_("More figures")
        )
        self.confirm: BigButton | None = None
        if view.typical:
            self.confirm = BigButton(
                _("All as on the label"), acts.confirm, sizes=sizes, shape="tick"
            )
            row.add_widget(gap(sizes.apart))
            row.add_widget(self.confirm)
        return row


def page_of(lines: Sequence[_Line], page: int, size: int) -> tuple[Sequence[_Line], int]:
    """Return the lines of a page, counted round and round, and how many pages there are."""
    pages = max(1, -(-len(lines) // size))
    start = page % pages * size
    return lines[start : start + size], pages


def fill_up(grid: GridLayout, count: int) -> None:
    """Add empty cells."""
    for _row in range(count):
        grid.add_widget(Widget())


def page_foot(
    trim: Trim,
    page: int,
    *,
    pages: int,
    turn: Callable[[int], object],
    back: Callable[[], object],
    words: str = _("More products"),
) -> BoxLayout:
    """Return the row below a page of a list: Back, and the next page where there is one."""
    sizes = trim.sizes
    row = BoxLayout(size_hint_y=None, height=sizes.touch, spacing=sizes.gap)
    row.add_widget(BigButton(_("Back"), back, sizes=sizes, size_hint_x=0.6))
    if pages > 1:
        more = partial(turn, (page + 1) % pages)
        row.add_widget(BigButton(words, more, sizes=sizes, shape="arrow"))
    else:
        row.add_widget(Widget())
    return row
