"""Build parts, stocks and planned sheets for tests, sizes in whole millimetres."""

from random import Random

from kiosk.rules.breakdown.plan import break_down
from kiosk.rules.lengths import Length
from kiosk.rules.parts import Piece
from kiosk.rules.sheets.model import KeptOffcut, Material, PlannedSheet, SheetPlan, SheetSize
from kiosk.rules.sheets.planned import planned_sheets
from kiosk.rules.sheets.stock import Counted, Stock, size_key
from kiosk.rules.sheets.tasks import MaterialTask, Saw, make_tasks
from tests.builders import PER_MM, at


def mm(value: float) -> Length:
    return Length(round(value * PER_MM))


BIRCH = Material("birch ply", mm(18))
THIN = Material("birch ply", mm(6))
SAW = Saw(kerf=mm(3.2), trim=mm(5), least_offcut=mm(150), length=mm(2440), width=mm(1220))


def a_part(code, length=600, width=300, *, of=BIRCH, **fields) -> Piece:
    return Piece(
        code=code,
        part=f"part {code}",
        length=mm(length),
        width=mm(width),
        material=of.name,
        thickness=of.thickness,
        **fields,
    )


def an_offcut(code, length=700, width=400, *, of=BIRCH) -> KeptOffcut:
    return KeptOffcut(code=code, material=of, length=mm(length), width=mm(width))


def a_size(length=2440, width=1220, count=None, *, of=BIRCH, trim=5) -> SheetSize:
    return SheetSize(material=of, length=mm(length), width=mm(width), count=count, trim=mm(trim))


def a_stock(*sizes, offcuts=(), used=0) -> Stock:
    return Stock(
        sizes={size_key(one): Counted(one, used) for one in sizes},
        known={one.code: one for one in offcuts},
    )


def laid_out(
    pieces, stock=None, *, origin="P1", first=1, tries=60, saw=SAW
) -> tuple[MaterialTask, tuple[PlannedSheet, ...]]:
    """Return the one task of pieces of one material, and its sheets."""
    (of,), _problems = make_tasks(pieces, stock or Stock(), saw=saw)
    found, problems = break_down(of.task, draw=Random(1).random, tries=tries)
    assert found is not None
    assert not problems
    return of, planned_sheets(found, of, origin=origin, first=first)


def a_plan(sheets, **fields) -> SheetPlan:
    return SheetPlan(id="P1", job="GLAZE", made=at("08:00"), sheets=tuple(sheets), **fields)


def wanted(pieces) -> dict[str, Piece]:
    return {piece.code: piece for piece in pieces}
