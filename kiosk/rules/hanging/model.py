"""Name what hangs, on what cleat, with what screws, on what wall, and what it is used for.

Everything a rating needs is asked for here; what nobody knows is said as None, '' or UNKNOWN and
is never guessed to the unsafe side. Lengths are whole units of 1/1600 mm.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from kiosk.rules.lengths import Length

NOTHING: Final = Length(0)


class Backing(StrEnum):
    """What the cleat's screws end in."""

    STUD = "stud"
    PANEL = "panel"
    GYPSUM = "gypsum"
    ANCHOR = "anchor"
    METAL = "metal"
    MASONRY = "masonry"
    END_GRAIN = "end_grain"
    PANEL_EDGE = "panel_edge"
    UNKNOWN = "unknown"


class Soundness(StrEnum):
    """How the studs were found."""

    SOUND = "sound"
    DAMAGED = "damaged"
    UNKNOWN = "unknown"


class Board(StrEnum):
    """What a cleat is made of."""

    PLYWOOD = "plywood"
    LUMBER = "lumber"
    MDF = "mdf"
    PARTICLEBOARD = "particleboard"
    UNKNOWN = "unknown"


class Steel(StrEnum):
    """What kind of screw it is."""

    WOOD = "wood"
    DRYWALL = "drywall"
    HARDENED = "hardened"
    UNKNOWN = "unknown"


class Head(StrEnum):
    """The shape under a screw's head: countersunk, flat beneath, or on a washer."""

    COUNTERSUNK = "countersunk"
    PAN = "pan"
    WASHER = "washer"


class StopOn(StrEnum):
    """What the lower edge of the unit's back bears on."""

    FACE = "face"
    BEVEL = "bevel"
    VOID = "void"
    NONE = "none"
    UNKNOWN = "unknown"


class StripFixing(StrEnum):
    """How the hung strip and the back are joined to the unit."""

    GLUED_AND_SCREWED = "glued_and_screwed"
    GLUED = "glued"
    SCREWED = "screwed"
    UNKNOWN = "unknown"


class Grain(StrEnum):
    """Which way a shelf's face grain runs against its span."""

    ALONG = "along"
    ACROSS = "across"
    UNKNOWN = "unknown"


class Goods(StrEnum):
    """What the unit carries."""

    STORED = "stored"
    PEOPLE = "people"
    ANIMALS = "animals"
    DRAWERS_STEPPED_ON = "drawers_stepped_on"
    SCREEN_ON_ARM = "screen_on_arm"
    SWING = "swing"
    LIFTING_GEAR = "lifting_gear"
    IMPACT = "impact"
    MOVING = "moving"
    TALL_GLASS = "tall_glass"
    AQUARIUM = "aquarium"


class Spot(StrEnum):
    """Where the wall is."""

    DRY_INDOORS = "dry_indoors"
    WET_ROOM = "wet_room"
    OUTDOORS = "outdoors"
    VEHICLE = "vehicle"
    BOAT = "boat"
    CEILING = "ceiling"


class Premises(StrEnum):
    """What depends on the unit staying up."""

    PRIVATE = "private"
    PUBLIC = "public"
    SAFETY_CRITICAL = "safety_critical"
    OVER_BED = "over_bed"
    EXIT_ROUTE = "exit_route"
    SEISMIC = "seismic"


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
