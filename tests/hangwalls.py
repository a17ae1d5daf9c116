"""A studio's wall with its units, checked by the rules, for tests of what is drawn of hanging."""

from dataclasses import replace
from datetime import UTC, datetime
from functools import cache

from kiosk.rules.hanging.carrying import Job
from kiosk.rules.hanging.fitting import Expected, Fitting, How, WallCleat
from kiosk.rules.hanging.jobcheck import check_job
from kiosk.rules.hanging.kinds import (
    Backing,
    Board,
    Grain,
    Head,
    Premises,
    Soundness,
    Spot,
    Steel,
    StopOn,
    StripFixing,
)
from kiosk.rules.hanging.means import Means
from kiosk.rules.hanging.model import Lock, Screw, Shelf
from kiosk.rules.hanging.wall import FloorLevel, Layer, MeasuredWall, Service, Stud
from kiosk.rules.lengths import System, from_mm
from kiosk.rules.parts import UnitSpec
from kiosk.rules.records import Allowed

AT = datetime(2026, 3, 11, 9, 58, tzinfo=UTC)
SCREW = Screw(gauge=10, length=from_mm(88.9), steel=Steel.WOOD, head=Head.PAN)
OVERRIDE = Allowed(
    entry="K7.44",
    reason="Mara has screwed the shelf to the studs by hand",
    at=AT,
    person="Mara",
    allowed_by="Ivo",
)


def lengths(*values):
    return tuple(map(from_mm, values))


def a_wall(**more):
    """Return a wall 2400 × 2300 with studs 406.4 apart, an outlet, a pipe and a floor that dips."""
    made = MeasuredWall(
        wall="W1",
        width=from_mm(2400),
        height=from_mm(2300),
        studs=tuple(
            Stud(x=from_mm(19.05 + 406.4 * n), width=from_mm(38.1), species="SPF")
            for n in range(6)
        ),
        floor=tuple(
            FloorLevel(x=from_mm(x), level=from_mm(level))
            for x, level in ((0, 3), (800, 0), (1600, -4), (2400, -6.5))
        ),
        layers=(Layer(name="gypsum", thickness=from_mm(12.7)),),
        services=(
            Service(kind="outlet", x=from_mm(1450), y=from_mm(250), width=from_mm(80),
                    height=from_mm(80)),
            Service(kind="pipe", x=from_mm(2190), y=from_mm(0), width=from_mm(40),
                    height=from_mm(2300)),
        ),
        backing=Backing.STUD,
        soundness=Soundness.SOUND,
        spot=Spot.DRY_INDOORS,
        premises=Premises.PRIVATE,
    )  # fmt: skip
    return replace(made, **more)


def a_fitting(x, y, width, height, *, on="P1", **more):
    """Return how a unit hangs whose cleat is near its top; more are fields of the fitting."""
    cleat = WallCleat(
        x=from_mm(x + 10), y=from_mm(y + height - 100), length=from_mm(width - 20),
        height=from_mm(100), thickness=from_mm(18), board=Board.PLYWOOD, plies=9, is_glued=True,
        rows=lengths(15, 67),
    )  # fmt: skip
    made = Fitting(
        wall="W1", how=How.CLEAT, on=on, x=from_mm(x), y=from_mm(y), width=from_mm(width),
        height=from_mm(height), depth=from_mm(300), cleat=cleat, screw=SCREW, panel=from_mm(18),
        void=from_mm(0), load_out=from_mm(186), self_out=from_mm(186), drop=from_mm(height - 60),
        stop_on=StopOn.FACE, strip=from_mm(width - 20),
        strip_fixing=StripFixing.GLUED_AND_SCREWED, self_kg=9.0,
    )  # fmt: skip
    return replace(made, **more)


def a_panel(x, width):
    return Fitting(
        wall="W1", how=How.SCREWED, x=from_mm(x), y=from_mm(10), width=from_mm(width),
        height=from_mm(2280), depth=from_mm(18),
    )  # fmt: skip


PANELS = {"P1": a_panel(3, 1214.7), "P2": a_panel(1220.7, 1176.3)}
SHELF = Shelf(
    span=from_mm(780), depth=from_mm(280), thickness=from_mm(18), grain=Grain.ALONG, mass_kg=3.0
)
UNITS = {
    "S1": ("Upper shelf", "shelf", a_fitting(100, 1800, 900, 300, expected=(Expected(kg=17.5),))),
    "S2": ("Jar shelf", "shelf", a_fitting(100, 1300, 900, 300, shelves=(SHELF,),
                                            expected=(Expected(use="books"),))),
    "B1": ("Glaze box", "box", a_fitting(1240, 1700, 860, 420, on="P2")),
    "B2": ("Box with a short back", "box", a_fitting(1240, 1150, 860, 300, on="P2",
                                                     drop=from_mm(60))),
    "B3": ("Tool box", "box", a_fitting(1240, 700, 860, 300, on="P2", drop=None)),
    "L1": ("Deep shelf with its lock", "shelf", a_fitting(
        100, 750, 900, 260, load_out=from_mm(260), self_out=from_mm(260), drop=from_mm(150),
        lock=Lock(screw=SCREW, count=4, backing=Backing.STUD),
    )),
}  # fmt: skip
CARRIED = ("R1", "Rail for aprons", "rail", a_fitting(300, 500, 500, 40, on="S2", how=How.CARRIED))


def a_job(*, wall=None, units=None, system=System.MM):
    """Return a job with a wall, its panels and units; those of another wall are not measured."""
    wall = wall or a_wall()
    specs = {"W1": UnitSpec(job="GLAZE", unit="W1", kind="wall", name="North wall")}
    fittings = dict(PANELS)
    for name in PANELS:
        specs[name] = spec(name, f"Panel {name[1:]}", "panel", wall="W1")
    for unit, (name, kind, fitting) in (units or UNITS | {CARRIED[0]: CARRIED[1:]}).items():
        specs[unit] = spec(unit, name, kind, hangs_on=fitting.on)
        fittings[unit] = fitting
    if units is None:
        specs["X1"] = spec("X1", "Shelf on another wall", "shelf", wall="W2")
    return Job(specs=specs, fittings=fittings, walls={wall.wall: wall}, system=system)


def spec(unit, name, kind, **more):
    return UnitSpec(job="GLAZE", unit=unit, kind=kind, name=name, **more)


def a_view(*, system=System.MM, wall=None, allowed=True, units=None):
    """Return the check of a job: units that are rated, locked, refused, overridden and carried."""
    if wall is None and units is None:
        return usual(system, allowed)
    return checked(a_job(wall=wall, units=units, system=system), allowed)


@cache
def usual(system, allowed):
    return checked(a_job(system=system), allowed)


def checked(job, allowed):
    found = check_job("GLAZE", job, allowed={}, means=Means())
    refused = found.unit("B2")
    if not allowed or refused is None:
        return found
    refusals = refused.refusals
    word = replace(
        OVERRIDE,
        whys=tuple(str(one.why) for one in refusals),
        check=tuple(str(one.message) for one in refusals),
    )
    return check_job("GLAZE", job, allowed={"B2": word}, means=Means())
