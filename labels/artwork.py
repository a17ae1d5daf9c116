"""Draw one label as a 1-bit picture at the printer's dots: symbols in whole dots, text fitted."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import NamedTuple

from PIL import Image, ImageDraw, ImageFont

from labels.codes import shown
from labels.stocks import Stock
from labels.symbols import LINEAR_QUIET, QR_MODULES, QR_QUIET, code128_bars, qr_matrix

MM_PER_INCH = 25.4
# Two small symbols survive smears far better than one large one; 0.375 mm is the smallest module
# hand-held readers take easily, 0.5 mm where there is room. docs/rules.md, "Labels".
MODULE_MM, LARGE_MODULE_MM = 0.375, 0.5
BAR_MM, LARGE_BAR_MM = 0.25, 0.375
LARGE_FROM_MM = (60.0, 35.0)
SMALLEST_TEXT_MM = 1.4  # letters lower than this are not read at arm's length, common practice
LARGEST_SCALE = 1.5  # where a label has room, its text grows
WHITE, BLACK = 1, 0


@dataclass(frozen=True, slots=True)
class LabelText:
    """What a label says. code is the bare code; grain is 'length', 'width' or None."""

    code: str
    title: str = ""
    unit: str = ""
    size: str = ""
    next_station: str = ""
    grain: str | None = None
    job: str = ""


class Box(NamedTuple):
    """An area of the label in dots."""

    left: int
    top: int
    right: int
    bottom: int

    @property
    def width(self) -> int:
        """Return the width in dots."""
        return self.right - self.left

    @property
    def height(self) -> int:
        """Return the height in dots."""
        return self.bottom - self.top


@dataclass(frozen=True, slots=True)
class Plan:
    """Where everything goes on a stock at a resolution; boxes of symbols include quiet zones."""

    size: tuple[int, int]
    module: int
    symbols: tuple[Box, ...]
    bar: int
    bars: Box | None
    texts: tuple[Box, ...]


def dots(millimetres: float, dpi: int) -> int:
    """Return a length in whole dots."""
    return round(millimetres * dpi / MM_PER_INCH)


def plan(stock: Stock, dpi: int) -> Plan:
    """Return where symbols and text go on a label of a stock.

    Args:
        stock: the label stock.
        dpi: 203, 300 or 600.
    """
    width, height = dots(stock.width_mm, dpi), dots(stock.height_mm, dpi)
    large = stock.width_mm >= LARGE_FROM_MM[0] and stock.height_mm >= LARGE_FROM_MM[1]
    module = max(1, dots(LARGE_MODULE_MM if large else MODULE_MM, dpi))
    bar = max(1, dots(LARGE_BAR_MM if large else BAR_MM, dpi))
    side = (QR_MODULES + 2 * QR_QUIET) * module
    gap = dots(1.0, dpi)
    first = Box(0, 0, side, side)
    long = (len(code128_bars("K" * 7)) + 2 * LINEAR_QUIET) * bar
    if stock.design == "pair":
        second = Box(width - side, height - side, width, height)
        corners = (
            Box(side, gap, width - gap, side),
            Box(gap, side, width - gap, height - side),
            Box(gap, height - side, width - side, height - gap),
        )
        return Plan((width, height), module, (first, second), bar, None, corners)
    if stock.design == "one_and_bars":
        tall = min(height - side, dots(8, dpi))
        bars = Box((width - long) // 2, height - tall, (width - long) // 2 + long, height - gap)
        texts = (Box(side, gap, width - gap, height - tall - gap // 2),)
        return Plan((width, height), module, (first,), bar, bars, texts)
    second = Box(0, height - side, side, height)
    tall = dots(13 if large else 9, dpi)
    left = side + (width - side - long) // 2
    bars = Box(left, height - tall, left + long, height - gap)
    texts = (Box(side + gap // 2, gap, width - gap, height - tall - gap // 2),)
    return Plan((width, height), module, (first, second), bar, bars, texts)


def draw(label: LabelText, stock: Stock, dpi: int) -> Image.Image:
    """Return a label as a 1-bit picture, one pixel a dot.

    Text is shrunk to fit, then shortened; what finds no room is left out, least important last:
    code, part, unit, size, next station.

    Raises:
        SymbolError: the code does not fit its symbols.
    """
    where = plan(stock, dpi)
    picture = Image.new("1", where.size, WHITE)
    pen = ImageDraw.Draw(picture)
    pen.fontmode = "1"
    for box in where.symbols:
        _draw_qr(pen, label.code, box, where.module)
    if where.bars is not None:
        _draw_bars(pen, label.code, where.bars, where.bar)
    if stock.design == "pair":
        _draw_pair_text(pen, label, where.texts, dpi)
    else:
        _draw_lines(pen, _lines(label, where.texts[0], dpi), where.texts[0], dpi)
    return picture


def _draw_qr(pen: ImageDraw.ImageDraw, code: str, box: Box, module: int) -> None:
    left, top = box.left + QR_QUIET * module, box.top + QR_QUIET * module
    for row, modules in enumerate(qr_matrix(code)):
        for column, dark in enumerate(modules):
            if dark:
                x, y = left + column * module, top + row * module
                pen.rectangle((x, y, x + module - 1, y + module - 1), fill=BLACK)


def _draw_bars(pen: ImageDraw.ImageDraw, code: str, box: Box, bar: int) -> None:
    left = box.left + LINEAR_QUIET * bar
    for place, dark in enumerate(code128_bars(code)):
        if dark == "1":
            x = left + place * bar
            pen.rectangle((x, box.top, x + bar - 1, box.bottom - 1), fill=BLACK)


@dataclass(frozen=True, slots=True)
class _Line:
    """One line of text: how large it would like to be (dots), and the grain arrow behind it."""

    text: str
    want: int
    grain: str | None = None


def _lines(label: LabelText, box: Box, dpi: int) -> list[_Line]:
    """Return the lines in order of importance, the code largest."""
    unit = " ".join(filter(None, (label.job, label.unit)))
    small = dots(3.0, dpi)
    wanted = [
        _Line(shown(label.code), min(dots(6.5, dpi), box.height // 3)),
        _Line(label.title, dots(3.6, dpi)),
        _Line(" · ".join(filter(None, (unit, label.size))), small, label.grain),
        _Line(f"next: {label.next_station}" if label.next_station else "", small),
    ]
    return [line for line in wanted if line.text]


def _draw_lines(pen: ImageDraw.ImageDraw, lines: Sequence[_Line], box: Box, dpi: int) -> None:
    """Draw lines one below the other, dropping the last ones where the height does not do."""
    low = dots(SMALLEST_TEXT_MM, dpi) * 2
    kept = list(lines)
    while len(kept) > 1 and sum(min(line.want, low) for line in kept) > box.height:
        kept.pop()
    total = sum(line.want for line in kept)
    scale = min(LARGEST_SCALE, box.height / total) if total else 1.0
    top = box.top
    for line in kept:
        height = int(line.want * scale)
        _draw_line(pen, line, Box(box.left, top, box.right, top + height), dpi)
        top += height


def _draw_pair_text(
    pen: ImageDraw.ImageDraw, label: LabelText, boxes: Sequence[Box], dpi: int
) -> None:
    """Fill the two free corners and the band between two symbols; the code stands twice."""
    corner, band, other = boxes
    code = _Line(shown(label.code), dots(3.6, dpi))
    unit = " ".join(filter(None, (label.job, label.unit)))
    _draw_lines(pen, [code, *_some(unit, label.size, dpi=dpi)], corner, dpi)
    _draw_line(pen, _Line(label.title, band.height, label.grain), band, dpi)
    after = f"next: {label.next_station}" if label.next_station else ""
    _draw_lines(pen, [code, *_some(unit, after, dpi=dpi)], other, dpi)


def _some(*texts: str, dpi: int) -> list[_Line]:
    return [_Line(text, dots(3.0, dpi)) for text in texts if text]


def _draw_line(pen: ImageDraw.ImageDraw, line: _Line, box: Box, dpi: int) -> None:
    arrow = int(box.height * 0.9) if line.grain else 0
    room = box.width - (arrow + arrow // 3 if arrow else 0)
    text, font = _fit(pen, line.text, room, box.height, dpi)
    if text:
        pen.text((box.left, box.top + box.height / 2), text, font=font, fill=BLACK, anchor="lm")
    if arrow and line.grain:
        left = box.left + (round(pen.textlength(text, font=font)) if text else 0) + arrow // 3
        _draw_arrow(pen, Box(left, box.top, left + arrow, box.bottom), along=line.grain)


def _draw_arrow(pen: ImageDraw.ImageDraw, box: Box, *, along: str) -> None:
    """Draw a double arrow: lying where the grain runs with the length, upright with the width."""
    half = min(box.width, box.height) // 2 - 1
    x, y, head = (box.left + box.right) // 2, (box.top + box.bottom) // 2, max(2, half // 2)
    thick = max(1, half // 4)
    if along == "length":
        pen.line((x - half, y, x + half, y), fill=BLACK, width=thick)
        for side in (-1, 1):
            tip = x + side * half
            pen.polygon(
                [(tip, y), (tip - side * head, y - head), (tip - side * head, y + head)], BLACK
            )
        return
    pen.line((x, y - half, x, y + half), fill=BLACK, width=thick)
    for side in (-1, 1):
        tip = y + side * half
        pen.polygon([(x, tip), (x - head, tip - side * head), (x + head, tip - side * head)], BLACK)


def _fit(
    pen: ImageDraw.ImageDraw, text: str, width: int, height: int, dpi: int
) -> tuple[str, ImageFont.FreeTypeFont]:
    """Return a text and a font that fit into width and height; the text may be shortened."""
    least = max(6, dots(SMALLEST_TEXT_MM, dpi) * 4 // 3)
    size = max(least, int(height * 0.92))
    while size > least and pen.textlength(text, font=_font(size)) > width:
        size -= 1
    font = _font(size)
    while text and pen.textlength(text, font=font) > width:
        text = text[:-2].rstrip() + "…" if len(text) > 2 else ""
    return text, font


@cache
def _font(size: int) -> ImageFont.FreeTypeFont:
    """Return the label font at a size in dots: semibold, so that thin strokes survive one bit."""
    path = resources.files("font_source_sans_pro") / "files" / "SourceSansPro-Semibold.ttf"
    with resources.as_file(path) as file:
        return ImageFont.truetype(str(file), size)
