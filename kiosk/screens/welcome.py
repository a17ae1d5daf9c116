"""The welcome to a new shop: where to begin, and in which language."""

from __future__ import annotations

from collections.abc import Sequence

from kivy.uix.gridlayout import GridLayout

from kiosk.rules.cards import NUMBERS
from kiosk.screens.choices import add_number
from kiosk.screens.face import Choice, Trim
from kiosk.screens.flow import AskScreen
from kiosk.widgets.panels import BigButton

_COLUMNS = 4  # names of languages beside each other


class WelcomeScreen(AskScreen):
    """The ways to begin, and below them each language by its own name."""

    def __init__(
        self,
        trim: Trim,
        title: str,
        choices: Sequence[Choice],
        tongues: Sequence[Choice],
        *,
        line: str = "",
    ) -> None:
        super().__init__(trim, title, choices, line=line)
        sizes = trim.sizes
        columns = min(len(tongues), _COLUMNS)
        rows = -(-len(tongues) // columns)
        height = rows * sizes.touch + (rows - 1) * sizes.gap
        grid = GridLayout(cols=columns, size_hint_y=None, height=height, spacing=sizes.gap)
        self.tongues: list[BigButton] = []
        numbers = NUMBERS[len(choices) :]
        for place, one in enumerate(tongues):
            button = BigButton(one.words, one.act, sizes=sizes, shape=one.shape)
            if place < len(numbers):
                add_number(button, numbers[place], trim)
            self.tongues.append(button)
            grid.add_widget(button)
        self.asked = (*self.asked, *tongues)
        self.add_widget(grid)
