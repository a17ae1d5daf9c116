"""Write labels to PDF or PNG pages; every label is read back before any file is there."""

from __future__ import annotations

import tempfile
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import islice
from pathlib import Path
from typing import Final

import zxingcpp
from PIL import Image

from labels import LabelError
from labels.artwork import LabelText, draw, lay_out
from labels.artwork.letters import blank
from labels.artwork.plan import MM_PER_INCH, Spot, to_dots
from labels.stocks import Stock

__all__ = [
    "LabelError",
    "LabelUnreadable",
    "LabelsNotWritten",
    "NothingToPrint",
    "Pages",
    "unread",
    "write_pdf",
    "write_png",
]

# Renderers reckon pages in 32-bit floats and round dots up. A page a hair smaller (0.3 µm in A4)
# lands on its dots; at exactly W x 72 / dpi some sheets came out one dot larger, and resampled.
_HAIR: Final = 1 + 1e-6
_TITLE: Final = "Part labels"
# Plain formats, as lists of them kept by the module are told as leaks when the program ends.
_FORMATS: Final = {
    "qr": zxingcpp.BarcodeFormat.QRCode,
    "bars": zxingcpp.BarcodeFormat.Code128,
}
_NAMES: Final = {"qr": "QR code", "bars": "bar code"}


class LabelUnreadable(LabelError):
    """A label as drawn does not read back to its code; nothing was written."""


class LabelsNotWritten(LabelError):
    """The pages could not be put on disk."""


class NothingToPrint(LabelError):
    """There is no label, or its place on the sheet does not exist."""


@dataclass(frozen=True, slots=True)
class Pages:
    """What was written: the files in order, how many pages, how many labels."""

    files: tuple[Path, ...]
    pages: int
    count: int


def write_pdf(
    labels: Sequence[LabelText], stock: Stock, *, dpi: int, skip: int = 0, out: Path
) -> Pages:
    """Write labels to one PDF, one bit a dot, a page exactly as large as its dots.

    The same labels give the same bytes. An older file of that name is replaced at once, or kept if
    anything goes wrong.

    Args:
        labels: what to print, in this order.
        stock: label stock; on sheets the labels fill the rows from the left.
        dpi: dots per inch of the printer.
        skip: places already used on the first sheet; 0 for a roll.
        out: the file; its folder must exist.

    Raises:
        LabelUnreadable: a symbol does not read back to its code.
        NothingToPrint: no labels, or skip is not on the sheet.
        LabelsNotWritten: the disk refused.
        LabelError: a code or stock cannot be drawn.
    """
    _check_place(labels, stock, skip)
    count = _count(labels, stock, skip)
    try:
        with tempfile.TemporaryDirectory(prefix=".labels-", dir=out.parent) as folder:
            draft = Path(folder) / "pages.pdf"
            _save_pdf(_Roll(_pages(labels, stock, dpi=dpi, skip=skip), count), draft, dpi=dpi)
            draft.replace(out)
    except OSError as error:
        raise _not_written(out, error) from error
    return Pages((out,), count, len(labels))


def write_png(
    labels: Sequence[LabelText], stock: Stock, *, dpi: int, skip: int = 0, out: Path
) -> Pages:
    """Write labels to PNG pictures, one a page: `name-1.png`, `name-2.png`; a single page to out.

    Arguments and errors are those of write_pdf.
    """
    _check_place(labels, stock, skip)
    count = _count(labels, stock, skip)
    numbered = (out.with_name(f"{out.stem}-{page + 1}{out.suffix}") for page in range(count))
    files = (out,) if count == 1 else tuple(numbered)
    try:
        with tempfile.TemporaryDirectory(prefix=".labels-", dir=out.parent) as folder:
            drafts = [Path(folder) / f"{page}.png" for page in range(count)]
            for draft, page in zip(drafts, _pages(labels, stock, dpi=dpi, skip=skip), strict=True):
                page.save(draft, "PNG", dpi=(dpi, dpi))
            for draft, file in zip(drafts, files, strict=True):
                draft.replace(file)
    except OSError as error:
        raise _not_written(out, error) from error
    return Pages(files, count, len(labels))


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


def _check_place(labels: Sequence[LabelText], stock: Stock, skip: int) -> None:
    if not labels:
        raise NothingToPrint("There is no label to print. Choose at least one part.")
    if not 0 <= skip < stock.per_page:
        raise NothingToPrint(
            f"A page of {stock.key} has {stock.per_page} labels; {skip} cannot be skipped. "
            f"Use 0 to {stock.per_page - 1}."
        )


def _count(labels: Sequence[LabelText], stock: Stock, skip: int) -> int:
    return -(-(len(labels) + skip) // stock.per_page)


def _pages(
    labels: Sequence[LabelText], stock: Stock, *, dpi: int, skip: int
) -> Iterator[Image.Image]:
    """Draw page after page; a label that cannot be read stops it."""
    pictures = (_drawn(label, stock, dpi) for label in labels)
    if stock.per_page == 1:
        yield from pictures
        return
    size = to_dots(stock.page_mm[0], dpi), to_dots(stock.page_mm[1], dpi)
    first = skip
    while batch := list(islice(pictures, stock.per_page - first)):
        page = blank(*size)
        for position, picture in enumerate(batch, start=first):
            left, top = (round(mm * dpi / MM_PER_INCH) for mm in stock.corner_mm(position))
            page.paste(picture, (left, top))
        yield page
        first = 0


def _drawn(label: LabelText, stock: Stock, dpi: int) -> Image.Image:
    picture = draw(label, stock, dpi)
    failed = Counter(spot.kind for spot in unread(picture, lay_out(stock, dpi).spots, label.code))
    if failed:
        symbols = " and ".join(_NAMES[kind] for kind in failed)
        raise LabelUnreadable(
            f"The {symbols} of {label.code} cannot be read as drawn; no page was written. "
            "Choose a larger label stock or more dots per inch."
        )
    return picture


class _Roll(Image.Image):
    """Pages as the frames of one picture, each drawn when the writer comes to it.

    Pillow would keep a list of pages in memory at a byte a dot; appending to a file batch by batch
    writes every earlier page's entry anew, so that long runs grow with the square of their length.
    """

    def __init__(self, pages: Iterator[Image.Image], count: int) -> None:
        super().__init__()
        self.n_frames = count
        self._pages = pages
        self._at = -1
        self.seek(0)

    def seek(self, frame: int) -> None:
        """Turn to a page: the present one or the next, for earlier ones are gone."""
        if frame >= self.n_frames:
            raise EOFError("there are no more pages")
        while self._at < frame:
            page = next(self._pages)
            self.im, self._mode, self._size = page.im, page.mode, page.size
            self._at += 1


def _save_pdf(roll: _Roll, file: Path, *, dpi: int) -> None:
    """Write pages to a PDF; without the two times Pillow would put in, the bytes stay the same."""
    roll.save(
        file,
        "PDF",
        save_all=True,
        resolution=dpi * _HAIR,
        title=_TITLE,
        creationDate=None,
        modDate=None,
    )


def _not_written(out: Path, error: OSError) -> LabelsNotWritten:
    return LabelsNotWritten(
        f"{out} could not be written: {error.strerror or error}. "
        "Choose another folder, or make room on the disk."
    )
