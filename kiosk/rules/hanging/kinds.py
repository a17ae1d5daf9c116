"""Name what may be chosen where a unit is described; what nobody knows has a word of its own."""

from __future__ import annotations

from enum import StrEnum


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
