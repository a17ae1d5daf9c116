"""Look for part codes in a picture file, whatever its size and state."""

from __future__ import annotations

import struct
import warnings
from pathlib import Path
from typing import Final

from PIL import Image, ImageOps, UnidentifiedImageError

from labels.reading.picture import Found, read_picture, to_grey

# Choices, in pixels: a phone's picture is mostly larger than its codes need.
_EASY_PX: Final = 1600  # longer side a picture is looked at first
_MOST_PX: Final = 4000  # longer side beyond which detail helps no code
_SMALL_PX: Final = 500  # longer side below which modules may be single pixels
_MOST_PIXELS: Final = 50_000_000  # more would fill the memory; a JPEG is read at part of its size
_FORMATS: Final = ("JPEG", "PNG", "WEBP", "TIFF", "BMP", "GIF")
# What Pillow's readers raise about files cut off or altered.
_BROKEN: Final = (
    OSError, SyntaxError, ValueError, EOFError, struct.error, IndexError, KeyError, TypeError,
    OverflowError, AttributeError, AssertionError, MemoryError, RuntimeError,
)  # fmt: skip


def read_file(path: Path) -> tuple[Found, tuple[str, ...]]:
    """Return the part codes in a picture file, and in words why there is none.

    Args:
        path: JPEG, PNG, WebP, TIFF, BMP or GIF, turned any way, up to 120 million pixels.
    """
    picture, problem = _open(path)
    if picture is None:
        return Found(), (problem,)
    sizes = _sizes(picture)
    refused: tuple[str, ...] = ()
    for ladder in (False, True):
        for size in sizes:
            found = read_picture(size, ladder=ladder)
            if found.codes:
                return found, ()
            refused = refused or found.refused
    if refused:
        return Found(refused=refused), (
            f"{path.name} shows a code that is none of a part: {refused[0]!r}. Take the part's "
            "label, or type its seven letters.",
        )
    return Found(), (
        f"No part code was found in {path.name}. Take the picture from nearer, sharp and from "
        "straight above, or type the seven letters.",
    )


def _open(path: Path) -> tuple[Image.Image | None, str]:
    """Return a picture file's picture in grey, upright, or what is wrong with it."""
    name = path.name or str(path)
    too_large = f"{name} has too many pixels. Send it smaller, or as JPEG."
    try:
        if not path.is_file():  # a device or a pipe would never end
            return None, f"There is no picture {name}. Look at its name and folder."
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # about files that are odd but readable
            with Image.open(path, formats=_FORMATS) as file:
                file.draft("L", (_MOST_PX // 2, _MOST_PX // 2))
                if file.width * file.height > _MOST_PIXELS:
                    return None, too_large
                picture = to_grey(_upright(file))
                picture.thumbnail((_MOST_PX, _MOST_PX))
                return picture, ""
    except Image.DecompressionBombError:
        return None, too_large
    except PermissionError:
        return None, f"{name} may not be read. Allow it, or copy it to a folder of yours."
    except UnidentifiedImageError:
        return None, f"{name} is no picture that can be read here. Send it as JPEG or PNG."
    except _BROKEN:
        return None, f"{name} is broken. Take or copy the picture again."


def _upright(picture: Image.Image) -> Image.Image:
    """Return a picture turned as its camera says it was held, if that can be read."""
    try:
        return ImageOps.exif_transpose(picture)
    except _BROKEN:
        picture.load()
        return picture


def _sizes(picture: Image.Image) -> list[Image.Image]:
    """Return a picture in the sizes it is looked at: the quick one first."""
    longer = max(picture.size)
    if longer > _EASY_PX:
        return [ImageOps.contain(picture, (_EASY_PX, _EASY_PX)), picture]
    if longer < _SMALL_PX:
        return [picture, picture.resize((picture.width * 3, picture.height * 3))]
    return [picture]
