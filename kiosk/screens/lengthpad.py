"""A pad for one length, as a shop writes it: millimetres, or inches and their fractions."""

from __future__ import annotations

from kiosk.rules.lengths import System
from kiosk.rules.words import _, number
from kiosk.screens.figurepad import MINUS, FigurePad

SPACE = _("Space")
LONGEST = 12  # 1215.75, 2' 11 15/16
_INCH = (
    ("7", "8", "9", _("Delete")),
    ("4", "5", "6", _("Clear")),
    ("1", "2", "3", "/"),
    (number("."), "0", SPACE),
)


class LengthPad(FigurePad):
    """The same pad in millimetres; `InchPad` is that of inches."""

    longest = LONGEST
    rows = (*FigurePad.rows[:3], (number("."), "0", ""))
    _signs = ".,"

    def _press(self, word: str) -> None:
        if word == SPACE:
            # one space is enough, and none is wanted in front
            word = "" if not self.typed or self.typed.endswith(" ") else " "
        super()._press(word)

    def type_letters(self, text: str) -> None:
        """Take typed digits and signs, a comma for a point; what else came is remembered."""
        for letter in text:
            if letter in self._signs:
                self._press(SPACE if letter == " " else letter.replace(",", "."))
            else:
                super().type_letters(letter)


class InchPad(LengthPad):
    """A pad for inches: digits, a point, and a stroke for fractions."""

    rows: tuple[tuple[str, ...], ...] = _INCH
    _signs = "., /"


class SignedPad(LengthPad):
    """A pad for a length that may lie below a line."""

    rows = FigurePad.rows


class SignedInchPad(InchPad):
    """The same in inches."""

    rows = (*_INCH[:3], (*_INCH[3], MINUS))


def pad_for(system: System, *, is_signed: bool = False) -> type[LengthPad]:
    """Return the pad of a shop that writes lengths so; is_signed: it may lie below a line."""
    if is_signed:
        return SignedInchPad if system is System.INCH else SignedPad
    return InchPad if system is System.INCH else LengthPad


def unit_of(system: System) -> str:
    """Return the unit a length is typed in."""
    return "in" if system is System.INCH else "mm"
