"""The colours of every screen: light as usual, dark as a setting; chosen before any is drawn."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from kiosk.rules.words import _

THEMES: Final = ("light", "dark")


@dataclass(frozen=True, slots=True)
class Look:
    """How a state or an outcome is shown: fill, text colour, shape, word. Never by fill alone."""

    fill: str
    text: str
    shape: str
    word: str


@dataclass(frozen=True, slots=True)
class Palette:
    """The colours of one theme.

    white is what lies on the ground and what stands out from ink: nearly black in the dark theme.
    """

    ground: str
    ink: str
    quiet: str
    white: str
    shelf: str
    pressed: str
    states: Mapping[str, Look]
    outcomes: Mapping[str, Look]


Pair = tuple[str, str]  # a fill and what is written on it


def _states(resting: Pair, hang: Pair, plain: Pair) -> dict[str, Look]:
    """Return the looks of the states; orange and red are the same in both themes.

    Orange is of Okabe and Ito's set. Lightness differs too: the least pair stays 37 apart for every
    colour deficiency (Machado et al. 2009). Green, red and yellow signs are left to safety signs
    (ISO 3864-1).
    """
    return {
        "resting": Look(*resting, "clock", _("resting")),
        "coat": Look("#E69F00", "#111111", "drop", _("to coat")),
        "hang": Look(*hang, "bracket", _("to hang")),
        "late": Look("#983400", "#FFFFFF", "late", _("late")),
        "other": Look(*plain, "dot", ""),
    }


def _outcomes(pale: str, dull: str, ink: str, white: str) -> dict[str, Look]:
    """Return the looks of the outcomes, which keep off the four state fills.

    They differ by lightness (pale, ink, white), shape and word, so that neither hue nor sound is
    needed.
    """
    return {
        "recorded": Look(pale, ink, "tick", _("Recorded")),
        "already": Look(dull, ink, "ticks", _("Not recorded again")),
        "too_early": Look(ink, white, "clock", _("Not recorded: wait")),
        "elsewhere": Look(dull, ink, "arrow", _("Not recorded here")),
        "unknown": Look(white, ink, "question", _("Not recorded: not known")),
        "slip": Look(white, ink, "question", _("Not recorded: check the code")),
        "on_hold": Look(ink, white, "bars", _("Not recorded: on hold")),
    }


# Dark on light reads better (Buchner 2007, Piepenbrock 2014) and hides reflections: it is usual.
_LIGHT_INK, _LIGHT_WHITE = "#111111", "#FFFFFF"
_DARK_INK, _DARK_WHITE = "#F5F3EE", "#05070A"
PALETTES: Final[Mapping[str, Palette]] = {
    "light": Palette(
        ground="#FAF8F3",
        ink=_LIGHT_INK,
        quiet="#4A4A46",  # secondary words; 8.4:1 on the ground, WCAG 2.2 1.4.6 asks 7:1
        white=_LIGHT_WHITE,
        shelf="#8A6D47",
        pressed="#D9D4C7",
        states=_states(
            ("#CFD8DC", _LIGHT_INK), ("#00517F", _LIGHT_WHITE), (_LIGHT_WHITE, _LIGHT_INK)
        ),
        outcomes=_outcomes("#D5EAD3", "#E6E0D2", _LIGHT_INK, _LIGHT_WHITE),
    ),
    "dark": Palette(
        ground="#14171A",
        ink=_DARK_INK,
        quiet="#C4C2BB",
        white=_DARK_WHITE,
        shelf="#A98A5F",
        pressed="#3A3F45",
        states=_states(("#3E4A52", _DARK_INK), ("#8CCBFF", "#111111"), (_DARK_WHITE, _DARK_INK)),
        outcomes=_outcomes("#1D3A20", "#3B372D", _DARK_INK, _DARK_WHITE),
    ),
}


class _Chosen:
    """The theme the screens are drawn in."""

    theme: str = "light"


def choose_theme(theme: str) -> None:
    """Draw in this theme; to be called before kiosk.theme is imported, which takes the colours.

    A kiosk takes another theme when it is started the next time.
    """
    _Chosen.theme = theme


def is_dark() -> bool:
    """Tell whether the theme in use is the dark one."""
    return _Chosen.theme == "dark"


def chosen() -> Palette:
    """Return the colours of the theme in use."""
    return PALETTES[_Chosen.theme]
