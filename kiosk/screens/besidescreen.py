"""A drawing with rows to tap beside it: a wall with its facts, or with the order of hanging."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from kivy.uix.boxlayout import BoxLayout
from kivy.uix.gridlayout import GridLayout
from kivy.uix.widget import Widget
from PIL import Image

from kiosk.rules.cards import BACK, NUMBERS
from kiosk.rules.words import _, say
from kiosk.screens.answer import keep_units
from kiosk.screens.choices import add_number, goes_back
from kiosk.screens.face import Choice, Trim
from kiosk.screens.header import headline, quiet_line
from kiosk.screens.productscreens import RowButton, fill_up, page_of
from kiosk.screens.rows import Row
from kiosk.theme import INK, rgba
from kiosk.widgets.fitting import FitLabel
from kiosk.widgets.panels import BigButton
from kiosk.widgets.picture import Picture
from kiosk.widgets.sight import Sight

PANEL = 0.42  # of the width, beside the drawing (choice)
ROWS = 4  # of 20 mm that fit beside a drawing on the smallest screen


@dataclass(frozen=True, slots=True)
class Beside:
    """What such a screen shows: title, a word at its right, what was just done, drawing, rows.

    image None leaves the drawing out and says `empty` in its place. is_loud: `said` must not be
    overlooked.
    """

    title: str
    rows: Sequence[Row]
    image: Image.Image | None
    far: str = ""
    said: str = ""
    empty: str = ""
    columns: int = 1
    is_loud: bool = False


@dataclass(frozen=True, slots=True)
class BesideActs:
    """What it does; tap gets shares of the drawing's width and height, from its left top."""

    back: Callable[[], object]
    turn: Callable[[int], object]
    tap: Callable[[float, float], object] | None = None
    more: Sequence[Choice] = ()


class BesideScreen(BoxLayout):
    """It stays while one works at the wall: hanging takes longer than a screen left alone."""

    stays = True

    def __init__(self, trim: Trim, shown: Beside, acts: BesideActs, *, page: int = 0) -> None:
        sizes = trim.sizes
        super().__init__(orientation="vertical", padding=[sizes.gap] * 4, spacing=sizes.gap * 0.6)
        self._trim, self.shown, self._numbers = trim, shown, iter(NUMBERS)
        self.rows: list[RowButton] = []
        self.add_widget(self._head(shown))
        self.said = quiet_line(trim, keep_units(shown.said))
        self.said.bold, self.said.valign = shown.is_loud, "middle"
        self.said.size_hint_y, self.said.height = None, round(sizes.small * 1.3)
        if shown.is_loud:
            self.said.color = rgba(INK)
        self.add_widget(self.said)
        on_page, pages = page_of(shown.rows, page, ROWS * shown.columns)
        side = self._side(on_page)
        side.size_hint_x = PANEL
        self.picture = self._picture(acts)
        self.picture.size_hint_x = 1 - PANEL
        middle = BoxLayout(spacing=sizes.gap)
        for widget in (side, self.picture) if trim.left_handed else (self.picture, side):
            middle.add_widget(widget)
        self.add_widget(middle)
        choices = [Choice(_("Back"), acts.back, card=BACK)]
        if pages > 1:
            number = page % pages + 1
            words = say("More, {n} of {pages}", n=number, pages=pages)
            choices.append(Choice(words, lambda: acts.turn((page + 1) % pages), "arrow"))
        choices += acts.more
        self.add_widget(self._foot(choices))
        # by number as on every question: the rows first, then what stands at the foot
        rows = (Choice(row.words, row.act) for row in on_page if row.act is not None)
        self.asked = (*rows, *choices)

    def tell(self, words: str) -> None:
        """Say something in place of what was just done."""
        self.said.text = words

    def _head(self, shown: Beside) -> Widget:
        sizes = self._trim.sizes
        row = BoxLayout(size_hint_y=None, height=round(sizes.body * 1.05), spacing=sizes.gap)
        row.add_widget(headline(self._trim, keep_units(shown.title)))
        if shown.far:
            far = headline(self._trim, shown.far, share=0.55)
            far.halign = "right"
            row.add_widget(far)
        return row

    def _picture(self, acts: BesideActs) -> Widget:
        image = self.shown.image
        if image is None:
            sizes = self._trim.sizes
            label = FitLabel(ladder=sizes.ladder, text=self.shown.empty, most=sizes.body)
            label.halign = "center"
            return label
        return Picture(image) if acts.tap is None else Sight(image, acts.tap)

    def _side(self, rows: Sequence[Row]) -> Widget:
        sizes = self._trim.sizes
        grid = GridLayout(cols=self.shown.columns, rows=ROWS, spacing=sizes.gap * 0.8)
        for row in rows:
            assert row.act is not None, "every row here leads somewhere"
            button = RowButton(
                self._trim, row.words, row.act, below=row.below, value=row.value, shape=row.shape
            )
            self._number(button)
            self.rows.append(button)
            grid.add_widget(button)
        fill_up(grid, ROWS * self.shown.columns - len(rows))
        return grid

    def _number(self, button: BigButton) -> None:
        number = next(self._numbers, "")
        if number:
            add_number(button, number, self._trim)

    def _foot(self, choices: Sequence[Choice]) -> BoxLayout:
        sizes = self._trim.sizes
        row = BoxLayout(size_hint_y=None, height=sizes.touch, spacing=sizes.gap)
        buttons = []
        for one in choices:
            button = BigButton(one.words, one.act, sizes=sizes, shape=one.shape)
            button.label.most = round(sizes.small * 1.25)
            if not goes_back(one):
                self._number(button)
            buttons.append(button)
        buttons[0].size_hint_x = 0.7
        for button in reversed(buttons) if self._trim.left_handed else buttons:
            row.add_widget(button)
        return row


def picture_room(trim: Trim, panel: float = PANEL) -> tuple[int, int]:
    """Return the pixels there are for the drawing beside a panel of a share of the width.

    It is that of a sheet too: one head, one line, and one row of buttons stand above and below.
    """
    sizes = trim.sizes
    wide = (sizes.width - 3 * sizes.gap) * (1 - panel)
    heads = round(sizes.body * 1.05) + round(sizes.small * 1.3)
    tall = sizes.height - 2 * sizes.gap - heads - sizes.touch - 3 * sizes.gap * 0.6
    return int(wide), int(tall)
