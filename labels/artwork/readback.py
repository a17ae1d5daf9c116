"""Read a drawn label back with a decoder that had no part in drawing it."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

import zxingcpp
from PIL import Image

from labels.artwork.plan import Spot

# Plain formats, as lists of them kept by the module are told as leaks when the program ends.
_FORMATS: Final = {
    "qr": zxingcpp.BarcodeFormat.QRCode,
    "bars": zxingcpp.BarcodeFormat.Code128,
}


def unread(picture: Image.Image, spots: Iterable[Spot], code: str) -> list[Spot]:
    """Return the symbols of a label that do not read back to its code, each looked at alone."""
    return [spot for spot in spots if _read(picture, spot) != code]


def _read(picture: Image.Image, spot: Spot) -> str | None:
    box = spot.box
    crop = picture.crop((box.x, box.y, box.right, box.bottom)).convert("L")
    found = zxingcpp.read_barcode(
        crop,
        formats=zxingcpp.BarcodeFormats([_FORMATS[spot.kind]]),
        try_rotate=False,
        try_downscale=False,
        try_invert=False,
    )
    return found.text if found else None
