"""What a bevel takes and gives: values worked by hand, and sections rebuilt point by point."""

from math import cos, isclose, radians, tan

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kiosk.rules.lengths import Length, from_mm, mm
from kiosk.rules.sheets.cleats import (
    long_face,
    reach,
    rise,
    saving,
    short_face,
    slot,
    strip_width,
)

CALM = settings(max_examples=200, deadline=None, derandomize=True)
KERF = from_mm(3.2)
TILTS = st.one_of(st.sampled_from([15.0, 22.5, 30.0, 45.0, 60.0]), st.floats(0.1, 60))
THICK = st.integers(from_mm(6), from_mm(40)).map(Length)
KERFS = st.integers(0, from_mm(6)).map(Length)
WIDE = st.integers(from_mm(75), from_mm(400)).map(Length)


def bevel(thickness: float) -> dict:
    return {"thickness": from_mm(thickness), "tilt": 45.0}


def test_a_blade_of_3_2_mm_takes_4_53_mm_of_a_face_at_45_degrees():
    # 3.2 x 1.414214 = 4.52548
    assert mm(slot(KERF, 45)) == pytest.approx(4.5255, abs=0.0006)
    # 3.2 / cos 60 is exactly twice as much
    assert slot(KERF, 60) == 2 * KERF


def test_a_strip_of_150_mm_gives_two_cleats_of_81_74():
    # (150 + 18 - 4.52548) / 2 = 81.73726; less 18 it is the short face
    face = long_face(from_mm(150), kerf=KERF, **bevel(18))

    assert mm(face) == pytest.approx(81.737, abs=0.001)
    assert mm(short_face(face, **bevel(18))) == pytest.approx(63.737, abs=0.001)


def test_a_strip_of_120_mm_of_12_mm_gives_63_74_and_51_74():
    face = long_face(from_mm(120), kerf=KERF, **bevel(12))

    assert mm(face) == pytest.approx(63.737, abs=0.001)
    assert mm(short_face(face, **bevel(12))) == pytest.approx(51.737, abs=0.001)


def test_two_cleats_of_80_mm_need_a_strip_of_146_53():
    # 2 x 80 - 18 + 4.52548 = 146.52548
    width = strip_width(from_mm(80), from_mm(80), kerf=KERF, **bevel(18))

    assert mm(width) == pytest.approx(146.5255, abs=0.0013)


def test_mates_of_90_and_60_share_a_strip_of_136_53():
    width = strip_width(from_mm(90), from_mm(60), kerf=KERF, **bevel(18))

    assert mm(width) == pytest.approx(136.5255, abs=0.0013)


def test_a_shared_cut_saves_16_7_mm():
    # 18 - 3.2 x (1.414214 - 1) = 16.67452
    spared = saving(kerf=KERF, **bevel(18))

    assert mm(spared) == pytest.approx(16.6745, abs=0.0013)
    # two square strips of 80 with a cut between them are 163.2
    assert spared == from_mm(163.2) - strip_width(from_mm(80), from_mm(80), kerf=KERF, **bevel(18))


def test_in_veneer_a_shared_cut_saves_nothing():
    assert saving(thickness=from_mm(1), tilt=45.0, kerf=KERF) < 0


def test_a_blade_must_reach_25_5_mm_through_18():
    assert mm(reach(from_mm(18), 45)) == pytest.approx(25.456, abs=0.0013)


def test_at_45_degrees_the_faces_differ_by_the_thickness_to_the_unit():
    # the tangent of 45 degrees comes out a little less than one
    assert tan(radians(45)) < 1
    for thickness in range(1, 3000):
        assert rise(Length(thickness), 45) == thickness


def area(points: list[tuple[float, float]]) -> float:
    """Return the area of a polygon by its corners."""
    turned = [*points[1:], points[0]]
    return abs(sum(x * b - a * y for (x, y), (a, b) in zip(points, turned, strict=True))) / 2


@CALM
@given(first=WIDE, second=WIDE, thickness=THICK, tilt=TILTS, kerf=KERFS)
def test_both_cleats_come_out_as_wide_as_wanted_and_less_than_two_units_wider(
    first, second, thickness, tilt, kerf
):
    how = {"thickness": thickness, "tilt": tilt}
    width = strip_width(first, second, kerf=kerf, **how)
    setting = short_face(first, **how)
    lean, gap = thickness * tan(radians(tilt)), kerf / cos(radians(tilt))
    kept = [(0, 0), (setting, 0), (setting + lean, thickness), (0, thickness)]
    slotted = [
        (setting, 0),
        (setting + gap, 0),
        (setting + gap + lean, thickness),
        (setting + lean, thickness),
    ]
    other = [
        (setting + gap, 0),
        (width, 0),
        (width, thickness),
        (setting + gap + lean, thickness),
    ]

    assert -1e-4 < kept[2][0] - first < 1 + 1e-4
    assert -1e-4 < width - other[0][0] - second < 2 + 1e-4
    assert isclose(area(kept) + area(slotted) + area(other), width * thickness)
    assert isclose(area(slotted), kerf * thickness / cos(radians(tilt)), abs_tol=1e-3)


@CALM
@given(width=WIDE, thickness=THICK, tilt=TILTS, kerf=KERFS)
def test_a_strip_is_as_wide_as_its_two_equal_cleats_need(width, thickness, tilt, kerf):
    how = {"thickness": thickness, "tilt": tilt, "kerf": kerf}
    face = long_face(width, **how)

    assert (
        strip_width(face, face, **how)
        <= width
        < strip_width(Length(face + 1), Length(face + 1), **how)
    )
    assert saving(**how) == 2 * face + kerf - strip_width(face, face, **how)
