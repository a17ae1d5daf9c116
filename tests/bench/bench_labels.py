"""Measure labels per second to PDF, beside what the encoders' own image writers take for them.

Processor time, since other work on the machine does not count in it. The rounds alternate, so that
a slower minute meets both sides.
"""

import time
from collections.abc import Callable, Iterable, Sequence
from io import BytesIO
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory

from barcode.codex import Code128
from barcode.writer import ImageWriter
from qrcode.constants import ERROR_CORRECT_H
from qrcode.main import QRCode

from labels.artwork import LabelText, draw, lay_out
from labels.codes import code_for
from labels.pages import unread, write_pdf
from labels.stocks import Stock, parse_stocks

ROUNDS = 3
DPI = 203
STOCKS = Path(__file__).parents[2] / "kiosk/data/stocks.toml"
TARGET = "wanted: 150 labels/s or more, 2,500 bytes or less"


def run(count: int = 1_000) -> Iterable[tuple[str, float, str, str]]:
    """Return name, value, unit and what it is compared with.

    The first number drawn differs from round to round, so that no symbol comes from a cache.
    """
    stock = parse_stocks(STOCKS.read_text("utf-8"))[0]["50x25"]
    with TemporaryDirectory() as folder:
        out = Path(folder) / "labels.pdf"
        ours, theirs = [], []
        for turn in range(ROUNDS):
            labels = _labels(turn * count, count)
            ours.append(_seconds(lambda these=labels: write_pdf(these, stock, dpi=DPI, out=out)))
            theirs.append(_seconds(lambda these=labels: _own_writers(these)))
        size = out.stat().st_size / count
    return [
        ("labels to PDF, 50x25 at 203 dpi", count / median(ours), "labels/s", TARGET),
        ("bytes of PDF", size, "a label", TARGET),
        (
            "time against the encoders' own pictures",
            median(one / two for one, two in zip(ours, theirs, strict=True)),
            "x",
            f"{count / median(theirs):,.0f}/s: two symbols each, no text, page or reading back",
        ),
        *_shares(_labels(ROUNDS * count, count), stock),
    ]


def _shares(labels: Sequence[LabelText], stock: Stock) -> Iterable[tuple[str, float, str, str]]:
    """Return what drawing and reading back take of it."""
    pictures = []
    drawing = _seconds(lambda: pictures.extend(draw(label, stock, DPI) for label in labels))
    spots = lay_out(stock, DPI).spots
    pairs = list(zip(pictures, labels, strict=True))
    reading = _seconds(lambda: [unread(picture, spots, label.code) for picture, label in pairs])
    return [
        ("drawing one label", drawing / len(labels) * 1_000, "ms", "part of the above"),
        ("reading one label back", reading / len(labels) * 1_000, "ms", "part of the above"),
    ]


def _labels(first: int, count: int) -> list[LabelText]:
    return [
        LabelText(code_for("K", first + at), f"Shelf board {at}", "G01", "603 × 400 mm", "assemble")
        for at in range(count)
    ]


def _own_writers(labels: Sequence[LabelText]) -> None:
    """Draw one QR code and one Code 128 a label by the encoders' own image writers."""
    for label in labels:
        symbol = QRCode(version=1, error_correction=ERROR_CORRECT_H, box_size=3)
        symbol.add_data(label.code)
        symbol.make_image().save(BytesIO())
        Code128(label.code, writer=ImageWriter()).write(
            BytesIO(), options={"dpi": DPI, "module_width": 0.25, "write_text": False}
        )


def _seconds(work: Callable[[], object]) -> float:
    start = time.process_time()
    work()
    return time.process_time() - start


if __name__ == "__main__":
    for name, value, unit, beside in run():
        print(f"{name:42} {value:12,.2f} {unit:10} {beside}")
