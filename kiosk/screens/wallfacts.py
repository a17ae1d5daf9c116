"""The lists of a wall's studs, floor readings, layers and services, as rows to tap."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any, Final

from kiosk.rules.hanging.wall import FloorLevel, Layer, MeasuredWall, Service, Stud
from kiosk.rules.lengths import System
from kiosk.rules.words import Phrase, _, capital, join, say, say_n
from kiosk.screens.hangwords import (
    LAYER_WORDS,
    NOT_SAID,
    SERVICE_WORDS,
    say_length,
    say_one,
    say_size,
)

Thing = Stud | FloorLevel | Layer | Service
TITLES: Final[dict[str, Phrase]] = {
    "studs": _("Studs"),
    "floor": _("Floor"),
    "layers": _("Layers before the studs"),
    "services": _("Services"),
}
LINES: Final[dict[str, Phrase]] = {
    "studs": _("By their middles, from the wall's left end. Tap one to change it or take it out."),
    "floor": _("How high the floor is along the wall, above any one level line, or below it."),
    "layers": _("What lies between panel and stud, such as gypsum. None of it bears anything."),
    "services": _("Where no screw may be: cables, outlets, pipes. The lower left corner first."),
}
EMPTY: Final[dict[str, Phrase]] = {
    "studs": _("No stud is entered. Without two studs nothing on this wall is rated."),
    "floor": _("No reading of the floor is entered. Without two no shims are known."),
    "layers": _("No layer is entered: panels are taken to lie on the studs."),
    "services": _("No service is entered. Look for cables and pipes first."),
}
UNKNOWN_WOOD: Final = _("wood not known")


def things(wall: MeasuredWall, kind: str) -> tuple[Thing, ...]:
    """Return the wall's things of a kind, a key of `TITLES`."""
    found: tuple[Thing, ...] = getattr(wall, kind)
    return found


def with_things(wall: MeasuredWall, kind: str, kept: Sequence[Thing]) -> MeasuredWall:
    """Return the wall with other things of a kind, from the left to the right."""
    ordered = sorted(kept, key=lambda one: getattr(one, "x", 0))
    change: dict[str, Any] = {kind: tuple(ordered)}
    return replace(wall, **change)


def say_thing(thing: Thing, system: System) -> tuple[Phrase | str, str]:
    """Return a thing's words and its figure."""
    match thing:
        case Stud(x=x, width=width, species=species):
            what = species or UNKNOWN_WOOD
            words = say("{width} wide, {wood}", width=say_length(width, system), wood=what)
            return words, say_length(x, system)
        case FloorLevel(x=x, level=level):
            return say("at {x}", x=say_length(x, system)), say_length(level, system)
        case Layer(name=name, thickness=thickness):
            return capital(LAYER_WORDS.get(name, name)), say_length(thickness, system)
        case Service(kind=kind, x=x, y=y):
            left, up = say_length(x, system), say_length(y, system)
            place = say("{kind} at {x}, {y} up", kind=SERVICE_WORDS.get(kind, kind), x=left, y=up)
            return capital(place), say_size(thing.width, thing.height, system)
    raise AssertionError(f"{thing} is nothing of a wall")


def say_facts(wall: MeasuredWall, system: System) -> dict[str, tuple[str, str]]:
    """Return value and words below for each row of a wall's form, by its key."""
    size = say_size(wall.width, wall.height, system) if wall.width and wall.height else NOT_SAID
    woods = {one.species for one in wall.studs}
    wood = join((one or UNKNOWN_WOOD for one in sorted(woods)), ", ")
    layers = (LAYER_WORDS.get(one.name, one.name) for one in wall.layers)
    services = dict.fromkeys(SERVICE_WORDS.get(one.kind, one.kind) for one in wall.services)
    return {
        "size": ("", size),
        "studs": (str(len(wall.studs)), wood or NOT_SAID),
        "floor": (
            str(len(wall.floor)),
            say_n("{n} reading", "{n} readings", len(wall.floor)) if wall.floor else NOT_SAID,
        ),
        "layers": (str(len(wall.layers)), join(layers, ", ") or NOT_SAID),
        "services": (str(len(wall.services)), join(services, ", ") or NOT_SAID),
        "facts": ("", _say_facts(wall)),
    }


def _say_facts(wall: MeasuredWall) -> Phrase:
    """Return what the screws end in, or how much nobody said."""
    unsaid = [one for one in _facts(wall) if one in (None, "unknown")]
    if unsaid:
        return say("{n} of {all} not said", n=len(unsaid), all=len(_facts(wall)))
    return say_one(wall.backing)


def _facts(wall: MeasuredWall) -> tuple[str | None, ...]:
    return (wall.backing, wall.soundness, wall.spot, wall.premises)


def is_open(wall: MeasuredWall, key: str) -> bool:
    """Tell whether something is missing of a wall's form without which nothing is rated."""
    match key:
        case "size":
            return not (wall.width and wall.height)
        case "studs":
            return len(wall.studs) < 2
        case "facts":
            return any(one in (None, "unknown") for one in _facts(wall))
    return False
