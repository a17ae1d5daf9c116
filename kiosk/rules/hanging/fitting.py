"""Name how a unit hangs, as far as somebody said so; the part list fills in what it knows.

None, '' and UNKNOWN are what nobody said. What must be measured, the stop's drop above all, stays
so and the unit is refused. x runs from the wall's left end, y up from the wall's datum.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from kiosk.rules.hanging.kinds import Backing, Board, Goods, StopOn, StripFixing
from kiosk.rules.hanging.model import Lock, Screw, Shelf
from kiosk.rules.lengths import Length
from kiosk.rules.records import Allowed as Allowed


class How(StrEnum):
    """What holds a unit: a bevelled cleat, its own screws into the studs, or another unit."""

    CLEAT = "cleat"
    SCREWED = "screwed"
    CARRIED = "carried"


@dataclass(frozen=True, slots=True, kw_only=True)
class WallCleat:
    """The cleat on the wall that a unit hooks on.

    name is what several units on one cleat share, '' where the unit has one of its own. x is its
    left end, y its lower edge, height to its tip; rows of screws are above its lower edge, one
    screw in each stud reached.
    """

    name: str = ""
    x: Length | None = None
    y: Length | None = None
    length: Length | None = None
    height: Length | None = None
    thickness: Length | None = None
    board: Board = Board.UNKNOWN
    plies: int = 0
    is_glued: bool = False
    rows: tuple[Length, ...] = ()
    bevel: float = 45.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Expected:
    """What is to be stored: a use by its key in `loads.BY_KEY` over a length, or weighed kg.

    length runs along the shelf or rail, depth front to back; kg goes before both.
    """

    use: str = ""
    length: Length | None = None
    depth: Length | None = None
    kg: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Fitting:
    """How one unit hangs.

    wall is the id of the wall's unit. how is None for what its kind tells. on is the panel that its
    cleat's screws pass, or the unit that carries it; '' the bare wall. x and y are the unit's left
    end and lower edge. screw None is chosen from the shop's stock. backing None is the wall's.
    panel and void are the thickness of the panel and of the hollow behind it. load_out, self_out,
    drop, stop_on, strip and strip_fixing are those of `model.Unit`. self_kg is weighed, None to be
    reckoned from the pieces.
    """

    wall: str = ""
    how: How | None = None
    on: str = ""
    x: Length | None = None
    y: Length | None = None
    width: Length | None = None
    height: Length | None = None
    depth: Length | None = None
    cleat: WallCleat = field(default_factory=WallCleat)
    screw: Screw | None = None
    backing: Backing | None = None
    panel: Length | None = None
    void: Length | None = None
    load_out: Length | None = None
    self_out: Length | None = None
    drop: Length | None = None
    stop_on: StopOn = StopOn.UNKNOWN
    strip: Length | None = None
    strip_fixing: StripFixing = StripFixing.UNKNOWN
    lock: Lock | None = None
    self_kg: float | None = None
    shelves: tuple[Shelf, ...] = ()
    goods: Goods = Goods.STORED
    expected: tuple[Expected, ...] = ()


Fittings = Mapping[str, Fitting]
"""The fittings of a job by unit, as people said them."""
