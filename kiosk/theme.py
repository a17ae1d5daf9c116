"""Colours, shapes and sizes of every screen, from the screen's millimetres and reading distance."""

from __future__ import annotations

import math
from dataclasses import dataclass

from kiosk.palette import Look, chosen

Rgba = tuple[float, float, float, float]
__all__ = [
    "FONT",
    "GROUND",
    "INK",
    "OUTCOMES",
    "PRESSED",
    "QUIET",
    "SHELF",
    "STATES",
    "WHITE",
    "Look",
    "Sizes",
    "measure_screen",
    "rgba",
    "text_px",
]


def rgba(colour: str) -> Rgba:
    """Return a `#RRGGBB` colour as four numbers 0..1."""
    red, green, blue = (int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5))
    return (red, green, blue, 1.0)


# Taken once: every screen imports them by name, so another theme needs another start.
_COLOURS = chosen()
GROUND, INK, QUIET = _COLOURS.ground, _COLOURS.ink, _COLOURS.quiet
WHITE, SHELF, PRESSED = _COLOURS.white, _COLOURS.shelf, _COLOURS.pressed
STATES, OUTCOMES = _COLOURS.states, _COLOURS.outcomes
FONT = "Roboto"  # ships with Kivy; digits of equal width, so a countdown hardly jumps

# Capital height is 0.711 of the font size in Roboto (1456 of 2048 units; drawn and measured).
_CAPITAL = 0.711
# Angles in arc-minutes: ISO 9241-303 and NUREG-0700 ask at least 16, 20 to 22 preferred.
LEAST_ANGLE, GOOD_ANGLE = 16.0, 20.0
# Keys of 20 mm are as good as 25, smaller ones worse: Colle and Hiszem, Ergonomics 2004.
TOUCH_MM = 20.0
GAP_MM = 2.5  # 1 to 3 mm made no difference in the same study
APART_MM = 15.0  # between what records and what strikes; choice
BENCH_M = 2.0  # from how far an answer at the bench is read


@dataclass(frozen=True, slots=True)
class Sizes:
    """Sizes of one screen, all in pixels but those named otherwise.

    Everything is held between shares of the screen's height, so that nothing overlaps where the
    stated diagonal is wrong or the screen is too small for its distance.
    """

    width: int
    height: int
    px_per_mm: float
    distance_m: float
    touch: int
    gap: int
    apart: int
    outline: int
    answer: int
    body: int
    small: int
    board: int
    board_least: int
    ladder: tuple[int, ...]

    @property
    def diagonal_in(self) -> float:
        """Return the diagonal the sizes were made for, in inches."""
        return math.hypot(self.width, self.height) / self.px_per_mm / 25.4


def text_px(angle: float, distance_m: float, px_per_mm: float) -> float:
    """Return the font size at which capitals fill an angle.

    Args:
        angle: arc-minutes.
        distance_m: from the eye to the screen.
        px_per_mm: pixels of the screen per millimetre.
    """
    capital_mm = 2 * distance_m * 1000 * math.tan(math.radians(angle / 60) / 2)
    return capital_mm * px_per_mm / _CAPITAL


def measure_screen(width: int, height: int, *, diagonal_in: float, distance_m: float) -> Sizes:
    """Return the sizes for a screen.

    Args:
        width: pixels.
        height: pixels.
        diagonal_in: of the visible area, inches; 5 to 120.
        distance_m: from how far the board is read; 0.3 to 15.
    """
    px_per_mm = math.hypot(width, height) / (diagonal_in * 25.4)
    base = min(height, width * 0.625)  # a tall narrow window is ruled by its width

    def held(value: float, low: float, high: float) -> int:
        return round(min(max(value, base * low), base * high))

    # rounded up: a letter a hair too low is too low
    board = held(math.ceil(text_px(GOOD_ANGLE, distance_m, px_per_mm)), 0.06, 0.2)
    least = min(math.ceil(text_px(LEAST_ANGLE, distance_m, px_per_mm)), board)
    return Sizes(
        width=width,
        height=height,
        px_per_mm=px_per_mm,
        distance_m=distance_m,
        touch=held(TOUCH_MM * px_per_mm, 0.11, 0.15),
        gap=held(GAP_MM * px_per_mm, 0.012, 0.02),
        apart=held(APART_MM * px_per_mm, 0.06, 0.12),
        outline=held(0.7 * px_per_mm, 0.004, 0.006),
        answer=held(text_px(GOOD_ANGLE, BENCH_M, px_per_mm), 0.105, 0.125),
        body=held(text_px(GOOD_ANGLE, 1.0, px_per_mm), 0.05, 0.062),
        small=held(text_px(GOOD_ANGLE, 0.6, px_per_mm), 0.034, 0.042),
        board=board,
        board_least=least,
        ladder=_ladder(base, board, least),
    )


def _ladder(base: float, *exact: int) -> tuple[int, ...]:
    """Return the font sizes in use, largest first: few and fixed, as each fills a cache.

    Those the board is to be read at are among them exactly.
    """
    size, found = base * 0.26, set(exact)
    while size > base * 0.02:
        found.add(round(size))
        size /= 1.12
    return tuple(sorted(found, reverse=True))
