"""A pad for one figure: digits, point and minus; what was typed stays when it is wrong."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial

from kivy.uix.boxlayout import BoxLayout
from kivy.uix.gridlayout import GridLayout
from kivy.uix.widget import Widget

from kiosk.rules.cards import BACK, YES
from kiosk.rules.words import _, number, say
from kiosk.screens.answer import keep_units
from kiosk.screens.face import Choice, Trim
from kiosk.theme import INK, WHITE
from kiosk.widgets.fitting import FitLabel
from kiosk.widgets.panels import BigButton, Panel

MINUS = "−"
LONGEST = 8  # digits and signs; no figure of a shop is longer
NO_FIGURE = _("There were letters in it. Type the figure again.")
_ROWS = (
    ("7", "8", "9", _("Delete")),
    ("4", "5", "6", _("Clear")),
    ("1", "2", "3"),
    (number("."), "0", MINUS),
)


@dataclass(frozen=True, slots=True)
class Ask:
    """One figure asked for: the question, its unit, what is typed already, what was wrong.

    is_signed tells that it may be below zero.
    """

    question: str
    unit: str = ""
    typed: str = ""
    wrong: str = ""
    is_signed: bool = False


class FigurePad(BoxLayout):
    """The question, the figure as typed, what is wrong with it, and the keys.

    `extra` stand beside the digits, at most two: another unit, or a way past the question.
    """

    rows: tuple[tuple[str, ...], ...] = _ROWS
    longest = LONGEST

    def __init__(
        self,
        trim: Trim,
        ask: Ask,
        *,
        use: Callable[[str], object],
        back: Callable[[], object],
        extra: Sequence[Choice] = (),
    ) -> None:
        sizes = trim.sizes
        super().__init__(orientation="vertical", padding=[sizes.gap] * 4, spacing=sizes.gap)
        self._use, self._unit, self.typed = use, ask.unit, ask.typed
        self._is_signed, self._strange = ask.is_signed, False
        self.asked = (Choice("", self.enter, card=YES), Choice("", back, card=BACK))
        self.keys: dict[str, BigButton] = {}
        self.add_widget(self._top(trim, ask, back))
        self.add_widget(self._grid(trim, extra, ask))
        self._show()

    def _top(self, trim: Trim, ask: Ask, back: Callable[[], object]) -> BoxLayout:
        sizes = trim.sizes
        row = BoxLayout(spacing=sizes.gap, size_hint_y=None, height=round(sizes.touch * 1.7))
        self.back = BigButton(_("Back"), back, sizes=sizes, size_hint_x=0.2)
        self.use = BigButton(
            _("Use it"),
            self.enter,
            sizes=sizes,
            shape="tick",
            fill=INK,
            ink=WHITE,
            size_hint_x=0.27,
        )
        field = Panel(
            orientation="vertical",
            fill=WHITE,
            line=sizes.outline,
            padding=[sizes.gap * 2, sizes.gap * 0.4],
        )
        self.shown = FitLabel(ladder=sizes.ladder, most=round(sizes.touch * 0.6), bold=True)
        self.wrong = FitLabel(ladder=sizes.ladder, text=keep_units(ask.wrong), most=sizes.small)
        self.wrong.bold, self.wrong.size_hint_y = True, 0.9 if ask.wrong else 0.05
        question = FitLabel(ladder=sizes.ladder, text=keep_units(ask.question), most=sizes.small)
        question.size_hint_y = 0.5
        for label in (question, self.shown, self.wrong):
            label.halign = "center"
            field.add_widget(label)
        for widget in (self.back, field, self.use):
            row.add_widget(widget)
        return row

    def _grid(self, trim: Trim, extra: Sequence[Choice], ask: Ask) -> GridLayout:
        sizes = trim.sizes
        grid = GridLayout(cols=4, spacing=sizes.gap)
        beside = [*extra, *[None] * 2][:2]
        for row in self.rows:
            for word in row:
                if not word or (word == MINUS and not ask.is_signed):
                    grid.add_widget(Widget())
                    continue
                most = round(sizes.touch * 0.5) if len(word) == 1 else sizes.body
                self._key(trim, grid, word, partial(self._press, word), most)
            if len(row) < 4:
                choice = beside.pop(0)
                if choice is None:
                    grid.add_widget(Widget())
                else:
                    self._key(trim, grid, choice.words, choice.act, sizes.body)
        return grid

    def _key(
        self, trim: Trim, grid: GridLayout, words: str, act: Callable[[], object], most: int
    ) -> None:
        key = BigButton(words, act, sizes=trim.sizes, most=most, padding=[trim.sizes.gap / 2] * 4)
        self.keys[words] = key
        grid.add_widget(key)

    def _press(self, word: str) -> None:
        if word in ("Delete", "Clear"):
            self._strange = False
        if word == "Delete":
            self.typed = self.typed[:-1]
        elif word == "Clear":
            self.typed = ""
        elif word == MINUS:
            # the same key takes it away again: a minus belongs in front, whenever it is thought of
            self.typed = self.typed[1:] if self.typed.startswith("-") else f"-{self.typed}"
        elif len(self.typed) < self.longest:
            self.typed += word
        self._show()

    # -- a real keyboard -------------------------------------------------------------------------

    def type_letters(self, text: str) -> None:
        """Take typed digits and signs, a comma for a point; what else came is remembered."""
        for letter in text:
            if letter in "0123456789.,":
                self._press(letter.replace(",", "."))
            elif letter in ("-", MINUS) and self._is_signed:
                self._press(MINUS)
            elif not letter.isspace():
                self._strange = True

    def rub_out(self) -> None:
        """Take the last digit back, as the key for it does."""
        self._press("Delete")

    def put_back(self, typed: str) -> None:
        """Show again what stood here before a scanner typed over it."""
        self.typed, self._strange = typed, False
        self._show()

    def enter(self) -> None:
        """Use what was typed; the digits of a misread label are no figure."""
        if not self._strange:
            self._use(self.typed)
            return
        self.put_back("")
        self.wrong.text, self.wrong.size_hint_y = NO_FIGURE, 0.9

    def _show(self) -> None:
        typed = number(self.typed.replace("-", MINUS) or "_")
        unit = self._unit
        self.shown.text = say("{figure}\u00a0{unit}", figure=typed, unit=unit) if unit else typed
