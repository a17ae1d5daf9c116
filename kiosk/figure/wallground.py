"""Lay a wall out at one size: studs and services, then what hangs on it, each with its words."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from kiosk.figure.shapes import GREY, INK, PAPER, RULE, Box, Line, Shape
from kiosk.figure.wallfield import WallField, WallLook, edges_of, field_in
from kiosk.figure.wallfloor import draw_below, draw_panels
from kiosk.figure.wallsigns import DASH, frame, service_shapes
from kiosk.figure.wallsketch import Sketch
from kiosk.figure.wallunits import draw_units
from kiosk.figure.wallwords import Along, Ground, around, lanes
from kiosk.language import shown
from kiosk.rules.hanging.hangviews import UnitHanging, WallView
from kiosk.rules.hanging.reaching import KEEP_OUT
from kiosk.rules.hanging.wall import MeasuredWall
from kiosk.rules.lengths import Length, System
from kiosk.rules.tape import on_tape
from kiosk.rules.words import Phrase, _, join, known, say
from labels.artwork.letters import LINE, plain

_SIDE: Final = 14.0  # beside the wall, for the datum's triangle
_ROWS: Final = 2


def sketch_wall(view: WallView, units: Sequence[UnitHanging], look: WallLook, room: Box) -> Sketch:
    """Return a wall in a room: as large as it can be there with the words about it."""
    wall, line = view.wall, look.most * LINE
    head = 2.1 * line + 10
    foot = 3.4 * line + 22 + (line if wall.floor else 0.0)
    inner = Box(room.left + _SIDE, room.top + head, room.right - _SIDE, room.bottom - foot)
    place = field_in(wall, inner)
    ground = Ground((room.left, room.top, room.right, room.bottom))
    sketch = Sketch(view, look, place, ground, room)
    whole = place.whole
    sketch.shapes += _studs(wall, place)
    sketch.shapes.append(frame(whole, 1.6, INK))
    draw_panels(sketch, units)
    for service in wall.services:
        box = place.box(service.x, service.y, service.width, service.height)
        ground.taken.append(edges_of(box))
    drawn = draw_units(units, place, look, ground)
    sketch.shapes += drawn.shapes
    sketch.shapes += _stud_lines(wall, place)
    _services(sketch)
    sketch.shapes += drawn.over
    sketch.places = drawn.places
    _stud_words(sketch)
    draw_below(sketch, units)
    return sketch


# -- the wall itself -----------------------------------------------------------------------------


def _studs(wall: MeasuredWall, place: WallField) -> Iterator[Shape]:
    for stud in wall.studs:
        left = max(stud.x - stud.width / 2, 0)
        right = min(stud.x + stud.width / 2, wall.width)
        yield Box(place.x(left), place.y(wall.height), place.x(right), place.y(0), RULE)


def _stud_lines(wall: MeasuredWall, place: WallField) -> Iterator[Shape]:
    for stud in wall.studs:
        x = place.x(stud.x)
        yield Line(((x, place.y(wall.height) - 6), (x, place.y(0))), 1.0, GREY, DASH)


def _stud_words(sketch: Sketch) -> None:
    """Write each stud's place above it, with a letter for its width and wood where they differ."""
    wall, system = sketch.view.wall, sketch.look.system
    kinds = sorted({(one.width, one.species) for one in wall.studs})
    letters: dict[tuple[Length, str], str] = {}
    if len(kinds) > 1:
        letters = {kind: sketch.ground.key() for kind in kinds}
        for (width, species), key in letters.items():
            said = say("stud, {what}", what=say_stud(width, species, system))
            sketch.ground.entries.append((key, shown(said)))
    items = []
    for stud in wall.studs:
        at = on_tape(stud.x, system, unit_mark=system is System.INCH)
        told = join((at, letters.get((stud.width, stud.species), "")))
        meaning = say("stud at {at}", at=on_tape(stud.x, system))
        if letters:
            kind = say_stud(stud.width, stud.species, system)
            meaning = join((meaning, kind), ", ")
        items.append(Along(sketch.place.x(stud.x), shown(told), shown(meaning)))
    edges = (sketch.room.left, sketch.room.right, sketch.place.y(wall.height) - 8)
    look = sketch.look
    words, _tall = lanes(sketch.ground, items, edges, most=look.most - 3, least=look.least,
                         rows=_ROWS, upward=True)  # fmt: skip
    sketch.shapes += words


def say_stud(width: Length, species: str, system: System) -> Phrase:
    """Return how wide a stud is and of what wood; a species nobody knows is said so."""
    wood = species or _("species unknown")
    return say("{width} wide, {wood}", width=on_tape(width, system), wood=wood)


def _services(sketch: Sketch) -> None:
    """Draw services over all, with their words in or beside them, else a letter."""
    ground, look, place = sketch.ground, sketch.look, sketch.place
    for service in sketch.view.wall.services:
        box = place.box(service.x, service.y, service.width, service.height)
        more = KEEP_OUT * place.scale
        keep_out = Box(box.left - more, box.top - more, box.right + more, box.bottom + more)
        sketch.shapes += service_shapes(box, keep_out)
        text = plain(shown(known(service.kind, "service")))
        if not _service_word(sketch, text, box, more):
            key = ground.key()
            where = on_tape(service.x, look.system), on_tape(service.y, look.system)
            said = say("{what} at {x}, {y} up", what=text, x=where[0], y=where[1])
            is_there = _service_word(sketch, key, box, more)
            ground.entries.append((key if is_there else "–", shown(said)))


def _service_word(sketch: Sketch, text: str, box: Box, more: float) -> bool:
    """Write a word about a service: beside it at several heights, above or below; or not at all."""
    ground, look = sketch.ground, sketch.look
    whole = sketch.place.whole
    middle = (box.left + box.right) / 2
    heights = [box.top + share * (box.bottom - box.top) for share in (0.5, 0.15, 0.3, 0.7, 0.85)]
    dots = []
    for y in heights:
        off = (box.right - box.left) / 2 + more + 3
        dots += around(middle, y, look.least, off)[:2]
    off = (box.bottom - box.top) / 2 + more + 3
    dots += around(middle, (box.top + box.bottom) / 2, look.least, off)[6:]
    inside = [one for one in dots if whole.left <= one[0][0] <= whole.right]
    for size in (look.most - 3, look.least):
        words = ground.near(text, inside, size)
        if words:
            left, top, right, bottom = words.edges
            sketch.shapes.append(Box(left - 1, top + 0.2 * size, right + 1, bottom, PAPER))
            sketch.shapes.append(words)
            return True
    return False
