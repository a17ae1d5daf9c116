"""Draw the map of a sheet for paper, no taller than it must be.

Units are 1/100 inch.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Final

from kiosk.figure.shapes import Area, Box, Line, Shape, Words
from kiosk.figure.sheets import SheetPicture, lay_out_sheet
from kiosk.figure.sheetsay import Names
from kiosk.figure.sheetsketch import Look
from kiosk.rules.sheets.model import PlannedSheet

_MOST, _LEAST = 14, 9  # letters on a map, read from near (choices)
_MORE: Final = (0, 30, 60, 100, 150, 210)  # room for a legend below the map, tried in turn
_MARGINS: Final = (90, 100)  # about what numbers and signs take beside and below a sheet
_LOWEST: Final = 160
_SHRUNK: Final = 0.88  # as large as this share of the width allows is large enough (choice)


def draw_map(
    planned: PlannedSheet, names: Names, look: Look, *, room: tuple[float, float]
) -> SheetPicture:
    """Return the map as low as it can be without being drawn smaller or leaving a name out.

    Args:
        planned: the sheet.
        names: name and unit of each part by its code.
        look: how it is drawn; its letters are those of paper.
        room: width and height it may take at most.
    """
    look = replace(look, most=_MOST, least=_LEAST)
    stock, width = planned.sheet.stock, round(room[0])
    whole = (width - _MARGINS[0]) / stock.length
    flat = whole * stock.width + _MARGINS[1]
    heights = [max(round(min(flat + more, room[1])), _LOWEST) for more in _MORE]
    for tall in dict.fromkeys(heights):
        picture = lay_out_sheet(planned, names, look, width=width, height=tall)
        if not picture.unlisted and picture.scale > _SHRUNK * whole:
            break
    return picture


def moved(shapes: Sequence[Shape], right: float, down: float) -> Iterator[Shape]:
    """Yield shapes moved to the right and down."""
    for shape in shapes:
        match shape:
            case Line() | Area():
                yield replace(shape, points=tuple((x + right, y + down) for x, y in shape.points))
            case Box():
                yield replace(
                    shape, left=shape.left + right, right=shape.right + right,
                    top=shape.top + down, bottom=shape.bottom + down,
                )  # fmt: skip
            case Words():
                yield replace(shape, x=shape.x + right, y=shape.y + down)
