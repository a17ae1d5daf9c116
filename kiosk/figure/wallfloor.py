"""Draw the panels of a wall with their seams, and below it the floor, its levels and the scale."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from kiosk.figure.shapes import BLUE, HATCH, INK, Line, Shape, Words
from kiosk.figure.sheetnames import wide_of
from kiosk.figure.wallfield import WallField, floor_dips
from kiosk.figure.wallsigns import DASH, datum_mark, frame
from kiosk.figure.wallsketch import Sketch
from kiosk.figure.wallwords import Along, lanes
from kiosk.language import shown
from kiosk.rules.hanging.hangviews import Seam, UnitHanging, WallView
from kiosk.rules.hanging.wall import MeasuredWall
from kiosk.rules.lengths import PER_INCH, PER_MM, Length, System
from kiosk.rules.tape import on_tape
from kiosk.rules.words import _, join, say
from labels.artwork.letters import plain

_BARS: Final = {System.MM: 500 * PER_MM, System.INCH: 24 * PER_INCH}  # the length of the scale


def draw_panels(sketch: Sketch, units: Sequence[UnitHanging]) -> None:
    """Draw the panels' outlines, and dotted where cleats go at the shop's pitch."""
    place = sketch.place
    for one in units:
        fitting = one.fitting
        if one.kind != "panel" or fitting.x is None or not fitting.width:
            continue
        low = fitting.y or 0
        tall = fitting.height or sketch.view.wall.height - low
        box = place.box(fitting.x, low, fitting.width, tall)
        sketch.shapes.append(frame(box, 1.6, HATCH, (12.0, 3.0)))
    foot, top = place.y(0), place.y(sketch.view.wall.height)
    for seam in seams(sketch.view):
        x, colour = place.x(seam.at), INK if seam.on_stud else BLUE
        sketch.shapes.append(Line(((x, top), (x, foot)), 2.0, colour, (2.0, 2.0)))
    for panel in sketch.view.panels:
        for row in panel.rows if panel.x is not None and panel.width else ():
            ends = place.x(panel.x or 0), place.x((panel.x or 0) + (panel.width or 0))
            y = place.y(row)
            sketch.shapes.append(Line(((ends[0], y), (ends[1], y)), 0.8, HATCH, (1.5, 5.0)))


def seams(view: WallView) -> tuple[Seam, ...]:
    """Return the seams that can be drawn: not of panels entered over each other."""
    return tuple(one for one in view.seams if one.gap >= 0)


def draw_below(sketch: Sketch, units: Sequence[UnitHanging]) -> None:
    """Draw the floor with the datum, and write its levels, the panels and the scale below it."""
    wall, place, look = sketch.view.wall, sketch.place, sketch.look
    sketch.shapes += _floor(wall, place)
    y = place.y(-floor_dips(wall)) + 6
    system = look.system
    highest = max((one.level for one in wall.floor), default=0)
    levels = []
    for one in wall.floor:
        down = Length(highest - one.level)
        text = on_tape(down, system, unit_mark=system is System.INCH)
        text = f"−{text}" if down else "0"
        at = on_tape(one.x, system)
        meaning = say("floor at {at}: {down} below the highest point", at=at,
                      down=on_tape(down, system))  # fmt: skip
        x = place.x(one.x)
        sketch.shapes.append(Line(((x, place.y(-down)), (x, y)), 1.0, INK))
        levels.append(Along(x, text, shown(meaning)))
    ends = sketch.room.left, sketch.room.right
    for items in (levels, _panel_items(sketch, units)):
        if items:
            words, tall = lanes(sketch.ground, items, (*ends, y), most=look.most - 3,
                                least=look.least, rows=2, upward=False)  # fmt: skip
            sketch.shapes += words
            y += tall + 4
    _scale(sketch, y + 6)


def _floor(wall: MeasuredWall, place: WallField) -> Iterator[Shape]:
    """Yield the datum's line with its triangle, and the floor as it was read."""
    left, right, zero = place.x(0), place.x(wall.width), place.y(0)
    yield Line(((left - 12, zero), (right + 12, zero)), 1.0, INK, DASH)
    yield datum_mark(left - 7, zero)
    readings = sorted(wall.floor, key=lambda one: one.x)
    if not readings:
        yield Line(((left, zero), (right, zero)), 3.0, INK)
        return
    highest = max(one.level for one in readings)
    dots = [(place.x(one.x), place.y(one.level - highest)) for one in readings]
    yield Line(((left, dots[0][1]), *dots, (right, dots[-1][1])), 3.0, INK)


def _panel_items(sketch: Sketch, units: Sequence[UnitHanging]) -> list[Along]:
    """Return the widths of panels and the seams, each for its place along the wall."""
    place, system = sketch.place, sketch.look.system
    found = []
    for one in units:
        fitting = one.fitting
        if one.kind != "panel" or fitting.x is None or not fitting.width:
            continue
        wide = on_tape(fitting.width, system)
        text = say("{panel}: {width}", panel=one.unit, width=wide)
        middle = place.x(fitting.x + fitting.width / 2)
        found.append(Along(middle, shown(text), shown(text)))
    for seam in seams(sketch.view):
        words = _("seam on a stud") if seam.on_stud else _("seam on NO stud")
        meaning = say("{left} and {right} at {at}: {seam}", left=seam.left, right=seam.right,
                      at=on_tape(seam.at, system), seam=words)  # fmt: skip
        x = place.x(seam.at)
        found.append(Along(x, shown(words), shown(meaning)))
    return found


def _scale(sketch: Sketch, y: float) -> None:
    """Draw a length to measure the picture by."""
    look, place = sketch.look, sketch.place
    length = _BARS[look.system]
    while length * place.scale > (sketch.room.right - sketch.room.left) / 2:
        length //= 2
    left, right = place.x(0), place.x(0) + length * place.scale
    sketch.shapes.append(Line(((left, y), (right, y)), 2.0, INK))
    for x in (left, right):
        sketch.shapes.append(Line(((x, y - 4), (x, y + 4)), 2.0, INK))
    wall = sketch.view.wall
    bar = on_tape(Length(length), look.system)
    size = say("wall {width} × {height}", width=on_tape(wall.width, look.system),
               height=on_tape(wall.height, look.system))  # fmt: skip
    text = plain(shown(join((bar, size), "; ")))
    letters = look.most - 3
    while letters > look.least and right + 8 + wide_of(text, letters) > sketch.room.right:
        letters -= 1
    sketch.shapes.append(Words(right + 8, y + 0.33 * letters, text, letters))
