"""Read the values of a part list that are no lengths; every reader gives (value, what is wrong)."""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Final, NamedTuple

from kiosk.rules import columns
from kiosk.rules.guesses import kind_named
from kiosk.rules.words import say

# English, German, French, Spanish and Dutch, small letters without accents.
_NONE_WORDS: Final = """none no raw na keine kein ohne roh sans aucun aucune brut ninguno ninguna
    sin geen zonder 0"""
_GRAIN_WORDS: Final = {
    "length": """length l long lengthwise lengthways along with yes y ja oui si langs laengs lang
        laenge lange longueur longitudinal largo longitud lengte""",
    "width": """width w wide widthwise across cross crosswise quer breite travers largeur
        transversal ancho breedte dwars""",
    "": "any free either egal beliebig non nee nein indifferent libre igual vrij",
}
_FINISH_WORDS: Final = {
    "clear": "clear|clear coat|klarlack|vernis|barniz|blanke lak",
    "enamel": "enamel|paint|farbe|peinture|esmalte|verf",
    "oil": "oil|ol|oel|huile|aceite|olie",
}
_ACCENT_WORDS: Final = """stripe stripes accent streifen akzent rayure bande franja raya acento
    streep accentstreep"""
_NONE: Final = frozenset(("", "n a", *_NONE_WORDS.split()))
_ACCENTS: Final = frozenset(_ACCENT_WORDS.split())
_GRAIN: Final = {word: side for side, words in _GRAIN_WORDS.items() for word in words.split()}
_FINISHES: Final = {word: key for key, words in _FINISH_WORDS.items() for word in words.split("|")}
_QUANTITY: Final = re.compile(
    r"(?:x|×)? ?([0-9]{1,9})(?:[.,]0{1,2})? ?"
    r"(?:off|x|×|pcs?|pieces?|stk|st|stück|stuck|stuks|uds?|pz|ea|each|nos?|pièces?)?\.?"
)
_BEVEL: Final = re.compile(r"([0-9]{1,3}(?:[.,][0-9]+)?) ?(?:°|º|deg|degrees?|grad)?\.?")


class Finish(NamedTuple):
    """A product's key text, '' for none, and whether a stripe goes on top."""

    key: str
    accent: bool


def is_none(text: str) -> bool:
    """Tell whether a cell says that there is none: `-`, `none`, `raw` and the like."""
    return _word(text) in _NONE


def measure(text: str) -> tuple[str | None, str]:
    """Read a unit of measure."""
    unit = columns.measure(text)
    return unit, "" if unit else say("“{text}” is not a unit of measure we know.", text=text)


@lru_cache(maxsize=1024)
def quantity(text: str) -> tuple[int | None, str]:
    """Read a number of pieces from 1 to 9999: `2`, `2 off`, `x2`, `2,0`."""
    found = _QUANTITY.fullmatch(text.lower())
    if not found:
        return None, say("“{text}” is not a whole number of pieces.", text=text)
    if not 1 <= int(found[1]) <= 9999:
        return None, say("“{text}” pieces is not between 1 and 9999.", text=text)
    return int(found[1]), ""


def kind(text: str) -> tuple[str | None, str]:
    """Read a kind of unit in any of five languages."""
    if text.strip("-– ") == "":
        return None, ""
    kind = kind_named(text)
    return kind, "" if kind else say("“{text}” is not a kind of unit we know.", text=text)


def grain(text: str) -> tuple[str | None, str]:
    """Read which side runs with the grain: 'length', 'width' or ''."""
    word = _word(text)
    if word in _GRAIN:
        return _GRAIN[word], ""
    return (
        ("", "")
        if word in _NONE
        else (None, say("“{text}” is not a direction of grain we know.", text=text))
    )


@lru_cache(maxsize=1024)
def bevel(text: str) -> tuple[float | None, str]:
    """Read an angle in degrees from 0 to below 90."""
    if is_none(text):
        return 0.0, ""
    found = _BEVEL.fullmatch(text.lower())
    angle = float(found[1].replace(",", ".")) if found else 90.0
    return (
        (angle, "")
        if angle < 90
        else (None, say("“{text}” is not an angle from 0 to below 90.", text=text))
    )


@lru_cache(maxsize=1024)
def finish(text: str) -> tuple[Finish | None, str]:
    """Read a finish with or without a stripe: `clear`, `enamel, accent`, `none`."""
    words = [_word(word) for word in re.split(r"[+,;/&]", text)]
    accent = any(word in _ACCENTS for word in words)
    coats = [word for word in words if word not in _ACCENTS and word not in _NONE]
    if len(coats) > 1:
        return None, say("“{text}” names more than one finish.", text=text)
    key = _FINISHES.get(coats[0], coats[0].replace(" ", "-")) if coats else ""
    return Finish(key, accent), ""


def _word(text: str) -> str:
    """Bring a word to plain letters; one without Latin letters stays, only marks are nothing."""
    return columns.plain(text) or text.strip("-–—−./ ").casefold()
