"""Write labels to PDF or PNG pages; every label is read back before anything is written."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

import zxingcpp
from PIL import Image

from labels.artwork import WHITE, LabelText, dots, draw, plan
from labels.codes import shown
from labels.stocks import Stock
from labels.symbols import SymbolError

# Pillow keeps all pages of a batch in memory, a byte a dot.
BATCH = 100
# A file made twice from the same labels is the same to the byte, so no wall clock in it.
_NO_TIME = datetime(2000, 1, 1, tzinfo=UTC).timetuple()


class LabelError(Exception):
    """The labels could not be made; the text says which and why. Nothing was written."""


class LabelUnreadable(LabelError):
    """A drawn label does not read back as its code."""


@dataclass(frozen=True, slots=True)
class Pages:
    """What was written: the files, the number of pages and of labels."""

    files: tuple[Path, ...]
    pages: int
    count: int


def write_pdf(
    labels: Sequence[LabelText], stock: Stock, *, dpi: int, out: Path, skip: int = 0
) -> Pages:
    """Write labels to a PDF whose pages are 1-bit pictures at the printer's dots.

    Args:
        labels: in the order they are wanted.
        stock: what they are printed on.
        dpi: 203, 300 or 600.
        out: the file; it appears whole or not at all.
        skip: labels already used on the first sheet, 0 to per_page - 1.

    Raises:
        LabelError: a label cannot be drawn or does not read back; nothing was written.
        OSError: the file cannot be written.
    """
    read_back(labels, stock, dpi=dpi)
    part = out.with_name(out.name + ".part")
    part.unlink(missing_ok=True)
    batch: list[Image.Image] = []
    count = 0
    for page in _pages(labels, stock, dpi=dpi, skip=skip):
        batch.append(page)
        count += 1
        if len(batch) == BATCH:
            _append_pdf(part, batch, dpi)
            batch = []
    if batch:
        _append_pdf(part, batch, dpi)
    part.replace(out)
    return Pages((out,), count, len(labels))


def write_png(
    labels: Sequence[LabelText], stock: Stock, *, dpi: int, out: Path, skip: int = 0
) -> Pages:
    """Write labels to PNG files, one a page: `name.png`, or `name-1.png` and so on.

    Arguments and errors as for `write_pdf`.
    """
    read_back(labels, stock, dpi=dpi)
    pages = list(_pages(labels, stock, dpi=dpi, skip=skip))
    files = []
    for number, page in enumerate(pages, start=1):
        name = out.name if len(pages) == 1 else f"{out.stem}-{number}{out.suffix}"
        part = out.with_name(name + ".part")
        page.save(part, format="PNG", dpi=(dpi, dpi))
        files.append(part.replace(out.with_name(name)))
    return Pages(tuple(files), len(pages), len(labels))


def read_back(labels: Sequence[LabelText], stock: Stock, *, dpi: int) -> None:
    """Draw each label and read every symbol on it with an independent decoder.

    Raises:
        LabelError: a label cannot be drawn, or a symbol does not read back as the label's code.
    """
    for label in labels:
        try:
            picture = draw(label, stock, dpi)
        except SymbolError as error:
            raise LabelError(str(error)) from error
        wanted = symbols_on(stock, dpi)
        found = read_symbols(picture)
        for kind, count in wanted.items():
            right = sum(text == label.code for a_kind, text in found if a_kind == kind)
            if right != count:
                raise LabelUnreadable(
                    f"the label {shown(label.code)} does not read back on {stock.title} at {dpi} "
                    f"dots per inch ({kind}: {right} of {count}); nothing was printed"
                )


def symbols_on(stock: Stock, dpi: int) -> dict[str, int]:
    """Return how many symbols of each kind a label of a stock carries."""
    where = plan(stock, dpi)
    bars = {"Code128": 1} if where.bars else {}
    return {"QRCode": len(where.symbols), **bars}


def read_symbols(picture: Image.Image) -> list[tuple[str, str]]:
    """Return the symbols found on a picture: kind (QRCode or Code128) and text."""
    formats = zxingcpp.BarcodeFormats(
        [zxingcpp.BarcodeFormat.QRCode, zxingcpp.BarcodeFormat.Code128]
    )
    found = zxingcpp.read_barcodes(picture.convert("L"), formats=formats)
    return [(one.format.name, one.text) for one in found]


def _pages(
    labels: Sequence[LabelText], stock: Stock, *, dpi: int, skip: int
) -> Iterator[Image.Image]:
    """Yield the pages: a label each, or sheets filled from the start position on."""
    if stock.per_page == 1:
        yield from (draw(label, stock, dpi) for label in labels)
        return
    width, height = stock.page_mm
    size = (dots(width, dpi), dots(height, dpi))
    page, place = Image.new("1", size, WHITE), skip
    for label in labels:
        if place == stock.per_page:
            yield page
            page, place = Image.new("1", size, WHITE), 0
        left, top = stock.corner_mm(place)
        page.paste(draw(label, stock, dpi), (dots(left, dpi), dots(top, dpi)))
        place += 1
    yield page


def _append_pdf(path: Path, pages: Sequence[Image.Image], dpi: int) -> None:
    pages[0].save(
        path,
        format="PDF",
        save_all=True,
        append_images=pages[1:],
        append=path.exists(),
        resolution=dpi,
        title="Part labels",
        creationDate=_NO_TIME,
        modDate=_NO_TIME,
    )
