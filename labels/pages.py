"""Write labels to PDF or PNG pages; every label is read back before any file is there."""

from __future__ import annotations

import itertools
import tempfile
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from PIL import Image

from labels import LabelError
from labels.artwork import Label, draw, lay_out
from labels.artwork.edges import LabelsOffPage, check_edges, page_size, printed_at
from labels.artwork.letters import blank
from labels.artwork.readback import unread
from labels.stocks import Stock

__all__ = [
    "LabelError",
    "LabelUnreadable",
    "LabelsNotWritten",
    "LabelsOffPage",
    "NothingToPrint",
    "Pages",
    "save_pdf",
    "save_png",
    "unread",
    "write_pdf",
    "write_png",
]

# Renderers reckon pages in 32-bit floats and round dots up. A page a hair smaller (0.3 µm in A4)
# lands on its dots; at exactly W x 72 / dpi some sheets came out one dot larger, and resampled.
_HAIR: Final = 1 + 1e-6
_TITLE: Final = "Labels"
_NAMES: Final = {"qr": "QR code", "bars": "bar code"}


class LabelUnreadable(LabelError):
    """A label as drawn does not read back to its code; nothing was written."""


class LabelsNotWritten(LabelError):
    """The pages could not be put on disk."""


class NothingToPrint(LabelError):
    """There is no label, or its place on the sheet does not exist."""


@dataclass(frozen=True, slots=True)
class Pages:
    """What was written: the files in order, how many pages, how many labels.

    left_over are numbered pages of an earlier run that could not be deleted: their labels are old.
    """

    files: tuple[Path, ...]
    pages: int
    count: int
    left_over: tuple[Path, ...] = ()


def write_pdf(
    labels: Sequence[Label], stock: Stock, *, dpi: int, skip: int = 0, out: Path
) -> Pages:
    """Write labels to one PDF, one bit a dot, a page exactly as large as its dots.

    The same labels give the same bytes. An older file of that name is replaced at once, or kept if
    anything goes wrong.

    Args:
        labels: what to print, in this order: of parts, units and places as they come.
        stock: label stock; on sheets the labels fill the rows from the left.
        dpi: dots per inch of the printer.
        skip: places already used on the first sheet; 0 for a roll.
        out: the file; its folder must exist.

    Raises:
        LabelUnreadable: a symbol does not read back to its code.
        NothingToPrint: no labels, or skip is not on the sheet.
        LabelsOffPage: the stock's offset is more than its labels' margins allow.
        LabelsNotWritten: the disk refused.
        LabelError: a code or stock cannot be drawn.
    """
    _check_place(labels, stock, skip)
    count = _count(labels, stock, skip)
    save_pdf(_pages(labels, stock, dpi=dpi, skip=skip), count, dpi=dpi, out=out)
    return Pages((out,), count, len(labels))


def write_png(
    labels: Sequence[Label], stock: Stock, *, dpi: int, skip: int = 0, out: Path
) -> Pages:
    """Write labels to PNG pictures, one a page: `name-1.png`, `name-2.png`; a single page to out.

    Pages of an earlier run with more of them are deleted, so that nobody prints old labels among
    the new: `name-3.png` and those that follow it without a gap, where this run wrote two; no other
    name is touched. Arguments and errors are those of write_pdf.
    """
    _check_place(labels, stock, skip)
    count = _count(labels, stock, skip)
    numbered = (out.with_name(f"{out.stem}-{page + 1}{out.suffix}") for page in range(count))
    files = (out,) if count == 1 else tuple(numbered)
    save_png(_pages(labels, stock, dpi=dpi, skip=skip), files, dpi=dpi)
    return Pages(files, count, len(labels), _clear(out, 1 if count == 1 else count + 1))


def save_pdf(pages: Iterator[Image.Image], count: int, *, dpi: int, out: Path) -> None:
    """Write count pages of one bit a dot to a PDF, all or nothing.

    Raises:
        LabelsNotWritten: the disk refused.
    """
    try:
        with tempfile.TemporaryDirectory(prefix=".labels-", dir=out.parent) as folder:
            draft = Path(folder) / "pages.pdf"
            _save_pdf(_Roll(pages, count), draft, dpi=dpi)
            draft.replace(out)
    except OSError as error:
        raise _not_written(out, error) from error


def save_png(pages: Iterator[Image.Image], files: Sequence[Path], *, dpi: int) -> None:
    """Write one PNG a page; nothing is replaced before all of them are drawn.

    Raises:
        LabelsNotWritten: the disk refused.
    """
    try:
        with tempfile.TemporaryDirectory(prefix=".labels-", dir=files[0].parent) as folder:
            drafts = [Path(folder) / f"{at}.png" for at in range(len(files))]
            for draft, page in zip(drafts, pages, strict=True):
                page.save(draft, "PNG", dpi=(dpi, dpi))
            for draft, file in zip(drafts, files, strict=True):
                draft.replace(file)
    except OSError as error:
        raise _not_written(files[0], error) from error


def _clear(out: Path, first: int) -> tuple[Path, ...]:
    """Delete numbered pages from first on, up to the first gap; return those that stayed."""
    names = (out.with_name(f"{out.stem}-{at}{out.suffix}") for at in itertools.count(first))
    stayed: list[Path] = []
    for page in itertools.takewhile(Path.is_file, names):
        try:
            page.unlink()
        except OSError:
            stayed.append(page)
    return tuple(stayed)


def _check_place(labels: Sequence[Label], stock: Stock, skip: int) -> None:
    if not labels:
        raise NothingToPrint("There is no label to print. Choose at least one part.")
    if not 0 <= skip < stock.per_page:
        raise NothingToPrint(
            f"A page of {stock.key} has {stock.per_page} labels; {skip} cannot be skipped. "
            f"Use 0 to {stock.per_page - 1}."
        )


def _count(labels: Sequence[Label], stock: Stock, skip: int) -> int:
    return -(-(len(labels) + skip) // stock.per_page)


def _pages(labels: Sequence[Label], stock: Stock, *, dpi: int, skip: int) -> Iterator[Image.Image]:
    """Draw page after page; a label that cannot be read stops it."""
    check_edges(stock, dpi)
    pictures = (_drawn(label, stock, dpi) for label in labels)
    first = skip
    while batch := list(itertools.islice(pictures, stock.per_page - first)):
        page = blank(*page_size(stock, dpi))
        for position, picture in enumerate(batch, start=first):
            page.paste(picture, printed_at(stock, dpi, position))
        yield page
        first = 0


def _drawn(label: Label, stock: Stock, dpi: int) -> Image.Image:
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
