"""Draw one sheet to scale: its parts with their names, its cuts with their numbers, the grain."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from kiosk.figure.shapes import Box, Figure, Shape
from kiosk.figure.sheetfield import items_of
from kiosk.figure.sheetlegend import foot, foot_height, legend
from kiosk.figure.sheetnames import legend_words
from kiosk.figure.sheetsay import Names, say_size
from kiosk.figure.sheetsketch import Look, Sketch, field_of, sketch_of, with_cuts
from kiosk.language import shown
from kiosk.rules.lengths import System
from kiosk.rules.sheets.model import CutLine, PlannedSheet
from kiosk.rules.words import _, say

# What the legend may take of the picture's width or height, tried in turn (choices).
_BESIDE: Final = (0.16, 0.22, 0.28, 0.36, 0.45)
_BELOW: Final = (0.05, 0.09, 0.14, 0.2, 0.28, 0.36)


@dataclass(frozen=True, slots=True)
class SheetPicture:
    """A drawn sheet: the picture, where its parts lie in it, and its scale in dots per 1/1600 mm.

    unlisted is how many lines of the legend found no room.
    """

    figure: Figure
    places: tuple[tuple[str, Box], ...]
    scale: float
    unlisted: int = 0

    def part_at(self, x: float, y: float) -> str | None:
        """Return the code of the part that lies under a point of the picture, None for none."""
        for code, box in self.places:
            if box.left <= x <= box.right and box.top <= y <= box.bottom:
                return code
        return None

    def box_of(self, code: str) -> Box | None:
        """Return where a part lies in the picture, None for one that is not on this sheet."""
        return dict(self.places).get(code)


def draw_sheet(  # noqa: PLR0913 - a picture of a sheet says so much
    planned: PlannedSheet,
    names: Names,
    *,
    width: int,
    height: int,
    lines: Sequence[CutLine],
    next_line: int | None = None,
    done: frozenset[int] = frozenset(),
    cut: frozenset[str] = frozenset(),
    spoiled: frozenset[str] = frozenset(),
    grained: frozenset[str] = frozenset(),
    tapped: str = "",
    system: System = System.MM,
) -> Figure:
    """Return the picture of a sheet, for a screen.

    Args:
        planned: the sheet.
        names: name and unit of each part by its code; a code that is not there stands for itself.
        width: of the picture, in units of about one dot; 300 or more.
        height: the same; 200 or more.
        lines: the sequence, as `cut_lines` gives it.
        next_line: the number of the next cut, None where there is none.
        done: the numbers of the cuts made.
        cut: the codes of the parts that are cut.
        spoiled: the codes of parts that were spoiled.
        grained: the codes of parts whose grain is locked; they get an arrow.
        tapped: the code of the part that was tapped, '' for none.
        system: in which lengths are said.
    """
    look = Look(
        lines=lines, next_line=next_line, done=done, cut=cut, spoiled=spoiled, grained=grained,
        tapped=tapped, system=system,
    )  # fmt: skip
    return lay_out_sheet(planned, names, look, width=width, height=height).figure


def part_at(planned: PlannedSheet, x: float, y: float, *, width: int, height: int,
            names: Names, look: Look) -> str | None:  # fmt: skip
    """Return the code of the part under a point of the picture `lay_out_sheet` makes."""
    return lay_out_sheet(planned, names, look, width=width, height=height).part_at(x, y)


def lay_out_sheet(
    planned: PlannedSheet, names: Names, look: Look, *, width: int, height: int
) -> SheetPicture:
    """Return the picture of a sheet with the places of its parts.

    The sheet is as large as it can be beside the legend that names too small parts; both follow
    from size, names and letters alone, not from what is cut meanwhile.
    """
    edge = 4.0
    signs = _signs(planned, look)
    tall = foot_height(signs, width - 2 * edge, look.most)
    room = Box(edge, edge, width - edge, height - edge - tall - 4)
    sketch, found, left = _best(planned, names, look, room)
    below = Box(edge, height - edge - tall, width - edge, height - edge)
    turned = sketch.place.is_turned
    shapes = (*with_cuts(sketch), *found, *foot(signs, below, look.most, is_turned=turned))
    places = tuple((one.code, sketch.place.box(one.region)) for one in items_of(planned))
    return SheetPicture(Figure(width, height, shapes), places, sketch.place.scale, left)


# -- how large, and what goes into the legend ----------------------------------------------------


def _best(
    planned: PlannedSheet, names: Names, look: Look, room: Box
) -> tuple[Sketch, Sequence[Shape], int]:
    """Return the largest sketch whose legend finds room, else the one that leaves least out."""
    whole = sketch_of(planned, names, look, room)
    if not whole.keys:
        return whole, (), 0
    found: list[tuple[int, float, Sketch, Sequence[Shape]]] = []
    halves = sorted(_halves(room), key=lambda half: -field_of(planned, look, half[0]).scale)
    for part, rest in halves:
        sketch = sketch_of(planned, names, look, part)
        words, left = legend(_entries(sketch), rest, most=look.most - 2, least=look.least)
        found.append((left, sketch.place.scale, sketch, words))
        if not left:
            break
    left, _scale, sketch, shapes = min(found, key=lambda one: (one[0], -one[1]))
    return sketch, shapes, left


def _halves(room: Box) -> Iterator[tuple[Box, Box]]:
    """Yield the ways to part a room: the sheet's part and the legend's."""
    wide, tall = room.right - room.left, room.bottom - room.top
    for share in _BESIDE:
        edge = room.right - share * wide
        yield (
            Box(room.left, room.top, edge, room.bottom),
            Box(edge + 8, room.top + 4, room.right, room.bottom),
        )
    for share in _BELOW:
        edge = room.bottom - share * tall
        yield (
            Box(room.left, room.top, room.right, edge),
            Box(room.left, edge + 4, room.right, room.bottom),
        )


def _entries(sketch: Sketch) -> list[tuple[str, str]]:
    return [(key, legend_words(name, count)) for name, (key, count) in sketch.keys.items()]


# -- the line below ------------------------------------------------------------------------------


def _signs(planned: PlannedSheet, look: Look) -> list[tuple[str, str]]:
    """Return what stands below the sheet: its size, the grain, and the signs that are used."""
    stock, system = planned.sheet.stock, look.system
    size = say_size(stock.length, stock.width, system)
    found = [
        ("", shown(say("{sheet}: {size}", sheet=planned.sheet.name, size=size))),
        ("grain", shown(_("grain"))),
    ]
    if look.next_line is not None:
        found.append(("next", shown(_("next cut"))))
    if look.cut:
        found.append(("cut", shown(_("cut already"))))
    if any(line.tilt for line in look.lines):
        found.append(("bevel", shown(_("bevel; dashed: on the face below"))))
    if planned.sheet.offcuts:
        found.append(("offcut", shown(_("offcut: to stock"))))
    found.append(("waste", shown(_("waste"))))
    return found


__all__ = ["Look", "Names", "SheetPicture", "draw_sheet", "lay_out_sheet", "part_at"]
