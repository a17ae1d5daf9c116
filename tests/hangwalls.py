"""A studio's wall with its units, checked by the rules, for tests of what is drawn of hanging."""

from dataclasses import replace
from datetime import UTC, datetime

from kiosk.rules.hanging.assumed import Assumption
from kiosk.rules.hanging.fitting import Allowed, Fitting, How, WallCleat
from kiosk.rules.hanging.hangviews import (
    Better,
    Checked,
    HangingView,
    UnitHanging,
)
from kiosk.rules.hanging.loads import judge
from kiosk.rules.hanging.model import (
    Backing,
    Board,
    Grain,
    Head,
    Lock,
    Premises,
    Screw,
    Shelf,
    Soundness,
    Spot,
    Steel,
    StopOn,
    StripFixing,
)
from kiosk.rules.hanging.onwall import OnWall, build
from kiosk.rules.hanging.order import Hung, hanging_order
from kiosk.rules.hanging.rating import rate
from kiosk.rules.hanging.reaching import screws_of
from kiosk.rules.hanging.species import stud_gravity
from kiosk.rules.hanging.wall import FloorLevel, Layer, MeasuredWall, Service, Stud
from kiosk.rules.hanging.wallsum import Panel, see_wall
from kiosk.rules.lengths import System, from_mm
from kiosk.rules.parts import UnitSpec
from kiosk.rules.words import _

AT = datetime(2026, 3, 11, 9, 58, tzinfo=UTC)
SCREW = Screw(gauge=10, length=from_mm(88.9), steel=Steel.WOOD, head=Head.PAN)
PITCH = from_mm(300)
OVERRIDE = Allowed(
    entry="K7.44",
    reason="Mara has screwed the shelf to the studs by hand",
    at=AT,
    person="Mara",
    whys=("unhooks",),
    check=("It unhooks.",),
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
    "S1": ("Upper shelf", "shelf", a_fitting(100, 1800, 900, 300)),
    "S2": ("Jar shelf", "shelf", a_fitting(100, 1300, 900, 300, shelves=(SHELF,))),
    "B1": ("Glaze box", "box", a_fitting(1240, 1700, 780, 420, on="P2")),
    "B2": ("Box with a short back", "box", a_fitting(1240, 1150, 780, 300, on="P2",
                                                     drop=from_mm(60))),
    "B3": ("Tool box", "box", a_fitting(1240, 700, 780, 300, on="P2", drop=None)),
    "L1": ("Deep shelf with its lock", "shelf", a_fitting(
        100, 750, 900, 260, load_out=from_mm(260), self_out=from_mm(260), drop=from_mm(150),
        lock=Lock(screw=SCREW, count=4, backing=Backing.STUD),
    )),
}  # fmt: skip
CARRIED = ("R1", "Rail for aprons", "rail", a_fitting(300, 500, 500, 40, on="S2", how=How.CARRIED))


def rated(unit, name, kind, fitting, wall, *, system=System.MM, expected=None, allowed=None):
    """Return what the rules say of one unit alone."""
    spec = UnitSpec(job="GLAZE", unit=unit, kind=kind, name=name)
    panel = PANELS.get(fitting.on)
    reach = (panel.x, panel.x + panel.width) if panel else None
    own = OnWall(spec=spec, wall=wall, fitting=fitting, self_kg=fitting.self_kg,
                 self_out=fitting.self_out, load_out=fitting.load_out, panel=reach)  # fmt: skip
    found = build(own, fitting.screw, system=system)
    rating = rate(found.hanging, system=system) if found.hanging else None
    refusals = found.refusals or (rating.refusals if rating else ())
    is_rated = rating is not None and rating.is_rated and not refusals
    screws = ()
    if rating is not None and rating.held is not None:
        gravity = stud_gravity(found.hanging.wall.species)
        screws = screws_of(fitting, wall, fitting.screw, found.reached.studs,
                           penetration=rating.held.penetration, gravity=gravity)  # fmt: skip
    verdict = judge(expected, rating) if expected is not None and rating else None
    own_note = Assumption(_("its own weight"), "9 kg", _("weighed"))
    state = Checked.RATED if is_rated else Checked.ALLOWED if allowed else Checked.REFUSED
    better = () if is_rated else (Better(words=_("a longer back"), before=None, after=12),)
    return UnitHanging(
        unit=unit, name=name, kind=kind, wall=wall.wall, checked=state, how=How.CLEAT,
        words=_("rated") if is_rated else _("not rated"), fitting=fitting, is_fitted=True,
        self_kg=fitting.self_kg, hanging=found.hanging, rating=rating if is_rated else None,
        refusals=refusals, screws=screws, better=better, load_kg=expected,
        assumptions=(*(rating.assumptions if rating else ()), own_note),
        cautions=rating.cautions if rating else (), fits=verdict.is_enough if verdict else None,
        load_words=verdict.words if verdict else None, allowed=allowed,
    )  # fmt: skip


def a_view(*, system=System.MM, wall=None, allowed=True, units=None):
    """Return the check of a job: units that are rated, locked, refused, overridden and carried."""
    wall = wall or a_wall()
    found = [
        rated(unit, name, kind, fitting, wall, system=system,
              expected={"S1": 20.0, "S2": 400.0}.get(unit),
              allowed=OVERRIDE if unit == "B2" and allowed else None)
        for unit, (name, kind, fitting) in (UNITS if units is None else units).items()
    ]  # fmt: skip
    if units is None:
        unit, name, kind, fitting = CARRIED
        found.append(UnitHanging(
            unit=unit, name=name, kind=kind, wall=wall.wall, checked=Checked.CARRIED,
            how=How.CARRIED, words=_("its load counts there"), fitting=fitting, is_fitted=True,
            carried_by="S2",
        ))  # fmt: skip
    panels = [Panel(unit=name, fitting=fitting) for name, fitting in PANELS.items()]
    found += [
        UnitHanging(
            unit=name, name=f"Panel {name[1:]}", kind="panel", wall=wall.wall,
            checked=Checked.SCREWED, how=How.SCREWED, words=_("screwed to the studs"),
            fitting=fitting, is_fitted=True,
        )
        for name, fitting in PANELS.items()
    ]  # fmt: skip
    order = hanging_order(
        [Hung(unit=one.unit, kind=one.kind, fitting=one.fitting,
              after=one.carried_by or one.fitting.on) for one in found],
        system=system,
    )  # fmt: skip
    seen = see_wall(wall, found, panels, pitch=PITCH, system=system)
    return HangingView(
        job="GLAZE", walls=(seen,), units=tuple(found), order=order, unmeasured=("X1",)
    )
