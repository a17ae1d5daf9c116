"""The number pad: type the code that stands on the label, on the screen or on a keyboard."""

from __future__ import annotations

from collections.abc import Callable

from kivy.uix.boxlayout import BoxLayout
from kivy.uix.gridlayout import GridLayout

from kiosk.rules.cards import BACK, YES
from kiosk.rules.words import _
from kiosk.screens.face import Choice, Trim
from kiosk.theme import INK, WHITE
from kiosk.widgets.fitting import FitLabel
from kiosk.widgets.panels import BigButton, Panel
from labels.codes import ALPHABET, LENGTH, shown

_COLUMNS = 8
UNREADABLE = "?"
HINT = _("The large letters on the label. ? for one you cannot read.")


class PadScreen(BoxLayout):
    """Code as typed, the letters of codes as keys, delete, back, and use."""

    def __init__(
        self, trim: Trim, *, use: Callable[[str], object], back: Callable[[], object]
    ) -> None:
        sizes = trim.sizes
        super().__init__(orientation="vertical", padding=[sizes.gap] * 4, spacing=sizes.gap)
        self._use, self.typed = use, ""
        self.keys: dict[str, BigButton] = {}
        self.add_widget(self._top(trim, back))
        self.add_widget(self._grid(trim))
        self.asked = (Choice("", self._try, card=YES), Choice("", back, card=BACK))
        self._show()

    def _top(self, trim: Trim, back: Callable[[], object]) -> BoxLayout:
        sizes = trim.sizes
        row = BoxLayout(spacing=sizes.gap, size_hint_y=None, height=round(sizes.touch * 1.15))
        self.back = BigButton(_("Back"), back, sizes=sizes, size_hint_x=0.2)
        self.use = BigButton(
            _("Use it"), self._try, sizes=sizes, shape="tick", fill=INK, ink=WHITE, size_hint_x=0.27
        )
        field = Panel(
            orientation="vertical", fill=WHITE, line=sizes.outline, padding=[sizes.gap * 2, 0]
        )
        self.shown = FitLabel(
            ladder=sizes.ladder, text="", bold=True, most=round(sizes.touch * 0.62), halign="center"
        )
        hint = FitLabel(
            ladder=sizes.ladder,
            text=HINT,
            most=round(sizes.small * 0.8),
            halign="center",
            size_hint_y=0.42,
        )
        field.add_widget(self.shown)
        field.add_widget(hint)
        row_of = [self.back, field, self.use]
        for widget in reversed(row_of) if trim.left_handed else row_of:
            row.add_widget(widget)
        return row

    def _grid(self, trim: Trim) -> GridLayout:
        sizes = trim.sizes
        grid = GridLayout(cols=_COLUMNS, spacing=sizes.gap)
        for letter in (*ALPHABET, UNREADABLE):
            self._key(trim, grid, letter, letter)
        self._key(trim, grid, "delete", _("Delete"))
        self._key(trim, grid, "clear", _("Clear"))
        return grid

    def _key(self, trim: Trim, grid: GridLayout, name: str, words: str) -> None:
        sizes = trim.sizes
        most = round(sizes.touch * 0.5) if len(words) == 1 else sizes.body
        key = BigButton(
            words, lambda: self._press(name), sizes=sizes, most=most, padding=[sizes.gap / 2] * 4
        )
        self.keys[name] = key
        grid.add_widget(key)

    def _press(self, name: str) -> None:
        if name == "delete":
            self.typed = self.typed[:-1]
        elif name == "clear":
            self.typed = ""
        elif len(self.typed) < LENGTH:
            self.typed += name
        self._show()

    def type_letters(self, text: str) -> None:
        """Take what a keyboard typed; what only parts the letters of a code is left out."""
        for letter in text.upper():
            if letter.isalnum() or letter == UNREADABLE:
                self._press(letter)

    def put_back(self, typed: str) -> None:
        """Show again what stood here before a scanner typed over it."""
        self.typed = typed
        self._show()

    def rub_out(self) -> None:
        """Take the last letter away, as the key for it does."""
        self._press("delete")

    def enter(self) -> None:
        """Use what was typed, as Enter means."""
        self._try()

    def _try(self) -> None:
        if self.typed:
            self._use(self.typed)

    def _show(self) -> None:
        self.shown.text = shown(self.typed.ljust(LENGTH, "_"))
