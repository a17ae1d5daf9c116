"""A glaze store's wall for pictures: checked by the same rules as a job's own."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from functools import cache

from kiosk.rules.hanging.carrying import Job as CheckedJob
from kiosk.rules.hanging.carrying import fill_in
from kiosk.rules.hanging.fitting import Allowed, Expected, Fitting, WallCleat
from kiosk.rules.hanging.hangviews import HangingView
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
from kiosk.rules.hanging.means import STOCK, Means, read_stock
from kiosk.rules.hanging.model import Screw
from kiosk.rules.hanging.unitcheck import hang_word
from kiosk.rules.hanging.wall import FloorLevel, Layer, MeasuredWall, Service, Stud
from kiosk.rules.lengths import System, from_mm
from kiosk.rules.parts import Piece, UnitSpec
from kiosk.rules.problems import Problem
from kiosk.rules.reasons import HANG_REASONS
from kiosk.rules.scanning import Answer, Offer, Outcome
from kiosk.rules.words import _, known, say
from kiosk.screens.hangsview import Form, HangSeen, WallsSeen
from kiosk.store import Job

JOB, WALL = "GLAZE", "W1"
_AT = datetime(2026, 3, 11, 14, 20, tzinfo=UTC)
_SCREW = Screw(gauge=10, length=from_mm(89), steel=Steel.WOOD, head=Head.PAN)
_PARTS = ("Face", "Board", "Strip")
_WALLS = ((WALL, "Back wall"), ("W2", "Window wall"))
# unit, name, kind, hangs on, left end, lower edge, width, height, depth, stop's drop
_UNITS = (
    ("P1", "Panel, left", "panel", "", 3, 12, 1215, 2360, 18, None),
    ("P2", "Panel, right", "panel", "", 1221, 12, 1176, 2360, 18, None),
    ("S1", "Jar shelf", "shelf", "P1", 120, 1780, 900, 320, 300, 240),
    ("S2", "Test tile shelf", "shelf", "P1", 120, 1300, 900, 300, 300, 240),
    ("S3", "Deep shelf for buckets", "shelf", "P1", 120, 640, 900, 300, 420, 150),
    ("B1", "Glaze box", "box", "P2", 1350, 1700, 800, 420, 280, 320),
    ("B2", "Tool box", "box", "P2", 1350, 1150, 800, 320, 280, None),
    ("R1", "Apron rail", "rail", "S2", 240, 1240, 600, 40, 60, None),
)


@cache
def sample_wall() -> MeasuredWall:
    """Return a wall with studs 406.4 mm apart, an outlet, a pipe, and a floor that falls."""
    return MeasuredWall(
        wall=WALL,
        width=from_mm(2400),
        height=from_mm(2500),
        studs=tuple(
            Stud(x=from_mm(19.05 + 406.4 * n), width=from_mm(38.1), species="SPF") for n in range(6)
        ),
        floor=tuple(
            FloorLevel(x=from_mm(x), level=from_mm(level))
            for x, level in ((0, 3), (800, 0), (1600, -4), (2400, -6.5))
        ),
        layers=(Layer(name="gypsum", thickness=from_mm(12.7)),),
        services=(
            _service("outlet", 1450, 250, 80, 80),
            _service("pipe", 2180, 0, 40, 2500),
        ),
        backing=Backing.STUD,
        soundness=Soundness.SOUND,
        spot=Spot.DRY_INDOORS,
        premises=Premises.PRIVATE,
    )


def _service(kind: str, x: float, y: float, width: float, height: float) -> Service:
    return Service(
        kind=kind, x=from_mm(x), y=from_mm(y), width=from_mm(width), height=from_mm(height)
    )


def _pieces(unit: str, kind: str, width: float, depth: float) -> tuple[Piece, ...]:
    if kind == "panel":
        return (_piece(f"{unit}-1", _PARTS[0], width, 2360),)
    board = _piece(f"{unit}-1", _PARTS[1], width, depth)
    return (board, _piece(f"{unit}-2", _PARTS[2], width - 20, 100, bevel=45.0))


def _piece(code: str, part: str, length: float, width: float, *, bevel: float = 0.0) -> Piece:
    return Piece(
        code=code,
        part=part,
        length=from_mm(length),
        width=from_mm(width),
        thickness=from_mm(18),
        material="birch ply",
        bevel=bevel,
    )


def _specs() -> dict[str, UnitSpec]:
    found = {
        unit: UnitSpec(
            job=JOB,
            unit=unit,
            name=name,
            kind=kind,
            wall=WALL,
            hangs_on=on,
            pieces=_pieces(unit, kind, width, depth),
        )
        for unit, name, kind, on, _x, _y, width, _height, depth, _drop in _UNITS
    }
    found[WALL] = UnitSpec(job=JOB, unit=WALL, name="Back wall", kind="wall")
    return found


def _fittings() -> dict[str, Fitting]:
    found = {}
    for unit, _name, kind, _on, x, y, width, height, depth, drop in _UNITS:
        placed = Fitting(
            x=from_mm(x),
            y=from_mm(y),
            width=from_mm(width),
            height=from_mm(height),
            depth=from_mm(depth),
        )
        if kind not in ("panel", "rail"):
            placed = replace(
                placed,
                cleat=WallCleat(
                    y=from_mm(y + height - 100),
                    board=Board.PLYWOOD,
                    plies=9,
                    is_glued=True,
                    rows=(from_mm(15), from_mm(67)),
                ),
                screw=_SCREW,
                drop=from_mm(drop) if drop else None,
                stop_on=StopOn.FACE,
                strip_fixing=StripFixing.GLUED_AND_SCREWED,
            )
        found[unit] = placed
    load = (Expected(use="general", length=from_mm(760), depth=from_mm(260)),)
    found["S1"] = replace(found["S1"], expected=load)
    found["B1"] = replace(found["B1"], expected=(Expected(kg=12.0),))
    return found


def _job(system: System = System.MM) -> CheckedJob:
    return CheckedJob(
        specs=_specs(), fittings=_fittings(), walls={WALL: sample_wall()}, system=system
    )


@cache
def sample_view(*, is_allowed: bool = False, system: System = System.MM) -> HangingView:
    """Return the check of the job; is_allowed: a person lets the deep shelf go up all the same."""
    means = Means(stock=read_stock(STOCK)[0])
    view = check_job(JOB, _job(system), allowed={}, means=means)
    if not is_allowed:
        return view
    one = view.unit("S3")
    assert one is not None, "the sample has it"
    word = Allowed(
        entry="K-44",
        reason=HANG_REASONS[1],
        at=_AT,
        person="Mara",
        whys=tuple(str(each.why) for each in one.refusals),
        check=tuple(each.message for each in one.refusals),
        allowed_by="Ivo",
    )
    return check_job(JOB, _job(system), allowed={"S3": word}, means=means)


def sample_seen(*, is_allowed: bool = False, system: System = System.MM) -> HangSeen:
    """Return the check of the job with both panels up."""
    view = sample_view(is_allowed=is_allowed, system=system)
    return HangSeen(Job(JOB, "Glaze store"), system, view, frozenset({"P1", "P2"}))


def sample_walls() -> WallsSeen:
    """Return two walls, one of them not measured."""
    return WallsSeen(JOB, System.MM, _WALLS, (sample_wall(),))


def sample_form(unit: str = "B2", *, system: System = System.MM) -> Form:
    """Return the form of a unit: a tool box whose stop nobody measured."""
    job = _job(system)
    spec = job.specs[unit]
    others = tuple(
        (name, one.name) for name, one in sorted(job.specs.items()) if name not in (unit, WALL)
    )
    return Form(
        JOB,
        unit,
        spec.name,
        system,
        job.fittings[unit],
        fill_in(job)[unit].fitting,
        others,
        (WALL, "W2"),
        STOCK,
    )


TABLE = "glaze-w1-wall.csv"
WRONG = (
    Problem(
        say("“{plain}” is not a length we can read.", plain="40o"),
        _("Measure it, and enter it."),
        4,
        "X",
        "40o",
    ),
    Problem(
        say("“{species}” is no species that is known here.", species="Fir"),
        say(
            "Leave it empty if you do not know, or write one of {names}.",
            names="SPF, SPF-South, Hem-Fir",
        ),
        6,
        "Name",
        "Fir",
    ),
)


def sample_answer(*, is_bare: bool = False) -> Answer:
    """Return what the bench says to a scan of a refused unit; is_bare: nobody said how it hangs."""
    job = _job()
    if is_bare:
        job = replace(job, fittings={**job.fittings, "S3": Fitting()})
    one = check_job(JOB, job, allowed={}, means=Means(stock=read_stock(STOCK)[0])).unit("S3")
    assert one is not None, "the sample has it"
    word, step = hang_word(one), known("hang", "step")
    return Answer(
        Outcome.TOO_EARLY,
        word.message,
        word.detail,
        code="K7F3Q97",
        job=JOB,
        unit=one.unit,
        unit_name=one.name,
        step="hang",
        offers=(Offer("go_ahead", "hang", say("{step} all the same", step=step), HANG_REASONS),),
    )
