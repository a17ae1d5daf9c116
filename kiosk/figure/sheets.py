"""Draw one sheet to scale: its parts with their names, its cuts with their numbers, the grain."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final

from kiosk.figure.sheetcuts import (
    Spots,
    cut_lines_drawn,
    next_number,
    numbers,
    outline,
    room_for,
)
from kiosk.figure.sheetfield import Field, Item, Region, Traced, items_of, trace
from kiosk.figure.sheetlegend import foot, foot_height, grain_arrow, legend, tick
from kiosk.figure.sheetnames import Name, Written, key_of, legend_words, rooms_of, write_name
from kiosk.figure.shapes import BAND, INK, PAPER, RULE, Box, Figure, Line, Shape, hatch
from kiosk.language import shown
from kiosk.rules.breakdown.model import Offcut
from kiosk.rules.lengths import Length, System, show
from kiosk.rules.sheets.model import CutLine, PlannedSheet
from kiosk.rules.words import Phrase, _, say
from labels.artwork.letters import width_of

Names = Mapping[str, tuple[str, str]]
"""What a part is called by its code: its name and its unit, in the shop's words."""

OFFCUT: Final = _("Offcut")
_MOST, _LEAST = 18, 12  # letters on a screen at arm's length (choices)
_TURN: Final = 1.1  # a sheet lies across, as it does on the saw, unless turned it is so much larger
_GRAIN: Final = (20.0, 8.0)  # length and room of the arrow on a part
_TICK: Final = 18.0
# What the legend may take of the picture's width or height, tried in turn (choices).
_BESIDE: Final = (0.16, 0.22, 0.28, 0.36, 0.45)
_BELOW: Final = (0.05, 0.09, 0.14, 0.2, 0.28, 0.36)


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """How a sheet is drawn, all but its size.

    lines are its sequence, done the numbers of those made, next_line that of the next, None for
    none. cut and spoiled are codes of parts, grained those whose grain is locked, tapped the one
    that was tapped. most and least are the sizes of letters.
    """

    lines: Sequence[CutLine] = ()
    next_line: int | None = None
    done: frozenset[int] = frozenset()
    cut: frozenset[str] = frozenset()
    spoiled: frozenset[str] = frozenset()
    grained: frozenset[str] = frozenset()
    tapped: str = ""
    system: System = System.MM
    most: int = _MOST
    least: int = _LEAST


@dataclass(frozen=True, slots=True)
class SheetPicture:
    """A drawn sheet: the picture, where its parts lie in it, and which of their cuts have numbers.

    unlisted is how many lines of the legend found no room.
    """

    figure: Figure
    places: tuple[tuple[str, Box], ...]
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


@dataclass(slots=True)
class _Sketch:
    """A sheet at one size, with the words that found room and those that are in the legend."""

    planned: PlannedSheet
    names: Names
    look: Look
    place: Field
    spots: Spots
    traced: Sequence[Traced]
    shapes: list[Shape] = field(default_factory=list)
    marks: list[Shape] = field(default_factory=list)
    locked: list[Box] = field(default_factory=list)
    keys: dict[Name, tuple[str, int]] = field(default_factory=dict)


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
    shapes = (*_with_cuts(sketch), *found, *foot(signs, below, look.most, is_turned=turned))
    places = tuple((one.code, sketch.place.box(one.region)) for one in items_of(planned))
    return SheetPicture(Figure(width, height, shapes), places, left)


# -- how large, and what goes into the legend ----------------------------------------------------


def _best(
    planned: PlannedSheet, names: Names, look: Look, room: Box
) -> tuple[_Sketch, Sequence[Shape], int]:
    """Return the largest sketch whose legend finds room, else the one that leaves least out."""
    whole = _sketch(planned, names, look, room)
    if not whole.keys:
        return whole, (), 0
    found: list[tuple[int, float, _Sketch, Sequence[Shape]]] = []
    halves = sorted(_halves(room), key=lambda half: -_field(planned, look, half[0]).scale)
    for part, rest in halves:
        sketch = _sketch(planned, names, look, part)
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


