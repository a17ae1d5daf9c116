"""Place symbols and text boxes on a label, in whole dots of the printer."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Final, Literal

from labels import LabelError
from labels.stocks import Stock
from labels.symbols import BARS_LONGEST, BARS_QUIET, QR_QUIET, qr_size

MM_PER_INCH: Final = 25.4
# Sizes in millimetres, from trials with smeared, dusty and blurred labels: several small symbols
# survive more than one large one. docs/rules.md, "Labels".
MARGIN_MM: Final = 1.0
QR_MODULE_MM: Final = 0.375
LARGE_QR_MODULE_MM: Final = 0.5
LARGE_FROM_MM: Final = (60.0, 35.0)
LARGE_QR_VERSION: Final = 3  # more modules round the same code: finders are a smaller share
BAR_MM: Final = (0.375, 0.25)  # narrow bar: the wider where it fits
FEWEST_DOTS: Final = 2  # per bar or module; one dot prints ragged


class LabelTooSmall(LabelError):
    """A design does not go on a stock at this resolution."""


@dataclass(frozen=True, slots=True)
class Box:
    """A stretch of a label in dots from its upper left corner."""

    x: int
    y: int
    width: int
    height: int

    @property
    def right(self) -> int:
        """The first column right of it."""
        return self.x + self.width

    @property
    def bottom(self) -> int:
        """The first row below it."""
        return self.y + self.height


@dataclass(frozen=True, slots=True)
class Spot:
    """The place of one symbol.

    box includes the quiet zone (for bars: the ends; nothing is kept clear above and below). module
    is the dots of one module or narrow bar. version is of a QR code, 0 for bars.
    """

    kind: Literal["qr", "bars"]
    box: Box
    module: int
    version: int = 0


@dataclass(frozen=True, slots=True)
class Plan:
    """A label laid out: its size in dots, symbols, places of the code in letters, and other words.

    tall_code says that the code goes on two lines.
    """

    width: int
    height: int
    dpi: int
    spots: tuple[Spot, ...]
    codes: tuple[Box, ...]
    words: Box
    tall_code: bool = False

    def dots(self, mm: float) -> int:
        """Return a length in whole dots, at least one."""
        return to_dots(mm, self.dpi)


def to_dots(mm: float, dpi: int) -> int:
    """Return millimetres as whole dots, at least one."""
    return max(1, round(mm * dpi / MM_PER_INCH))


@lru_cache(maxsize=64)
def lay_out(stock: Stock, dpi: int) -> Plan:
    """Return where everything goes on a label of this stock.

    Args:
        stock: the stock; its design decides what the label carries.
        dpi: dots per inch of the printer, such as 203, 300 or 600.

    Raises:
        LabelTooSmall: the design does not fit.
    """
    if dpi < 1:
        raise LabelTooSmall(
            f"{dpi} dots per inch print nothing; use what the printer's maker says."
        )
    plan = _DESIGNS[stock.design](_Frame(stock, dpi))
    label = Box(0, 0, plan.width, plan.height)
    boxes = [spot.box for spot in plan.spots] + [*plan.codes, plan.words]
    modules = [spot.module for spot in plan.spots]
    if (
        not all(_holds(label, box) for box in boxes)
        or _overlap(boxes)
        or min(modules) < FEWEST_DOTS
    ):
        raise LabelTooSmall(
            f"The design {stock.design} does not fit {stock.key} at {dpi} dots per inch. "
            "Choose a smaller design or a larger label."
        )
    return plan


class _Frame:
    """The size, margin and gap of a label in dots, and symbols cut to them."""

    def __init__(self, stock: Stock, dpi: int) -> None:
        self.dpi = dpi
        self.width = self.dots(stock.width_mm)
        self.height = self.dots(stock.height_mm)
        self.is_large = stock.width_mm >= LARGE_FROM_MM[0] and stock.height_mm >= LARGE_FROM_MM[1]
        self.margin = self.dots(MARGIN_MM)
        self.gap = self.dots(MARGIN_MM / 2)
        self.right = self.width - self.margin
        self.bottom = self.height - self.margin

    def dots(self, mm: float) -> int:
        return to_dots(mm, self.dpi)

    def qr(self, x: int, y: int, *, module_mm: float = QR_MODULE_MM, version: int = 1) -> Spot:
        """Return a QR code with its upper left corner at x, y; negative: before the far margin."""
        module = self.dots(module_mm)
        side = (qr_size(version) + 2 * QR_QUIET) * module
        left = x if x >= 0 else self.right - side
        top = y if y >= 0 else self.bottom - side
        return Spot("qr", Box(left, top, side, side), module, version)

    def bars(self, x: int, right: int, *, height_mm: float) -> Spot:
        """Return a bar code at the lower margin, from x on, with the widest bars that fit."""
        height = self.dots(height_mm)
        modules = BARS_LONGEST + 2 * BARS_QUIET
        wide, narrow = (self.dots(mm) for mm in BAR_MM)
        module = wide if x + modules * wide <= right else narrow
        return Spot("bars", Box(x, self.bottom - height, modules * module, height), module)

    def box(self, x: int, y: int, right: int, bottom: int) -> Box:
        return Box(x, y, right - x, bottom - y)

    def plan(
        self, *spots: Spot, codes: tuple[Box, ...], words: Box, tall_code: bool = False
    ) -> Plan:
        return Plan(self.width, self.height, self.dpi, spots, codes, words, tall_code)


def _pair_and_bars(frame: _Frame) -> Plan:
    """Two QR codes one above the other at the left, bars at the lower right, text above them."""
    if frame.is_large:
        return _large(frame)
    upper, lower = frame.qr(frame.margin, frame.margin), frame.qr(frame.margin, -1)
    bars = frame.bars(upper.box.right, frame.right, height_mm=9.0)
    code, words = _text_over(frame, upper.box.right + frame.gap, bars.box.y, code_mm=4.5)
    return frame.plan(upper, lower, bars, codes=(code,), words=words)


def _one_and_bars(frame: _Frame) -> Plan:
    """One QR code at the upper left, text beside it, bars below both."""
    upper = frame.qr(frame.margin, frame.margin)
    modules = BARS_LONGEST + 2 * BARS_QUIET
    slack = frame.right - frame.margin - modules * frame.dots(BAR_MM[-1])
    bars = frame.bars(frame.margin + max(0, slack // 2), frame.right, height_mm=6.5)
    code, words = _text_over(frame, upper.box.right + frame.gap, bars.box.y, code_mm=3.8)
    return frame.plan(upper, bars, codes=(code,), words=words)


def _pair(frame: _Frame) -> Plan:
    """Two QR codes on a diagonal, the code in the upper free corner, other words in the lower."""
    upper, lower = frame.qr(frame.margin, frame.margin), frame.qr(-1, -1)
    below, before = upper.box.bottom + frame.gap, lower.box.x - frame.gap
    words = frame.box(frame.margin, below, before, frame.bottom)
    end = min(below, lower.box.y - frame.gap)  # the free corners meet in the middle of the label
    code = frame.box(upper.box.right + frame.gap, frame.margin, frame.right, end)
    return frame.plan(upper, lower, codes=(code,), words=words, tall_code=True)


def _large(frame: _Frame) -> Plan:
    """Two large QR codes at opposite corners, bars at the lower left, the code in letters twice."""
    size = {"module_mm": LARGE_QR_MODULE_MM}
    upper = frame.qr(frame.margin, frame.margin, version=LARGE_QR_VERSION, **size)
    lower = frame.qr(-1, -1, version=LARGE_QR_VERSION, **size)
    bars = frame.bars(frame.margin, lower.box.x, height_mm=10.0)
    code, words = _text_over(frame, upper.box.right + frame.gap, lower.box.y, code_mm=6.5)
    top = max(upper.box.bottom, words.bottom) + frame.gap
    again = frame.box(frame.margin, top, lower.box.x - frame.gap, bars.box.y - frame.gap)
    return frame.plan(upper, lower, bars, codes=(code, again), words=words)


def _text_over(frame: _Frame, x: int, bottom: int, *, code_mm: float) -> tuple[Box, Box]:
    """Return the code's box at the upper margin and the words' box below it, above bottom."""
    code = Box(x, frame.margin, frame.right - x, frame.dots(code_mm))
    return code, frame.box(x, code.bottom + frame.gap, frame.right, bottom - frame.gap)


_DESIGNS: Final[Mapping[str, Callable[[_Frame], Plan]]] = {
    "pair_and_bars": _pair_and_bars,
    "one_and_bars": _one_and_bars,
    "pair": _pair,
}


def _holds(label: Box, box: Box) -> bool:
    is_inside = box.x >= label.x and box.y >= label.y
    return (
        is_inside
        and box.right <= label.right
        and box.bottom <= label.bottom
        and (box.width > 0 and box.height > 0)
    )


def _overlap(boxes: list[Box]) -> bool:
    return any(
        one.x < two.right and two.x < one.right and one.y < two.bottom and two.y < one.bottom
        for at, one in enumerate(boxes)
        for two in boxes[at + 1 :]
    )
