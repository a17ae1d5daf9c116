"""Say where everything of a sheet lies: its parts, its cuts, and where both are in a picture.

Measures of a sheet are in 1/1600 mm from its own corner, along its length and its width.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import cos, radians

from kiosk.figure.shapes import Box
from kiosk.rules.breakdown.model import Direction
from kiosk.rules.sheets.model import CutLine, PlannedSheet, Strip


@dataclass(frozen=True, slots=True)
class Region:
    """A rectangle on a sheet: its corner, its size along the length and along the width."""

    x: float
    y: float
    length: float
    width: float


@dataclass(frozen=True, slots=True)
class Item:
    """A part on a sheet: where it lies, and its own length and width.

    is_cleat tells of a lane cut out of a strip: its width is the long face.
    """

    code: str
    region: Region
    length: int
    width: int
    is_cleat: bool = False


@dataclass(frozen=True, slots=True)
class Traced:
    """A line of the sequence where it lies: the piece it cuts, and the way of the blade.

    hidden is where a leaning blade comes out on the face below, None for a square cut.
    """

    line: CutLine
    piece: Region
    blade: Region
    hidden: Region | None = None


@dataclass(frozen=True, slots=True)
class Field:
    """Where a sheet lies in a picture: its upper left corner, dots per 1/1600 mm.

    trim is what each edge loses. is_turned: its length runs down, its first edge is at the right.
    """

    left: float
    top: float
    scale: float
    length: int
    width: int
    trim: int
    is_turned: bool

    def box(self, region: Region, *, fill: str = "", edge: str = "") -> Box:
        """Return a region of the sheet in the picture."""
        if self.is_turned:
            x, y = self.width - region.y - region.width, region.x
            wide, tall = region.width, region.length
        else:
            x, y, wide, tall = region.x, region.y, region.length, region.width
        left, top = self.left + x * self.scale, self.top + y * self.scale
        return Box(left, top, left + wide * self.scale, top + tall * self.scale, fill, edge)

    @property
    def whole(self) -> Box:
        """Return the whole sheet in the picture."""
        return self.box(Region(0, 0, self.length, self.width))

    @property
    def inner(self) -> Region:
        """Return what is left of the sheet inside its trimmed edges."""
        trim = self.trim
        return Region(trim, trim, self.length - 2 * trim, self.width - 2 * trim)


def items_of(planned: PlannedSheet) -> tuple[Item, ...]:
    """Return the parts of a sheet, cleats in place of the strips they are cut from."""
    strips = {strip.code: strip for strip in planned.strips}
    found: list[Item] = []
    for part in planned.sheet.parts:
        region = Region(part.x, part.y, part.length, part.width)
        if part.code in strips:
            found += _cleats(strips[part.code], region, planned.kerf)
            continue
        sides = (part.width, part.length) if part.is_turned else (part.length, part.width)
        found.append(Item(part.code, region, *sides))
    return tuple(found)


def _cleats(strip: Strip, region: Region, kerf: int) -> Iterator[Item]:
    lanes = _lanes(strip, region, kerf)
    for lane, face, codes in zip(lanes, strip.long_faces, strip.lanes, strict=False):
        x = lane.x
        for code, length in codes:
            yield Item(code, Region(x, lane.y, length, lane.width), length, face, is_cleat=True)
            x += length + kerf


def _lanes(strip: Strip, region: Region, kerf: int) -> tuple[Region, Region]:
    """Return the two lanes as they lie with the face up that the blade leaves by."""
    first = strip.long_faces[0]
    slot = kerf / cos(radians(strip.tilt))
    beyond = max(region.width - first - slot, 0)
    return (
        Region(region.x, region.y, region.length, first),
        Region(region.x, region.y + region.width - beyond, region.length, beyond),
    )


def trace(planned: PlannedSheet, lines: Sequence[CutLine]) -> tuple[Traced, ...]:
    """Follow the lines as a saw would; one whose piece is not there is left out."""
    stock, trims = planned.sheet.stock, Counter[Direction]()
    pieces = {planned.sheet.name: Region(0, 0, stock.length, stock.width)}
    found = []
    for line in lines:
        piece = pieces.pop(line.piece_in, None)
        if piece is None:
            continue
        if line.is_trim:
            trims[line.direction] += 1
            blade, kept = _trim(line, piece, planned.kerf, trims[line.direction] == 1)
            pieces[line.piece_out] = kept
            found.append(Traced(line, piece, blade))
            continue
        strip = _strip_at(planned, piece) if line.tilt else None
        traced, kept, rest = _cut(line, piece, planned.kerf, strip)
        pieces[line.piece_out] = kept
        if line.rest:
            pieces[line.rest] = rest
        found.append(traced)
    return tuple(found)


def _strip_at(planned: PlannedSheet, piece: Region) -> Strip | None:
    corners = {(part.x, part.y): part.code for part in planned.sheet.parts}
    code = corners.get((int(piece.x), int(piece.y)))
    return next((strip for strip in planned.strips if strip.code == code), None)


def _trim(line: CutLine, piece: Region, kerf: int, is_first: bool) -> tuple[Region, Region]:  # noqa: FBT001 - which of two edges
    """Return the way of the blade and what is kept: the first of two takes the near edge off."""
    measure = line.measure
    if line.direction is Direction.RIP:
        off = piece.width - measure if is_first else 0
        kept = Region(piece.x, piece.y + off, piece.length, measure)
        edge = kept.y - kerf if is_first else kept.y + measure
        return Region(piece.x, edge, piece.length, kerf), kept
    off = piece.length - measure if is_first else 0
    kept = Region(piece.x + off, piece.y, measure, piece.width)
    edge = kept.x - kerf if is_first else kept.x + measure
    return Region(edge, piece.y, kerf, piece.width), kept


def _cut(
    line: CutLine, piece: Region, kerf: int, strip: Strip | None
) -> tuple[Traced, Region, Region]:
    """Return a line where it lies, the piece it cuts off and what remains."""
    x, y, length, width = piece.x, piece.y, piece.length, piece.width
    if strip is not None:
        first, second = _lanes(strip, piece, kerf)
        slot = max(second.y - y - first.width, 0)
        blade = Region(x, y + first.width, length, slot)
        hidden = Region(x, y + strip.setting, length, 0)
        return Traced(line, piece, blade, hidden), first, second
    at = line.measure
    if line.direction is Direction.RIP:
        blade = Region(x, y + at, length, min(kerf, width - at))
        rest = Region(x, y + at + kerf, length, max(width - at - kerf, 0))
        return Traced(line, piece, blade), Region(x, y, length, at), rest
    blade = Region(x + at, y, min(kerf, length - at), width)
    rest = Region(x + at + kerf, y, max(length - at - kerf, 0), width)
    return Traced(line, piece, blade), Region(x, y, at, width), rest
