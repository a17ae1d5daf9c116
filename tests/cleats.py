"""Pieces with bevels, and sheets planned from them, for tests."""

from collections.abc import Sequence
from random import Random

from kiosk.rules.breakdown import recut, sawable
from kiosk.rules.breakdown.model import Part, Stock, Task
from kiosk.rules.breakdown.plan import break_down
from kiosk.rules.lengths import Length, from_mm
from kiosk.rules.parts import Piece
from kiosk.rules.sheets.model import Material, PlannedSheet
from kiosk.rules.sheets.strips import as_part, pair_cleats, plain

MM = 1600
KERF = from_mm(3.2)
PLY = Material("Birch plywood 18", from_mm(18))
FULL = Stock(code="full", length=2440 * MM, width=1220 * MM, trim=5 * MM)


def cleat(code: str, length: float = 900, width: float = 80, **more) -> Piece:
    """Return a piece with a bevel of 45 degrees, measures in mm."""
    fields = {"thickness": from_mm(18), "bevel": 45.0, "grain": "length", **more}
    return Piece(code=code, part="cleat", length=from_mm(length), width=from_mm(width), **fields)


def board(code: str, length: float, width: float) -> Piece:
    return cleat(code, length, width, bevel=0.0)


def inside(stock: Stock) -> Length:
    return Length(stock.length - 2 * stock.trim)


def plan(
    pieces: Sequence[Piece], *, stock: Stock = FULL, kerf: Length = KERF, tries: int = 20
) -> tuple[PlannedSheet, ...]:
    """Lay pieces out on sheets, cleats in pairs; both checks of the breakdown are made."""
    strips, problems = pair_cleats(pieces, kerf=kerf, longest=inside(stock))
    assert problems == ()
    parts = [as_part(strip) for strip in strips]
    parts += [
        Part(code=one.code, length=one.length, width=one.width, is_locked=one.grain == "length")
        for one in plain(pieces, strips)
    ]
    task = Task(parts=tuple(parts), stocks=(stock,), kerf=kerf, levels=3)
    found, problems = break_down(task, draw=Random(1).random, tries=tries)
    assert found is not None, problems
    assert recut.find_faults(task, found) == ()
    assert sawable.find_faults(task, found) == ()
    return tuple(
        PlannedSheet(
            origin="P1",
            material=PLY,
            kerf=kerf,
            sheet=sheet,
            strips=tuple(
                strip for strip in strips if strip.code in {one.code for one in sheet.parts}
            ),
        )
        for sheet in found.sheets
    )
