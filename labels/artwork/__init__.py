"""Draw one label: symbols, code and words in whole dots of one bit."""

from __future__ import annotations

from functools import lru_cache

from PIL import Image

from labels import codes
from labels.artwork.choose import LabelTooSmall, choose_design, lay_out
from labels.artwork.edges import unfit
from labels.artwork.letters import BLACK, WHITE, blank, rise_of, write
from labels.artwork.names import roomy, set_place, set_unit
from labels.artwork.plan import TALLEST, Box, Plan, Spot, code_lines, code_size
from labels.artwork.texts import Label, LabelText, PlaceText, UnitText
from labels.artwork.words import set_words
from labels.stocks import Stock
from labels.symbols import BARS_QUIET, QR_QUIET, Matrix, code128_bars, qr_matrix

__all__ = [
    "Box",
    "Label",
    "LabelText",
    "LabelTooSmall",
    "PlaceText",
    "Plan",
    "Spot",
    "UnitText",
    "choose_design",
    "draw",
    "lay_out",
    "unfit",
]


def draw(label: Label, stock: Stock, dpi: int) -> Image.Image:
    """Return a label as a picture of one bit a dot, black on white.

    Bars and modules are whole dots; nothing but white is in a quiet zone.

    Args:
        label: what it says, of a part, a unit or a place.
        stock: its size and design.
        dpi: dots per inch of the printer.

    Raises:
        SymbolError: the code does not go into a symbol.
        LabelTooSmall: the design does not fit the stock.
    """
    plan = lay_out(stock, dpi)
    if not isinstance(label, LabelText):
        plan = roomy(plan)
    picture = blank(plan.width, plan.height)
    for box in plan.codes:
        picture.paste(_code_in_letters(label.code, box, tall=plan.tall_code), (box.x, box.y))
    picture.paste(_words(label, plan), (plan.words.x, plan.words.y))
    for spot in plan.spots:
        symbol, left, top = _symbol(label.code, spot)
        picture.paste(symbol, (spot.box.x + left, spot.box.y + top))
    return picture


def _words(label: Label, plan: Plan) -> Image.Image:
    if isinstance(label, UnitText):
        return set_unit(label, plan)
    return set_place(label, plan) if isinstance(label, PlaceText) else set_words(label, plan)


def _code_in_letters(code: str, box: Box, *, tall: bool) -> Image.Image:
    """Return the code as large as its box allows; every code of one length in the same size."""
    lines = code_lines(codes.shown(code), tall=tall)
    height, size = box.height // len(lines), code_size(lines, box)
    picture = blank(box.width, box.height)
    for at, line in enumerate(lines):
        # on the line, not on the tail of a Q
        write(picture, (0, at * height + rise_of(TALLEST, size)), line, size=size)
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
