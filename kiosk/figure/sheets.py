"""Draw one sheet to scale: its parts with their names, its cuts with their numbers, the grain."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from typing import Final

from kiosk.figure.shapes import Box, Figure, Shape
from kiosk.figure.sheetfield import items_of
from kiosk.figure.sheetlegend import legend, sheet_sign
from kiosk.figure.sheetnames import Name, legend_words
from kiosk.figure.sheetsay import Names, say_size
from kiosk.figure.sheetsketch import Look, Sketch, field_of, sketch_of, with_cuts
from kiosk.figure.signs import sign_shapes, signs_height
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

    The sheet is as large as it can be beside the legend that names too small parts. Place, size and
    letters are those of the sheet before its first cut, so that nothing moves while it is cut.
    """
    edge = 0.0 if look.is_bare else 4.0
    tall = signs_height(_signs(planned, _to_come(look)), width - 2 * edge, look.most)
    tall = 0.0 if look.is_bare else tall + 4
    room = Box(edge, edge, width - edge, height - edge - tall)
    part, rest, fresh = _best(planned, names, _before(look), room)
    sketch = sketch_of(planned, names, look, part, letters=fresh)
    words, left = legend(_entries(sketch), rest, most=look.most - 2, least=look.least)
    shapes: list[Shape] = [*with_cuts(sketch), *words]
    if not look.is_bare:
        below = Box(edge, room.bottom + 4, width - edge, height - edge)
        draw = partial(sheet_sign, is_turned=sketch.place.is_turned)
        shapes += sign_shapes(_signs(planned, look), below, look.most, draw=draw)
    places = tuple((one.code, sketch.place.box(one.region)) for one in items_of(planned))
    return SheetPicture(Figure(width, height, tuple(shapes)), places, sketch.place.scale, left)


def _before(look: Look) -> Look:
    """Return how a sheet looks before its first cut."""
    none: frozenset[str] = frozenset()
    return replace(look, next_line=None, done=frozenset(), cut=none, spoiled=none, tapped="")


def _to_come(look: Look) -> Look:
    """Return a look that needs all signs there may be while a sheet is cut."""
    is_underway = look.next_line is not None or look.done
    return replace(look, next_line=0, cut=frozenset({""})) if is_underway else look


# -- how large, and what goes into the legend ----------------------------------------------------


def _best(
    planned: PlannedSheet, names: Names, look: Look, room: Box
) -> tuple[Box, Box, Mapping[Name, str]]:
    """Return the rooms of the largest sheet and of the legend it needs, and the legend's letters.

    Where no legend finds room, it is the one that leaves least out.
    """
    whole = sketch_of(planned, names, look, room)
    found: list[tuple[int, float, Box, Box, Sketch]] = []
    halves = sorted(_halves(room), key=lambda half: -field_of(planned, look, half[0]).scale)
    for part, rest in halves if whole.keys else ():
        sketch = sketch_of(planned, names, look, part)
        _words, left = legend(_entries(sketch), rest, most=look.most - 2, least=look.least)
        found.append((left, sketch.place.scale, part, rest, sketch))
        if not left:
            break
    if not found:
        return room, Box(room.right, room.bottom, room.right, room.bottom), {}
    _left, _scale, part, rest, sketch = min(found, key=lambda one: (one[0], -one[1]))
    return part, rest, {name: key for name, (key, _count) in sketch.keys.items()}


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
