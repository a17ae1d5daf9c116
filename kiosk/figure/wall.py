"""Draw a wall to scale: its floor, studs and services, the panels, cleats, units and screws."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from kiosk.figure.shapes import Box, Figure, Words
from kiosk.figure.sheetlegend import legend
from kiosk.figure.signs import sign_shapes, signs_height
from kiosk.figure.wallfield import (
    HUNG,
    READY,
    WallField,
    WallLook,
)
from kiosk.figure.wallground import say_stud, sketch_wall
from kiosk.figure.wallsigns import wall_sign
from kiosk.figure.wallsketch import Sketch
from kiosk.language import shown
from kiosk.rules.hanging.fitting import How
from kiosk.rules.hanging.hangviews import Checked, UnitHanging, WallView
from kiosk.rules.hanging.reaching import KEEP_OUT
from kiosk.rules.hanging.wall import MeasuredWall
from kiosk.rules.naming import natural
from kiosk.rules.tape import Toward, on_tape
from kiosk.rules.words import _, say

# What the legend may take of the picture, tried in turn: beside the wall, then below (choices).
_BESIDE: Final = (0.0, 0.12, 0.2, 0.28, 0.36, 0.46)
_BELOW: Final = (0.1, 0.16, 0.24, 0.34, 0.46)
_EDGE: Final = 6.0
_SIDE: Final = 14.0  # beside the wall, for the datum's triangle


@dataclass(frozen=True, slots=True)
class WallPicture:
    """A drawn wall: the picture, its units' places, smallest first, and its scale and place.

    unlisted is how many lines of the legend found no room.
    """

    figure: Figure
    places: tuple[tuple[str, Box], ...]
    field: WallField
    unlisted: int = 0

    def unit_at(self, x: float, y: float) -> str | None:
        """Return the unit that lies under a point of the picture, None for none."""
        for unit, box in self.places:
            if box.left <= x <= box.right and box.top <= y <= box.bottom:
                return unit
        return None

    def box_of(self, unit: str) -> Box | None:
        """Return where a unit lies in the picture, None for one that is not drawn."""
        return dict(self.places).get(unit)


def units_on(view: WallView, units: Sequence[UnitHanging]) -> tuple[UnitHanging, ...]:
    """Return those units that are on this wall."""
    return tuple(one for one in units if one.wall == view.wall.wall)


def lay_out_wall(
    view: WallView, units: Sequence[UnitHanging], look: WallLook, *, width: int, height: int
) -> WallPicture:
    """Return the picture of a wall: as large as it can be beside a legend that says the rest."""
    mine = units_on(view, units)
    if look.is_bare:
        whole = Box(_EDGE, _EDGE, width - _EDGE, height - _EDGE)
        sketch = sketch_wall(view, mine, look, whole)
        figure = Figure(width, height, tuple(sketch.shapes))
        left = len(sketch.ground.entries)
        return WallPicture(figure, tuple(sketch.places), sketch.place, left)
    signs = [(sign, shown(words)) for sign, words in _signs(view.wall, mine, look)]
    tall = signs_height(signs, width - 2 * _EDGE, look.most - 2) + 6
    room = Box(_EDGE, _EDGE, width - _EDGE, height - _EDGE - tall)
    sketch, rest = _best(view, mine, look, room)
    words, left = legend(_sorted(sketch), rest, most=look.most - 2, least=look.least)
    below = Box(_EDGE, room.bottom + 6, width - _EDGE, height - _EDGE)
    set_signs = sign_shapes(signs, below, look.most - 2, draw=wall_sign)
    shapes = (*sketch.shapes, *words, *set_signs)
    return WallPicture(Figure(width, height, shapes), tuple(sketch.places), sketch.place, left)


def _sorted(sketch: Sketch) -> list[tuple[str, str]]:
    return sorted(sketch.ground.entries, key=lambda entry: natural(entry[0]))


def _best(
    view: WallView, units: Sequence[UnitHanging], look: WallLook, room: Box
) -> tuple[Sketch, Box]:
    """Return the largest drawing whose legend fits beside or below it, and the legend's box."""
    wide, tall = room.right - room.left, room.bottom - room.top
    found: list[tuple[int, float, Sketch, Box]] = []
    for beside, share in (*((True, one) for one in _BESIDE), *((False, one) for one in _BELOW)):
        if beside:
            part = Box(room.left, room.top, room.right - share * wide, room.bottom)
            rest = part
        else:
            part = Box(room.left, room.top, room.right, room.bottom - share * tall)
            rest = Box(room.left, part.bottom + 8, room.right, room.bottom)
        sketch = sketch_wall(view, units, look, part)
        if beside:
            used = max(one.edges[2] for one in sketch.shapes if isinstance(one, Words))
            used = max(used, sketch.place.whole.right + _SIDE)
            rest = Box(used + 12, room.top, room.right, room.bottom)
        if not sketch.ground.entries:
            return sketch, rest
        left = len(sketch.ground.entries)
        if rest.right - rest.left > 60 and rest.bottom - rest.top > look.least:
            left = legend(_sorted(sketch), rest, most=look.most - 2, least=look.least)[1]
        found.append((left, -sketch.place.scale, sketch, rest))
    _left, _scale, sketch, rest = min(found, key=lambda one: one[:2])
    return sketch, rest


# -- the signs below -----------------------------------------------------------------------------


def _signs(
    wall: MeasuredWall, units: Sequence[UnitHanging], look: WallLook
) -> Iterator[tuple[str, str]]:
    datum = wall.datum or _("the highest point of the floor")
    yield "datum", say("y counts up from {datum}, x from the left end", datum=datum)
    kinds = {(one.width, one.species) for one in wall.studs}
    if len(kinds) == 1:
        width, species = kinds.pop()
        yield "stud", say("stud, {what}", what=say_stud(width, species, look.system))
    elif kinds:
        yield "stud", _("stud")
    if wall.services:
        yield (
            "service",
            say(
                "service; no screw within {gap}",
                gap=on_tape(KEEP_OUT, look.system, toward=Toward.MORE),
            ),
        )
    yield from _unit_signs(units)
    have = set(look.progress.values())
    if HUNG in have:
        yield HUNG, _("hung")
    if READY in have:
        yield READY, _("ready to hang")


def _unit_signs(units: Sequence[UnitHanging]) -> Iterator[tuple[str, str]]:
    if any(one.kind == "panel" for one in units):
        yield "panel", _("panel; dotted: cleats at the shop's pitch")
    if any(one.how is How.CLEAT for one in units):
        yield "cleat", _("cleat")
    if any(one.screws for one in units):
        yield "screw", _("screw with its number")
    meanings = {
        Checked.RATED: _("rated: what it may carry, evenly spread"),
        Checked.REFUSED: _("NOT RATED: load nothing"),
        Checked.ALLOWED: _("NOT RATED, hung on a person's word"),
        Checked.NOT_CHECKED: _("not checked"),
    }
    hooked = [one for one in units if one.kind not in ("panel", "wall")]
    for checked, words in meanings.items():
        if any(one.checked is checked for one in hooked):
            yield checked.value, words
