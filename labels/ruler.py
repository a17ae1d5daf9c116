"""Make a test page that shows, with a steel rule, where a printer begins and how fat it prints."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Final

from PIL import Image, ImageChops, ImageDraw

from labels.artwork.edges import page_size
from labels.artwork.letters import BLACK, blank, plain, width_of, wrap, write
from labels.artwork.paragraphs import flow, write_flowed
from labels.artwork.plan import LEAST_MM, MM_PER_INCH, Box, to_dots
from labels.artwork.preview import preview
from labels.pages import save_pdf, save_png
from labels.stocks import Stock

__all__ = ["preview", "ruler_page", "write_preview", "write_ruler"]

# Choices, in millimetres: strokes of one, five and ten, on a page with room and on a small label.
_TICKS: Final = {1: 1.2, 5: 1.8, 10: 2.5}
_SMALL_TICKS: Final = {1: 0.7, 5: 1.1, 10: 1.5}
_SMALL_MM: Final = 60.0  # a page less wide or high has small strokes
_LETTERS_MM: Final = (3.2, 2.6, 2.2, LEAST_MM)
_NUMBERS_MM: Final = 2.2
_MARK_MM: Final = 2.5  # arms of a corner mark
_STROKE_MM: Final = 0.12
_INSET_MM: Final = 1.0  # words stay that far inside a label's place, clear of its marks
_BARS_MM: Final = 3.5
_BARS: Final = 5  # black ones of each width
_DOTS: Final = (1, 2, 3)

_LONG: Final = (
    "{title}. Now offset_x_mm = {x}, offset_y_mm = {y}, {dpi} dots per inch.",
    "1. Print at 100 %, not fitted to the page. Along the top, from 10 to {last} must measure "
    "{span} mm; if not, the printer still scales.",
    "2. Measure from the paper's left edge to the stroke 10 at the top. More than 10 mm: make "
    "offset_x_mm smaller by the difference. Less: larger.",
    "3. Measure from the paper's upper edge to the stroke 10 at the left. More than 10 mm: make "
    "offset_y_mm smaller by the difference. Less: larger.",
    "4. The corner marks stand on the corners of the labels. If they run off from label to label, "
    "change pitch_x_mm or pitch_y_mm; if all are off alike, left_mm or top_mm.",
    "5. Bars of 1, 2 and 3 dots: black and white must look alike. If the white closes, print "
    "slower or with less heat.",
)
_MIDDLE: Final = (
    "{key}: offset_x_mm = {x}, offset_y_mm = {y}, {dpi} dpi",
    "Measure from the left edge to 10 at the top. Over 10 mm: make offset_x_mm smaller by the "
    "difference; under: larger. Upper edge to 10 at the left: the same with offset_y_mm.",
    "Bars: white closes? Less heat.",
)
_SHORT: Final = (
    "{key}, {dpi} dpi",
    "offset_x_mm = {x}",
    "offset_y_mm = {y}",
    "Left edge to 10 over 10 mm: lower x; from top: y.",
)
_TERSE: Final = ("{key}", "offset x {x} y {y}", "edge to 10 = 10 mm?")


def ruler_page(stock: Stock, dpi: int) -> Image.Image:
    """Return a page of a stock with rulers from its edges, one bit a dot, its offset applied.

    Along the top millimetres count from the left edge, along the left from the top, along the
    bottom from the right, along the right from the bottom. Each place of a label has marks at its
    corners. The words say what to measure and which number to change: as many as there is room for.

    Args:
        stock: the label stock; any size, even too small for a label.
        dpi: dots per inch of the printer, at least 1.
    """
    page = blank(*page_size(stock, dpi))
    for place in range(stock.per_page):
        _corners(page, _place(stock, dpi, place), dpi)
    reach = _rulers(page, stock, dpi)
    _explain(page, stock, dpi, reach)
    shift = _dots(stock.offset_x_mm, dpi), _dots(stock.offset_y_mm, dpi)
    if shift == (0, 0):
        return page
    moved = blank(page.width, page.height)
    moved.paste(page, shift)
    return moved


def write_ruler(stock: Stock, *, dpi: int, out: Path) -> Path:
    """Write the ruler page to a PDF or, where the name ends in .png, a picture; return the file.

    Raises:
        LabelsNotWritten: the disk refused.
    """
    page = ruler_page(stock, dpi)
    if out.suffix.lower() == ".png":
        save_png(iter([page]), [out], dpi=dpi)
    else:
        save_pdf(iter([page]), 1, dpi=dpi, out=out)
    return out


def write_preview(stock: Stock, *, dpi: int, out: Path) -> Path:
    """Write the preview of a stock as a PNG picture; return the file.

    Raises:
        LabelsNotWritten: the disk refused.
        LabelError: the stock cannot be printed on at this resolution.
    """
    save_png(iter([preview(stock, dpi)]), [out], dpi=96)  # for a screen
    return out


def _dots(mm: float, dpi: int) -> int:
    """Return a length that may be zero or negative in whole dots."""
    return round(mm * dpi / MM_PER_INCH)


def _place(stock: Stock, dpi: int, place: int) -> Box:
    """Return a label's place on the page, before the offset."""
    left, top = (_dots(mm, dpi) for mm in stock.corner_mm(place))
    return Box(left, top, to_dots(stock.width_mm, dpi), to_dots(stock.height_mm, dpi))


