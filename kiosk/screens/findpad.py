"""Letters and digits for finding a part by unit, name, size or code."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from kivy.uix.boxlayout import BoxLayout
from kivy.uix.gridlayout import GridLayout

from kiosk.rules.cards import BACK, YES
from kiosk.rules.words import _
from kiosk.screens.face import Choice, Trim
from kiosk.theme import INK, WHITE
from kiosk.widgets.fitting import FitLabel
from kiosk.widgets.panels import BigButton, Panel

# Nine in a row is what fits a 10-inch screen with keys of 20 mm: 26 letters and 10 digits fill it.
_COLUMNS = 9
KEYS = "123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ0"
LONGEST = 24  # several short words (choice)
HINT = _("Unit, part, size or code. Several words narrow it: G05 600")


class FindPad(BoxLayout):
    """What was typed, Back, Space, Delete, Find, and the keys, also those of a keyboard.

    A scan works here as everywhere.
    """

    def __init__(
        self,
        trim: Trim,
        *,
        use: Callable[[str], object],
        back: Callable[[], object],
        typed: str = "",
        wrong: str = "",
        mark: str = ".",
    ) -> None:
        """Take `mark`, the sign that stands in sizes besides digits: 603.5, or 3/4 in inches."""
        sizes = trim.sizes
        super().__init__(orientation="vertical", padding=[sizes.gap] * 4, spacing=sizes.gap)
        self._use, self.typed = use, typed
        self.asked = (Choice("", self.enter, card=YES), Choice("", back, card=BACK))
        self.keys: dict[str, BigButton] = {}
        self.add_widget(self._top(trim, back, wrong, mark))
        grid = GridLayout(cols=_COLUMNS, spacing=sizes.gap)
        for letter in KEYS:
            key = BigButton(
                letter,
                partial(self._press, letter),
                sizes=sizes,
                most=round(sizes.touch * 0.5),
                padding=[sizes.gap / 2] * 4,
            )
            self.keys[letter] = key
            grid.add_widget(key)
        self.add_widget(grid)
        self._show()

    def _top(self, trim: Trim, back: Callable[[], object], wrong: str, mark: str) -> BoxLayout:
        sizes = trim.sizes
        row = BoxLayout(spacing=sizes.gap, size_hint_y=None, height=round(sizes.touch * 1.3))
        self.back = BigButton(_("Back"), back, sizes=sizes, size_hint_x=0.3)
        self.find = BigButton(
            _("Find"), self.enter, sizes=sizes, shape="tick", fill=INK, ink=WHITE, size_hint_x=0.42
        )
        field = Panel(
            orientation="vertical",
            fill=WHITE,
            line=sizes.outline,
            padding=[sizes.gap, sizes.gap * 0.4],
        )
        self.shown = FitLabel(ladder=sizes.ladder, text="", bold=True, most=sizes.touch // 2)
        self.shown.halign = "center"
        self.hint = FitLabel(ladder=sizes.ladder, text=wrong or HINT, halign="center")
        self.hint.most, self.hint.bold, self.hint.size_hint_y = sizes.small, bool(wrong), 0.8
        field.add_widget(self.shown)
        field.add_widget(self.hint)
        row.add_widget(self.back)
        row.add_widget(field)
        for words in (mark, _("Space"), _("Delete")):
            act = partial(self._press, words)
            key = BigButton(words, act, sizes=sizes, size_hint_x=0.28, padding=[sizes.gap / 2] * 4)
            key.label.most = round(sizes.touch * 0.5 if words == mark else sizes.small * 1.1)
            self.keys[words] = key
            row.add_widget(key)
        row.add_widget(self.find)
        return row

    def _press(self, name: str) -> None:
        if name == "Delete":
            self.typed = self.typed[:-1]
        elif len(self.typed) < LONGEST:
            # one space between words is enough, and none is wanted in front
            space = " " if self.typed and not self.typed.endswith(" ") else ""
            self.typed += space if name == "Space" else name
        self._show()

    def type_letters(self, text: str) -> None:
        """Take characters typed on a real keyboard."""
        for letter in text:
            if letter.isprintable():
                self._press("Space" if letter == " " else letter)

    def rub_out(self) -> None:
        """Take the last character back."""
        self._press("Delete")

    def put_back(self, typed: str) -> None:
        """Show again what stood here before a scanner typed over it."""
        self.typed = typed
        self._show()

    def enter(self) -> None:
        """Look for what was typed."""
        if self.typed.strip():
            self._use(self.typed.strip())

    def _show(self) -> None:
        self.shown.text = f"{self.typed}_"
