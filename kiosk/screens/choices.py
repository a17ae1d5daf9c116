"""A title and a few large buttons: reasons, offers, stations and kinds of problem."""

from __future__ import annotations

import math
from collections.abc import Sequence

from kivy.uix.boxlayout import BoxLayout
from kivy.uix.gridlayout import GridLayout

from kiosk.rules.cards import BACK, NUMBERS
from kiosk.screens.face import Choice, Trim
from kiosk.screens.header import headline
from kiosk.widgets.fitting import FitLabel, measure
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
        self.head, self._sizes = head, sizes
        self.add_widget(head)
        columns = columns or (1 if len(choices) <= 3 else 2)
        # many buttons: one size for all, so that none looks more important than the others
        most = most or (sizes.body if len(choices) <= 4 else round(sizes.small * 1.08))
        self.asked = tuple(choices)
        self.buttons: list[BigButton] = []
        numbers = iter(NUMBERS)
        grid = GridLayout(cols=columns, rows=math.ceil(len(choices) / columns), spacing=sizes.gap)
        for choice in choices:
            button = BigButton(choice.words, choice.act, sizes=sizes, shape=choice.shape, most=most)
            if not goes_back(choice) and (number := next(numbers, "")):
                add_number(button, number, trim)
            self.buttons.append(button)
            grid.add_widget(button)
        self._rows = grid.rows
        self.add_widget(grid)
        self.fbind("size", self._share)
        head.fbind("text", self._share)

    def _share(self, *_: object) -> None:
        """Give the line what its words need, as far as buttons stay as high as a finger needs."""
        sizes, head = self._sizes, self.head
        room = self.height - self._rows * (sizes.touch + sizes.gap)
        size, width = int(head.most), int(self.width)
        wanted = measure(head.text, font_size=size, bold=True, width=width)[1]
        head.height = max(round(sizes.small * 2.6), min(wanted, room))


def add_number(button: BigButton, number: str, trim: Trim) -> None:
    """Show the number by which a card, or a key of a keyboard, taps this button."""
    sizes = trim.sizes
    label = FitLabel(ladder=sizes.ladder, text=number, most=round(sizes.small * 0.8))
    label.size_hint_x, label.width = None, round(sizes.small * 0.7)
    label.valign = "top"
    # children stand in reverse order: the last is drawn first from the left
    button.add_widget(label, index=len(button.children))


def goes_back(choice: Choice) -> bool:
    """Tell whether a choice only leads back: it has no number, and the card Back taps it."""
    return choice.card == BACK or choice.words == "Back"


def pick_number(choices: Sequence[Choice], number: str) -> Choice | None:
    """Return the choice that shows this number, or None."""
    shown = [choice for choice in choices if not goes_back(choice)]
    at = NUMBERS.index(number) if number in NUMBERS else len(shown)
    return shown[at] if at < len(shown) else None
