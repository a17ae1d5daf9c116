"""Undo a keyboard layout: what a scanner set to US sends through a computer set to another one.

Tables after xkb-data 2.35 (symbols fr, be, cz, sk, lt); letters of no code are left out. Layouts
that only swap Y and Z change no code. A scanner presses Shift for letters and never for digits.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Final

_AZERTY: Final = {"A": "Q", "Q": "A", "Z": "W", "?": "M", ",": "M"}
_ROWS: Final = {
    "French": ("é\"'(-è_ç", _AZERTY),
    "Belgian": ("é\"'(§è!ç", _AZERTY),
    "Czech": ("ěščřžýáí", {}),
    "Slovak": ("ľščťžýáí", {}),
    "Lithuanian": ("čęėįšųū„", {}),
}
# Rearranged letters: every text means another one, so these are undone only where a kiosk says so.
_MOVED: Final = {
    "Dvorak": ("qwertyuiop[]asdfghjkl;'zxcvbnm,./", "',.pyfgcrl/=aoeuidhtns-;qjkxbmwvz"),
    "Colemak": ("qwertyuiopasdfghjkl;zxcvbnm", "qwfpgjluy;arstdhneiozxcvbkm"),
}


def _table(row: str, letters: Mapping[str, str]) -> dict[str, str]:
    digits = dict(zip(row, "23456789", strict=True))
    plain = {letter: letter for letter in "ABCDEFGHJKMNPQRSTUVWX"}
    if letters:
        # where A stands Q comes out; the keys of W and M give letters of no code
        plain = {key: value for key, value in plain.items() if key not in "AQWM"}
    return digits | plain | dict(letters)


_GUESSED: Final = {name: _table(row, letters) for name, (row, letters) in _ROWS.items()}
_SET: Final = {
    name: {moved.upper(): us.upper() for us, moved in zip(keys, out, strict=True)}
    | {digit: digit for digit in "23456789"}
    for name, (keys, out) in _MOVED.items()
}
NAMES: Final = (*_GUESSED, *_SET)


def undone(text: str, *, layout: str = "") -> Iterator[tuple[str, str, bool]]:
    """Yield what a text was before a layout changed it.

    Args:
        text: as it came, without blanks.
        layout: the one a kiosk has set, one of NAMES; empty: each that may be guessed.

    Yields:
        The layout's name, the text as the scanner sent it, and whether a sign among it shows that
        no person typed it: without one it must not be taken unasked.
    """
    tables = {layout: (_GUESSED | _SET)[layout]} if layout in NAMES else _GUESSED
    for name, table in tables.items():
        letters = [table.get(one, table.get(one.upper())) for one in text]
        if all(letters):
            shows = name == layout or any(not (one.isalnum() and one.isascii()) for one in text)
            yield name, "".join(one for one in letters if one), shows
