"""Draw sheets for the screen, on the shop's thread, and find what lies under a touch."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from PIL import Image

from kiosk.figure import DARK, to_png
from kiosk.figure.sheets import Look, SheetPicture, lay_out_sheet
from kiosk.palette import is_dark
from kiosk.rules.lengths import System
from kiosk.rules.sheets.checks import codes_on
from kiosk.rules.sheets.model import PlannedSheet
from kiosk.rules.sheets.views import Choice as Way
from kiosk.rules.sheets.views import PartName, SheetView
from kiosk.screens.besidescreen import picture_room
from kiosk.screens.face import Trim
from kiosk.screens.sheetscreen import PANEL
from kiosk.screens.tradescreen import card_room

LETTERS = 18  # of a picture before it is made larger, as it draws its words
LEAST = (300, 200)  # what a picture of a sheet takes at least


@dataclass(frozen=True, slots=True)
class Drawn:
    """A sheet as it was drawn, and its picture in the pixels of the screen."""

    image: Image.Image
    picture: SheetPicture

    def part_at(self, across: float, down: float) -> str | None:
        """Return the code of the part at shares of the picture's width and height, or None."""
        figure = self.picture.figure
        return self.picture.part_at(across * figure.width, down * figure.height)


def draw_sheet(
    one: SheetView,
    names: Mapping[str, PartName],
    trim: Trim,
    *,
    system: System,
    grained: frozenset[str] = frozenset(),
) -> Drawn:
    """Return the picture of a sheet beside the words of its next cut.

    grained are the parts whose grain matters: they get an arrow.
    """
    look = Look(
        lines=one.lines,
        next_line=one.next,
        done=one.done,
        cut=one.cut,
        spoiled=one.spoiled,
        grained=grained,
        system=system,
    )
    said = {code: (name.part, name.unit) for code, name in names.items()}
    # drawn small and made larger, so that its letters are read from where the other words are
    scale = max(1.0, trim.sizes.small * 0.72 / LETTERS)
    return _draw(one.planned, said, look, picture_room(trim, PANEL), scale=scale)


def draw_way(way: Way, trim: Trim, *, count: int, system: System) -> Image.Image:
    """Return a small picture of a way's first sheet, for one of so many cards side by side."""
    planned = way.planned[0]
    # its names would be too small to be read: a part is told by its place
    nameless = dict.fromkeys(codes_on(planned), ("", ""))
    return _draw(planned, nameless, Look(system=system), card_room(trim, count), scale=1.0).image


def _draw(
    planned: PlannedSheet,
    names: Mapping[str, tuple[str, str]],
    look: Look,
    room: tuple[int, int],
    *,
    scale: float,
) -> Drawn:
    wide, tall = (max(least, round(side / scale)) for side, least in zip(room, LEAST, strict=True))
    picture = lay_out_sheet(planned, names, look, width=wide, height=tall)
    image = to_png(picture.figure, scale, tints=DARK if is_dark() else {})
    return Drawn(image, picture)
