"""Show one sample label of a stock enlarged, with its measures beside it."""

from __future__ import annotations

from typing import Final

from PIL import Image, ImageChops, ImageDraw

from labels.artwork import Label, LabelText, Plan, draw, lay_out
from labels.artwork.edges import inked
from labels.artwork.letters import font, width_of
from labels.artwork.plan import MARGIN_MM, MM_PER_INCH, to_dots
from labels.stocks import Stock

SAMPLE: Final = LabelText(
    "K7F3Q97", "Panel face", "G01", "603 × 400 mm", "assemble", "length", "GLAZE", "Birch ply 18"
)
_WIDEST: Final = 900  # pixels of the enlarged label, about
_ROOM: Final = 60  # pixels round it, for the measures
_SIDE: Final = 140  # pixels right of it
_LETTERS: Final = 24
_PAPER, _INK, _EDGE = "white", "black", "#505050"
_MARGIN, _QUIET = "#fbe7c6", "#cfe6f5"  # light tints, apart for every kind of colour sight


def preview(stock: Stock, dpi: int, *, label: Label = SAMPLE) -> Image.Image:
    """Return a picture of one label in colour, every dot enlarged by a whole number.

    The label's edge is drawn, its margins and the quiet zones of its symbols are tinted, width and
    height stand beside it in millimetres, and below it the sizes of modules and bars.

    Args:
        stock: the label stock.
        dpi: dots per inch of the printer.
        label: what to show; without one a sample part.

    Raises:
        LabelError: the stock cannot be printed on at this resolution.
    """
    plan = lay_out(stock, dpi)
    factor = max(1, _WIDEST // max(plan.width, plan.height))
    width, height = plan.width * factor, plan.height * factor
    notes = _notes(stock, plan)
    line = _LETTERS * 4 // 3
    wide = max(width + _SIDE, *(width_of(note, _LETTERS) + 2 * line for note, _tint in notes))
    size = _ROOM + wide, height + 2 * _ROOM + line * len(notes)
    picture = Image.new("RGB", size, _PAPER)
    picture.paste(_enlarged(draw(label, stock, dpi), plan, factor), (_ROOM, _ROOM))
    pen = ImageDraw.Draw(picture)
    around = (_ROOM - 3, _ROOM - 3, _ROOM + width + 2, _ROOM + height + 2)
    pen.rectangle(around, outline=_EDGE, width=3)
    _measure(pen, stock, width, height)
    _legend(pen, notes, height + _ROOM * 3 // 2, line)
    return picture


def _enlarged(drawn: Image.Image, plan: Plan, factor: int) -> Image.Image:
    """Return a label enlarged, with its margins and quiet zones tinted below the ink."""
    paper = Image.new("RGB", drawn.size, _MARGIN)
    margin = to_dots(MARGIN_MM, plan.dpi)
    inside = (margin, margin, plan.width - margin, plan.height - margin)
    paper.paste(_PAPER, inside)
    for spot in plan.spots:
        for tint, box in ((_QUIET, spot.box), (_PAPER, inked(spot))):
            paper.paste(tint, (box.x, box.y, box.right, box.bottom))
    paper.paste(_INK, (0, 0), ImageChops.invert(drawn.convert("L")))
    size = drawn.width * factor, drawn.height * factor
    return paper.resize(size, Image.Resampling.NEAREST)


def _measure(pen: ImageDraw.ImageDraw, stock: Stock, width: int, height: int) -> None:
    """Draw width above the label and height right of it, as a drawing has them."""
    top, side, tick = _ROOM - 20, _ROOM + width + 20, 8
    pen.line((_ROOM, top, _ROOM + width, top), fill=_EDGE, width=2)
    pen.line((side, _ROOM, side, _ROOM + height), fill=_EDGE, width=2)
    for x in (_ROOM, _ROOM + width):
        pen.line((x, top - tick, x, top + tick), fill=_EDGE, width=2)
    for y in (_ROOM, _ROOM + height):
        pen.line((side - tick, y, side + tick, y), fill=_EDGE, width=2)
    words = f"{stock.width_mm:g} mm"
    _say(pen, (_ROOM + (width - width_of(words, _LETTERS)) // 2, top - tick), words)
    _say(pen, (side + 2 * tick, _ROOM + height // 2), f"{stock.height_mm:g} mm")


def _say(pen: ImageDraw.ImageDraw, at: tuple[int, int], words: str) -> None:
    pen.text(at, words, font=font(_LETTERS), fill=_INK, anchor="ls")


def _legend(pen: ImageDraw.ImageDraw, notes: list[tuple[str, str]], start: int, line: int) -> None:
    """Write lines from start down, each behind a swatch of the tint it explains."""
    for at, (note, tint) in enumerate(notes):
        top = start + at * line
        if tint:
            swatch = (_ROOM, top, _ROOM + _LETTERS, top + _LETTERS)
            pen.rectangle(swatch, fill=tint, outline=_EDGE)
        _say(pen, (_ROOM + (_LETTERS * 3 // 2 if tint else 0), top + _LETTERS * 5 // 6), note)


def _notes(stock: Stock, plan: Plan) -> list[tuple[str, str]]:
    """Return the lines below the label, each with the tint it explains, or none."""
    mm = MM_PER_INCH / plan.dpi
    modules = {spot.kind: spot.module for spot in plan.spots}
    symbols = [f"QR modules {modules['qr'] * mm:.3f} mm = {modules['qr']} dots"]
    if "bars" in modules:
        symbols.append(f"narrow bars {modules['bars'] * mm:.3f} mm = {modules['bars']} dots")
    notes = [(stock.title, ""), (f"{plan.dpi} dots per inch: {', '.join(symbols)}", "")]
    if stock.per_page > 1:
        page = " × ".join(f"{side:g}" for side in stock.page_mm)
        notes.append((f"{stock.per_page} on a sheet of {page} mm", ""))
    if stock.offset_x_mm or stock.offset_y_mm:
        shift = f"{stock.offset_x_mm:g} mm to the right, {stock.offset_y_mm:g} mm down"
        notes.append((f"printed shifted by {shift}", ""))
    return [
        *notes,
        (f"margin, {MARGIN_MM:g} mm: no ink, for a printer that is a little out", _MARGIN),
        ("quiet zone: stays white, or the symbol beside it does not read", _QUIET),
    ]
