"""Lay a sheet out at one size: its parts with their names, and its cuts over them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final

from kiosk.figure.shapes import BAND, INK, PAPER, RULE, Box, Line, Shape, hatch
from kiosk.figure.sheetcuts import (
    Spots,
    cut_lines_drawn,
    next_number,
    numbers,
    outline,
    room_for,
)
from kiosk.figure.sheetfield import Field, Item, Region, Traced, items_of, trace
from kiosk.figure.sheetlegend import grain_arrow, tick
from kiosk.figure.sheetnames import WIDER, Name, Written, key_of, rooms_of, write_name
from kiosk.figure.sheetsay import Names, say_sides
from kiosk.language import shown
from kiosk.rules.breakdown.model import Offcut
from kiosk.rules.lengths import System
from kiosk.rules.sheets.model import CutLine, PlannedSheet
from kiosk.rules.words import _
from labels.artwork.letters import width_of

OFFCUT: Final = _("Offcut")
_MOST, _LEAST = 18, 12  # letters on a screen at arm's length (choices)
_TURN: Final = 1.1  # a sheet lies across, as it does on the saw, unless turned it is so much larger
_GRAIN: Final = (20.0, 8.0)  # length and room of the arrow on a part
_TICK: Final = 18.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """How a sheet is drawn, all but its size.

    lines are its sequence, done the numbers of those made, next_line that of the next, None for
    none. cut and spoiled are codes of parts, grained those whose grain is locked, tapped the one
    that was tapped. most and least are the sizes of letters; is_bare leaves all words, numbers and
    signs out, for a picture too small to read.
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
    is_bare: bool = False


@dataclass(slots=True)
class Sketch:
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
    gives_letters: bool = True


def field_of(planned: PlannedSheet, look: Look, room: Box) -> Field:
    """Return where a sheet lies in a room, with a margin for the numbers."""
    stock = planned.sheet.stock
    margin, over = (room_for(look.most), look.most * 1.3 + 8) if not look.is_bare else (1, 1)
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


def sketch_of(
    planned: PlannedSheet,
    names: Names,
    look: Look,
    room: Box,
    *,
    letters: Mapping[Name, str] | None = None,
) -> Sketch:
    """Return a sheet in a room with the words of its parts, without its cuts.

    letters are those of the legend, None where they are still to be given.
    """
    place = field_of(planned, look, room)
    inside = (room.left, room.top, room.right, room.bottom)
    traced = trace(planned, look.lines)
    sketch = Sketch(planned, names, look, place, Spots(inside, look.most - 2, look.least), traced)
    if letters is not None:
        sketch.gives_letters = False
        sketch.keys = {name: (key, 0) for name, key in letters.items()}
    sketch.shapes += _ground(place)
    for one in items_of(planned):
        sketch.shapes += _part_box(sketch, one)
    for offcut in planned.sheet.offcuts:
        sketch.shapes += _offcut_box(place, offcut)
    if not look.is_bare:
        _name_all(sketch)
    sketch.keys = {name: one for name, one in sketch.keys.items() if one[1]}
    return sketch


def _name_all(sketch: Sketch) -> None:
    """Write the number of the next cut, and the names of all parts and offcuts."""
    place, spots = sketch.place, sketch.spots
    for line in sketch.traced:
        if line.line.number == sketch.look.next_line:
            sketch.marks += next_number(line, place, spots)
    # no name is run through by where a bevel comes out; a number may stand over it
    hidden = [place.box(line.hidden) for line in sketch.traced if line.hidden is not None]
    kept = len(spots.taken)
    for box in hidden:
        spots.hold((box.left - 0.5, box.top - 0.5, box.right + 0.5, box.bottom + 0.5))
    for one in items_of(sketch.planned):
        _name_part(sketch, one)
    for offcut in sketch.planned.sheet.offcuts:
        _name_offcut(sketch, offcut)
    del spots.taken[kept : kept + len(hidden)]


def with_cuts(sketch: Sketch) -> Iterator[Shape]:
    """Yield the shapes of a sketch and over them its cuts with their numbers."""
    look = sketch.look
    yield from sketch.shapes
    ahead = look.next_line
    yield from cut_lines_drawn(sketch.traced, sketch.place, done=look.done, next_line=ahead)
    if look.is_bare:
        return
    yield from sketch.marks
    but = look.done | ({ahead} if ahead is not None else frozenset())
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


def _part_box(sketch: Sketch, item: Item) -> Iterator[Shape]:
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


def _name_of(sketch: Sketch, item: Item) -> Name:
    part, unit = sketch.names.get(item.code, (item.code, ""))
    if item.code in sketch.look.spoiled:
        return Name(part, unit, shown(_("spoiled")))
    return Name(part, unit, shown(say_sides(item.length, item.width, sketch.look.system)))


def _name_part(sketch: Sketch, item: Item) -> None:
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


def _name_offcut(sketch: Sketch, offcut: Offcut) -> None:
    size = shown(say_sides(offcut.length, offcut.width, sketch.look.system))
    box = sketch.place.box(_region(offcut))
    written = _write(sketch, Name(shown(OFFCUT), "", size), box)
    # the hatching must not run through the letters
    sketch.shapes += [Box(*words.edges, fill=PAPER) for words in written.words] if written else []


def _write(sketch: Sketch, name: Name, box: Box) -> Written | None:
    """Write a name into a box, or its letter with a line of the legend."""
    look = sketch.look
    new = key_of(len(sketch.keys)) if sketch.gives_letters else ""
    key, count = sketch.keys.get(name, (new, 0))
    rooms = rooms_of(box, sketch.spots.taken)
    # the numbers of the cuts around it have room where its own words keep off two of its edges
    wide, tall = width_of("88", look.most - 2) + 4, 0.45 * look.most
    inner = [
        Box(room.left + aside, room.top + above, room.right - aside, room.bottom - above)
        for room in rooms[:1]
        for aside, above in ((wide, 0), (wide / 2, tall))
    ]
    written = write_name(name, inner, most=look.most, least=look.least)
    if written is None or not written.is_whole:
        written = write_name(name, rooms, most=look.most, least=look.least, key=key)
    if (written is None or written.is_key) and key:
        sketch.keys[name] = (key, count + 1)
    for words in written.words if written else ():
        left, top, right, bottom = words.edges
        more = 2 + words.width * (WIDER - 1)
        sketch.spots.hold((left - more, top, right + more, bottom))
        sketch.shapes.append(words)
    return written


def _arrow(sketch: Sketch, box: Box) -> Iterator[Shape]:
    """Yield the arrow of a part whose grain is locked, where a corner of it is free."""
    long, thick = _GRAIN
    turned = sketch.place.is_turned
    wide, tall = (thick, long) if turned else (long, thick)
    left, top, right, bottom = (
        box.left + 5,
        box.top + 4,
        box.right - 5 - wide,
        box.bottom - 4 - tall,
    )
    for x, y in ((right, bottom), (left, bottom), (right, top), (left, top)):
        inside = x >= box.left and y >= box.top
        if inside and sketch.spots.take((x, y, x + wide, y + tall)):
            yield from grain_arrow(Box(x, y, x + wide, y + tall), is_turned=turned)
            return
