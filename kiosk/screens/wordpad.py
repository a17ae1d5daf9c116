"""A pad for words and codes: letters, digits and signs, on the screen or on a real keyboard."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from string import ascii_lowercase, ascii_uppercase

from kivy.uix.boxlayout import BoxLayout
from kivy.uix.gridlayout import GridLayout

from kiosk import language
from kiosk.rules.cards import BACK, YES
from kiosk.rules.words import _
from kiosk.screens.face import Choice, Trim
from kiosk.theme import INK, WHITE
from kiosk.widgets.fitting import FitLabel
from kiosk.widgets.panels import BigButton, Panel

# Nine in a row and four rows are what fits a 10-inch screen with keys of 20 mm.
_COLUMNS, KEYS = 9, 36
_NUMBERS = "1234567890"
_SIGNS = ".,-'/:@_&+()#=?!%*\\~äöüßéèêáàóíñçåøæ"
# Letters of a language besides A to Z: they take the place of digits, which turn to the signs.
_OWN = {"de": "äöüß"}
_BESIDE = "-.,&'/"
_CODE = ascii_uppercase + _NUMBERS
SMALL, CAPITALS = 0, 1  # the sheets by number; the third are signs
LONGEST = 80  # as the settings take them
_TURN = ("ABC", ".,-", "abc")  # what the key that turns the sheet shows, by the sheet now


def sheets_of(tongue: str) -> tuple[str, str, str]:
    """Return the letters on the three sheets in a language: small ones, capitals, signs."""
    own = _OWN.get(tongue, "")
    if not own:
        return ascii_lowercase + _NUMBERS, ascii_uppercase + _NUMBERS, _SIGNS
    beside = own + _BESIDE
    capitals = "".join(one.upper() if len(one.upper()) == 1 else one for one in own) + _BESIDE
    signs = "".join(one for one in _SIGNS if one not in beside)
    return ascii_lowercase + beside, ascii_uppercase + capitals, _NUMBERS + signs


@dataclass(frozen=True, slots=True)
class AskWords:
    """Words asked for: the question, what is typed already, what was wrong with it.

    A code has capitals and no spaces. may_be_empty lets nothing be an answer. back is what the key
    that leaves the pad says.
    """

    question: str
    typed: str = ""
    wrong: str = ""
    is_code: bool = False
    may_be_empty: bool = False
    longest: int = LONGEST
    done: str = _("Use it")
    back: str = _("Back")


class WordPad(BoxLayout):
    """What was typed, Back, Space or hyphen, Delete, a key for other letters, Use it, the keys.

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
        self.sheets = (_CODE,) if ask.is_code else sheets_of(language.current())
        self._sheet = SMALL if ask.typed or ask.is_code else CAPITALS
        self._add_field(trim)
        self._add_tools(trim, back)
        grid = GridLayout(cols=_COLUMNS, spacing=sizes.gap)
        self._letters: list[BigButton] = []
        for place in range(KEYS):
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
        """Return the keys by what is on them now."""
        letters = dict(zip(self.sheets[self._sheet], self._letters, strict=True))
        return letters | {self._space_words: self.space, "Delete": self.delete}

    @property
    def _space_words(self) -> str:
        return "-" if self._ask.is_code else "Space"

    def _add_field(self, trim: Trim) -> None:
        sizes, ask = trim.sizes, self._ask
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

    def _add_tools(self, trim: Trim, back: Callable[[], object]) -> None:
        sizes = trim.sizes
        row = BoxLayout(size_hint_y=None, height=sizes.touch, spacing=sizes.gap)

        def tool(words: str, act: Callable[[], object]) -> BigButton:
            tight = [sizes.gap / 2] * 4
            return BigButton(words, act, sizes=sizes, padding=tight, most=round(sizes.small * 1.3))

        is_code = self._ask.is_code
        self.back, self.turn = tool(self._ask.back, back), tool("", self._turn)
        sign = "-" if is_code else " "
        self.space = tool("-" if is_code else _("Space"), partial(self.type_letters, sign))
        self.delete = tool(_("Delete"), self.rub_out)
        self.use = BigButton(
            self._ask.done,
            self.enter,
            sizes=sizes,
            shape="tick",
            fill=INK,
            ink=WHITE,
            size_hint_x=1.3,
        )
        turns = () if is_code else (self.turn,)  # a code has one sheet
        for key in (self.back, *turns, self.space, self.delete, self.use):
            row.add_widget(key)
        self.add_widget(row)

    def _press(self, place: int) -> None:
        self.type_letters(self.sheets[self._sheet][place])

    def _turn(self) -> None:
        self._sheet = (self._sheet + 1) % len(self.sheets)
        self._show()

    # -- a real keyboard -------------------------------------------------------------------------

    def type_letters(self, text: str) -> None:
        """Take typed characters as they are; a code has none that would not do in a file's name."""
        for letter in text:
            if self._ask.is_code:
                letter = letter.upper()
                if not (letter.isascii() and (letter.isalnum() or letter in "-_.")):
                    continue
            is_space = letter == " " and (not self.typed or self.typed.endswith(" "))
            if letter.isprintable() and not is_space and len(self.typed) < self._ask.longest:
                self.typed += letter
                if self._sheet == CAPITALS and len(self.typed) == 1:
                    self._sheet = SMALL  # a name goes on in small letters
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
        self.turn.label.text = _TURN[self._sheet]
        for key, letter in zip(self._letters, self.sheets[self._sheet], strict=True):
            key.label.text = letter
