"""Find the part codes in one picture."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final, Literal, Protocol

import zxingcpp
from PIL import Image

from labels.codes import parse
from labels.reading.ladder import looks

# Plain formats, as lists of them kept by the module are told as leaks when the program ends.
_FORMATS: Final = (zxingcpp.BarcodeFormat.QRCode, zxingcpp.BarcodeFormat.Code128)
_LEAST_PX: Final = 21  # the modules of the smallest QR code, ISO/IEC 18004
_MOST_REFUSED: Final = 8  # foreign texts that are told of; a parcel may carry dozens
_LONGEST: Final = 80
_SIXTEEN_BITS: Final = 257.0  # 65535 / 255


class Pixels(Protocol):
    """Rows of grey bytes, such as a numpy array of uint8 with two dimensions."""

    @property
    def __array_interface__(self) -> dict[str, Any]:
        """Describe the memory."""
        ...


@dataclass(frozen=True, slots=True)
class Find:
    """A part code and the symbol it was read from; middle is x, y in pixels of the picture."""

    code: str
    kind: Literal["qr", "bars"]
    middle: tuple[int, int]


@dataclass(frozen=True, slots=True)
class Found:
    """What a picture shows.

    codes are the sound part codes, each once. finds are the symbols they were read from. refused
    are texts that are no part code, foreign or misread, cut to 80 letters. step names what had to
    be done to the picture: empty for nothing, or where nothing helped.
    """

    codes: tuple[str, ...] = ()
    finds: tuple[Find, ...] = ()
    refused: tuple[str, ...] = ()
    step: str = ""


def read_picture(picture: Image.Image | Pixels, *, ladder: bool = True) -> Found:
    """Return the part codes in a picture, turned any way.

    Args:
        picture: of any mode or size; or grey pixels. About 3 pixels a module and 2 a narrow bar
            are needed.
        ladder: where no code is found, look again at the picture evened out, sharpened and so on;
            that takes some eight times as long.
    """
    image = to_grey(picture)
    if min(image.size) < _LEAST_PX:
        return Found()
    found = _read(image, zxingcpp.Binarizer.LocalAverage, scale=1.0)
    refused = found.refused
    if found.codes or not ladder:
        return found
    for name, changed, binarizer in looks(image):
        scale = image.width / changed.width
        found = _read(changed, binarizer, scale=scale, step=name)
        refused += tuple(text for text in found.refused if text not in refused)
        if found.codes:
            break
    step = found.step if found.codes else ""
    return Found(found.codes, found.finds, refused[:_MOST_REFUSED], step)


def to_grey(picture: Image.Image | Pixels) -> Image.Image:
    """Return a picture in grey bytes; what is transparent is taken for white paper."""
    image = picture if isinstance(picture, Image.Image) else Image.fromarray(picture)
    if image.mode == "L":
        return image
    if image.mode.startswith("I"):
        return image.convert("F").point(lambda level: level * (1 / _SIXTEEN_BITS)).convert("L")
    if image.has_transparency_data:
        image = image.convert("RGBA")
        image = Image.alpha_composite(Image.new("RGBA", image.size, "white"), image)
    return image.convert("L")


def _read(
    image: Image.Image, binarizer: zxingcpp.Binarizer, *, scale: float, step: str = ""
) -> Found:
    finds: list[Find] = []
    refused: list[str] = []
    for symbol in zxingcpp.read_barcodes(
        image,
        formats=zxingcpp.BarcodeFormats(list(_FORMATS)),
        try_invert=False,  # labels are dark on light
        text_mode=zxingcpp.TextMode.Plain,
        binarizer=binarizer,
    ):
        # the text has to be the code letter by letter: what parse would mend is a misread here
        if parse(symbol.text).code == symbol.text:
            is_bars = symbol.format == zxingcpp.BarcodeFormat.Code128
            middle = _middle(symbol.position, scale)
            finds.append(Find(symbol.text, "bars" if is_bars else "qr", middle))
        else:
            refused.append(symbol.text[:_LONGEST])
    codes = tuple(dict.fromkeys(find.code for find in finds))
    return Found(codes, tuple(finds), tuple(dict.fromkeys(refused))[:_MOST_REFUSED], step)


def _middle(position: zxingcpp.Position, scale: float) -> tuple[int, int]:
    corners = (position.top_left, position.top_right, position.bottom_right, position.bottom_left)
    x = sum(corner.x for corner in corners) / len(corners)
    y = sum(corner.y for corner in corners) / len(corners)
    return round(x * scale), round(y * scale)
