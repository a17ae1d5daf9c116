"""A title and a few large buttons: reasons, offers, stations and kinds of problem."""

from __future__ import annotations

import math
from collections.abc import Sequence

from kivy.uix.boxlayout import BoxLayout
from kivy.uix.gridlayout import GridLayout

from kiosk.screens.face import Choice, Trim
from kiosk.screens.header import headline
from kiosk.widgets.panels import BigButton


class Choices(BoxLayout):
    """Buttons in one or two columns, none lower than a gloved finger needs."""

    def __init__(
        self,
        trim: Trim,
        title: str,
        choices: Sequence[Choice],
        *,
        columns: int = 0,
        most: int = 0,
    ) -> None:
        """Take the font size of the buttons as `most`; 0 fits them beside an answer."""
        sizes = trim.sizes
        super().__init__(orientation="vertical", spacing=sizes.gap)
        head = headline(trim, title)
        head.size_hint_y, head.height = None, round(sizes.small * 2.6)
        head.most = round(sizes.small * 1.2)
        self.add_widget(head)
        columns = columns or (1 if len(choices) <= 3 else 2)
        # many buttons: one size for all, so that none looks more important than the others
        most = most or (sizes.body if len(choices) <= 4 else round(sizes.small * 1.08))
        self.buttons: list[BigButton] = []
        grid = GridLayout(cols=columns, rows=math.ceil(len(choices) / columns), spacing=sizes.gap)
        for choice in choices:
            button = BigButton(choice.words, choice.act, sizes=sizes, shape=choice.shape, most=most)
            self.buttons.append(button)
            grid.add_widget(button)
        self.add_widget(grid)
