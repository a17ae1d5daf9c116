"""Both palettes, by published matrices and formulas, not by the theme's word."""

import warnings
from itertools import combinations

import numpy as np
import pytest

from kiosk.palette import PALETTES

with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # it tells of plotting libraries that are not installed
    import colour
    from colour.blindness import matrix_cvd_Machado2009

STATES = ("resting", "coat", "hang", "late")
# Machado, Oliveira and Fernandes, "A Physiologically-based Model for Simulation of Color Vision
# Deficiency", IEEE TVCG 15 (2009) 1291, severity 1, on linear RGB, as tabled by colour-science.
DEFICIENCIES = {"protan": "Protanomaly", "deutan": "Deuteranomaly", "tritan": "Tritanomaly"}
EYES = ("none", *DEFICIENCIES)
THEMES = pytest.mark.parametrize("theme", list(PALETTES))


def linear(code: str) -> np.ndarray:
    """Linear RGB of a colour, IEC 61966-2-1."""
    return colour.cctf_decoding(colour.notation.HEX_to_RGB(code), function="sRGB")


def matrix_of(eye: str) -> np.ndarray:
    if eye == "none":
        return np.eye(3)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # that tritanopia is approximated, as the paper says itself
        return matrix_cvd_Machado2009(DEFICIENCIES[eye], 1.0)


def seen(code: str, eye: str) -> np.ndarray:
    """CIE Lab of a colour as an eye sees it."""
    matrix = matrix_of(eye)
    met = np.clip(matrix @ linear(code), 0, 1)
    return colour.XYZ_to_Lab(colour.RGB_to_XYZ(met, "sRGB", apply_cctf_decoding=False))


def least_pair(theme: str, eye: str) -> float:
    fills = [PALETTES[theme].states[name].fill for name in STATES]
    return min(
        float(colour.delta_E(seen(one, eye), seen(other, eye), method="CIE 1976"))
        for one, other in combinations(fills, 2)
    )


def contrast(one: str, other: str) -> float:
    """Contrast of two colours, WCAG 2.2."""
    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def luminance(code: str) -> float:
    """Relative luminance, WCAG 2.2; its threshold 0.04045 as corrected."""
    parts = [int(code[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


@THEMES
@pytest.mark.parametrize("eye", EYES)
def test_the_four_state_fills_are_at_least_35_apart_for_every_eye(theme, eye):
    assert least_pair(theme, eye) >= 35


@pytest.mark.parametrize(
    ("eye", "distance"), [("none", 49), ("protan", 48), ("deutan", 42), ("tritan", 38)]
)
def test_the_light_fills_are_as_far_apart_as_was_measured(eye, distance):
    assert least_pair("light", eye) == pytest.approx(distance, abs=1)


def test_red_and_green_as_usually_picked_would_not_pass():
    green, red = "#2E7D32", "#C62828"
    assert colour.delta_E(seen(green, "deutan"), seen(red, "deutan"), method="CIE 1976") < 35


@THEMES
def test_due_a_coat_is_the_orange_of_okabe_and_ito(theme):
    # Okabe and Ito, Color Universal Design: orange, 230 159 0
    assert PALETTES[theme].states["coat"].fill == "#E69F00"


def test_lightness_alone_tells_due_from_resting_from_late():
    fills = [PALETTES["light"].states[name].fill for name in ("resting", "coat", "late")]
    assert np.diff(sorted(seen(fill, "none")[0] for fill in fills)).min() > 12


@THEMES
def test_all_words_stand_out_from_what_they_are_written_on(theme):
    # WCAG 2.2, 1.4.6 (enhanced): 7:1
    one = PALETTES[theme]
    looks = [*one.states.values(), *one.outcomes.values()]
    pairs = [(look.fill, look.text) for look in looks]
    # what a rest has not yet filled, bands of ink, buttons, pressed buttons, and plain words
    pairs += [(one.white, one.states["resting"].text), (one.ink, one.white), (one.ink, one.ground)]
    pairs += [(one.white, one.ink), (one.pressed, one.ink), (one.ground, one.quiet)]
    pairs += [(one.ground, one.ink), (one.white, one.quiet)]
    assert {pair: contrast(*pair) for pair in pairs if contrast(*pair) < 7} == {}


@THEMES
def test_edges_stand_out_from_the_ground_and_from_what_they_enclose(theme):
    # WCAG 2.2, 1.4.11: 3:1 for what is needed to see where a thing is
    one = PALETTES[theme]
    assert contrast(one.shelf, one.ground) >= 3
    for surface in (one.ground, one.white, one.pressed):
        assert contrast(one.ink, surface) >= 3
    for look in one.states.values():
        # a tile is seen by its outline of ink, or by its fill where that stands out by itself
        assert max(contrast(look.fill, one.ink), contrast(look.fill, one.ground)) >= 3


@THEMES
def test_the_dark_ground_is_dark_and_the_light_one_light(theme):
    ground, ink = PALETTES[theme].ground, PALETTES[theme].ink
    assert (luminance(ground) > luminance(ink)) == (theme == "light")


def test_both_themes_tell_states_by_the_same_shapes_and_words():
    light, dark = PALETTES["light"], PALETTES["dark"]
    for group in ("states", "outcomes"):
        for name, look in getattr(light, group).items():
            other = getattr(dark, group)[name]
            assert (other.shape, other.word) == (look.shape, look.word)