def _rulers(page: Image.Image, stock: Stock, dpi: int) -> tuple[int, int]:
    """Draw the four rulers; return how far in they reach from the sides, and from top and foot."""
    is_small = min(stock.page_mm) < _SMALL_MM
    ticks = _SMALL_TICKS if is_small else _TICKS
    size = to_dots(LEAST_MM if is_small else _NUMBERS_MM, dpi)
    pen, stroke = ImageDraw.Draw(page), to_dots(_STROKE_MM, dpi)
    right, bottom = page.width - 1, page.height - 1
    sides: tuple[tuple[float, Callable[[int, int], tuple[int, int]]], ...] = (
        (stock.page_mm[0], lambda along, deep: (along, deep)),
        (stock.page_mm[1], lambda along, deep: (deep, along)),
        (stock.page_mm[0], lambda along, deep: (right - along, bottom - deep)),
        (stock.page_mm[1], lambda along, deep: (right - deep, bottom - along)),
    )
    for number, (length, turned) in enumerate(sides):
        for mm in range(int(length) + 1):
            kind = next(step for step in (10, 5, 1) if mm % step == 0)
            at, deep = _dots(mm, dpi), to_dots(ticks[kind], dpi)
            pen.line([turned(at, 0), turned(at, deep)], fill=BLACK, width=stroke)
            if kind == 10 and 0 < mm < length - 5:
                _number(page, turned(at, deep), str(mm), size, side=number)
    widest = width_of(str(int(max(stock.page_mm))), size)
    return to_dots(ticks[10], dpi) + widest + size // 2, to_dots(ticks[10], dpi) + int(1.1 * size)