def _entries(sketch: _Sketch) -> list[tuple[str, str]]:
    return [(key, legend_words(name, count)) for name, (key, count) in sketch.keys.items()]


def _field(planned: PlannedSheet, look: Look, room: Box) -> Field:
    """Return where a sheet lies in a room, with a margin for the numbers."""
    stock = planned.sheet.stock
    margin, over = room_for(look.most), look.most * 1.3 + 8
    wide = room.right - room.left - 2 * margin
    tall = room.bottom - room.top - 2 * over
    across = min(wide / stock.length, tall / stock.width)
    down = min(wide / stock.width, tall / stock.length)
    turned = down > across * _TURN
    scale = down if turned else across
    sides = (stock.width, stock.length) if turned else (stock.length, stock.width)
    left = room.left + margin + (wide - sides[0] * scale) / 2
    top = room.top + over + (tall - sides[1] * scale) / 2
    return Field(left, top, scale, stock.length, stock.width, stock.trim, turned)


def _sketch(planned: PlannedSheet, names: Names, look: Look, room: Box) -> _Sketch:
    """Return a sheet in a room with the words of its parts, without its cuts."""
    place = _field(planned, look, room)
    inside = (room.left, room.top, room.right, room.bottom)
    traced = trace(planned, look.lines)
    sketch = _Sketch(planned, names, look, place, Spots(inside, look.most - 2, look.least), traced)
    sketch.shapes += _ground(place)
    for one in items_of(planned):
        sketch.shapes += _part_box(sketch, one)
    for offcut in planned.sheet.offcuts:
        sketch.shapes += _offcut_box(place, offcut)
    for line in traced:
        if line.line.number == look.next_line:
            sketch.marks += next_number(line, place, sketch.spots)
    for one in items_of(planned):
        _name_part(sketch, one)
    for offcut in planned.sheet.offcuts:
        _name_offcut(sketch, offcut)
    return sketch


def _with_cuts(sketch: _Sketch) -> Iterator[Shape]:
    """Yield the shapes of a sketch and over them its cuts with their numbers."""
    look = sketch.look
    yield from sketch.shapes
    yield from cut_lines_drawn(sketch.traced, sketch.place, done=look.done, next_line=look.next_line)
    yield from sketch.marks
    but = look.done | ({look.next_line} if look.next_line is not None else frozenset())
    yield from numbers(sketch.traced, sketch.place, sketch.spots, but=but)
    for box in sketch.locked:
        yield from _arrow(sketch, box)


# -- the sheet and its parts ---------------------------------------------------------------------


def _ground(place: Field) -> Iterator[Shape]:
    """Yield the sheet: its edges that are trimmed off, and what no part lies on as waste."""
    whole = place.whole
    yield Box(whole.left, whole.top, whole.right, whole.bottom, RULE, INK)
    yield (inner := place.box(place.inner, fill=PAPER))
    yield from hatch(inner, lean=1, gap=9, colour=RULE)
    yield place.box(place.inner, edge=INK)


def _part_box(sketch: _Sketch, item: Item) -> Iterator[Shape]:
    look = sketch.look
    box = sketch.place.box(item.region, fill=BAND if item.code in look.cut else PAPER, edge=INK)
    yield box
    if item.code in look.spoiled:
        yield Line(((box.left, box.top), (box.right, box.bottom)), 1.6, INK)
        yield Line(((box.left, box.bottom), (box.right, box.top)), 1.6, INK)
    if item.code == look.tapped:
        yield outline(box, 4.0)


def _offcut_box(place: Field, offcut: Offcut) -> Iterator[Shape]:
    yield (box := place.box(_region(offcut), fill=PAPER))
    yield from hatch(box, lean=1, gap=5)
    yield place.box(_region(offcut), edge=INK)


def _region(offcut: Offcut) -> Region:
    return Region(offcut.x, offcut.y, offcut.length, offcut.width)


