"""Walls as measured, units and how they hang, to try the check of a job's walls with."""

from __future__ import annotations

from dataclasses import replace

from kiosk.rules.hanging.carrying import Job
from kiosk.rules.hanging.fitting import Fitting, WallCleat
from kiosk.rules.hanging.jobcheck import check_job
from kiosk.rules.hanging.kinds import (
    Backing,
    Board,
    Head,
    Premises,
    Soundness,
    Spot,
    Steel,
    StopOn,
    StripFixing,
)
from kiosk.rules.hanging.means import Means
from kiosk.rules.hanging.model import Screw
from kiosk.rules.hanging.wall import Layer, MeasuredWall, Stud
from kiosk.rules.lengths import from_mm
from kiosk.rules.parts import Piece, UnitSpec

STUD_MM = 406.4
SCREW = Screw(gauge=10, length=from_mm(88.9), steel=Steel.WOOD, head=Head.PAN)
MEANS = Means(stock=(SCREW,), shop=1.0)
WALL = MeasuredWall(
    wall="W",
    width=from_mm(3000),
    height=from_mm(2500),
    studs=tuple(
        Stud(x=from_mm(200 + n * STUD_MM), width=from_mm(38.1), species="SPF") for n in range(7)
    ),
    layers=(Layer(name="gypsum", thickness=from_mm(12.7)),),
    backing=Backing.STUD,
    soundness=Soundness.SOUND,
    spot=Spot.DRY_INDOORS,
    premises=Premises.PRIVATE,
)


def a_piece(part, length, width, thickness=18.0, **more):
    thick = None if thickness is None else from_mm(thickness)
    given = {"code": f"K{part}", "material": "Birch plywood", **more}
    return Piece(part=part, length=from_mm(length), width=from_mm(width), thickness=thick, **given)


def a_spec(unit, kind="shelf", *pieces, wall="W", hangs_on=""):
    return UnitSpec(
        job="J", unit=unit, name=f"{kind} {unit}", kind=kind, wall=wall, hangs_on=hangs_on,
        pieces=pieces,
    )  # fmt: skip


def a_panel(unit="P", **more):
    return a_spec(unit, "panel", a_piece("face", 2000, 1200), **more)


def a_shelf(unit="S", **more):
    pieces = (a_piece("board", 900, 300), a_piece("strip", 880, 100, bevel=45.0))
    return a_spec(unit, "shelf", *pieces, **{"hangs_on": "P", **more})


def braced(x=150, y=1000, **more):
    """Say of a shelf all that the worked case of the braced shelf needs: two studs, 9 kg.

    Its middle is that of the studs at 200 and 606.4, its cleat reaches just those.
    """
    cleat = WallCleat(
        x=from_mm(150),
        y=from_mm(y),
        length=from_mm(506.4),
        height=from_mm(100),
        thickness=from_mm(18),
        board=Board.PLYWOOD,
        plies=9,
        is_glued=True,
        rows=(from_mm(15), from_mm(67)),
    )
    made = Fitting(
        x=from_mm(x),
        y=from_mm(y - 200),
        width=from_mm(506.4),
        height=from_mm(300),
        cleat=cleat,
        screw=SCREW,
        load_out=from_mm(186),
        self_out=from_mm(186),
        drop=from_mm(230),
        stop_on=StopOn.FACE,
        strip=from_mm(880),
        strip_fixing=StripFixing.GLUED_AND_SCREWED,
        self_kg=9.0,
    )
    return changed(made, **more)


def changed(fitting, **more):
    """Return a fitting otherwise; cleat_… names a field of its cleat."""
    on_cleat = {k.removeprefix("cleat_"): v for k, v in more.items() if k.startswith("cleat_")}
    own = {k: v for k, v in more.items() if not k.startswith("cleat_")}
    return replace(fitting, cleat=replace(fitting.cleat, **on_cleat), **own)


def a_job(*specs, wall=WALL, **fittings):
    return Job(
        specs={one.unit: one for one in specs},
        fittings=fittings,
        walls={} if wall is None else {wall.wall: wall},
    )


def checked(job, *, allowed=None, means=MEANS):
    return check_job("J", job, allowed=allowed or {}, means=means)


def whys(one):
    return [str(each.why) for each in one.refusals]
