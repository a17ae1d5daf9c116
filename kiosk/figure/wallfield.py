"""Place what hangs on a wall in a picture: x from the wall's left end, y up from the datum."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Final

from kiosk.figure.shapes import Box, Edges
from kiosk.rules.hanging.fitting import Fitting
from kiosk.rules.hanging.hangviews import Checked, UnitHanging
from kiosk.rules.hanging.wall import MeasuredWall
from kiosk.rules.lengths import System
from kiosk.rules.weights import say_most
from kiosk.rules.words import _, join, say

HUNG: Final = "hung"
READY: Final = "ready"
_PROGRESS: Final = {HUNG: _("hung"), READY: _("ready to hang")}


@dataclass(frozen=True, slots=True, kw_only=True)
class WallLook:
    """How a wall is drawn, all but its size.

    progress is `HUNG` or `READY` by unit, nothing for one that is neither yet. numbers are those of
    the screws by their place, empty where none are written.
    most and least are the sizes of letters. is_bare leaves out the legend and the signs below it,
    where rows beside the picture say the same.
    """

    progress: Mapping[str, str] = field(default_factory=dict)
    numbers: Mapping[tuple[int, int], int] = field(default_factory=dict)
    system: System = System.MM
    most: int = 18
    least: int = 12
    is_bare: bool = False


@dataclass(frozen=True, slots=True)
class WallField:
    """Where a wall lies in a picture; scale is in its units for each 1/1600 mm."""

    left: float
    top: float
    scale: float
    width: int
    height: int

    def x(self, at: float) -> float:
        """Return where a place along the wall is."""
        return self.left + at * self.scale

    def y(self, at: float) -> float:
        """Return where a height above the datum is."""
        return self.top + (self.height - at) * self.scale

    def box(self, left: float, low: float, width: float, height: float) -> Box:
        """Return a rectangle given by its lower left corner."""
        return Box(self.x(left), self.y(low + height), self.x(left + width), self.y(low))

    @property
    def whole(self) -> Box:
        """Return the wall's outline."""
        return self.box(0, 0, self.width, self.height)


def floor_dips(wall: MeasuredWall) -> int:
    """Return how far the floor lies below the datum at its lowest reading; 0 without readings."""
    levels = [one.level for one in wall.floor]
    return max(levels) - min(levels) if levels else 0


def field_in(wall: MeasuredWall, room: Box) -> WallField:
    """Return where a wall and the dip of its floor lie in a room: as large as can be, top left."""
    tall = wall.height + floor_dips(wall)
    scale = min((room.right - room.left) / wall.width, (room.bottom - room.top) / tall)
    return WallField(room.left, room.top, scale, wall.width, wall.height)


def unit_box(fitting: Fitting, place: WallField) -> Box | None:
    """Return where a unit lies, None where nobody said its place or size."""
    if fitting.x is None or fitting.y is None or not fitting.width or not fitting.height:
        return None
    return place.box(fitting.x, fitting.y, fitting.width, fitting.height)


def cleat_box(fitting: Fitting, place: WallField) -> Box | None:
    """Return where the cleat of a unit lies, None where nobody said its place or size."""
    cleat = fitting.cleat
    if cleat.x is None or cleat.y is None or not cleat.length or not cleat.height:
        return None
    return place.box(cleat.x, cleat.y, cleat.length, cleat.height)


def edges_of(box: Box, more: float = 0.0) -> Edges:
    """Return a box as edges, wider by so much on all sides."""
    return box.left - more, box.top - more, box.right + more, box.bottom + more


def say_check(one: UnitHanging, system: System) -> str:
    """Return in a few words what the check of hanging came to for a unit."""
    if one.checked is Checked.RATED and one.net_kg is not None:
        return say_most(one.net_kg, system)
    if one.checked is Checked.CARRIED:
        return say("carried by {unit}", unit=one.carried_by) if one.carried_by else _("carried")
    words = {
        Checked.REFUSED: _("NOT RATED"),
        Checked.ALLOWED: _("NOT RATED, override"),
        Checked.SCREWED: _("on its own screws"),
    }
    return words.get(one.checked, _("not checked"))


def say_state(one: UnitHanging, look: WallLook) -> str:
    """Return check and progress of a unit in words."""
    return join(
        (say_check(one, look.system), _PROGRESS.get(look.progress.get(one.unit, ""), "")), ", "
    )
