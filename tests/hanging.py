"""Units on cleats to try the rules of hanging with: those worked by hand, and odd ones."""

from __future__ import annotations

from dataclasses import replace

from kiosk.rules.hanging.kinds import (
    Backing,
    Board,
    Goods,
    Head,
    Premises,
    Soundness,
    Spot,
    Steel,
    StopOn,
    StripFixing,
)
from kiosk.rules.hanging.model import Cleat, Hanging, Screw, Unit, Use, Wall
from kiosk.rules.lengths import from_mm

STUDS = tuple(map(from_mm, (0, 406.4)))
SCREW = Screw(gauge=10, length=from_mm(88.9), steel=Steel.WOOD, head=Head.PAN)
WALL = Wall(
    backing=Backing.STUD,
    soundness=Soundness.SOUND,
    studs=STUDS,
    panel=from_mm(18),
    gypsum=from_mm(12.7),
    species="SPF",
)
USE = Use(goods=Goods.STORED, spot=Spot.DRY_INDOORS, premises=Premises.PRIVATE)


def cleat(height: float, *rows: float, **more: object) -> Cleat:
    return replace(
        Cleat(
            board=Board.PLYWOOD,
            thickness=from_mm(18),
            height=from_mm(height),
            rows=tuple(map(from_mm, rows)),
            plies=9,
            is_glued=True,
        ),
        **more,
    )


def unit(out: float, drop: float | None, mass: float, **more: object) -> Unit:
    made = Unit(
        load_out=from_mm(out),
        self_out=from_mm(out),
        self_mass_kg=mass,
        drop=None if drop is None else from_mm(drop),
        stop_on=StopOn.FACE,
        strip=from_mm(880),
        strip_fixing=StripFixing.GLUED_AND_SCREWED,
        middle=from_mm(203.2),
    )
    return replace(made, **more)


def floating(drop: float, **more: object) -> Hanging:
    """A shelf 900 wide and 300 deep of 6 kg on a cleat of 50 with one row, two studs."""
    return hanging(unit(150, drop, 6), cleat(50, 16), **more)


def braced(drop: float = 230, **more: object) -> Hanging:
    """A braced shelf 300 deep before an 18 mm back, 9 kg, on a cleat of 100 with two rows."""
    return hanging(unit(186, drop, 9), cleat(100, 15, 67), **more)


def hanging(what: Unit, on: Cleat, **more: object) -> Hanging:
    made = Hanging(unit=what, cleat=on, wall=WALL, screw=SCREW, use=USE)
    for part in ("unit", "cleat", "wall", "screw", "use"):
        changes = {k[len(part) + 1 :]: v for k, v in more.items() if k.startswith(part + "_")}
        made = replace(made, **{part: replace(getattr(made, part), **changes)})
    return made
