"""Letters, digits and signs for short texts: names, addresses, time zones, folders."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

from kivy.uix.boxlayout import BoxLayout
from kivy.uix.gridlayout import GridLayout

from kiosk.rules.cards import BACK, YES
from kiosk.rules.words import _
from kiosk.screens.face import Choice, Trim
from kiosk.theme import INK, WHITE
from kiosk.widgets.fitting import FitLabel
from kiosk.widgets.panels import BigButton, Panel

# Nine in a row and four rows are what fits a 10-inch screen with keys of 20 mm.
_COLUMNS = 9
_SMALL = "abcdefghijklmnopqrstuvwxyz1234567890"
_CAPITALS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ1234567890"
_SIGNS = ".,-'/:@_&+()#=?!%*\\~äöüßéèêáàóíñçåøæ"
SHEETS = (_SMALL, _CAPITALS, _SIGNS)
LONGEST = 80  # as the settings take them
_TURN = ("ABC", ".,-", "abc")  # what the key that turns the sheet shows, by the sheet now


@dataclass(frozen=True, slots=True)
class TextAsk:
    """One text asked for: the question, what is typed already, and what was wrong with it."""

    question: str
    typed: str = ""
    wrong: str = ""


class LetterPad(BoxLayout):
    """What was typed, Back, Space, Delete, a key for other letters, Use it, and the keys."""

    def __init__(
        self,
        trim: Trim,
        ask: TextAsk,
        *,
        use: Callable[[str], object],
        back: Callable[[], object],
        back_words: str = "",
    ) -> None:
        sizes = trim.sizes
        super().__init__(orientation="vertical", padding=[sizes.gap] * 4, spacing=sizes.gap)
        self._use, self.typed = use, ask.typed
        self.asked = (Choice("", self.enter, card=YES), Choice("", back, card=BACK))
        self._sheet = 0 if ask.typed else 1
        self._add_field(trim, ask)
        self._add_tools(trim, back, back_words or _("Back"))
        grid = GridLayout(cols=_COLUMNS, spacing=sizes.gap)
        self._letters: list[BigButton] = []
        for place in range(len(_SMALL)):
            key = BigButton(
                "",
                partial(self._press, place),
                sizes=sizes,
                most=round(sizes.touch * 0.45),
                padding=[sizes.gap / 2] * 4,
            )
            self._letters.append(key)
            grid.add_widget(key)
        self.add_widget(grid)
        self._show()

    @property
    def keys(self) -> dict[str, BigButton]:
        """Return the letters on the sheet now."""
        return dict(zip(SHEETS[self._sheet], self._letters, strict=True))

    def _add_field(self, trim: Trim, ask: TextAsk) -> None:
        sizes = trim.sizes
        field = Panel(
            orientation="vertical",
            fill=WHITE,
            line=sizes.outline,
            padding=[sizes.gap, sizes.gap * 0.3],
            size_hint_y=None,
            height=round(sizes.small * 3.6),
        )
        self.hint = FitLabel(ladder=sizes.ladder, text=ask.wrong or ask.question, halign="center")
        self.hint.most, self.hint.bold = round(sizes.small * 0.9), bool(ask.wrong)
        self.shown = FitLabel(ladder=sizes.ladder, bold=True, most=round(sizes.small * 1.4))
        self.shown.halign = "center"
        field.add_widget(self.hint)
        field.add_widget(self.shown)
        self.add_widget(field)

    def _add_tools(self, trim: Trim, back: Callable[[], object], words: str) -> None:
        sizes = trim.sizes
        row = BoxLayout(size_hint_y=None, height=sizes.touch, spacing=sizes.gap)

        def tool(words: str, act: Callable[[], object]) -> BigButton:
            tight = [sizes.gap / 2] * 4
            return BigButton(words, act, sizes=sizes, padding=tight, most=round(sizes.small * 1.3))

        self.back, self.turn = tool(words, back), tool("", self._turn)
        self.space = tool(_("Space"), self._space)
        self.delete = tool(_("Delete"), self.rub_out)
        self.use = BigButton(
            _("Use it"), self.enter, sizes=sizes, shape="tick", fill=INK, ink=WHITE, size_hint_x=1.3
        )
        for key in (self.back, self.turn, self.space, self.delete, self.use):
            row.add_widget(key)
        self.add_widget(row)

    def _press(self, place: int) -> None:
        self.type_letters(SHEETS[self._sheet][place])

    def _space(self) -> None:
        self.type_letters(" ")

    def _turn(self) -> None:
        self._sheet = (self._sheet + 1) % len(SHEETS)
        self._show()

    # -- a real keyboard -------------------------------------------------------------------------

    def type_letters(self, text: str) -> None:
        """Take typed characters; nothing begins with a space."""
        for letter in text:
            is_wanted = letter.isprintable() and (letter != " " or self.typed)
            if is_wanted and len(self.typed) < LONGEST:
                self.typed += letter
                # a name goes on in small letters
                self._sheet = 0 if self._sheet == 1 and len(self.typed) == 1 else self._sheet
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
        """Use what was typed; nothing is an answer, too."""
        self._use(self.typed.strip())

    def _show(self) -> None:
        self.shown.text = f"{self.typed}_"
        self.turn.label.text = _TURN[self._sheet]
        for key, letter in zip(self._letters, SHEETS[self._sheet], strict=True):
            key.label.text = letter
