import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.theme import (
    GROUND,
    INK,
    OUTCOMES,
    QUIET,
    STATES,
    measure_screen,
    rgba,
    text_px,
)


def luminance(colour: str) -> float:
    """Relative luminance, WCAG 2.2."""
    parts = [
        value / 12.92 if value <= 0.04045 else ((value + 0.055) / 1.055) ** 2.4
        for value in rgba(colour)[:3]
    ]
    return 0.2126 * parts[0] + 0.7152 * parts[1] + 0.0722 * parts[2]


def contrast(one: str, other: str) -> float:
    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


@pytest.mark.parametrize(
    ("distance_m", "angle", "capital_mm"),
    # ISO 9241-303 angles; capital height = 2 d tan(a/2)
    [(0.6, 16, 2.8), (0.6, 20, 3.5), (3, 16, 14.0), (4, 20, 23.3), (5, 24, 34.9)],
)
def test_letters_fill_the_angle_asked_for(distance_m, angle, capital_mm):
    font = text_px(angle, distance_m, 1.0)
    assert font * 0.711 == pytest.approx(capital_mm, abs=0.05)


@pytest.mark.parametrize(
    ("size", "diagonal_in", "at_4_m", "key_20_mm"),
    [
        ((1280, 800), 10.0, 195, 119),
        ((1920, 1080), 24.0, 118, 72),
        ((1920, 1080), 43.0, 66, 40),
    ],
)
def test_millimetres_become_pixels_of_the_stated_screen(size, diagonal_in, at_4_m, key_20_mm):
    sizes = measure_screen(*size, diagonal_in=diagonal_in, distance_m=4.0)
    assert sizes.px_per_mm * 20 == pytest.approx(key_20_mm, abs=1)
    assert text_px(20, 4.0, sizes.px_per_mm) == pytest.approx(at_4_m, rel=0.01)


def test_a_ten_inch_bench_has_keys_of_twenty_millimetres():
    sizes = measure_screen(1280, 800, diagonal_in=10.1, distance_m=0.6)
    assert sizes.touch >= 20 * sizes.px_per_mm - 1


@given(
    st.integers(640, 3840),
    st.integers(480, 2160),
    st.floats(5, 120),
    st.floats(0.3, 15),
)
def test_sizes_stay_between_their_bounds_whatever_is_stated(width, height, diagonal, distance):
    sizes = measure_screen(width, height, diagonal_in=diagonal, distance_m=distance)
    assert 4 * sizes.touch + 7 * sizes.gap < height
    assert sizes.small < sizes.body < sizes.answer <= 0.13 * height
    assert sizes.ladder == tuple(sorted(set(sizes.ladder), reverse=True))
    assert 0 < sizes.gap < sizes.touch


@pytest.mark.parametrize("look", [*STATES.values(), *OUTCOMES.values()])
def test_words_stand_out_from_their_fill(look):
    # WCAG 2.2, 1.4.6 (enhanced): 7:1
    assert contrast(look.fill, look.text) >= 7


def test_secondary_words_stand_out_too():
    assert contrast(GROUND, QUIET) >= 7
    assert contrast(GROUND, INK) >= 17


def test_outcomes_borrow_no_state_fill():
    states = {look.fill for name, look in STATES.items() if name != "other"}
    assert not states & {look.fill for look in OUTCOMES.values()}


def test_no_two_states_share_fill_or_both_shape_and_word():
    looks = list(STATES.values())
    assert len({look.fill for look in looks}) == len(looks)
    assert len({(look.shape, look.word) for look in looks}) == len(looks)


def test_every_outcome_but_one_says_that_nothing_was_recorded():
    others = {name: look for name, look in OUTCOMES.items() if name != "recorded"}
    assert all(look.word.startswith("Not recorded") for look in others.values())
    assert OUTCOMES["recorded"].word == "Recorded"
