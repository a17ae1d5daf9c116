"""Keep a measured wall as the body of an entry, and read it back."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from kiosk.rules.hanging.bodies import (
    NotUnderstood,
    choice,
    read_figure,
    read_flag,
    read_length,
    read_level,
    read_text,
    record,
    row,
    row_of,
    several,
    written,
)
from kiosk.rules.hanging.kinds import Backing, Premises, Soundness, Spot
from kiosk.rules.hanging.model import NOTHING
from kiosk.rules.hanging.wall import FloorLevel, Layer, MeasuredWall, Service, Stud

_ROWS: Final = ("studs", "floor", "layers", "services")
_STUD: Final = {"x": read_length, "width": read_length, "species": read_text}
_SERVICE: Final = {
    "kind": read_text,
    "x": read_length,
    "y": read_length,
    "width": read_length,
    "height": read_length,
}
_WALL: Final = record(
    MeasuredWall,
    {
        "wall": read_text,
        "width": read_length,
        "height": read_length,
        "studs": several(row(Stud, _STUD)),
        "floor": several(row(FloorLevel, {"x": read_length, "level": read_level})),
        "layers": several(row(Layer, {"name": read_text, "thickness": read_length})),
        "services": several(row(Service, _SERVICE)),
        "datum": read_text,
        "backing": choice(Backing),
        "soundness": choice(Soundness),
        "spot": choice(Spot),
        "premises": choice(Premises),
        "celsius": read_figure,
        "is_damp": read_flag,
        "finder": read_length,
    },
)


def wall_body(wall: MeasuredWall) -> dict[str, object]:
    """Return a wall as a JSON body; lengths are whole 1/1600 mm, lists are short rows."""
    body: dict[str, object] = written(wall)
    for name in _ROWS:
        if name in body:
            body[name] = [row_of(one) for one in getattr(wall, name)]
    return body


def wall_from_body(body: Mapping[str, object]) -> MeasuredWall | None:
    """Return the wall a body holds; None where it names none.

    A body that is not understood is a wall of no size of which nothing is known: what hangs on it
    is refused until somebody measures it again.
    """
    name = body.get("wall")
    if not isinstance(name, str):
        return None
    try:
        found: MeasuredWall = _WALL(body)
    except NotUnderstood:
        return MeasuredWall(wall=name, width=NOTHING, height=NOTHING)
    return found
