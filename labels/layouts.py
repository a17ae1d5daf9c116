"""Undo a keyboard layout: what a scanner set to US sends through a computer set to another one.

Each table is a row of the signs that come out where the scanner presses the keys of KEYS, after
xkb-data 2.35 (symbols fr, be, cz, sk, lt, tr, us, ru, ua). A scanner presses Shift for letters and
never for digits. Layouts that only swap Y and Z change no code and need no table.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from types import MappingProxyType
from typing import Final

KEYS: Final = "23456789ABCDEFGHJKMNPQRSTUVWX"
# Guessed where a text does not add up: their digits are signs that nobody types for a digit.
GUESSED: Final[Mapping[str, str]] = MappingProxyType({
    "French": "é\"'(-è_çQBCDEFGHJK?NPARSTUVZX",
    "Belgian": "é\"'(§è!çQBCDEFGHJK?NPARSTUVZX",
    "Czech": "ěščřžýáíABCDEFGHJKMNPQRSTUVWX",
    "Slovak": "ľščťžýáíABCDEFGHJKMNPQRSTUVWX",
    "Lithuanian": "čęėįšųū„ABCDEFGHJKMNPQRSTUVWX",
})  # fmt: skip
# Letters become other letters, so that one sound code in 29 is sound again as another one; and the
# Cyrillic layouts share most signs. These are undone only where a kiosk says so.
SET: Final[Mapping[str, str]] = MappingProxyType({
    "Dvorak": "23456789AXJE>UIDHTMBL\"POYGK<Q",
    "Colemak": "23456789ABCSFTDHNEMK:QPRGLVWX",
    "Turkish F": "23456789UÇVEĞAÜTKMSZPFIİORCGÖ",
    "Bepo": "«»()@+-/AKXIPE;CTSQ?JBOUÈV:ÉY",
    "Russian": "23456789ФИСВУАПРОЛЬТЗЙКЫЕГМЦЧ",
    "Ukrainian": "23456789ФИСВУАПРОЛЬТЗЙКІЕГМЦЧ",
})  # fmt: skip
NAMES: Final = (*GUESSED, *SET)
# What comes of keys that give no letter where Caps Lock undoes Shift for them too (common practice,
# no source); and the small letters of Turkish, which pair otherwise than elsewhere.
_CAPS: Final[Mapping[str, Mapping[str, str]]] = MappingProxyType({
    "French": {",": "M"},
    "Belgian": {",": "M"},
    "Dvorak": {"'": "Q", ",": "W", ".": "E"},
    "Colemak": {";": "P"},
    "Turkish F": {"i": "S", "ı": "R"},
    "Bepo": {",": "G", "'": "N", ".": "V"},
})  # fmt: skip
# The key of ], which opens a scanner's mark of the symbology, on the layouts of xkb-data 2.35 that
# leave codes as they are or are undone here, small letters only.
MARKS: Final = "]@+$)[*'=^´¨¸`~äåúüõðħğđжщъї"

_HYPHEN_AT: Final = 3  # where people type the hyphen of K7F-3Q97, which is a 6 on a French keyboard


def _table(name: str, row: str) -> dict[str, str]:
    """Return what each sign that may come out was, whatever Caps Lock did to it."""
    table: dict[str, str] = {}
    for out, key in zip(row, KEYS, strict=True):
        table |= {out.lower(): key, out.upper(): key, out: key}
    return table | dict(_CAPS.get(name, {}))


# A scanner or Caps Lock that gives digits as they are changes the letters all the same: only where
# the layout is set, as nothing else tells such a text from a slip.
_DIGITS: Final = {digit: digit for digit in "23456789"}
_GUESSES: Final = {name: _table(name, row) for name, row in GUESSED.items()}
_TABLES: Final = {
    name: _DIGITS | _table(name, row) for name, row in (*GUESSED.items(), *SET.items())
}


def undone(text: str, *, layout: str = "") -> Iterator[tuple[str, str, bool]]:
    """Yield what a text was before a layout changed it.

    Args:
        text: as it came, without blanks and without a mark of the symbology.
        layout: the one a kiosk has set, one of NAMES; empty: each that may be guessed.

    Yields:
        The layout's name, the text as the scanner sent it, and whether it may be taken unasked:
        the layout is set, or a sign shows that no person typed it.
    """
    tables = {layout: _TABLES[layout]} if layout in _TABLES else _GUESSES
    for name, table in tables.items():
        letters = [table.get(one) for one in text]
        if all(letters):
            shows = name == layout or _shows_a_layout(text)
            yield name, "".join(one for one in letters if one), shows


def _shows_a_layout(text: str) -> bool:
    """Tell whether a sign is in a text that people do not type for a code.

    A ? is typed for an unreadable letter, a hyphen between the groups.
    """
    signs = [(at, one) for at, one in enumerate(text) if not (one.isalnum() and one.isascii())]
    return any(one != "?" and (at, one) != (_HYPHEN_AT, "-") for at, one in signs)
