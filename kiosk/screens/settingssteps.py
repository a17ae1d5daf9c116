"""Figures changed by taps on less and more: slots of places, a time of day, a screen's size."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from kivy.uix.boxlayout import BoxLayout
from kivy.uix.gridlayout import GridLayout
from kivy.uix.widget import Widget

from kiosk.screens.face import Choice, Trim
from kiosk.screens.figurepad import MINUS
from kiosk.screens.header import headline
from kiosk.theme import QUIET, rgba
from kiosk.widgets.fitting import FitLabel
from kiosk.widgets.panels import BigButton

MOST_STEPS = 4  # rows of 20 mm above one row of choices; three above two


Leap = tuple[str, Callable[[], object]]  # what stands on the key, and what it does


@dataclass(frozen=True, slots=True)
class Step:
    """One figure: what it is, how it is said, and what less and more do."""

    words: str
    value: str
    less: Callable[[], object]
    more: Callable[[], object]
    far: tuple[Leap, ...] = ()  # larger steps, none or one each way


class StepsScreen(BoxLayout):
    """A title, a line of explanation, rows of less and more, and large buttons.

    Less and more change what is shown by `tell`: a new screen at each tap would swallow fast taps.
    """

    def __init__(
        self,
        trim: Trim,
        title: str,
        steps: Sequence[Step],
        choices: Sequence[Choice],
        *,
        line: str = "",
    ) -> None:
        sizes = trim.sizes
        super().__init__(
            orientation="vertical", padding=[sizes.gap * 2] * 4, spacing=round(sizes.gap * 1.2)
        )
        head = headline(trim, title)
        head.size_hint_y, head.height = None, round(sizes.body * 1.4)
        self.add_widget(head)
        most = round(sizes.small * 0.92)
        said = FitLabel(ladder=sizes.ladder, text=line, most=most, color=rgba(QUIET))
        said.size_hint_y, said.height = None, round(sizes.small * 2.4)
        self.add_widget(said)
        self.less: list[BigButton] = []
        self.more: list[BigButton] = []
        self.far: list[BigButton] = []
        self._values: list[FitLabel] = []
        for step in steps:
            self.add_widget(self._row(trim, step))
        self.repeats = (*self.less, *self.more, *self.far)
        self.add_widget(Widget())
        self.buttons = [
            BigButton(one.words, one.act, sizes=sizes, shape=one.shape) for one in choices
        ]
        columns = 3
        rows = -(-len(choices) // columns)
        height = rows * sizes.touch + (rows - 1) * sizes.gap
        grid = GridLayout(cols=columns, size_hint_y=None, height=height, spacing=sizes.gap)
        for button in self.buttons:
            grid.add_widget(button)
        self.add_widget(grid)

    def tell(self, values: Sequence[str]) -> None:
        """Say the figures anew, one for each step."""
        for label, value in zip(self._values, values, strict=True):
            label.text = value

    def _row(self, trim: Trim, step: Step) -> BoxLayout:
        sizes = trim.sizes
        row = BoxLayout(size_hint_y=None, height=sizes.touch, spacing=sizes.gap)
        name = FitLabel(ladder=sizes.ladder, text=step.words, bold=True, most=sizes.body)
        value = FitLabel(ladder=sizes.ladder, text=step.value, bold=True, most=sizes.body)
        value.halign, value.size_hint_x = "center", 0.6
        self._values.append(value)
        self.less.append(self._key(trim, MINUS, step.less))
        self.more.append(self._key(trim, "+", step.more))
        far = [self._key(trim, words, act) for words, act in step.far]
        for key in far:
            key.label.most = sizes.body
        for key in (*far, self.less[-1], self.more[-1]) if far else ():
            key.width = round(sizes.touch * 1.1)
        self.far += far
        for widget in (name, *far[:1], self.less[-1], value, self.more[-1], *far[1:]):
            row.add_widget(widget)
        return row

    @staticmethod
    def _key(trim: Trim, words: str, act: Callable[[], object]) -> BigButton:
        sizes = trim.sizes
        most, width = round(sizes.touch * 0.5), round(sizes.touch * 1.5)
        return BigButton(words, act, sizes=sizes, most=most, size_hint_x=None, width=width)
