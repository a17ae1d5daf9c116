"""Turn a sheet into the form a printer takes, dot for dot: PNG, one-bit PDF or PWG raster."""

from __future__ import annotations

import io
import struct
from collections.abc import Iterator, Sequence
from typing import Final

from PIL import Image, PdfParser

from labels import LabelError
from labels.artwork.plan import MM_PER_INCH
from labels.printing.values import PDF, PNG, PWG_RASTER, Sheet

# PWG 5102.4-2012, section 4.3: the 1,796 bytes before each page
_SYNC: Final = b"RaS2"
_HEADER: Final = 1796
_POINTS: Final = 72
_BLACK, _GREY, _RGB = 3, 18, 19  # section 4.3.3.7: Device Black, sGray, sRGB
_KINDS: Final = {"black_1": (1, _BLACK), "sgray_8": (8, _GREY), "srgb_8": (24, _RGB)}
_LARGEST: Final = 89_000_000  # dots of a page; Pillow's own limit, and A3 at 600 dpi has 70 million
# what Pillow raises at files that are not what they say
_UNREADABLE: Final = (
    OSError, ValueError, LookupError, TypeError, AttributeError, SyntaxError, RuntimeError,
    AssertionError, struct.error, PdfParser.PdfFormatError, Image.DecompressionBombError,
)  # fmt: skip


class WrongForm(LabelError):
    """A sheet cannot be turned into the form asked for."""


def convert(sheet: Sheet, mime: str, *, kinds: Sequence[str] = ("black_1",)) -> bytes:
    """Return a sheet's bytes in another form with the very same dots.

    Args:
        sheet: what to print; as PDF only such as `labels.pages` writes.
        mime: the form wanted.
        kinds: with PWG raster, the `pwg-raster-document-type-supported` of the printer.

    Raises:
        WrongForm: there is no way to it, or the data are no such file.
    """
    if mime == sheet.mime:
        return sheet.data
    if sheet.mime not in (PDF, PNG) or mime not in (PDF, PNG, PWG_RASTER):
        raise WrongForm(f"A sheet of {sheet.mime} cannot be sent as {mime}; send it as PDF.")
    pages = read_pages(sheet)
    if mime == PWG_RASTER:
        return write_raster(pages, sheet, kinds=kinds)
    if mime == PNG and len(pages) > 1:
        raise WrongForm("A PNG has one page; send the labels one by one, or as PDF.")
    out = io.BytesIO()
    if mime == PNG:
        pages[0].save(out, "PNG", dpi=(sheet.dpi, sheet.dpi))
    else:
        pages[0].save(out, "PDF", save_all=True, append_images=pages[1:], resolution=sheet.dpi)
    return out.getvalue()


def read_pages(sheet: Sheet) -> list[Image.Image]:
    """Return the pages of a sheet as one-bit pictures.

    Raises:
        WrongForm: the data are no PNG and no PDF of `labels.pages`.
    """
    try:
        pages = list(_pdf_pages(sheet.data)) if sheet.mime == PDF else [_png_page(sheet.data)]
    except _UNREADABLE as bad:
        raise WrongForm("The pages cannot be read; write the labels anew.") from bad
    if not pages:
        raise WrongForm("There is no page to print; choose at least one label.")
    return pages


def _png_page(data: bytes) -> Image.Image:
    with Image.open(io.BytesIO(data), formats=["PNG"]) as picture:
        if picture.width * picture.height > _LARGEST:
            raise WrongForm("The picture is larger than any sheet; draw it at fewer dots per inch.")
        return picture.convert("1", dither=Image.Dither.NONE)


def _pdf_pages(data: bytes) -> Iterator[Image.Image]:
    """Take the pictures out of the pages, untouched, rather than draw the pages anew."""
    with PdfParser.PdfParser(buf=data) as parsed:
        for place in parsed.pages:
            page = parsed.read_indirect(place)
            (picture,) = page[b"Resources"][b"XObject"].values()
            stream = parsed.read_indirect(picture)
            about = stream.dictionary
            size = int(about[b"Width"]), int(about[b"Height"])
            if size[0] * size[1] > _LARGEST or b"CCITTFaxDecode" not in str(about).encode():
                raise WrongForm("The pages are no labels of ours; print the file as it is.")
            yield _unfax(stream.buf, size)


