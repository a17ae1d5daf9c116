"""Name what hangs, on what cleat, with what screws, on what wall, and what it is used for.

Everything a rating needs is asked for here; what nobody knows is said as None, '' or UNKNOWN and
is never guessed to the unsafe side. Lengths are whole units of 1/1600 mm.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from kiosk.rules.hanging.kinds import (
    Backing,
    Board,
    Goods,
    Grain,
    Head,
    Premises,
    Soundness,
    Spot,
    Steel,
    StopOn,
    StripFixing,
)
from kiosk.rules.lengths import Length

NOTHING: Final = Length(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Declared:
    """A screw's declared values for Eurocode 5, from its maker's declaration; None where missing.

    fax_mpa, rho_fax: withdrawal strength and the density in kg/m³ it was declared for. fhead_mpa,
    rho_fhead: the same for the head pulling through. tension_n: tensile capacity. yield_nmm: yield
    moment. outer_mm, inner_mm, head_mm: thread outside and root diameter, head diameter.
    """

    fax_mpa: float | None = None
    rho_fax: float = 350.0
    fhead_mpa: float | None = None
    rho_fhead: float = 350.0
    tension_n: float | None = None
    yield_nmm: float | None = None
    outer_mm: float
    inner_mm: float
    head_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Screw:
    """A wood screw by its number; length over all.

    head_across is what bears under the head or washer, None for that of the size table. thread is
    None where nobody measured it: the usual two thirds then count.
    """

    gauge: int
    length: Length
    steel: Steel = Steel.UNKNOWN
    head: Head = Head.COUNTERSUNK
    head_across: Length | None = None
    thread: Length | None = None
    declared: Declared | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Cleat:
    """A wall cleat: full height to the tip, rows of screws by their height above its lower edge.

    Each row has one screw in each stud. is_glued says it is glued to the panel as well as screwed.
    """

    board: Board
    thickness: Length
    height: Length
    rows: tuple[Length, ...]
    plies: int = 0
    is_glued: bool = False
    bevel: float = 45.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Wall:
    """What lies behind a cleat: panel, gypsum, hollow space, and the studs its screws reach.

    studs are measured positions along the wall of the studs the cleat is screwed to, as is the
    unit's middle. species '' is unknown; gravity is a measured specific gravity and goes before it.
    void is hollow space behind the panel that nobody filled.
    """

    backing: Backing
    soundness: Soundness
    studs: tuple[Length, ...]
    panel: Length
    gypsum: Length
    void: Length = NOTHING
    species: str = ""
    gravity: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Shelf:
    """A board that carries: free span, how deep it is front to back, and its own weight.

    Of two equal spans, span is one of them. overhang stands out at each end.
    """

    span: Length
    depth: Length
    thickness: Length
    grain: Grain
    mass_kg: float
    spans: int = 1
    overhang: Length = NOTHING


@dataclass(frozen=True, slots=True, kw_only=True)
class Lock:
    """Screws through the hung strip into a stud that hold the unit down onto its cleat."""

    screw: Screw
    count: int
    backing: Backing


@dataclass(frozen=True, slots=True, kw_only=True)
class Unit:
    """What is hung: how far out its load is, how long its back is, how heavy it is.

    load_out is from the panel's face to the middle of the load; drop from the middle of the bevel
    down to the middle of what the stop bears with, None where nobody measured it; strip how much
    of the hung strip's length really touches the cleat; middle where along the wall its load is.
    """

    load_out: Length
    self_out: Length
    self_mass_kg: float
    drop: Length | None
    stop_on: StopOn
    strip: Length
    strip_fixing: StripFixing
    middle: Length
    shelves: tuple[Shelf, ...] = ()
    lock: Lock | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Use:
    """What the unit is used for and where; celsius is the warmest the wall gets.

    is_damp says the wood is above 19 % moisture in service.
    """

    goods: Goods
    spot: Spot
    premises: Premises
    celsius: float = 25.0
    is_damp: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Hanging:
    """One unit on one cleat, with all a rating must know."""

    unit: Unit
    cleat: Cleat
    wall: Wall
    screw: Screw
    use: Use
