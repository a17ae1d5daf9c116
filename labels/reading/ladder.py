"""Make a picture that could not be read readable: the steps tried one after another.

Chosen by what each read of labels blurred, faded, dusty or unevenly lit that the steps before it
had not (tests/bench/bench_trials.py); all are Pillow's own. Medians and morphological openings cost
more and read nothing further, with OpenCV neither.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Final

import zxingcpp
from PIL import Image, ImageChops, ImageFilter, ImageOps

# Radii in pixels suit modules of 3 to 8 pixels, which is what a camera sees of a label. Choices.
_SHARP_RADIUS: Final = 3
_SHARP_PERCENT: Final = 300
# Sawdust is lighter than ink: with the limit low between the two, only ink stays dark.
_INK_BELOW: Final = 90
_DARKEST: Final = 2  # percent of pixels taken for ink, and for paper, when levels are stretched
_LIGHTEST: Final = 10
_NEAR: Final = 12
_WIDE: Final = 24
_GAIN: Final = 4.0  # of what a pixel differs from its neighbourhood by
_STRONG: Final = 10.0
_MIDDLE: Final = 128
_HALVED_FROM: Final = 64  # pixels on the shorter side; below that nothing is left at half size


@dataclass(frozen=True, slots=True)
class Step:
    """One way to look again: its name, what is done to the picture, how it is made black and white.

    change gets a grey picture and returns another; the given one stays as it is.
    """

    name: str
    change: Callable[[Image.Image], Image.Image]
    binarizer: zxingcpp.Binarizer = zxingcpp.Binarizer.LocalAverage


def looks(picture: Image.Image) -> Iterator[tuple[str, Image.Image, zxingcpp.Binarizer]]:
    """Return a grey picture changed by one step after another, cheap steps first."""
    for step in STEPS:
        if step.name != "half" or min(picture.size) >= _HALVED_FROM:
            yield step.name, step.change(picture), step.binarizer


def _as_it_is(picture: Image.Image) -> Image.Image:
    return picture


def _halve(picture: Image.Image) -> Image.Image:
    """Average two by two: flecks and noise of a pixel or two go."""
    return picture.reduce(2)


def _sharpen(picture: Image.Image) -> Image.Image:
    """Undo some blur."""
    return picture.filter(ImageFilter.UnsharpMask(_SHARP_RADIUS, _SHARP_PERCENT, 0))


def _keep_ink(picture: Image.Image) -> Image.Image:
    """Leave only what is nearly as dark as the ink."""
    soft = picture.filter(ImageFilter.GaussianBlur(1))
    levels = ImageOps.autocontrast(soft, cutoff=(_DARKEST, _LIGHTEST))
    return levels.point([0 if level < _INK_BELOW else 255 for level in range(256)])


def _even_out(radius: int, gain: float) -> Callable[[Image.Image], Image.Image]:
    """Return a step that stretches what each pixel differs from its neighbourhood by."""

    def change(picture: Image.Image) -> Image.Image:
        soft = picture.filter(ImageFilter.GaussianBlur(1))
        around = soft.filter(ImageFilter.BoxBlur(radius))
        return ImageChops.subtract(soft, around, scale=1 / gain, offset=_MIDDLE)

    return change


STEPS: Final = (
    Step("half", _halve),
    Step("global", _as_it_is, zxingcpp.Binarizer.GlobalHistogram),
    Step("sharp", _sharpen),
    Step("ink", _keep_ink, zxingcpp.Binarizer.FixedThreshold),
    Step("even", _even_out(_NEAR, _GAIN)),
    Step("even wide", _even_out(_WIDE, _STRONG)),
)