def _unfax(data: bytes, size: tuple[int, int]) -> Image.Image:
    """Decode Group 4 fax data by putting a TIFF's directory around them (TIFF 6.0, section 11)."""
    tags = ((256, 4, size[0]), (257, 4, size[1]), (258, 3, 1), (259, 3, 4), (262, 3, 1),
        (273, 4, 8), (278, 4, size[1]), (279, 4, len(data)))  # fmt: skip
    entries = [struct.pack("<HHII", tag, kind, 1, value) for tag, kind, value in tags]
    directory = struct.pack("<H", len(entries)) + b"".join(entries) + bytes(4)
    padded = data + b"\0" * (len(data) % 2)
    file = b"II*\0" + struct.pack("<I", 8 + len(padded)) + padded + directory
    with Image.open(io.BytesIO(file), formats=["TIFF"]) as picture:
        return picture.convert("1")


def write_raster(pages: Sequence[Image.Image], sheet: Sheet, *, kinds: Sequence[str]) -> bytes:
    """Return one-bit pictures as PWG raster, in the first kind that printer and we know.

    Raises:
        WrongForm: the printer knows none of black_1, sgray_8 and srgb_8.
    """
    kind = next((name for name in _KINDS if name in kinds), None)
    if kind is None:
        raise WrongForm("The printer takes no black-and-white pages; send the labels as PDF.")
    parts = [_SYNC]
    for page in pages:
        parts += [_header(page, sheet, len(pages), kind), _rows(page, _KINDS[kind][0])]
    return b"".join(parts)


def _header(page: Image.Image, sheet: Sheet, count: int, kind: str) -> bytes:
    bits, space = _KINDS[kind]
    head = bytearray(_HEADER)
    points = [round(mm * _POINTS / MM_PER_INCH) for mm in (sheet.width_mm, sheet.height_mm)]
    numbers = {
        276: (sheet.dpi, sheet.dpi),  # HWResolution
        340: (1,),  # NumCopies
        352: points,  # PageSize
        372: page.size,  # Width, Height
        384: (min(bits, 8), bits, -(-page.width * bits // 8)),  # BitsPerColor, -Pixel, BytesPerLine
        400: (space,),  # ColorSpace
        420: (3 if space == _RGB else 1,),  # NumColors
        452: (count, 1, 1),  # TotalPageCount, CrossFeedTransform, FeedTransform
        464: (0, 0, *page.size),  # ImageBox
        480: (0xFFFFFF,),  # AlternatePrimary: white
    }
    head[0:9] = b"PwgRaster"
    head[128:134] = b"labels"  # MediaType
    for at, values in numbers.items():
        struct.pack_into(f">{len(values)}I", head, at, *values)
    name = (
        f"custom_{sheet.width_mm:g}x{sheet.height_mm:g}mm_{sheet.width_mm:g}x{sheet.height_mm:g}mm"
    )
    head[1732 : 1732 + min(len(name), 63)] = name.encode()[:63]
    return bytes(head)


def _rows(page: Image.Image, bits: int) -> bytes:
    """Return a page's rows packed (section 4.4): equal rows once, equal dots once."""
    raw = page.tobytes() if bits > 1 else page.tobytes("raw", "1;I")
    if bits > 1:
        raw = page.convert("RGB" if bits == 24 else "L").tobytes()
    line = -(-page.width * bits // 8)
    rows = [raw[at : at + line] for at in range(0, len(raw), line)]
    packed, at = bytearray(), 0
    while at < len(rows):
        same = 1
        while same < 256 and at + same < len(rows) and rows[at + same] == rows[at]:
            same += 1
        packed.append(same - 1)
        packed += _packed(rows[at], max(bits // 8, 1))
        at += same
    return bytes(packed)


def _packed(row: bytes, size: int) -> bytes:
    """Return one row: runs of 1 to 128 equal dots, or 2 to 128 dots as they are."""
    dots = [row[at : at + size] for at in range(0, len(row), size)]
    out, at = bytearray(), 0
    while at < len(dots):
        end = at + 1
        while end < len(dots) and end - at < 128 and dots[end] == dots[at]:
            end += 1
        if end - at == 1:
            while end < len(dots) and end - at < 128 and not _pair(dots, end):
                end += 1
        if end - at > 1 and dots[at] != dots[at + 1]:
            out.append(257 - (end - at))
            out += b"".join(dots[at:end])
        else:
            out.append(end - at - 1)
            out += dots[at]
        at = end
    return bytes(out)


def _pair(dots: list[bytes], at: int) -> bool:
    """Return whether a run begins here."""
    return at + 1 < len(dots) and dots[at] == dots[at + 1]
