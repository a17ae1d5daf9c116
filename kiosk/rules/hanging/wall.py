"""Name a wall as somebody measured it: its size, floor, studs, layers and services.

x runs from the wall's left end, y up from the datum: the highest point of the floor under it.
Lengths are whole units of 1/1600 mm. What lies behind one cleat is `model.Wall`.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from kiosk.rules.hanging.kinds import Backing, Premises, Soundness, Spot
from kiosk.rules.lengths import Length, from_mm

FINDER_ERROR: Final = from_mm(3)  # a stud finder's error (common practice, no source)
GYPSUM: Final = "gypsum"
VOID: Final = "void"
LAYERS: Final = (GYPSUM, "plaster", "insulation", "batten", VOID, "other")
"""What may lie between panel and stud; all of it bears nothing."""
SERVICES: Final = ("cable", "outlet", "switch", "pipe", "stack", "duct", "other")
"""What no screw may come near."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stud:
    """One stud by its middle; species '' where nobody knows it, else a name of `species`."""

    x: Length
    width: Length
    species: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class FloorLevel:
    """How high the floor is at x, above any one level line, or below it (less than 0)."""

    x: Length
    level: Length


@dataclass(frozen=True, slots=True, kw_only=True)
class Layer:
    """One layer between panel and stud; name is one of `LAYERS`."""

    name: str
    thickness: Length


@dataclass(frozen=True, slots=True, kw_only=True)
class Service:
    """A rectangle no screw may be in; x and y of its lower left corner, kind one of `SERVICES`."""

    kind: str
    x: Length
    y: Length
    width: Length
    height: Length


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasuredWall:
    """A wall as measured; wall is the id of the job's unit that is the wall itself.

    backing and soundness are UNKNOWN, spot and premises None where nobody said: nothing on the
    wall is rated then. datum says in the measurer's words where y is counted from, '' for the
    highest point of the floor. finder is the error of what found the studs.
    """

    wall: str
    width: Length
    height: Length
    studs: tuple[Stud, ...] = ()
    floor: tuple[FloorLevel, ...] = ()
    layers: tuple[Layer, ...] = ()
    services: tuple[Service, ...] = ()
    datum: str = ""
    backing: Backing = Backing.UNKNOWN
    soundness: Soundness = Soundness.UNKNOWN
    spot: Spot | None = None
    premises: Premises | None = None
    celsius: float = 25.0
    is_damp: bool = False
    finder: Length = FINDER_ERROR

    @property
    def void(self) -> Length:
        """Return how much of what is between panel and stud is empty."""
        return Length(sum(one.thickness for one in self.layers if one.name == VOID))

    @property
    def gypsum(self) -> Length:
        """Return how thick all other layers are together; none of them bears anything."""
        return Length(sum(one.thickness for one in self.layers if one.name != VOID))
