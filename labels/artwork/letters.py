"""Set text in a box: the largest letters that fit, then an ellipsis, never over the edge."""

from __future__ import annotations

import re
import unicodedata
from functools import lru_cache
from importlib.resources import as_file, files
from typing import Final

from PIL import Image, ImageDraw, ImageFont

ELLIPSIS: Final = "…"
# It has × ″ → ½ and the letters of European languages, which Pillow's own face lacks; semibold, so
# that thin strokes survive one bit.
_FACE: Final = files("font_source_sans_pro").joinpath("files", "SourceSansPro-Semibold.ttf")
# Heights of that face in parts of its size: above the line with an accent, and below.
ABOVE: Final = 0.9
BELOW: Final = 0.23
LINE: Final = ABOVE + BELOW
_WORDS: Final = re.compile(r"\S+\s*")
_HYPHENED: Final = re.compile(r"[^\s-]*-+(?=\w)|\S+\s*")
WHITE: Final = 1
BLACK: Final = 0


@lru_cache(maxsize=256)
def font(size: int) -> ImageFont.FreeTypeFont:
    """Return the face at a size in dots."""
    with as_file(_FACE) as path:
        return ImageFont.truetype(str(path), size, layout_engine=ImageFont.Layout.BASIC)


def plain(text: str) -> str:
    """Return a text on one line, composed, without what has no shape."""
    line = " ".join(unicodedata.normalize("NFC", text).split())
    return "".join(letter for letter in line if letter.isprintable())


def width_of(text: str, size: int) -> int:
    """Return how many dots wide a text is."""
    return -(-int(font(size).getlength(text) * 64) // 64)


def fit(text: str, width: int, *, largest: int, least: int) -> tuple[str, int]:
    """Return a text and its size in dots so that it is no wider than width.

    It shrinks from largest to least; what is still too wide is cut and ends in an ellipsis.
    """
    for size in range(largest, least, -1):
        if width_of(text, size) <= width:
            return text, size
    if width_of(text, least) <= width:
        return text, least
    kept = text
    while kept and width_of(kept.rstrip() + ELLIPSIS, least) > width:
        kept = kept[:-1]
    return (kept.rstrip() + ELLIPSIS if kept else ""), least


def wrap(text: str, width: int, size: int, *, at_hyphens: bool = False) -> list[str]:
    """Return a text broken into lines no wider than width; what has no break stays whole.

    Lines break at spaces, and behind hyphens where that is wanted.
    """
    lines: list[str] = []
    for piece in (_HYPHENED if at_hyphens else _WORDS).findall(text):
        longer = lines[-1] + piece if lines else piece
        if lines and width_of(longer.rstrip(), size) <= width:
            lines[-1] = longer
        else:
            lines.append(piece)
    return [line.strip() for line in lines]


@lru_cache(maxsize=64)
def largest_for(sample: str, height: int) -> int:
    """Return the largest size in dots at which the ink of a sample is no higher; at least 1."""
    size = 1
    while True:
        _left, top, _right, bottom = font(size + 1).getbbox(sample, anchor="ls")
        if bottom - top > height:
            return size
        size += 1


@lru_cache(maxsize=64)
def rise_of(sample: str, size: int) -> int:
    """Return how far the ink of a sample reaches above its line, in dots."""
    return -int(font(size).getbbox(sample, anchor="ls")[1])


def blank(width: int, height: int) -> Image.Image:
    """Return white paper of one bit a dot."""
    return Image.new("1", (width, height), WHITE)


def write(picture: Image.Image, at: tuple[float, float], text: str, *, size: int) -> None:
    """Write a text with its line starting at a point; no dot is grey."""
    pen = ImageDraw.Draw(picture)
    pen.fontmode = "1"
    pen.text((round(at[0]), round(at[1])), text, font=font(size), fill=BLACK, anchor="ls")
