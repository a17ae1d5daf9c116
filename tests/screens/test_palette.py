"""The four state fills hold apart for every eye, by published matrices, not by the theme's word."""

from itertools import combinations

import numpy as np
import pytest

from kiosk.theme import STATES

FILLS = {name: STATES[name].fill for name in ("resting", "coat", "hang", "late")}

# Machado, Oliveira and Fernandes, IEEE TVCG 15 (2009) 1291, severity 1.0, on linear RGB.
DEFICIENCIES = {
    "none": np.eye(3),
    "protan": [
        [0.152286, 1.052583, -0.204868],
        [0.114503, 0.786281, 0.099216],
        [-0.003882, -0.048116, 1.051998],
    ],
    "deutan": [
        [0.367322, 0.860646, -0.227968],
        [0.280085, 0.672501, 0.047413],
        [-0.011820, 0.042940, 0.968881],
    ],
    "tritan": [
        [1.255528, -0.076749, -0.178779],
        [-0.078411, 0.930809, 0.147602],
        [0.004733, 0.691367, 0.303900],
    ],
}
# IEC 61966-2-1 primaries to CIE XYZ, white D65
XYZ = np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]])
WHITE = np.array([0.9505, 1.0, 1.089])


def seen(colour: str, deficiency: str) -> np.ndarray:
    """CIE Lab of a colour as an eye with a deficiency sees it."""
    code = np.array([int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)])
    linear = np.where(code <= 0.04045, code / 12.92, ((code + 0.055) / 1.055) ** 2.4)
    met = np.clip(np.array(DEFICIENCIES[deficiency]) @ linear, 0, 1)
    ratio = XYZ @ met / WHITE
    root = np.where(ratio > 216 / 24389, np.cbrt(ratio), (24389 / 27 * ratio + 16) / 116)
    return np.array([116 * root[1] - 16, 500 * (root[0] - root[1]), 200 * (root[1] - root[2])])


def least_pair(deficiency: str) -> float:
    pairs = combinations(FILLS.values(), 2)
    return min(
        float(np.linalg.norm(seen(one, deficiency) - seen(other, deficiency)))
        for one, other in pairs
    )


@pytest.mark.parametrize(
    ("deficiency", "distance"), [("none", 49), ("protan", 48), ("deutan", 42), ("tritan", 38)]
)
def test_the_least_pair_of_fills_is_as_far_apart_as_was_measured(deficiency, distance):
    assert least_pair(deficiency) == pytest.approx(distance, abs=1)


def test_due_a_coat_is_the_orange_of_okabe_and_ito():
    # Okabe and Ito, Color Universal Design: orange, 230 159 0
    assert FILLS["coat"] == "#E69F00"


def test_lightness_alone_tells_due_from_resting_from_late():
    lightness = sorted(seen(FILLS[name], "none")[0] for name in ("resting", "coat", "late"))
    assert np.diff(lightness).min() > 12
