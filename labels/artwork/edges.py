"""Say where on its page a label is printed, and how far an offset may push it."""

from __future__ import annotations

from collections.abc import Iterable
from math import floor
from typing import Final

from labels import LabelError
from labels.artwork.choose import lay_out
from labels.artwork.plan import MM_PER_INCH, Box, Spot, to_dots
from labels.stocks import Stock
from labels.symbols import BARS_QUIET, QR_QUIET

_MOST_MM: Final = 10.0  # a stock's offset goes no further
_HAIR: Final = 1e-6  # 0.1 + 0.2 is a hair more than 0.3


class LabelsOffPage(LabelError):
    """A stock's offset would push part of a label over the edge of what is printed."""


def page_size(stock: Stock, dpi: int) -> tuple[int, int]:
    """Return width and height of a page in dots."""
    return to_dots(stock.page_mm[0], dpi), to_dots(stock.page_mm[1], dpi)


def printed_at(stock: Stock, dpi: int, place: int) -> tuple[int, int]:
    """Return left and top in dots where a label's picture goes, the offset added."""
    left, top = stock.printed_mm(place)
    return round(left * dpi / MM_PER_INCH), round(top * dpi / MM_PER_INCH)


def check_edges(stock: Stock, dpi: int) -> None:
    """Refuse an offset that would cut a symbol or a word; a quiet zone may go on over the edge.

    Raises:
        LabelsOffPage: the message says how far the offset may go.
        LabelTooSmall: the design does not fit the stock.
    """
    plan, (width, height) = lay_out(stock, dpi), page_size(stock, dpi)
    boxes = [*plan.codes, plan.words, *(inked(spot) for spot in plan.spots)]
    left, top = printed_at(stock, dpi, 0)
    right, bottom = printed_at(stock, dpi, stock.per_page - 1)
    before = left + min(box.x for box in boxes), top + min(box.y for box in boxes)
    behind = (
        width - right - max(box.right for box in boxes),
        height - bottom - max(box.bottom for box in boxes),
    )
    if min(*before, *behind) < 0:
        across = _range(stock.offset_x_mm, before[0], behind[0], dpi)
        down = _range(stock.offset_y_mm, before[1], behind[1], dpi)
        raise LabelsOffPage(
            f"The offset of {stock.key} pushes its labels over the edge of the page. "
            f"offset_x_mm may be {across}, offset_y_mm {down}. If the printer is further out, "
            "set where it begins in its own menu."
        )


def unfit(stocks: Iterable[Stock], dpi: int) -> tuple[str, ...]:
    """Return in words which stocks cannot be printed on with a printer, and what would do.

    Said of a label too small for its codes, and of an offset that leads off the page.
    """
    problems = []
    for stock in stocks:
        try:
            check_edges(stock, dpi)
        except LabelError as error:
            problems.append(f"stock {stock.key}: {error}")
    return tuple(problems)


def inked(spot: Spot) -> Box:
    """Return a symbol's box without its quiet zone."""
    box, across = spot.box, (QR_QUIET if spot.kind == "qr" else BARS_QUIET) * spot.module
    down = across if spot.kind == "qr" else 0
    return Box(box.x + across, box.y + down, box.width - 2 * across, box.height - 2 * down)


def _range(offset_mm: float, before: int, behind: int, dpi: int) -> str:
    """Return the offsets that keep everything on the page, in tenths of a millimetre."""
    mm = MM_PER_INCH / dpi
    least = max(-_MOST_MM, -floor((before * mm - offset_mm) * 10 + _HAIR) / 10)
    most = min(_MOST_MM, floor((behind * mm + offset_mm) * 10 + _HAIR) / 10)
    return f"{least:g} to {most:g}"
