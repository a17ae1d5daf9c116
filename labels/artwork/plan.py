"""Place symbols and text boxes on a label, in whole dots of the printer."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Final, Literal

from labels.artwork.letters import LINE, fit, largest_for, rise_of
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
LEAST_MM: Final = 1.75  # letters' size: 14 dots at 203 dpi are the least that still form
CODE_LEAST_MM: Final = 2.0  # height of the code's capitals, so that it can be typed from the label
WORDS_LEAST_MM: Final = 8.0  # width of the other words; less cuts every name
TALLEST: Final = "Q"  # the capital that reaches furthest up and down
_WIDEST: Final = ("WWW-", "WWWW")  # a code that takes the most room


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


@lru_cache(maxsize=1024)
def lay_out_design(design: str, *, width_mm: float, height_mm: float, dpi: int) -> Plan | None:
    """Return where everything of a design goes on a label of this size; None if it does not fit.

    It fits when nothing overlaps or hangs over, a module has two dots, and the words can be read.
    """
    frame = _Frame(width_mm, height_mm, dpi)
    kinds = [_DESIGNS[design]]
    if design == "pair_and_bars" and frame.is_large:
        kinds.insert(0, _large)
    plans = (kind(frame) for kind in kinds)
    return next((plan for plan in plans if _is_sound(plan)), None)


def code_lines(shown: str, *, tall: bool) -> list[str]:
    """Return a code as it stands on one line, or on two behind its hyphen."""
    return shown.replace("-", "-\n").split("\n") if tall else [shown]


def code_size(lines: list[str], box: Box) -> int:
    """Return the size in dots of a code's letters: the largest at which its lines fit a box."""
    height = box.height // len(lines)
    tallest = largest_for(TALLEST, height * 9 // 10 if len(lines) > 1 else height)
    return min(fit(line, box.width, largest=tallest, least=1)[1] for line in lines)


def _is_sound(plan: Plan) -> bool:
    label = Box(0, 0, plan.width, plan.height)
    boxes = [spot.box for spot in plan.spots] + [*plan.codes, plan.words]
    is_placed = all(_holds(label, box) for box in boxes) and not _overlap(boxes)
    if not is_placed or min(spot.module for spot in plan.spots) < FEWEST_DOTS:
        return False
    lines = code_lines("".join(_WIDEST), tall=plan.tall_code)
    is_code_plain = all(
        rise_of("H", code_size(lines, box)) >= plan.dots(CODE_LEAST_MM) for box in plan.codes
    )
    least_height = int(plan.dots(LEAST_MM) * LINE)
    words = plan.words
    return (
        is_code_plain and words.width >= plan.dots(WORDS_LEAST_MM) and words.height >= least_height
    )


class _Frame:
    """The size, margin and gap of a label in dots, and symbols cut to them."""

    def __init__(self, width_mm: float, height_mm: float, dpi: int) -> None:
        self.dpi = dpi
        self.width = self.dots(width_mm)
        self.height = self.dots(height_mm)
        self.is_large = width_mm >= LARGE_FROM_MM[0] and height_mm >= LARGE_FROM_MM[1]
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
