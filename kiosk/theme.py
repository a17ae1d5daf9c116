"""Colours, shapes and sizes of every screen, from the screen's millimetres and reading distance."""

from __future__ import annotations

import math
from dataclasses import dataclass

Rgba = tuple[float, float, float, float]


def rgba(colour: str) -> Rgba:
    """Return a `#RRGGBB` colour as four numbers 0..1."""
    red, green, blue = (int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5))
    return (red, green, blue, 1.0)


GROUND = "#FAF8F3"
INK = "#111111"
QUIET = "#4A4A46"  # secondary words; 8.4:1 on the ground, WCAG 2.2 1.4.6 asks 7:1
WHITE = "#FFFFFF"
SHELF = "#8A6D47"
PRESSED = "#D9D4C7"
FONT = "Roboto"  # ships with Kivy; digits of equal width, so a countdown hardly jumps


@dataclass(frozen=True, slots=True)
class Look:
    """How a state or an outcome is shown: fill, text colour, shape, word. Never by fill alone."""

    fill: str
    text: str
    shape: str
    word: str


# Orange from Okabe and Ito's set, the others darkened so that lightness differs too; the least pair
# stays 38 apart for every colour deficiency (Machado et al. 2009). Green, red and yellow signs are
# left to safety signs (ISO 3864-1).
STATES = {
    "resting": Look("#CFD8DC", INK, "clock", "resting"),
    "coat": Look("#E69F00", INK, "drop", "to coat"),
    "hang": Look("#00517F", WHITE, "bracket", "to hang"),
    "late": Look("#983400", WHITE, "drop", "late"),
    "other": Look(WHITE, INK, "dot", ""),
}

# Outcomes keep off the four state fills. They differ by lightness (pale, black, white), shape and
# word, so that neither hue nor sound is needed.
_PALE, _DULL = "#D5EAD3", "#E6E0D2"
OUTCOMES = {
    "recorded": Look(_PALE, INK, "tick", "Recorded"),
    "already": Look(_DULL, INK, "ticks", "Not recorded again"),
    "too_early": Look(INK, WHITE, "clock", "Not recorded: wait"),
    "elsewhere": Look(_DULL, INK, "arrow", "Not recorded here"),
    "unknown": Look(WHITE, INK, "question", "Not recorded: not known"),
    "slip": Look(WHITE, INK, "question", "Not recorded: check the code"),
    "on_hold": Look(INK, WHITE, "bars", "Not recorded: on hold"),
}

# Capital height is 0.73 of the font size in Roboto (measured).
_CAPITAL = 0.73
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
    def is_board_small(self) -> bool:
        """Tell whether the screen cannot show six shelves legibly from its distance."""
        return self.board_least > self.height * 0.07


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
        board=held(text_px(GOOD_ANGLE, distance_m, px_per_mm), 0.06, 0.13),
        board_least=round(text_px(LEAST_ANGLE, distance_m, px_per_mm)),
        ladder=_ladder(base),
    )


def _ladder(base: float) -> tuple[int, ...]:
    """Return the font sizes in use, largest first: few and fixed, as each fills a cache."""
    size, found = base * 0.26, []
    while size > base * 0.02:
        found.append(round(size))
        size /= 1.12
    return tuple(found)