def _number(page: Image.Image, tip: tuple[int, int], words: str, size: int, *, side: int) -> None:
    """Write a number at the inner end of a stroke: below, right of, above or left of it.

    One that would cover a mark is left off, but never the 10 that is measured to.
    """
    wide, high, gap = width_of(words, size), int(0.66 * size), size // 5
    x, y = tip
    where = (
        (x - wide // 2, y + gap + high),
        (x + gap, y + high // 2),
        (x - wide // 2, y - gap),
        (x - gap - wide, y + high // 2),
    )[side]
    around = (where[0], where[1] - high, where[0] + wide, where[1])
    is_free = ImageChops.invert(page.crop(around).convert("L")).getbbox() is None
    if is_free or words == "10":
        write(page, where, words, size=size)


def _corners(page: Image.Image, place: Box, dpi: int) -> None:
    """Draw an angle in each corner of a label's place, inside it."""
    pen, arm = ImageDraw.Draw(page), to_dots(_MARK_MM, dpi)
    stroke = 2 * to_dots(_STROKE_MM, dpi)
    right, bottom = place.right - 1, place.bottom - 1
    for x, inward in ((place.x, 1), (right, -1)):
        for y, down in ((place.y, 1), (bottom, -1)):
            for far_x, far_y in (
                (x + inward * arm, y + down * stroke),
                (x + inward * stroke, y + down * arm),
            ):
                across, along = sorted((x, far_x - inward)), sorted((y, far_y - down))
                pen.rectangle((across[0], along[0], across[1], along[1]), fill=BLACK)


def _explain(page: Image.Image, stock: Stock, dpi: int, reach: tuple[int, int]) -> None:
    """Write the words into the places of the labels, clear of the rulers, and the bars below."""
    last = max(10, int(stock.page_mm[0] - 6) // 10 * 10)
    facts = {
        "title": plain(stock.title),
        "key": plain(stock.key),
        "dpi": dpi,
        "last": last,
        "span": last - 10,
        "x": f"{stock.offset_x_mm:g}",
        "y": f"{stock.offset_y_mm:g}",
    }
    rooms = _rooms(page, stock, dpi, reach)
    texts = [[line.format(**facts) for line in lines] for lines in (_LONG, _MIDDLE, _SHORT, _TERSE)]
    for text in texts:
        for size in (to_dots(mm, dpi) for mm in _LETTERS_MM):
            filled = flow(text, rooms, size)
            if filled is not None:
                write_flowed(page, filled, rooms, size)
                return
    size = to_dots(LEAST_MM, dpi)
    write_flowed(page, [wrap(" ".join(texts[-1]), rooms[0].width, size)], rooms, size)


def _rooms(page: Image.Image, stock: Stock, dpi: int, reach: tuple[int, int]) -> list[Box]:
    """Return where words may stand in the places of the labels; the first has the bars below."""
    inset = to_dots(_INSET_MM, dpi)
    rooms = []
    for number in range(stock.per_page):
        place = _place(stock, dpi, number)
        left, top = max(place.x + inset, reach[0]), max(place.y + inset, reach[1])
        right = min(place.right - inset, page.width - reach[0])
        bottom = min(place.bottom - inset, page.height - reach[1])
        rooms.append(Box(left, top, max(1, right - left), max(1, bottom - top)))
    high = to_dots(_BARS_MM, dpi)
    room = rooms[0]
    _bars(page, Box(room.x, room.bottom - high, room.width, high), dpi)
    rooms[0] = replace(room, height=max(1, room.height - high - inset))
    return rooms


def _bars(page: Image.Image, room: Box, dpi: int) -> None:
    """Draw bars of one, two and three dots with spaces as wide; once more lying, with room."""
    pen, size, gap = ImageDraw.Draw(page), to_dots(LEAST_MM, dpi), to_dots(LEAST_MM / 2, dpi)
    numbers = {dots: width_of(str(dots), size) + gap // 2 for dots in _DOTS}
    x = room.x
    for is_lying in (False, True):
        wide = {dots: room.height if is_lying else (2 * _BARS - 1) * dots for dots in _DOTS}
        if x + sum(numbers.values()) + sum(wide.values()) + 2 * gap > room.right:
            return
        for dots in _DOTS:
            start, end = x + numbers[dots], x + numbers[dots] + wide[dots]
            write(page, (x, room.bottom), str(dots), size=size)
            for at in range(0, 2 * _BARS * dots, 2 * dots):
                low = room.bottom - at - 1
                lying = (start, low - dots + 1, end - 1, low)
                upright = (start + at, room.y, start + at + dots - 1, room.bottom - 1)
                pen.rectangle(lying if is_lying else upright, fill=BLACK)
            x = end + gap
