"""Draw the page that shows whether a paper printer is set up and takes the paper it should."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import Final

from kiosk.figure.paper import NAMES, SIZES, cell, write_pages
from kiosk.figure.shapes import INK, Box, Figure, Line, Shape
from kiosk.rules.hangday import say_day
from kiosk.rules.words import _, join, say

_EDGE: Final = 50.0  # where day sheets begin and end, in 1/100 inch
_RULER: Final = 100 / 25.4 * 100  # 100 mm in 1/100 inch
_TEXT: Final = 110.0


def draw_test_page(path: Path, *, paper: str, printer: str, shop: str, at: datetime) -> None:
    """Write the test page as a PDF.

    Args:
        path: the file; its folder must exist.
        paper: a4 or letter.
        printer: its name.
        shop: its name, may be empty.
        at: when it is printed, in the shop's zone.

    Raises:
        OSError: the disk refused.
        KeyError: paper is neither a4 nor letter.
    """
    figure = lay_out_test_page(paper=paper, printer=printer, shop=shop, at=at)
    write_pages([figure], path, title="Test page", made=at)


def lay_out_test_page(*, paper: str, printer: str, shop: str, at: datetime) -> Figure:
    """Return the page: a frame where day sheets end, what it is, and 100 mm to measure."""
    width, height = SIZES[paper]
    shapes: list[Shape] = [Box(_EDGE, _EDGE, width - _EDGE, height - _EDGE, edge=INK)]
    title = _("The paper printer is set up")
    lines = (
        (join((shop, title), ": ") if shop else title, 30),
        (say("Printer: {printer}", printer=printer), 20),
        (say("Paper: {paper}", paper=NAMES[paper]), 20),
        (say("{day}, {time}", day=say_day(at.date()), time=f"{at:%H:%M}"), 20),
        (_("All four sides of the frame are there where the paper is the right one."), 16),
        (_("This line is 100 mm long where nothing is fitted to the page:"), 16),
    )
    y = _TEXT
    for words, size in lines:
        y += size * 1.7
        shapes += cell(words, _TEXT, y, room=width - 2 * _TEXT, size=size, least=10)
    y += 30
    shapes.append(Line(((_TEXT, y), (_TEXT + _RULER, y)), 2.0, INK))
    for end in (_TEXT, _TEXT + _RULER):
        shapes.append(Line(((end, y - 10), (end, y + 10)), 2.0, INK))
    return Figure(width, height, tuple(shapes))
