"""A pad for words: a job's code, name or site, typed on the screen or on a real keyboard."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

from kivy.uix.boxlayout import BoxLayout
from kivy.uix.gridlayout import GridLayout

from kiosk.rules.cards import BACK, YES
from kiosk.rules.words import _
from kiosk.screens.face import Choice, Trim
from kiosk.screens.findpad import KEYS
from kiosk.theme import INK, WHITE
from kiosk.widgets.fitting import FitLabel
from kiosk.widgets.panels import BigButton, Panel

_COLUMNS = 9  # as many keys of 20 mm as a 10-inch screen has room for


@dataclass(frozen=True, slots=True)
class AskWords:
    """Words asked for: the question, what is typed already, what was wrong with it.

    A code has capitals and no spaces. may_be_empty lets nothing be an answer.
    """

    question: str
    typed: str = ""
    wrong: str = ""
    is_code: bool = False
    may_be_empty: bool = False
    longest: int = 60
    done: str = _("Use it")


class WordPad(BoxLayout):
    """Back, the words as typed, Space or hyphen, Delete, Use it, and the keys.

    It has no field with a focus: Kivy's would keep scans from everything else.
    """

    def __init__(
        self,
        trim: Trim,
        ask: AskWords,
        *,
        use: Callable[[str], object],
        back: Callable[[], object],
    ) -> None:
        sizes = trim.sizes
        super().__init__(orientation="vertical", padding=[sizes.gap] * 4, spacing=sizes.gap)
        self._ask, self._use, self.typed = ask, use, ask.typed
        self.asked = (Choice("", self.enter, card=YES), Choice("", back, card=BACK))
        self.keys: dict[str, BigButton] = {}
        self.add_widget(self._top(trim, back))
        grid = GridLayout(cols=_COLUMNS, spacing=sizes.gap)
        for letter in KEYS:
            self._key(trim, grid, letter, partial(self._press, letter)).label.most = (
                sizes.touch // 2
            )
        self.add_widget(grid)
        self._show()

    def _top(self, trim: Trim, back: Callable[[], object]) -> BoxLayout:
        sizes = trim.sizes
        row = BoxLayout(spacing=sizes.gap, size_hint_y=None, height=round(sizes.touch * 1.45))
        self.back = BigButton(_("Back"), back, sizes=sizes, size_hint_x=0.34)
        self.use = BigButton(
            self._ask.done,
            self.enter,
            sizes=sizes,
            shape="tick",
            fill=INK,
            ink=WHITE,
            size_hint_x=0.5,
        )
        field = Panel(
            orientation="vertical",
            fill=WHITE,
            line=sizes.outline,
            padding=[sizes.gap, sizes.gap * 0.4],
        )
        self.shown = FitLabel(ladder=sizes.ladder, bold=True, most=sizes.touch // 2)
        self.shown.halign = "center"
        words = self._ask.wrong or self._ask.question
        self.hint = FitLabel(ladder=sizes.ladder, text=words, halign="center", most=sizes.small)
        self.hint.bold, self.hint.size_hint_y = bool(self._ask.wrong), 1.1
        field.add_widget(self.shown)
        field.add_widget(self.hint)
        row.add_widget(self.back)
        row.add_widget(field)
        if self._ask.is_code:
            self._key(trim, row, "-", partial(self._press, "-"), share=0.26).label.most = (
                sizes.touch // 2
            )
        else:
            self._key(trim, row, _("Space"), partial(self._press, " "), share=0.32)
        self._key(trim, row, _("Delete"), self.rub_out, share=0.34)
        row.add_widget(self.use)
        return row

    def _key(
        self,
        trim: Trim,
        parent: BoxLayout | GridLayout,
        words: str,
        act: Callable[[], object],
        *,
        share: float = 1.0,
    ) -> BigButton:
        sizes = trim.sizes
        key = BigButton(words, act, sizes=sizes, size_hint_x=share, padding=[sizes.gap / 2] * 4)
        key.label.most = round(sizes.small * 1.1)
        self.keys[str(words)] = key
        parent.add_widget(key)
        return key

    def _press(self, letter: str) -> None:
        # the keys show capitals; in a name only the first letter of a word is one
        inside = bool(self.typed) and not self.typed.endswith(" ")
        self.type_letters(letter.lower() if inside and not self._ask.is_code else letter)

    # -- a real keyboard -------------------------------------------------------------------------

    def type_letters(self, text: str) -> None:
        """Take typed characters; a code has none that would not do in a file's name."""
        for letter in text:
            if self._ask.is_code:
                letter = letter.upper()
                if not (letter.isascii() and (letter.isalnum() or letter in "-_.")):
                    continue
            is_space = letter == " " and (not self.typed or self.typed.endswith(" "))
            if letter.isprintable() and not is_space and len(self.typed) < self._ask.longest:
                self.typed += letter
        self._show()

    def rub_out(self) -> None:
        """Take the last character back."""
        self.typed = self.typed[:-1]
        self._show()

    def put_back(self, typed: str) -> None:
        """Show again what stood here before a scanner typed over it."""
        self.typed = typed
        self._show()

    def enter(self) -> None:
        """Use what was typed."""
        words = self.typed.strip()
        if words or self._ask.may_be_empty:
            self._use(words)

    def _show(self) -> None:
        self.shown.text = f"{self.typed}_"
