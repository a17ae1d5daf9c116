"""Write a measured wall as the rows of a table, and a table to be filled in."""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum
from typing import Final

from kiosk.rules.hanging.kinds import Backing, Premises, Soundness, Spot
from kiosk.rules.hanging.wall import MeasuredWall
from kiosk.rules.lengths import Length, System, show

COLUMNS: Final = ("what", "name", "x", "y", "width", "height", "thickness", "level")
NEEDED: Final[Mapping[str, tuple[str, ...]]] = {
    "wall": ("width", "height"),
    "stud": ("x", "width"),
    "floor": ("x", "level"),
    "layer": ("name", "thickness"),
    "service": ("name", "x", "y", "width", "height"),
}
FACTS: Final[Mapping[str, type[StrEnum]]] = {
    "backing": Backing,
    "soundness": Soundness,
    "spot": Spot,
    "premises": Premises,
}
PLAIN_FACTS: Final = ("datum", "celsius", "damp", "finder")
WHATS: Final = (*NEEDED, *FACTS, *PLAIN_FACTS)


def wall_rows(wall: MeasuredWall, *, system: System = System.MM) -> tuple[tuple[str, ...], ...]:
    """Return a wall as the rows of a table that `read_wall` reads back as the same wall.

    Lengths come back exactly where they are whole 0.01 mm, or whole 64ths of an inch. A wall of
    which nothing is known gives a template: rows of which nothing but what is filled in.
    """

    def line(what: str, **cells: object) -> tuple[str, ...]:
        return (what, *(str(cells.get(one, "")) for one in COLUMNS[1:]))

    def size(value: Length) -> str:
        sign, amount = ("-" if value < 0 else ""), Length(abs(value))
        return sign + (show(amount, system) if value else "0")

    lines = [tuple(COLUMNS)]
    sides = {"width": wall.width, "height": wall.height}
    lines.append(line("wall", **{name: size(one) for name, one in sides.items() if one}))
    for name in FACTS:
        lines.append(line(name, name=getattr(wall, name) or ""))
    lines.append(line("datum", name=wall.datum))
    lines.append(line("celsius", name=f"{wall.celsius:g}"))
    lines.append(line("damp", name="yes" if wall.is_damp else "no"))
    lines.append(line("finder", name=size(wall.finder)))
    lines += [line("stud", name=s.species, x=size(s.x), width=size(s.width)) for s in wall.studs]
    lines += [line("floor", x=size(one.x), level=size(one.level)) for one in wall.floor]
    lines += [line("layer", name=one.name, thickness=size(one.thickness)) for one in wall.layers]
    lines += [
        line(
            "service",
            name=one.kind,
            x=size(one.x),
            y=size(one.y),
            width=size(one.width),
            height=size(one.height),
        )
        for one in wall.services
    ]
    there = {one[0] for one in lines}
    return (*lines, *(line(what) for what in NEEDED if what not in there))
