"""Draw one label: symbols, code and words in whole dots of one bit."""

from __future__ import annotations

from functools import lru_cache
from typing import Final

from PIL import Image

from labels import codes
from labels.artwork.letters import BLACK, WHITE, blank, fit, largest_for, rise_of, write
from labels.artwork.plan import Box, LabelTooSmall, Plan, Spot, lay_out
from labels.artwork.words import LabelText, set_words
from labels.stocks import Stock
from labels.symbols import BARS_QUIET, QR_QUIET, Matrix, code128_bars, qr_matrix

__all__ = ["Box", "LabelText", "LabelTooSmall", "Plan", "Spot", "draw", "lay_out"]

_TALLEST: Final = "Q"  # the letter that reaches furthest up and down


def draw(label: LabelText, stock: Stock, dpi: int) -> Image.Image:
    """Return a label as a picture of one bit a dot, black on white.

    Bars and modules are whole dots; nothing but white is in a quiet zone.

    Args:
        label: what it says.
        stock: its size and design.
        dpi: dots per inch of the printer.

    Raises:
        SymbolError: the code does not go into a symbol.
        LabelTooSmall: the design does not fit the stock.
    """
    plan = lay_out(stock, dpi)
    picture = blank(plan.width, plan.height)
    for box in plan.codes:
        picture.paste(_code_in_letters(label.code, box, tall=plan.tall_code), (box.x, box.y))
    picture.paste(set_words(label, plan), (plan.words.x, plan.words.y))
    for spot in plan.spots:
        symbol, left, top = _symbol(label.code, spot)
        picture.paste(symbol, (spot.box.x + left, spot.box.y + top))
    return picture


def _code_in_letters(code: str, box: Box, *, tall: bool) -> Image.Image:
    """Return the code as large as its box allows; every code of one length in the same size."""
    lines = codes.shown(code).replace("-", "-\n").split("\n") if tall else [codes.shown(code)]
    height = box.height // len(lines)
    tallest = largest_for(_TALLEST, height * 9 // 10 if tall else height)
    size = min(fit(line, box.width, largest=tallest, least=1)[1] for line in lines)
    picture = blank(box.width, box.height)
    for at, line in enumerate(lines):
        # on the line, not on the tail of a Q
        write(picture, (0, at * height + rise_of(_TALLEST, size)), line, size=size)
    return picture


def _symbol(code: str, spot: Spot) -> tuple[Image.Image, int, int]:
    """Return the ink of a symbol, and how far it stands in from its box's left and top."""
    if spot.kind == "qr":
        quiet = QR_QUIET * spot.module
        return _qr(code, spot.version, spot.module), quiet, quiet
    bars = code128_bars(code)
    picture = _bitmap((tuple(module == "1" for module in bars),))
    size = len(bars) * spot.module, spot.box.height
    return picture.resize(size, Image.Resampling.NEAREST), BARS_QUIET * spot.module, 0


@lru_cache(maxsize=8)
def _qr(code: str, version: int, module: int) -> Image.Image:
    """Return a QR code; a label carries the same one twice, so the last are kept."""
    picture = _bitmap(qr_matrix(code, version=version))
    side = picture.width * module
    return picture.resize((side, side), Image.Resampling.NEAREST)


def _bitmap(rows: Matrix) -> Image.Image:
    picture = Image.new("1", (len(rows[0]), len(rows)))
    picture.putdata([BLACK if dark else WHITE for row in rows for dark in row])
    return picture
