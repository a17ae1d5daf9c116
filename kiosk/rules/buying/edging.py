"""Read from a part list's own words which edges of a part are banded."""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Final

from kiosk.rules import columns
from kiosk.rules.values import is_none

# English, German, French, Spanish and Dutch, small letters without accents. An edge along the
# part's length is long, one along its width short; a front, back, top or bottom edge is taken for
# one along the length, as lists write a part's length along its front (choice).
_ALL: Final = """all|all round|all around|all edges|all four|all sides|round|around|4|4 edges
    |4 sides|four|rundum|umlaufend|alle|alle kanten|allseitig|tout autour|toutes|todo|todos
    |todo alrededor|rondom"""
_LONG: Final = """front|back|top|bottom|long|long edge|long side|l|vorn|vorne|hinten|oben|unten|lang
    |langskante|lange kante|devant|avant|arriere|haut|bas|longueur|frente|delante|atras|arriba|abajo
    |largo|voor|achter|boven|onder|lange kant"""
_SHORT: Final = """left|right|end|side|short|short edge|short side|w|s|links|rechts|kurz|kurze kante
    |gauche|droite|largeur|izquierda|derecha|corto|ancho|korte kant"""
_MANY: Final = """both long|long sides|long edges|both long sides|both long edges|beide langskanten
    |front and back|top and bottom"""
_MANY_SHORT: Final = """both short|short sides|short edges|ends|both ends|sides|both short sides
    |both short edges|beide kurzen kanten|left and right"""


def _words(text: str) -> list[str]:
    return [" ".join(word.split()) for word in text.split("|")]


_EDGES: Final = {
    **dict.fromkeys(_words(_ALL), (2, 2)),
    **dict.fromkeys(_words(_LONG), (1, 0)),
    **dict.fromkeys(_words(_SHORT), (0, 1)),
    **dict.fromkeys(_words(_MANY), (2, 0)),
    **dict.fromkeys(_words(_MANY_SHORT), (0, 2)),
}
_PARTED: Final = re.compile(r"[+,;/&]|\band\b|\bund\b|\bet\b|\by\b|\ben\b")
_COUNTED: Final = re.compile(r"([1-4])\s*x?\s*([a-z ]+)")
_RUN_ON: Final = re.compile(r"(?<=[a-zA-Z])(?=[1-4]\s*[xa-zA-Z])")


@lru_cache(maxsize=1024)
def parse_edges(text: str) -> tuple[int, int] | None:
    """Return how many long and how many short edges are banded, None where that is not understood.

    Understood: `all round`, `front`, `both long`, `2 long + 1 short`, `2L1S`, `front, left` and the
    like in five languages; nothing is none. At most two of each, more is not understood.
    """
    if not text or is_none(text):
        return 0, 0
    whole = _EDGES.get(columns.plain(text))
    if whole is not None:
        return whole
    longs = shorts = 0
    for part in _PARTED.split(_RUN_ON.sub("+", text.casefold())):
        found = _counted(columns.plain(part))
        if found is None:
            return None
        longs, shorts = longs + found[0], shorts + found[1]
    return (longs, shorts) if longs <= 2 and shorts <= 2 else None


def _counted(word: str) -> tuple[int, int] | None:
    """Return the edges of `front`, `2 long` or `1s`."""
    if word in _EDGES:
        return _EDGES[word]
    counted = _COUNTED.fullmatch(word)
    if counted is None:
        return None
    name = counted[2].strip()
    one = _EDGES.get(name.removesuffix("s")) or _EDGES.get(name)
    if one is None or sum(one) != 1:
        return None
    return one[0] * int(counted[1]), one[1] * int(counted[1])
