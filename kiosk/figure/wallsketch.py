"""Keep a wall while it is laid out at one size."""

from __future__ import annotations

from dataclasses import dataclass, field

from kiosk.figure.shapes import Box, Shape
from kiosk.figure.wallfield import WallField, WallLook
from kiosk.figure.wallwords import Ground
from kiosk.rules.hanging.hangviews import WallView


@dataclass(slots=True)
class Sketch:
    """A wall at one size."""

    view: WallView
    look: WallLook
    place: WallField
    ground: Ground
    room: Box
    shapes: list[Shape] = field(default_factory=list)
    places: list[tuple[str, Box]] = field(default_factory=list)