def say_sides(length: int, width: int, system: System) -> Phrase:
    """Return two sides as a shop says them, without their unit: `1160 × 400`."""
    sides = [show(Length(side), system, unit_mark=system is System.INCH) for side in (length, width)]
    return say("{length} × {width}", length=sides[0], width=sides[1])


def say_size(length: int, width: int, system: System) -> Phrase:
    """Return two sides with their unit: `1160 × 400 mm`."""
    sides = say_sides(length, width, system)
    return sides if system is System.INCH else say("{sides} mm", sides=sides)


def _name_of(sketch: _Sketch, item: Item) -> Name:
    part, unit = sketch.names.get(item.code, (item.code, ""))
    if item.code in sketch.look.spoiled:
        return Name(part, unit, shown(_("spoiled")))
    return Name(part, unit, shown(say_sides(item.length, item.width, sketch.look.system)))


def _name_part(sketch: _Sketch, item: Item) -> None:
    """Write a part's name, its tick and its arrow, and take the room they need."""
    box = sketch.place.box(item.region)
    if item.code in sketch.look.cut:
        side = min(_TICK, box.right - box.left - 2, box.bottom - box.top - 2)
        corner = Box(box.left + 1, box.top + 1, box.left + 1 + side, box.top + 1 + side)
        sketch.shapes.append(tick(corner))
        sketch.spots.hold((corner.left, corner.top, corner.right, corner.bottom))
    name = _name_of(sketch, item)
    written = _write(sketch, name, box)
    is_locked = item.is_cleat or item.code in sketch.look.grained
    if is_locked and written is not None and not written.is_key:
        sketch.locked.append(box)


def _name_offcut(sketch: _Sketch, offcut: Offcut) -> None:
    size = shown(say_sides(offcut.length, offcut.width, sketch.look.system))
    box = sketch.place.box(_region(offcut))
    written = _write(sketch, Name(shown(OFFCUT), "", size), box)
    # the hatching must not run through the letters
    sketch.shapes += [Box(*words.edges, fill=PAPER) for words in written.words] if written else []


def _write(sketch: _Sketch, name: Name, box: Box) -> Written | None:
    """Write a name into a box, or its letter with a line of the legend."""
    look = sketch.look
    key, count = sketch.keys.get(name, (key_of(len(sketch.keys)), 0))
    rooms = rooms_of(box, sketch.spots.taken)
    # the numbers of the cuts around it have room where its own words keep off two of its edges
    wide, tall = width_of("88", look.most - 2) + 4, 0.45 * look.most
    inner = [
        Box(box.left + wide, box.top, box.right - wide, box.bottom),
        Box(box.left + wide / 2, box.top + tall, box.right - wide / 2, box.bottom - tall),
    ]
    few = inner if len(rooms) == 1 else []
    written = write_name(name, few, most=look.most, least=look.least)
    if written is None or not written.is_whole:
        written = write_name(name, rooms, most=look.most, least=look.least, key=key)
    if written is None or written.is_key:
        sketch.keys[name] = (key if written or count else "", count + 1)
    for words in written.words if written else ():
        left, top, right, bottom = words.edges
        sketch.spots.hold((left - 2, top, right + 2, bottom))
        sketch.shapes.append(words)
    return written


def _arrow(sketch: _Sketch, box: Box) -> Iterator[Shape]:
    """Yield the arrow of a part whose grain is locked, where a corner of it is free."""
    long, thick = _GRAIN
    turned = sketch.place.is_turned
    wide, tall = (thick, long) if turned else (long, thick)
    left, top, right, bottom = box.left + 5, box.top + 4, box.right - 5 - wide, box.bottom - 4 - tall
    for x, y in ((right, bottom), (left, bottom), (right, top), (left, top)):
        inside = x >= box.left and y >= box.top
        if inside and sketch.spots.take((x, y, x + wide, y + tall)):
            yield from grain_arrow(Box(x, y, x + wide, y + tall), is_turned=turned)
            return


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
