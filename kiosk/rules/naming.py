"""Put names in the order people count in, and say only the first of many."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import TypeAlias

from kiosk.rules.words import Phrase, join, say

Natural: TypeAlias = tuple[tuple[tuple[int, str], ...], str]
_NUMBER = re.compile(r"([0-9]+)")


def natural(name: str) -> Natural:
    """Return the key by which G2 comes before G10."""
    # words stand at the even places and figures at the odd ones, so like meets like
    parts = enumerate(_NUMBER.split(name))
    key = ((len(one.lstrip("0")), one.lstrip("0")) if at % 2 else (0, one) for at, one in parts)
    return (tuple(key), name)  # G1 and G01 never tie


def name_some(names: Sequence[str], *, most: int) -> Phrase:
    """Return the first names, and how many more there are."""
    said = join(names[:most], ", ")
    left = len(names) - most
    return say("{names} and {n} more", names=said, n=left) if left > 0 else said
